"""Density and what a jar holds."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from production.science.density import DensityError, density_g_per_ml
from production.science.jars import (
    JARS,
    OUNCE_G,
    JarError,
    JarShape,
    brim_from_water,
    declare,
    fill_jar,
    jar_named,
)

SOLIDS = st.integers(min_value=0, max_value=84).map(lambda n: Decimal(n) / 100)
HALF_PINT = jar_named("half-pint")


@given(solids=SOLIDS, celsius=st.integers(min_value=0, max_value=99))
@settings(max_examples=80)
def test_density_grows_with_solids_and_falls_with_heat_above_4_degrees(solids, celsius):
    here = density_g_per_ml(solids, Decimal(celsius))
    assert density_g_per_ml(solids + Decimal("0.01"), Decimal(celsius)) > here
    if celsius > 4:
        assert density_g_per_ml(solids, Decimal(celsius + 1)) < here


@pytest.mark.parametrize(
    ("solids", "celsius"), [("0.86", "20"), ("-0.1", "20"), ("0.5", "101")]
)
def test_density_outside_its_range_is_refused(solids, celsius):
    with pytest.raises(DensityError, match="is not known"):
        density_g_per_ml(Decimal(solids), Decimal(celsius))


def test_hot_fill_holds_less_than_cold_fill():
    hot = fill_jar(HALF_PINT, solids=Decimal("0.65"))
    cold = fill_jar(HALF_PINT, solids=Decimal("0.65"), fill_c=Decimal(20))
    assert Decimal("0.03") < 1 - hot.fill_g / cold.fill_g < Decimal("0.034")
    assert hot.cold_ml < hot.filled_ml


@given(grams=st.decimals(min_value=1, max_value=2000, places=1))
@settings(max_examples=100)
def test_the_declared_weight_is_never_above_what_the_jar_holds(grams):
    declared = declare(grams)
    assert declared.ounces * OUNCE_G.value <= grams
    assert declared.grams <= grams


def test_the_declared_weight_of_a_half_pint_is_told_in_both_units():
    assert (
        fill_jar(HALF_PINT, solids=Decimal("0.65")).declared.text == "9.75 oz (276 g)"
    )


@pytest.mark.parametrize("headspace", ["-1", "200"])
def test_an_impossible_headspace_is_refused(headspace):
    with pytest.raises(JarError, match="headspace"):
        fill_jar(HALF_PINT, solids=Decimal("0.65"), headspace_mm=Decimal(headspace))


@pytest.mark.parametrize(
    ("field", "value"),
    [("name", " "), ("brim_ml", Decimal(0)), ("neck_area_cm2", Decimal(-1))],
)
def test_an_impossible_jar_is_refused(field, value):
    shape = {"name": "x", "brim_ml": Decimal(200), "neck_area_cm2": Decimal(20)}
    with pytest.raises(JarError):
        JarShape(**{**shape, field: value})


def test_capacity_comes_from_two_weighings():
    found = brim_from_water(empty_g=Decimal("180.0"), full_of_water_g=Decimal("416.1"))
    assert found == Decimal("236.6")
    with pytest.raises(JarError, match="must weigh more"):
        brim_from_water(empty_g=Decimal(180), full_of_water_g=Decimal(180))


def test_an_unknown_jar_name_lists_the_sizes():
    with pytest.raises(JarError, match="8 fl oz"):
        jar_named("bucket")


@pytest.mark.parametrize("jar", JARS, ids=lambda jar: jar.name)
def test_every_built_in_jar_is_found_by_its_name_and_can_be_filled(jar):
    assert jar_named(jar.name) == jar
    assert fill_jar(jar, solids=Decimal("0.65")).fill_g > 0
