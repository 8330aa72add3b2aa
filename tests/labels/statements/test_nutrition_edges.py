"""Edges of the nutrition tables that no worked case reaches."""

from decimal import Decimal

import pytest

from labels.statements import nutrition_ca as ca
from labels.statements import nutrition_eu as eu
from labels.statements import nutrition_us_rounding as us
from labels.statements.nutrition import (
    Composition,
    NutritionError,
    NutritionLine,
    amounts_per_100_g,
    composition_of,
)
from labels.statements.nutrition_us import Serving


def test_a_composition_names_its_source():
    with pytest.raises(NutritionError, match="names no source"):
        Composition(name="figs", source=" ")


def test_nothing_finished_has_no_table():
    with pytest.raises(NutritionError, match="above 0 g"):
        amounts_per_100_g([], Decimal(0))


def test_a_sweetened_compound_brings_its_added_sugars():
    ginger = Composition(
        name="candied ginger",
        source="the supplier",
        protein_g=Decimal(0),
        fat_g=Decimal(0),
        saturated_g=Decimal(0),
        carbohydrate_g=Decimal(85),
        fibre_g=Decimal(2),
        sugars_g=Decimal(80),
        added_sugars_g=Decimal(78),
        cholesterol_mg=Decimal(0),
        sodium_mg=Decimal(10),
        vitamin_d_mcg=Decimal(0),
        calcium_mg=Decimal(0),
        iron_mg=Decimal(0),
        potassium_mg=Decimal(0),
    )
    found = amounts_per_100_g(
        [NutritionLine(composition=ginger, mass_g=Decimal(50))], Decimal(100)
    )
    assert (found.sugars_g, found.added_sugars_g) == (40, 39)


def test_amounts_scale_with_the_mass():
    line = NutritionLine(composition=composition_of("sugar"), mass_g=Decimal(100))
    found = amounts_per_100_g([line], Decimal(100))
    assert found.for_mass(Decimal(20)).sugars_g == found.sugars_g / 5
    (source,) = found.sources
    assert source.endswith("release 28, abbreviated file, item 19335")


@pytest.mark.parametrize(
    ("declared", "found", "inside"),
    [(9, 11, True), (9, "11.1", False), (20, 24, True), (20, "24.1", False)],
)
def test_european_tolerance_by_size(declared, found, inside):
    """Commission guidance of December 2012 (secondary)."""
    assert eu.within_tolerance(Decimal(declared), Decimal(found)) is inside


@pytest.mark.parametrize(
    ("value", "text"), [("0", "0 g"), ("0.05", "<0.1 g"), ("1.26", "1.3 g")]
)
def test_saturates(value, text):
    assert eu.saturates_text(Decimal(value)) == text


def test_nothing_is_written_as_nothing():
    assert eu.grams_text(Decimal(0)) == eu.salt_text(Decimal(0)) == "0 g"
    assert eu.salt_text(Decimal("1.26")) == "1.3 g"


def test_very_small_calories_are_single_in_canada():
    assert ca.calories(Decimal("3.4")) == 3
    assert ca.protein_text(Decimal("1.4")) == "1 g"


@pytest.mark.parametrize(
    ("grams", "shown"), [("20.4", "20"), ("4.3", "4.5"), ("1.26", "1.3")]
)
def test_grams_of_a_serving(grams, shown):
    """21 CFR 101.9(b)(7)(ii)."""
    assert us.weight_of_serving_g(Decimal(grams)) == Decimal(shown)


def test_a_mini_jar_is_one_serving():
    serving = Serving(measure="1 tbsp", mass_g=Decimal(20), net_g=Decimal("28.35"))
    assert serving.size_text == "1 jar (28g)"
    assert serving.servings_text == "1 serving per container"
