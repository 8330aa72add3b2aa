"""Processing minutes: rules around the published rows."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.measure_setting import figures_in
from production.science.atmosphere import AltitudeError
from production.science.kinds import ProductKind
from production.science.processing import (
    Canner,
    ProcessingError,
    ProcessQuestion,
    jar_class,
    process_time,
    row_for_kind,
    rows,
)


def ask(**more):
    question = {"row": "jam", "size": "half-pint", "altitude_ft": Decimal(800)}
    return process_time(ProcessQuestion(**{**question, **more}))


@given(
    low=st.integers(min_value=-500, max_value=12000),
    step=st.integers(min_value=0, max_value=4000),
    row=st.sampled_from(["jam", "butter", "chutney"]),
    sterile=st.booleans(),
)
@settings(max_examples=80)
def test_minutes_never_fall_with_altitude(low, step, row, sterile):
    lower, higher = (
        ask(row=row, altitude_ft=Decimal(altitude), jars_sterile=sterile).minutes
        for altitude in (low, low + step)
    )
    assert lower <= higher


@given(altitude=st.integers(min_value=-500, max_value=12000))
@settings(max_examples=40)
def test_jars_that_were_not_sterilised_never_get_less_than_ten_minutes(altitude):
    found = ask(altitude_ft=Decimal(altitude))
    assert found.minutes >= 10
    assert not found.sterile_needed


def test_five_minutes_ask_for_sterile_jars():
    assert ask(jars_sterile=True).sterile_needed


def test_an_unpublished_product_is_a_question_not_a_guess():
    found = ask(row=row_for_kind(ProductKind.CONSERVE))
    assert found.minutes is None
    assert "tested recipe" in found.question


def test_the_tested_recipe_s_own_minutes_are_carried_up_the_bands():
    found = ask(row="conserve", recipe_min=15, altitude_ft=Decimal(7000))
    assert found.minutes == 25
    assert "15 min at sea level" in found.workings[0].formula


def test_a_recipe_that_asks_for_more_than_the_row_wins():
    assert ask(recipe_min=10, jars_sterile=True).minutes == 10
    assert ask(recipe_min=3, jars_sterile=True).minutes == 5


def test_steam_brings_its_own_cautions():
    assert any("vent" in caution for caution in ask(canner=Canner.STEAM).cautions)
    assert any("at least 1 in above" in caution for caution in ask().cautions)
    with figures_in("metric"):
        assert any("25 mm" in caution for caution in ask().cautions)
        assert ask().band == "up to 305 m"


@pytest.mark.parametrize(
    ("ml", "name"),
    [
        ("118", "quarter-pint"),
        ("236.6", "half-pint"),
        ("284", "pint"),
        ("473", "pint"),
        ("946", "quart"),
    ],
)
def test_a_jar_belongs_to_the_next_tested_size(ml, name):
    assert jar_class(Decimal(ml)) == name


def test_a_jar_larger_than_tested_is_a_question():
    found = ask(size=jar_class(Decimal(1893)))
    assert found.minutes is None
    assert "larger than quart jars" in found.question


def test_impossible_questions_are_refused():
    with pytest.raises(AltitudeError):
        ask(altitude_ft=Decimal(40000))
    with pytest.raises(ProcessingError, match="1 or more"):
        ask(recipe_min=0)


def test_the_kinds_find_their_rows():
    assert row_for_kind(ProductKind.PEPPER_JELLY) == "jam"
    assert row_for_kind(ProductKind.BUTTER) == "butter"
    assert {row.key for row in rows()} >= {"jam", "butter", "chutney"}
