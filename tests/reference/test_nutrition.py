"""Nutrition tables against the regulation's figures and a public table.

Sources: 21 CFR 101.9 (R its own example, C computed from it); FDA Food Labeling
Guide, appendix H; Regulation (EU) No 1169/2011, Annexes I, XIII-XV, and the
Commission's rounding guidance; Food and Drug Regulations B.01.350, B.01.401;
USDA National Nutrient Database, release 28.
"""

from decimal import Decimal

import pytest

from labels.statements import nutrition_ca as ca
from labels.statements import nutrition_eu as eu
from labels.statements import nutrition_us_rounding as us
from labels.statements.nutrition import (
    MissingFigureError,
    NutrientAmounts,
    NutritionLine,
    UnknownFoodError,
    amounts_per_100_g,
    composition_of,
    known_foods,
    us_energy_kcal,
)
from labels.statements.nutrition_us import (
    FOOTNOTE,
    Serving,
    YearOfSales,
    exemption,
    insignificant,
    nutrition_facts,
    simplified_allowed,
)


def amounts(**values):
    return NutrientAmounts(**{name: Decimal(value) for name, value in values.items()})


JAM = amounts(
    protein_g="0.37",
    fat_g="0.07",
    saturated_g="0.01",
    carbohydrate_g="68.86",
    fibre_g="1.1",
    sugars_g="48.50",
    added_sugars_g="45",
    sodium_mg="32",
    calcium_mg="20",
    iron_mg="0.49",
    potassium_mg="77",
)
"""Jams and preserves, per 100 g: USDA item 19297 (added sugars invented)."""


# Computed from 21 CFR 101.9(c)(1).
@pytest.mark.parametrize(
    ("kcal", "shown"),
    [
        ("4.9", 0),
        ("5", 5),
        ("7.4", 5),
        ("7.5", 10),
        ("47", 45),
        ("47.5", 50),
        ("50", 50),
        ("50.4", 50),
        ("54.9", 50),
        ("55", 60),
        ("55.5", 60),
    ],
)
def test_calories(kcal, shown):
    assert us.calories(Decimal(kcal)) == shown


# Computed from 21 CFR 101.9(c)(2).
@pytest.mark.parametrize(
    ("grams", "shown"),
    [
        ("0.49", "0"),
        ("0.50", "0.5"),
        ("0.74", "0.5"),
        ("0.75", "1"),
        ("4.74", "4.5"),
        ("5.4", "5"),
        ("5.5", "6"),
    ],
)
def test_fat(grams, shown):
    assert us.fat_g(Decimal(grams)) == Decimal(shown)


# Computed from 21 CFR 101.9(c)(3).
@pytest.mark.parametrize(
    ("mg", "shown"),
    [("1.9", "0mg"), ("3", "less than 5mg"), ("6", "5mg"), ("8", "10mg")],
)
def test_cholesterol(mg, shown):
    assert us.cholesterol_mg(Decimal(mg)) == shown


# Computed from 21 CFR 101.9(c)(4).
@pytest.mark.parametrize(
    ("mg", "shown"),
    [("4.9", 0), ("5", 5), ("6.4", 5), ("7.5", 10), ("142", 140), ("145", 150)],
)
def test_sodium(mg, shown):
    assert us.sodium_mg(Decimal(mg)) == shown


# Computed from 21 CFR 101.9(c)(6); 2.5 and 2.01: FDA Guide, appendix H note, R
@pytest.mark.parametrize(
    ("grams", "shown"),
    [
        ("0.49", "0g"),
        ("0.6", "less than 1g"),
        ("13.77", "14g"),
        ("2.5", "3g"),
        ("2.99", "3g"),
        ("2.01", "2g"),
        ("2.49", "2g"),
    ],
)
def test_whole_grams(grams, shown):
    assert us.whole_grams(Decimal(grams)) == shown


# 101.9(d)(8), the printed sample, R
@pytest.mark.parametrize(
    ("nutrient", "amount", "percent"),
    [
        ("vitamin_d_mcg", "2", 10),
        ("calcium_mg", "260", 20),
        ("iron_mg", "8", 45),
        ("potassium_mg", "235", 6),
    ],
)
def test_the_printed_sample_of_vitamins_and_minerals(nutrient, amount, percent):
    assert us.vitamin_percent(nutrient, Decimal(amount)) == percent


# Computed from 21 CFR 101.9(c)(8)(iii).
@pytest.mark.parametrize(
    ("percent", "shown"),
    [
        ("1", 0),
        ("2.9", 2),
        ("3", 4),
        ("10.9", 10),
        ("12.5", 15),
        ("47.5", 50),
        ("50.1", 50),
        ("55", 60),
    ],
)
def test_percent_of_vitamins(percent, shown):
    assert us.vitamin_percent("calcium_mg", Decimal(percent) * 13) == shown


def test_percent_of_added_sugars():
    """C (d)(7)(ii): 9.6 g may be 19 or 20 %."""
    assert us.percent_daily_value("added_sugars_g", Decimal("9.6")) in (19, 20)


