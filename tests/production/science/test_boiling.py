"""Boiling water by altitude, air pressure and the maker's own thermometer."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from production.science.atmosphere import AltitudeError, pressure_kpa
from production.science.boiling import (
    Basis,
    Kitchen,
    PressureError,
    ReadingError,
    boiling_point,
)
from production.science.temperature import celsius, fahrenheit
from production.science.working import ScienceError

ALTITUDES = st.integers(min_value=-1500, max_value=16490).map(Decimal)


@given(low=ALTITUDES)
@settings(max_examples=60)
def test_water_boils_cooler_the_higher_the_kitchen(low):
    lower = boiling_point(Kitchen(altitude_ft=low))
    higher = boiling_point(Kitchen(altitude_ft=low + 10))
    assert higher.true_c < lower.true_c


@given(altitude=ALTITUDES)
@settings(max_examples=60)
def test_pressure_falls_and_stays_above_half_an_atmosphere(altitude):
    assert Decimal(50) < pressure_kpa(altitude) < Decimal(108)


@pytest.mark.parametrize("altitude", ["-1501", "16501", "40000", "NaN", "Infinity"])
def test_an_altitude_outside_the_model_is_named_with_its_limits(altitude):
    with pytest.raises(AltitudeError, match="−1,500 ft to 16,500 ft"):
        boiling_point(Kitchen(altitude_ft=Decimal(altitude)))


def test_a_pressure_outside_the_model_is_refused():
    with pytest.raises(PressureError, match=r"29\.9 hPa"):
        boiling_point(Kitchen(pressure_hpa=Decimal("29.92")))


def test_pressure_beats_altitude():
    found = boiling_point(Kitchen(altitude_ft=Decimal(0), pressure_hpa=Decimal(850)))
    assert found.basis is Basis.PRESSURE
    assert found.true_c < Decimal(96)


def test_a_reading_stands_beside_the_altitude_and_shows_the_error():
    kitchen = Kitchen(altitude_ft=Decimal(1240), reading_c=Decimal("99.7"))
    found = boiling_point(kitchen)
    assert found.shown_c == Decimal("99.7")
    assert found.thermometer_error_c == Decimal("99.7") - found.true_c
    assert "high" in found.workings[1].sentence


def test_a_reading_alone_is_taken_as_it_is():
    found = boiling_point(Kitchen(reading_c=Decimal("98.2")))
    assert (found.true_c, found.shown_c, found.basis) == (
        Decimal("98.2"),
        Decimal("98.2"),
        Basis.READING,
    )


@pytest.mark.parametrize("reading", ["75", "115"])
def test_a_reading_far_from_the_expected_boil_asks_to_read_again(reading):
    with pytest.raises(ReadingError, match="read again"):
        boiling_point(Kitchen(altitude_ft=Decimal(0), reading_c=Decimal(reading)))
    with pytest.raises(ReadingError):
        boiling_point(Kitchen(reading_c=Decimal(reading) - 10))


def test_a_kitchen_without_any_figure_is_refused():
    with pytest.raises(ScienceError, match="altitude"):
        Kitchen()


@given(value=st.decimals(min_value=-50, max_value=300, places=3))
@settings(max_examples=60)
def test_the_scales_convert_both_ways(value):
    assert celsius(fahrenheit(value)) == value
