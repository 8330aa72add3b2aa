"""The acid question: what the materials demand."""

from decimal import Decimal

import pytest

from production.science.acidity import AcidDemand, acid_question
from production.science.batch_lines import line_of_grams


def ask(*lines):
    return acid_question([line_of_grams(name, Decimal(grams)) for name, grams in lines])


def test_acid_fruit_asks_for_nothing():
    found = ask(("strawberry", 1000), ("sugar", 1000))
    assert found.demand is AcidDemand.NONE
    assert "every fruit in it is acid" in found.workings[0].formula


@pytest.mark.parametrize(
    "name",
    [
        "figs",
        "tomatoes",
        "cantaloupe",
        "bell peppers",
        "onions",
        "mango",
        "papaya",
        "persimmons",
        "bananas",
        "Asian pears",
    ],
)
def test_low_acid_materials_ask_for_a_tested_recipe_and_a_reading(name):
    found = ask((name, 500), ("lemon juice", 60), ("sugar", 500))
    assert found.demand is AcidDemand.TESTED_AND_MEASURE
    assert found.may_be_acidified
    assert found.low == (name,)


def test_a_clove_of_garlic_still_asks_for_a_reading():
    found = ask(("plums", 1000), ("garlic", 6))
    assert found.demand is AcidDemand.MEASURE
    assert not found.may_be_acidified


@pytest.mark.parametrize("name", ["pear", "apricot", "blackberry", "yuzu"])
def test_doubtful_and_unknown_materials_ask_for_a_reading(name):
    assert ask((name, 1000), ("sugar", 900)).demand is AcidDemand.MEASURE


@pytest.mark.parametrize("name", ["white peaches", "elderberries", "pumpkin"])
def test_what_is_known_of_single_fruits_is_told(name):
    found = ask((name, 1000), ("sugar", 500))
    assert found.demand is AcidDemand.TESTED_AND_MEASURE
    assert found.notes


def test_nothing_but_sugar_is_no_acid_question():
    found = ask(("sugar", 100))
    assert (found.demand, found.low_share) == (AcidDemand.NONE, 0)