def test_percent_of_carbohydrate():
    """C: 13.772 g is 5 % from either base."""
    assert us.percent_daily_value("carbohydrate_g", Decimal("13.772")) == 5
    assert us.percent_daily_value("carbohydrate_g", Decimal(14)) == 5


def test_half_way_between_spoons_takes_the_larger():
    """R (b)(5)(ix)."""
    assert us.spoonfuls(Decimal("2.5")) == 3


@pytest.mark.parametrize(
    ("net", "shown"),
    [
        ("227", "about 11"),
        ("340", "17"),
        ("113", "about 6"),
        ("70.9", "about 3.5"),
        ("56.7", "about 3"),
    ],
)
def test_servings(net, shown):
    """C (b)(8)(i), serving 20 g."""
    assert us.servings_per_container(Decimal(net), Decimal(20)) == shown


@pytest.mark.parametrize(
    ("net", "percent", "whole", "second"),
    [
        ("28.35", 141, True, False),
        ("42.5", 212, False, True),
        ("113", 565, False, False),
    ],
)
def test_small_jars(net, percent, whole, second):
    """C (b)(6), (b)(12)(i)."""
    serving = Serving(measure="1 tbsp", mass_g=Decimal(20), net_g=Decimal(net))
    assert us.share_of_reference(Decimal(net), Decimal(20)) == percent
    assert serving.is_whole_container is whole
    assert serving.needs_second_column is second


def test_a_whole_jar_of_jam_from_the_public_table():
    """C: item 19297 by 4-4-9, serving 20 g."""
    facts = nutrition_facts(
        JAM,
        Serving(measure="1 tbsp", mass_g=Decimal(20), net_g=Decimal(227)),
        simplified=False,
    )
    rows = {row.label: (row.amount, row.percent) for row in facts.rows}
    assert facts.calories == "60"
    assert rows["Total Fat"][0] == "0g"
    assert rows["Sodium"] == ("5mg", "0%")
    assert rows["Total Carbohydrate"] == ("14g", "5%")
    assert rows["Dietary Fiber"][0] == "0g"
    assert rows["Total Sugars"][0] == "10g"
    assert rows["Protein"][0] == "0g"
    assert {row.percent for row in facts.vitamins} == {"0%"}
    assert facts.footnotes == (FOOTNOTE,)


def test_jam_takes_the_short_table_and_keeps_sodium():
    """C 101.9(f): ten of fifteen insignificant."""
    serving = JAM.for_mass(Decimal(20))
    assert len(insignificant(serving)) == 10
    assert simplified_allowed(serving)
    facts = nutrition_facts(
        JAM, Serving(measure="1 tbsp", mass_g=Decimal(20), net_g=Decimal(227))
    )
    labels = [row.label for row in facts.rows]
    assert labels == [
        "Total Fat",
        "Sodium",
        "Total Carbohydrate",
        "Total Sugars",
        "Includes 9g Added Sugars",
        "Protein",
    ]


def test_added_sugars_are_the_sugar_that_was_added():
    """C (c)(6)(iii): 480 of 900 g, serving 20 g: 10.67 g, shown 11 g."""
    fruit = composition_of("sugar")
    lines = [NutritionLine(composition=fruit, mass_g=Decimal(480), is_added_sugar=True)]
    found = amounts_per_100_g(lines, Decimal(900)).for_mass(Decimal(20))
    assert us.whole_grams(found.added_sugars_g) == "11g"
    assert us.percent_daily_value("added_sugars_g", found.added_sugars_g) in (21, 22)


# Computed from 21 CFR 101.9(j)(1), (j)(18).
def year(food, total, units=4000, hours=2080):
    return YearOfSales(
        all_to_consumers=Decimal(total),
        food_to_consumers=Decimal(food),
        units_of_product=units,
        paid_hours=Decimal(hours),
    )


@pytest.mark.parametrize(
    ("food", "total", "units", "applies", "notice"),
    [
        (48_000, 48_000, 4_000, True, False),
        (60_000, 300_000, 4_000, True, False),
        (60_000, 620_000, 4_000, True, False),
        (60_000, 620_000, 11_000, True, True),
        (60_000, 620_000, 100_000, False, False),
    ],
)
def test_small_makers_are_exempt(food, total, units, applies, notice):
    found = exemption(year(food, total, units))
    assert (found.applies, found.notice_due) == (applies, notice)


def test_full_time_equivalents():
    """C (j)(18)(vi)(D)."""
    assert year(1, 1, hours=3120).full_time_equivalents == Decimal("1.5")


def test_a_claim_ends_the_exemption():
    assert not exemption(year(1, 1), ["only 50 calories"]).applies


