"""Canadian label content against worked cases of the law.

Sources: Food and Drug Regulations, C.R.C. c. 870 (current to 14 June 2026);
Safe Food for Canadians Regulations, SOR/2018-108. Computed from the provision.
"""

import datetime
from decimal import Decimal

import pytest

from labels.statements.build import build_label
from labels.statements.dates import KeepingTime, best_before_ca, date_needed_ca, lot_ca
from labels.statements.ingredient_list import RecipeAsUsed
from labels.statements.ingredients import Ingredient, Nature, Substance
from labels.statements.label_input import Jurisdiction, LabelInput, Producer
from labels.statements.label_text import Placement, Role
from labels.statements.net_quantity import DeclaredQuantity, QuantityUnit, canadian
from labels.statements.type_sizes import CA_INGREDIENTS, CA_NET_QUANTITY, CA_OTHER


def use(name, french, grams, nature=Nature.OTHER):
    substance = Substance(name=name, names=(("fr", french),), nature=nature)
    return Ingredient(substance=substance, mass_g=Decimal(grams))


def label(lines, finished, **more):
    values = {
        "identity": "Strawberry jam",
        "identities": (("fr", "Confiture de fraises"),),
        "recipe": RecipeAsUsed(
            ingredients=tuple(lines), finished_mass_g=Decimal(finished)
        ),
        "quantity": DeclaredQuantity(amount=Decimal(250), unit=QuantityUnit.MILLILITRE),
        "producer": Producer(name="Test Kitchen", city="Town"),
    }
    return build_label(LabelInput(**{**values, **more}), Jurisdiction.CA)


MIXED = (
    use("strawberries", "fraises", 1000, Nature.FRUIT),
    use("sugar", "sucre", 700, Nature.SUGAR),
    use("honey", "miel", 350, Nature.SUGAR),
    use("lemon juice", "jus de citron", 30),
)


def lists(built):
    return [element.text for element in built.text.of(Role.INGREDIENTS)]


def test_sugars_are_grouped_and_placed_together():
    """B.01.008.3: 1 050 g of sugars stand before 1 000 g of fruit."""
    assert lists(label(MIXED, 1500)) == [
        "Ingredients: Sugars (sugar, honey), Strawberries, Lemon juice",
        "Ingrédients : Sucres (sucre, miel), Fraises, Jus de citron",
    ]


def test_one_sugar_of_that_name_stands_alone_and_boiled_off_water_goes():
    """B.01.008.3(4), B.01.008(3)(e)."""
    lines = (
        use("oranges", "oranges", 1000, Nature.FRUIT),
        use("sugar", "sucre", 2000, Nature.SUGAR),
        use("lemon", "citron", 100, Nature.FRUIT),
        use("water", "eau", 1900, Nature.WATER),
    )
    assert lists(label(lines, 3100))[0] == "Ingredients: Sugar, Oranges, Lemon"


def test_a_missing_french_name_keeps_the_label_a_draft():
    """B.01.012(2)."""
    bare = Ingredient(substance=Substance(name="figs"), mass_g=Decimal(1))
    built = label([bare], 1, identities=())
    assert len(built.text.draft_reasons) == 2
    assert label(MIXED, 1500).text.draft_reasons == ()


def keeps(days):
    made = datetime.date(2026, 6, 15)
    return KeepingTime(
        made_on=made, best_before_on=made + datetime.timedelta(days=days)
    )


@pytest.mark.parametrize(("days", "needed"), [(365, False), (90, True), (60, True)])
def test_a_date_is_due_up_to_ninety_days(days, needed):
    """B.01.007(1.1)(b)."""
    assert date_needed_ca(keeps(days)) is needed


def test_a_date_has_year_month_code_and_day():
    """B.01.007(4)-(6)."""
    assert best_before_ca(keeps(365)) == "Best before / Meilleur avant 27 JN 15"


def test_a_lot_code_has_its_word():
    """A.01.014."""
    assert lot_ca("26153A") == "Lot 26153A"


@pytest.mark.parametrize(
    ("amount", "unit", "expected"),
    [
        ("1250", "ml", "1.25 L"),
        ("98", "ml", "98 mL"),
        ("250.4", "g", "250 g"),
    ],
)
def test_three_figures(amount, unit, expected):
    """SFCR 233, 234."""
    quantity = DeclaredQuantity(amount=Decimal(amount), unit=QuantityUnit(unit))
    assert canadian(quantity) == expected


@pytest.mark.parametrize(
    ("area", "height"),
    [("66.0", "3.2"), ("32.0", "1.6"), ("32.1", "3.2"), ("258", "3.2"), ("259", "6.4")],
)
def test_figures_grow_with_the_display_surface(area, height):
    """SFCR Schedule 6."""
    assert CA_NET_QUANTITY.at(Decimal(area)).minimum_mm == Decimal(height)


def test_other_text_and_lists_have_their_own_measures():
    """SFCR 210, 211; FDR B.01.008.1."""
    assert CA_OTHER.at(Decimal(10)).minimum_mm == Decimal("0.8")
    assert CA_OTHER.at(Decimal("10.1")).minimum_mm == Decimal("1.6")
    assert CA_INGREDIENTS.at().minimum_mm == Decimal("1.1")


def test_the_figures_are_bold():
    """SFCR 230(b)."""
    quantity = label(MIXED, 1500).text.first(Role.NET_QUANTITY)
    assert Placement.BOLD in quantity.placement
    assert quantity.text == "250 mL"
