"""European and British label content against worked cases of the law.

Sources: Regulation (EU) No 1169/2011 (consolidated to 1 April 2025), Annexes
VII, VIII, IX, X; Directive 2001/113/EC and its amendment of 2024; Directives
2011/91/EU and 76/211/EEC. Figures computed from the provision named.
"""

import datetime
from decimal import Decimal

import pytest

from labels.statements.build import build_label
from labels.statements.dates import KeepingTime, best_before_eu, lot_eu, lot_needed_eu
from labels.statements.eu import sugar_line_due
from labels.statements.fruit_content import (
    fruit_content,
    fruit_line,
    quantified,
    sugar_line,
)
from labels.statements.ingredient_laws import EU_LAW, EU_WORDS
from labels.statements.ingredient_list import RecipeAsUsed, compose
from labels.statements.ingredient_text import ingredient_runs
from labels.statements.ingredients import Ingredient, Nature, Part, Substance
from labels.statements.label_input import Jurisdiction, LabelInput, Producer
from labels.statements.label_text import Placement, Role
from labels.statements.net_quantity import DeclaredQuantity, QuantityUnit, uk_weight
from labels.statements.nutrition import NutrientAmounts
from labels.statements.type_sizes import EU_TEXT, eu_net_quantity, in_points


def use(name, grams, nature=Nature.OTHER, **more):
    remaining = more.pop("remaining_g", None)
    return Ingredient(
        substance=Substance(name=name, nature=nature, **more),
        mass_g=Decimal(grams),
        remaining_g=remaining,
    )


def statement(lines, finished):
    recipe = RecipeAsUsed(ingredients=tuple(lines), finished_mass_g=Decimal(finished))
    return "".join(
        run.text for run in ingredient_runs(compose(recipe, EU_LAW), EU_WORDS)
    )


def jam(**more):
    lines = (use("strawberries", 1000, Nature.FRUIT), use("sugar", 1000))
    values = {
        "identity": "Strawberry jam",
        "recipe": RecipeAsUsed(ingredients=lines, finished_mass_g=Decimal(1550)),
        "quantity": DeclaredQuantity(amount=Decimal(227), unit=QuantityUnit.GRAM),
        "producer": Producer(name="Test Kitchen", street="1 Lane", city="Town"),
        "soluble_solids_percent": Decimal("63.4"),
        "made_on": datetime.date(2026, 7, 1),
        "best_before_on": datetime.date(2027, 7, 1),
    }
    return LabelInput(**{**values, **more})


# Directive 2001/113/EC Art. 2(3): fruit for 100 g finished product
def test_the_fruit_line_is_rounded_down():
    """1 000 of 1 550 g is 64.516 g; lemon juice against a lack is no fruit."""
    lines = [
        use("strawberries", 1000, Nature.FRUIT),
        use("sugar", 1000),
        use("lemon juice", 50),
    ]
    content = fruit_content(lines, Decimal(1550))
    assert fruit_line(content) == "prepared with 64 g of fruit per 100 g"


def extract():
    """An extract made in the kitchen: 700 g of juice and 400 g of water."""
    return Substance(
        name="crab apple extract",
        made_in_house=True,
        parts=(
            Part(
                substance=Substance(name="crab apple juice", nature=Nature.FRUIT),
                share=Decimal(7) / 11,
            ),
            Part(
                substance=Substance(name="water", nature=Nature.WATER),
                share=Decimal(4) / 11,
            ),
        ),
    )


def test_the_water_of_an_extract_is_not_fruit():
    """(1 100 - 400) of 1 500 g is 466.7 g/kg, not 733."""
    line = Ingredient(substance=extract(), mass_g=Decimal(1100))
    content = fruit_content([line], Decimal(1500))
    assert round(content.per_kg, 1) == Decimal("466.7")
    assert fruit_line(content) == "prepared with 46 g of fruit per 100 g"


def test_a_fruit_cheese_takes_more_fruit_than_it_weighs():
    content = fruit_content([use("damsons", 1500, Nature.FRUIT)], Decimal(1000))
    assert fruit_line(content) == "prepared with 150 g of fruit per 100 g"


