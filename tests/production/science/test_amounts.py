"""Amounts as recipes print them."""

from fractions import Fraction

import pytest

from inventory.quantities import QuantityError
from production.science.amounts import read_amount, split_line

ONE = [
    ("5 1/2 cups", "11/2", "cup"),
    ("1-1/2 cups", "3/2", "cup"),
    ("½ tsp", "1/2", "teaspoon"),
    ("1½ cups", "3/2", "cup"),
    ("2 T", "2", "tablespoon"),
    ("about 2 lb", "2", "pound"),
    ("3", "3", "piece"),
    ("3 each, large", "3", "piece large"),
    ("1 package", "1", "package"),
    ("1 package (3 oz)", "3", "ounce"),
    ("1 box (1 3/4 oz)", "7/4", "ounce"),
    ("3 (3-oz) pouches", "9", "ounce"),
    ("one 3 oz pouch", "3", "ounce"),
    ("1 3-oz pouch", "3", "ounce"),
    ("3-ounce pouch", "3", "ounce"),
    ("1 3/4-ounce package", "7/4", "ounce"),
    ("2 cans (20 oz each)", "40", "ounce"),
    ("2 quart boxes", "2", "quart"),
    ("2 cups (about 1 lb)", "2", "cup"),
]


@pytest.mark.parametrize(("text", "amount", "unit"), ONE)
def test_one_amount(text, amount, unit):
    part = read_amount(text).low.parts[0]
    assert (part.amount, part.unit) == (Fraction(amount), unit)
    assert read_amount(text).high == read_amount(text).low


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("4 to 4 1/2 cups", "4", "9/2"),
        ("1 1/2-2 cups", "3/2", "2"),
        ("3\u20134 each", "3", "4"),
        ("1/4 or 1/2 cup", "1/4", "1/2"),
        ("1 to 4", "1", "4"),
    ],
)
def test_a_printed_range_has_two_ends(text, low, high):
    found = read_amount(text)
    ends = (found.low.parts[0].amount, found.high.parts[0].amount)
    assert ends == (Fraction(low), Fraction(high))


@pytest.mark.parametrize("text", ["", "to taste", "cups"])
def test_what_is_no_amount_is_refused_in_a_sentence(text):
    with pytest.raises(QuantityError, match="does not say how much"):
        read_amount(text)


@pytest.mark.parametrize(
    ("line", "amount", "name"),
    [
        ("5 1/2 cups crushed strawberries", "5 1/2 cups", "crushed strawberries"),
        ("2 (3 oz) pouches liquid pectin", "2 pouches (3 oz)", "liquid pectin"),
        ("1 box (1 3/4 oz) powdered pectin", "1 box (1 3/4 oz)", "powdered pectin"),
        ("3 large oranges, thinly sliced", "3 large", "oranges, thinly sliced"),
        ("4 to 4½ cups apricots", "4 to 4 1/2 cups", "apricots"),
        ("2 cloves garlic", "2 cloves", "garlic"),
        ("4 lemons", "4", "lemons"),
        ("2 cups of water", "2 cups", "water"),
        ("1 package (1 3/4", "1 package (1 3/4", ""),
    ],
)
def test_a_whole_line_is_taken_apart(line, amount, name):
    assert split_line(line) == (amount, name)


def test_a_line_without_a_number_is_refused():
    with pytest.raises(QuantityError):
        split_line("a little water")


def test_a_fraction_of_nothing_is_refused():
    with pytest.raises(QuantityError):
        read_amount("1/0 to 2/0 cups")
