"""Boiling point of water against published values and independent libraries."""

from decimal import Decimal

import pytest

from production.science.atmosphere import METRES_PER_FOOT, pressure_kpa
from production.science.boiling import (
    Kitchen,
    boiling_point,
    saturation_temperature_k,
)
from production.science.temperature import fahrenheit

# IAPWS-IF97 release (2007), table 36: computer-program verification values.
IF97_CHECKS = [("0.1", "372.755919"), ("1", "453.035632"), ("10", "584.149488")]

# USDA Complete Guide to Home Canning figures as printed on the page "Process
# Adjustments at High Altitudes" (made with an isothermal 20 degC atmosphere, so
# it drifts from the ICAO one by 1.0 degF at 10,000 ft).
GUIDANCE_F = [
    (0, "212.0"), (1000, "210.2"), (2000, "208.5"), (3000, "206.7"), (4000, "204.9"),
    (5000, "203.2"), (6000, "201.5"), (7000, "199.8"), (8000, "198.1"), (9000, "196.4"),
    (10000, "194.7"),
]  # fmt: skip

# fluids 1.3.1 (US Standard Atmosphere 1976, the ICAO atmosphere below 11 km) and
# CoolProp 8.0.0 (IAPWS-95), computed in the test itself.
LIBRARY_ALTITUDES_FT = [
    -1000,
    0,
    1000,
    1240,
    2500,
    5000,
    5280,
    7000,
    8000,
    10000,
    14000,
]


@pytest.mark.parametrize(("pressure_mpa", "kelvin"), IF97_CHECKS)
def test_saturation_line_reproduces_the_release(pressure_mpa, kelvin):
    found = saturation_temperature_k(Decimal(pressure_mpa))
    assert abs(found - Decimal(kelvin)) < Decimal("0.000001")


@pytest.mark.parametrize(("altitude", "printed"), GUIDANCE_F)
def test_boiling_point_is_near_the_guidance_table(altitude, printed):
    found = fahrenheit(boiling_point(Kitchen(altitude_ft=Decimal(altitude))).true_c)
    allowed = Decimal("0.06") + Decimal(altitude) * Decimal("0.0001")
    assert abs(found - Decimal(printed)) <= allowed


@pytest.mark.parametrize("altitude", LIBRARY_ALTITUDES_FT)
def test_pressure_and_boiling_point_agree_with_independent_libraries(altitude):
    from CoolProp.CoolProp import PropsSI
    from fluids.atmosphere import ATMOSPHERE_1976

    pascal = ATMOSPHERE_1976(altitude * float(METRES_PER_FOOT.value)).P
    celsius = PropsSI("T", "P", pascal, "Q", 0, "Water") - 273.15
    ours = boiling_point(Kitchen(altitude_ft=Decimal(altitude)))
    # fluids takes geometric height: 0.06 % of pressure at 14,000 ft.
    assert float(pressure_kpa(Decimal(altitude))) * 1000 == pytest.approx(
        pascal, rel=6e-4
    )
    assert float(ours.true_c) == pytest.approx(celsius, abs=0.02)


def test_weather_moves_the_boil_at_sea_level():
    # CoolProp 8.0.0 at 990 hPa: 99.325 degC.
    from CoolProp.CoolProp import PropsSI

    ours = boiling_point(Kitchen(pressure_hpa=Decimal(990))).true_c
    assert float(ours) == pytest.approx(
        PropsSI("T", "P", 99000, "Q", 0, "Water") - 273.15, abs=0.001
    )


def test_pure_water_boils_just_under_100_at_one_atmosphere():
    # ITS-90 and IAPWS: 99.974 degC at 101.325 kPa.
    assert boiling_point(Kitchen(altitude_ft=Decimal(0))).true_c == Decimal("99.974")