# Directive 2001/113/EC Art. 2(4), deleted for jam made from 14 June 2026
def test_the_sugar_line_is_the_refractometer_reading():
    assert sugar_line(Decimal("63.4")) == "total sugar content 63 g per 100 g"


@pytest.mark.parametrize(
    ("jurisdiction", "made_on", "due"),
    [
        (Jurisdiction.UK, datetime.date(2026, 7, 1), True),
        (Jurisdiction.EU, datetime.date(2026, 6, 13), True),
        (Jurisdiction.EU, datetime.date(2026, 6, 14), False),
    ],
)
def test_the_sugar_line_depends_on_place_and_day(jurisdiction, made_on, due):
    given = jam(made_on=made_on)
    assert sugar_line_due(given, jurisdiction) is due
    shown = build_label(given, jurisdiction).text.first(Role.SUGAR_CONTENT)
    assert (shown is not None) is due


def test_a_nutrition_table_takes_the_sugar_lines_place():
    given = jam(nutrition=NutrientAmounts(sugars_g=Decimal(60)))
    assert not sugar_line_due(given, Jurisdiction.UK)


# Annex VII.A.1: added water by what is left of it
ORANGES = (
    use("oranges", 1000, Nature.FRUIT),
    use("sugar", 2000),
    use("lemon", 100),
    use("water", 2000, Nature.WATER),
)


@pytest.mark.parametrize(
    ("finished", "expected"),
    [
        (3200, "sugar, oranges, lemon"),  # 100 g, 3.1 %
        (3400, "sugar, oranges, water, lemon"),  # 300 g, 8.8 %
        (3000, "sugar, oranges, lemon"),  # none left
    ],
)
def test_water_stands_by_what_is_left(finished, expected):
    assert statement(ORANGES, finished) == f"Ingredients: {expected}"


def test_sugars_are_ordered_singly():
    lines = [
        use("strawberries", 1000),
        use("sugar", 700, Nature.SUGAR),
        use("honey", 350, Nature.SUGAR),
        use("lemon juice", 30),
    ]
    assert statement(lines, 1500) == (
        "Ingredients: strawberries, sugar, honey, lemon juice"
    )


def test_small_amounts_follow_in_their_order():
    """Annex VII.A.6: under 2 % any order; exactly 2 % keeps its place."""
    lines = [
        use("strawberries", 1000),
        use("sugar", 800),
        use("vanilla", 4),
        use("citric acid", 20),
        use("pectin", 16),
    ]
    assert statement(lines, 1600).endswith(
        "strawberries, sugar, citric acid, pectin, vanilla"
    )


def test_setting_sugar_shows_its_additives():
    """Annex VII.C, E.1."""
    parts = (
        Substance(name="sugar"),
        Substance(name="pectin", additive_class="gelling agent"),
        Substance(name="citric acid", additive_class="acid"),
    )
    line = use(
        "setting sugar", 1000, parts=tuple(Part(substance=part) for part in parts)
    )
    assert statement([line], 1500) == (
        "Ingredients: setting sugar (sugar, gelling agent: pectins, acid: citric acid)"
    )


def test_spirits_need_no_list_of_their_own():
    """Annex VII.E.2(c)."""
    parts = (Part(substance=Substance(name="wine distillate")),)
    line = use("brandy", 30, Nature.ALCOHOL, parts=parts)
    assert statement([use("figs", 900), line], 1000).endswith("figs, brandy")


def test_a_tie_is_broken_by_name():
    lines = [use("sugar", 500), use("raspberries", 500)]
    assert statement(lines, 800) == "Ingredients: raspberries, sugar"


# Annex VIII: quantity of ingredients
def test_a_fruit_with_its_line_needs_no_percentage():
    """Annex VIII.1(a)(ii)."""
    lines = [e.text for e in build_label(jam(), Jurisdiction.EU).text.elements]
    assert not any("%" in line for line in lines)