# European Union: Annex XIV; kJ and kcal are separate sums. C
@pytest.mark.parametrize(
    ("values", "kj", "kcal"),
    [
        (
            {
                "carbohydrate_g": "60.0",
                "protein_g": "0.4",
                "fat_g": "0.1",
                "fibre_g": "1.2",
            },
            "1040",
            "245",
        ),
        (
            {
                "carbohydrate_g": "60.0",
                "protein_g": "0.4",
                "fat_g": "0.1",
                "fibre_g": "1.2",
                "organic_acid_g": "0.8",
            },
            "1051",
            "247",
        ),
        (
            {
                "carbohydrate_g": "58.0",
                "polyols_g": "20.0",
                "protein_g": "0.5",
                "fat_g": "0.1",
                "fibre_g": "1.8",
            },
            "873",
            "207",
        ),
        (
            {
                "carbohydrate_g": "62.4",
                "protein_g": "0.3",
                "fibre_g": "0.7",
                "alcohol_g": "1.1",
            },
            "1103",
            "260",
        ),
        (
            {
                "carbohydrate_g": "46.0",
                "protein_g": "3.0",
                "fat_g": "13.0",
                "fibre_g": "0.2",
            },
            "1316",
            "313",
        ),
    ],
)
def test_european_energy(values, kj, kcal):
    found = amounts(**values)
    assert eu.whole(eu.energy_kj(found)) == kj
    assert eu.whole(eu.energy_kcal(found)) == kcal


@pytest.mark.parametrize(
    ("rounder", "value", "shown"),
    [
        (eu.grams_text, "58.4", "58 g"),
        (eu.grams_text, "0.6", "0.6 g"),
        (eu.grams_text, "0.4", "<0.5 g"),
        (eu.salt_text, "0.012", "<0.01 g"),
        (eu.salt_text, "0.02", "0.02 g"),
        (eu.grams_text, "9.96", "10 g"),
    ],
)
def test_european_rounding(rounder, value, shown):
    assert rounder(Decimal(value)) == shown


@pytest.mark.parametrize(("found", "inside"), [("51", True), ("49", False)])
def test_european_tolerance(found, inside):
    assert eu.within_tolerance(Decimal(58), Decimal(found)) is inside


def test_reference_intake_and_salt():
    assert eu.reference_intake_percent("sugars", Decimal("58.4")) == "65 %"
    assert eu.salt_g(Decimal(10)) == Decimal("0.025")


def test_a_market_maker_needs_no_table_until_a_claim():
    assert eu.exempt(sold_by_maker_or_locally=True)
    assert not eu.exempt(sold_by_maker_or_locally=True, claims=["reduced sugar"])


def test_a_very_small_pot_needs_no_table():
    """Annex V.18: 22.9 cm2 is under 25."""
    assert eu.exempt(
        sold_by_maker_or_locally=False, largest_surface_cm2=Decimal("22.9")
    )


# Canada
def test_canadian_rounding():
    """B.01.401 table, C."""
    assert ca.calories(Decimal(52)) == 50
    assert ca.grams_text(Decimal("12.4")) == "12 g"
    assert ca.protein_text(Decimal("0.3")) == "0.3 g"


@pytest.mark.parametrize(("only_maker", "due"), [(True, False), (False, True)])
def test_canadian_direct_sale_needs_no_table(only_maker, due):
    """B.01.401(2)(b)(v)."""
    assert ca.table_due(ca.Sale(only_by_maker_in_person=only_maker)) is due


def test_canadian_front_symbol():
    """B.01.350, C: 12 g of 100 g is over a tenth."""
    assert ca.symbol_due(Decimal(12), Decimal(15), table=True)
    assert not ca.symbol_due(Decimal(12), Decimal(15), table=False)


# The composition table
@pytest.mark.parametrize("name", sorted(known_foods()))
def test_a_food_of_the_table_adds_up(name):
    """Water, protein, fat and carbohydrate leave only ash and alcohol."""
    food = known_foods()[name]
    known = [food.water_g, food.protein_g, food.fat_g, food.carbohydrate_g]
    total = sum(known)
    rest = (
        Decimal(0)
        if name not in ("salt", "rum", "red wine", "vanilla extract")
        else 100
    )
    assert total <= Decimal("100.2")
    assert total + rest >= Decimal("87.5")


@pytest.mark.parametrize(
    "name", ["strawberries", "sugar", "jam", "jelly", "honey", "pears", "tomatoes"]
)
def test_printed_energy_is_near_the_general_factors(name):
    """4-4-9 overstates foods rich in acid and fibre, by at most a quarter."""
    food = known_foods()[name]
    found = NutrientAmounts(
        protein_g=food.protein_g, fat_g=food.fat_g, carbohydrate_g=food.carbohydrate_g
    )
    assert (
        Decimal("0.95") <= us_energy_kcal(found) / food.energy_kcal <= Decimal("1.25")
    )


def test_an_unknown_figure_is_asked_for():
    with pytest.raises(MissingFigureError, match="sugars"):
        composition_of("quinces").figure("sugars_g")


def test_an_unknown_food_is_asked_for():
    with pytest.raises(UnknownFoodError, match="moon cheese"):
        composition_of("moon cheese")
