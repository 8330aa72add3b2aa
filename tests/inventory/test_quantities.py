"""A cook's quantities: read, weighed, counted, and refused with what to do."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.quantities import (
    MaterialMeasures,
    QuantityError,
    exact_grams,
    read_quantity,
    to_grams,
    to_pieces,
)
from inventory.quantity_parts import (
    AmbiguousNumberError,
    AmbiguousUnitError,
    CannotConvertError,
    MissingAmountError,
    MissingUnitError,
    MixedKindsError,
    NotPositiveError,
    NotWholeError,
    Part,
    Quantity,
    RangeOfAmountsError,
    TooLargeError,
    UnknownUnitError,
    UnreadableQuantityError,
)
from inventory.units import Dimension, known_units

SUGAR = MaterialMeasures(
    name="Sugar", named_g={"cup": Decimal(200), "packages": Decimal(1000)}
)
LEMONS = MaterialMeasures(name="Lemons, unwaxed", piece_g=Decimal(120))
BERRIES = MaterialMeasures(
    name="Strawberries",
    density_g_per_ml=Decimal("0.61"),
    named_g={"cups sliced": Decimal(166)},
)
JARS = MaterialMeasures(name="Half-pint jars", named_pieces={"case": Decimal(12)})


def parts(text):
    return [(part.amount, part.unit) for part in read_quantity(text).parts]


@pytest.mark.parametrize(
    ("text", "amount", "unit"),
    [
        ("6 cups", 6, "cup"),
        ("1 3/4 lb", Fraction(7, 4), "pound"),
        ("4 each", 4, "piece"),
        ("½ tsp", Fraction(1, 2), "teaspoon"),
        ("250g", 250, "gram"),
        ("1½ Cups", Fraction(3, 2), "cup"),
        ("1-1/2 cups", Fraction(3, 2), "cup"),
        ("1–1/2 cups", Fraction(3, 2), "cup"),
        ("1\u00a03/4\u00a0LBS.", Fraction(7, 4), "pound"),
        ("1\u20443 c.", Fraction(1, 3), "cup"),
        ("1,5 kg", Fraction(3, 2), "kilogram"),
        ("1.5 kg", Fraction(3, 2), "kilogram"),
        (".5 l", Fraction(1, 2), "liter"),
        ("a dozen", 1, "dozen"),
        ("half a cup", Fraction(1, 2), "cup"),
        ("three tablespoons", 3, "tablespoon"),
        ("2 fl. oz.", 2, "fluid_ounce"),
        ("2 fluid ounces", 2, "fluid_ounce"),
        ("3 x 500 g", 1500, "gram"),
        ("1 cup of sugar", 1, "cup"),
        ("1 cup, packed", 1, "cup packed"),
        ("4 lemons", 4, "lemons"),
        ("2 pinches", 2, "pinch"),
        ("٣ cups", 3, "cup"),
    ],
)
def test_what_a_cook_writes_is_read(text, amount, unit):
    assert parts(text) == [(amount, unit)]


@pytest.mark.parametrize(
    "text", ["2 lb 4 oz", "2lb4oz", "2 lb, 4 oz", "2 lb + 4 oz", "2 lb and 4 oz"]
)
def test_parts_of_one_kind_add_up(text):
    assert parts(text) == [(2, "pound"), (4, "ounce")]


@pytest.mark.parametrize(
    ("text", "error"),
    [
        ("", MissingAmountError),
        ("sugar", MissingAmountError),
        ("6", MissingUnitError),
        ("2 lb 3", MissingUnitError),
        ("6 cups @ 3", UnreadableQuantityError),
        ("5² cups", UnreadableQuantityError),
        ("g 250", UnreadableQuantityError),
        ("1/0 cup", UnreadableQuantityError),
        ("1 5/4 cups", UnreadableQuantityError),
        ("1.2.3 g", UnreadableQuantityError),
        ("1 2 3 g", UnreadableQuantityError),
        ("1 000 g", UnreadableQuantityError),
        ("1e400 g", TooLargeError),
        ("1 e+9 g", TooLargeError),
        ("1000001 g", TooLargeError),
        ("999999999999 g", TooLargeError),
        ("9" * 200 + " g", TooLargeError),
        ("5000 x 5000 g", TooLargeError),
        ("-3 g", NotPositiveError),
        ("\u22123 g", NotPositiveError),
        ("0 g", NotPositiveError),
        ("0 x 5 g", NotPositiveError),
        ("0/3 cup", NotPositiveError),
        ("1,500 g", AmbiguousNumberError),
        ("2 T", AmbiguousUnitError),
        ("1-2 cups", RangeOfAmountsError),
        ("1 to 2 cups", RangeOfAmountsError),
        ("1 cup 200 g", MixedKindsError),
    ],
)
def test_what_is_no_quantity_is_refused_with_a_sentence(text, error):
    with pytest.raises(error) as refused:
        read_quantity(text)
    sentence = str(refused.value)
    assert sentence
    assert not sentence.endswith(".")
    assert refused.value.text == text.strip()


@given(st.text(max_size=60))
@settings(max_examples=200)
def test_no_text_breaks_the_reader(text):
    try:
        quantity = read_quantity(text)
    except QuantityError:
        return
    assert all(part.amount > 0 for part in quantity.parts)


amounts = st.fractions(Fraction(1, 64), 5000, max_denominator=64)
units = st.sampled_from(known_units())


@given(amounts, units)
def test_writing_a_part_and_reading_it_gives_it_back(amount, unit):
    whole, rest = divmod(amount, 1)
    written = " ".join(str(term) for term in (whole, rest) if term)
    assert parts(f"{written} {unit.replace('_', ' ')}") == [(amount, unit)]


@given(st.lists(st.tuples(amounts, st.sampled_from(["lb", "oz", "g"])), min_size=1))
def test_a_weight_is_the_sum_of_its_parts(written):
    each = [
        f"{amount.numerator}/{amount.denominator} {unit}" for amount, unit in written
    ]
    together = " + ".join(each)
    if len(together) > 80:
        return
    whole = exact_grams(read_quantity(together), measures=SUGAR)
    assert whole == sum(exact_grams(read_quantity(one), measures=SUGAR) for one in each)


@given(amounts, units, st.integers(1, 50))
def test_conversion_is_linear(amount, unit, times):
    measures = MaterialMeasures(
        name="Anything", density_g_per_ml=Decimal("0.85"), piece_g=Decimal(7)
    )
    one = Quantity(text="one", parts=(Part(amount=amount, unit=unit),))
    many = Quantity(text="many", parts=(Part(amount=amount * times, unit=unit),))
    assert exact_grams(many, measures=measures) == times * exact_grams(
        one, measures=measures
    )


@pytest.mark.parametrize(
    ("text", "measures", "grams"),
    [
        ("6 cups", SUGAR, "1200.000"),
        ("2 tbsp", SUGAR, "25.000"),
        ("2 packages", SUGAR, "2000.000"),
        ("4 lemons", LEMONS, "480.000"),
        ("1/2 dozen", LEMONS, "720.000"),
        ("1 cup sliced", BERRIES, "166.000"),
        ("1 cup strawberries", BERRIES, "144.319"),
        ("1 lb", BERRIES, "453.592"),
    ],
)
def test_the_material_weighs_the_measure(text, measures, grams):
    assert to_grams(read_quantity(text), measures=measures) == Decimal(grams)


@pytest.mark.parametrize(
    ("text", "name", "what_to_do"),
    [
        ("4 each", "Lemons", "set the weight of one lemon, or enter grams"),
        ("4 peaches", "Peaches", "set the weight of one peach, or enter grams"),
        ("2 cups", "Cherries", "set the weight of one cup of cherries, or enter grams"),
        (
            "2 cups pitted",
            "Cherries",
            "set the weight of one cup pitted, or enter grams",
        ),
    ],
)
def test_a_missing_figure_is_named(text, name, what_to_do):
    with pytest.raises(CannotConvertError) as refused:
        to_grams(read_quantity(text), measures=MaterialMeasures(name=name))
    assert refused.value.missing == what_to_do
    assert what_to_do in str(refused.value)


def test_a_measure_nobody_knows_is_refused_with_those_that_are_known():
    with pytest.raises(UnknownUnitError) as refused:
        to_grams(read_quantity("2 flats"), measures=BERRIES)
    assert refused.value.unit == "flat"
    assert "cup sliced, or set the weight of one flat" in str(refused.value)


def test_less_than_a_milligram_is_nothing():
    with pytest.raises(NotPositiveError):
        to_grams(read_quantity("1/4000 g"), measures=SUGAR)


@pytest.mark.parametrize(
    ("text", "pieces"),
    [("2 cases", 24), ("2 dozen", 24), ("24 jars", 24), ("24 half-pint jars", 24)],
)
def test_counted_things_are_whole_pieces(text, pieces):
    assert to_pieces(read_quantity(text), measures=JARS) == pieces


@pytest.mark.parametrize(
    ("text", "error"),
    [
        ("1/2 each", NotWholeError),
        ("2 lb", CannotConvertError),
        ("2 pallets", UnknownUnitError),
    ],
)
def test_counted_things_are_not_weighed_or_halved(text, error):
    with pytest.raises(error):
        to_pieces(read_quantity(text), measures=JARS)


def test_a_measure_weighs_more_than_nothing():
    with pytest.raises(ValueError, match="not more than nothing"):
        MaterialMeasures(name="Air", density_g_per_ml=Decimal(0))


def test_a_quantity_has_parts_and_a_kind():
    assert read_quantity("2 lb").dimension is Dimension.MASS
    assert read_quantity("2 flats").dimension is None
    with pytest.raises(MissingAmountError):
        Quantity(text="", parts=())
    with pytest.raises(NotPositiveError):
        Part(amount=Fraction(0), unit="cup")


@pytest.mark.parametrize(
    ("name", "one"),
    [
        ("Cherries", "cherry"),
        ("Tomatoes", "tomato"),
        ("Radishes", "radish"),
        ("Boxes", "box"),
        ("Molasses", "molasses"),
        ("Lemons (organic)", "lemon"),
    ],
)
def test_one_of_a_material_is_said_in_the_singular(name, one):
    assert MaterialMeasures(name=name).one == one