@pytest.mark.parametrize(
    ("lines", "names", "finished", "expected"),
    [
        ([("tomatoes", 1400)], ["tomatoes"], 1000, ["140 g tomatoes per 100 g"]),
        (
            [("apples", 550), ("tomatoes", 600)],
            ["apples", "tomatoes"],
            1000,
            ["55 g apples per 100 g", "60 g tomatoes per 100 g"],
        ),
        ([("onions", 600)], ["onions"], 1000, ["onions 60 %"]),
        ([("butter", 50)], ["butter"], 169, ["butter 29.6 %"]),
    ],
)
def test_quantities_after_cooking(lines, names, finished, expected):
    """Annex VIII.4(a); the butter is the guidance's own example (memory)."""
    used = [use(name, grams) for name, grams in lines]
    shares = quantified(names, used, Decimal(finished))
    for name, words in zip(names, expected, strict=True):
        assert shares.text(name).startswith(words)


def test_wine_counts_by_what_is_left():
    """Annex VIII.4(b): 45 g of 60 g left in 1 000 g."""
    wine = use("champagne", 60, Nature.ALCOHOL, remaining_g=Decimal(45))
    assert quantified(["champagne"], [wine], Decimal(1000)).text("champagne") == (
        "champagne 4.5 %"
    )


# Annex X.1 and Directive 2011/91/EU
def keeps(made, until):
    return KeepingTime(
        made_on=datetime.date.fromisoformat(made),
        best_before_on=datetime.date.fromisoformat(until),
    )


@pytest.mark.parametrize(
    ("made", "until", "expected"),
    [
        ("2026-06-30", "2027-06-30", "Best before end June 2027"),
        ("2026-05-31", "2028-05-31", "Best before end May 2028"),
        ("2026-06-14", "2026-08-14", "Best before 14 August"),
        ("2026-06-15", "2027-06-15", "Best before end May 2027"),
        ("2026-06-15", "2028-12-31", "Best before end 2028"),
    ],
)
def test_the_shortest_date_never_promises_longer(made, until, expected):
    assert best_before_eu(keeps(made, until), whole_day=False) == expected


@pytest.mark.parametrize(
    ("words", "needed"),
    [("Best before 30 June 2027", False), ("Best before end June 2027", True)],
)
def test_a_day_and_month_stand_for_the_lot(words, needed):
    assert lot_needed_eu(words) is needed


def test_a_lot_has_its_letter():
    assert lot_eu("26153A") == "L26153A"


# Directive 76/211/EEC Annex I 3.1: height of the figures
@pytest.mark.parametrize(
    ("grams", "height"),
    [(227, 4), (200, 3), (201, 4), (50, 2), (51, 3), (1000, 4), (1001, 6)],
)
def test_figures_grow_with_the_quantity(grams, height):
    assert eu_net_quantity(Decimal(grams)).at().minimum_mm == height


@pytest.mark.parametrize(
    ("area", "height"), [("107.1", "1.2"), ("80", "1.2"), ("56.5", "0.9")]
)
def test_small_surfaces_allow_smaller_type(area, height):
    """Art. 13(2), (3): under 80 cm2."""
    assert EU_TEXT.at(Decimal(area)).minimum_mm == Decimal(height)


def test_a_point_is_a_seventy_second_of_an_inch():
    """6.56 pt of a face whose x-height is 1062/2048 stands 1.2 mm high."""
    x_height = in_points(Decimal("6.56")) * 1062 / 2048
    assert Decimal("1.199") < x_height < Decimal("1.201")


def test_ounces_may_follow_in_the_united_kingdom():
    quantity = DeclaredQuantity(amount=Decimal(340), unit=QuantityUnit.GRAM)
    assert uk_weight(quantity, with_ounces=True) == "340 g (11.9 oz)"


def test_name_and_quantity_share_a_field_of_vision():
    """Art. 13(5)."""
    text = build_label(jam(), Jurisdiction.EU).text
    for role in (Role.IDENTITY, Role.NET_QUANTITY, Role.FRUIT_CONTENT):
        assert Placement.ONE_FIELD_OF_VISION in text.first(role).placement
