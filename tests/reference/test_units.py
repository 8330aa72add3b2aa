"""Our units against pint's own full registry, NIST figures and food tables."""

from decimal import Decimal
from fractions import Fraction

import pint
import pytest

from inventory.quantities import MaterialMeasures, read_quantity, to_grams
from inventory.units import (
    GRAMS_PER_OUNCE,
    GRAMS_PER_POUND,
    ML_PER_US_CUP,
    ML_PER_US_FLUID_OUNCE,
    factor,
    known_units,
)

# Not in pint, or not the kitchen's: dash and pinch are common practice; pint's piece
# and dozen are bare numbers.
OURS_ALONE = {"dash", "pinch", "piece", "dozen"}


@pytest.fixture(scope="module")
def full_registry():
    return pint.UnitRegistry(non_int_type=Fraction, cache_folder=None)


@pytest.mark.parametrize("unit", sorted(set(known_units()) - OURS_ALONE))
def test_every_factor_is_that_of_pints_full_registry(full_registry, unit):
    """Pint 0.25 default registry, which follows NIST SP 811 and CODATA."""
    base = "gram" if full_registry(unit).check("[mass]") else "milliliter"
    assert factor(unit) == full_registry.Quantity(Fraction(1), unit).to(base).magnitude


# NIST Special Publication 811 (2008), appendix B.8: factors to seven digits, those in
# bold exact. From memory of the table; the six-digit mass figures agree with NIST
# Handbook 133 (2026), section 2.3.3 and appendix E.
NIST_FACTORS = {
    "pound": "453.5924",
    "ounce": "28.34952",
    "cup": "236.5882",
    "fluid_ounce": "29.57353",
    "gallon": "3785.412",
    "pint": "473.1765",
    "quart": "946.3529",
    "tablespoon": "14.78676",
    "teaspoon": "4.928922",
}


@pytest.mark.parametrize(("unit", "printed"), NIST_FACTORS.items())
def test_factors_round_to_the_printed_nist_digits(unit, printed):
    exact = factor(unit)
    decimal = Decimal(exact.numerator) / exact.denominator
    assert decimal.quantize(Decimal(printed)) == Decimal(printed)


def test_constants_are_the_factors():
    """International avoirdupois pound, 0.453 592 37 kg exactly (NIST SP 811, B.8)."""
    assert factor("pound") == Fraction(GRAMS_PER_POUND.value)
    assert factor("ounce") == Fraction(GRAMS_PER_OUNCE.value)
    assert GRAMS_PER_OUNCE.value == Decimal("28.349523125")
    assert factor("cup") == Fraction(ML_PER_US_CUP.value)
    assert factor("fluid_ounce") == Fraction(ML_PER_US_FLUID_OUNCE.value)


# USDA National Nutrient Database, SR28, household-weight file: grams in one measure.
SR28_CUPS = [
    ("sugar, granulated", "19335", "200", "1 tsp", "4.2"),
    ("honey", "19296", "339", "1 tbsp", "21"),
    ("maple syrup", "19353", "315", "1 tbsp", "20"),
    ("lemon juice, bottled", "09153", "244", "1 tbsp", "15"),
    ("lemon juice, bottled", "09153", "244", "1 tsp", "5.0"),
    ("vinegar, distilled", "02053", "238", "1 tbsp", "14.9"),
    ("butter", "01001", "227", "1 tbsp", "14.2"),
    ("water", "14555", "237", "1 fl oz", "29.6"),
    ("lemon juice, raw", "09152", "244", "1 fl oz", "30.5"),
]


@pytest.mark.parametrize(("food", "number", "cup_g", "measure", "printed_g"), SR28_CUPS)
def test_spoons_follow_from_the_cup_of_the_food_table(
    food, number, cup_g, measure, printed_g
):
    """The table's own spoon, printed to its last digit, agrees with its cup."""
    measures = MaterialMeasures(name=food, named_g={"cup": Decimal(cup_g)})
    grams = to_grams(read_quantity(measure), measures=measures)
    step = Decimal(1) if "." not in printed_g else Decimal("0.1")
    assert abs(grams - Decimal(printed_g)) <= step, number


# SR28, same file: one fruit, edible grams.
@pytest.mark.parametrize(
    ("name", "piece_g", "typed", "grams"),
    [
        ("Lemons", "84", "4 lemons", "336"),  # 09150, peeled, 2-3/8 in
        ("Oranges", "131", "a dozen", "1572"),  # 09200, 2-5/8 in
        ("Strawberries", "12", "20 each", "240"),  # 09316, medium
    ],
)
def test_fruit_is_weighed_by_the_piece(name, piece_g, typed, grams):
    measures = MaterialMeasures(name=name, piece_g=Decimal(piece_g))
    assert to_grams(read_quantity(typed), measures=measures) == Decimal(grams)


# "Weights and Approximate Processed Yields for Fruits" (extension table): an 8-quart
# flat of strawberries holds 12 lb, a quart 1 1/4 to 1 1/2 lb. With SR28's 144 g a cup.
def test_a_quart_of_strawberries_weighs_what_growers_say():
    measures = MaterialMeasures(name="Strawberries", named_g={"cup": Decimal(144)})
    quart = to_grams(read_quantity("1 quart"), measures=measures)
    assert to_grams(read_quantity("1 1/4 lb"), measures=measures) <= quart
    assert quart <= to_grams(read_quantity("1 1/2 lb"), measures=measures)
