"""Air pressure by altitude: the ICAO standard atmosphere below 11 km.

Leaves out the weather, which moves the boiling point by about 0.03 degC per
hectopascal: a reading in boiling water on the day beats this figure.
"""

from decimal import Decimal

from inventory.measures import Measure, format_measure
from inventory.sourced import Kind, Sourced
from inventory.words import say
from production.science.working import ScienceError, rounded

__all__ = [
    "ALTITUDE_LIMITS_FT",
    "METRES_PER_FOOT",
    "AltitudeError",
    "altitude_text",
    "pressure_kpa",
]

METRES_PER_FOOT = Sourced(
    value=Decimal("0.3048"),
    unit="m/ft",
    kind=Kind.DEFINED,
    source="International yard and pound agreement",
    edition="1959",
)
SEA_LEVEL_KPA = Sourced(
    value=Decimal("101.325"),
    unit="kPa",
    kind=Kind.DEFINED,
    source="ICAO Doc 7488, Manual of the ICAO Standard Atmosphere",
    section="sea-level values",
)
SEA_LEVEL_K = Sourced(
    value=Decimal("288.15"),
    unit="K",
    kind=Kind.DEFINED,
    source="ICAO Doc 7488, Manual of the ICAO Standard Atmosphere",
    section="sea-level values",
)
LAPSE_K_PER_M = Sourced(
    value=Decimal("0.0065"),
    unit="K/m",
    kind=Kind.DEFINED,
    source="ICAO Doc 7488, Manual of the ICAO Standard Atmosphere",
    section="temperature gradient below 11 km",
)
EXPONENT = Sourced(
    value=Decimal("9.80665") / (Decimal("287.05287") * LAPSE_K_PER_M.value),
    unit="1",
    kind=Kind.DEFINED,
    source="ICAO Doc 7488, Manual of the ICAO Standard Atmosphere",
    section="g / (R x lapse rate)",
)
ALTITUDE_LIMITS_FT = (Decimal(-1500), Decimal(16500))
"""Lowest shore and highest lasting town, rounded outwards (convention)."""


def altitude_text(altitude_ft: Decimal) -> str:
    """An altitude as the seller reads it: "1,240 ft", "378 m"."""
    return format_measure(altitude_ft * METRES_PER_FOOT.value, Measure.ALTITUDE)


class AltitudeError(ScienceError):
    """An altitude no kitchen has, or for which this model does not stand."""

    def __init__(self, altitude_ft: Decimal) -> None:
        self.altitude_ft = altitude_ft
        low, high = ALTITUDE_LIMITS_FT
        super().__init__(
            say(
                "an altitude of {altitude} is outside the model, which takes "
                "{low} to {high} above sea level",
                altitude=altitude_text(altitude_ft),
                low=altitude_text(low),
                high=altitude_text(high),
            )
        )


def pressure_kpa(altitude_ft: Decimal) -> Decimal:
    """Standard air pressure at an altitude.

    Args:
        altitude_ft: ft above sea level, taken as geopotential height (the two
            heights differ by 0.02 % of pressure at 10,000 ft).

    Returns:
        kPa, rounded to 0.0001.

    Raises:
        AltitudeError: the altitude is outside the model.

    Source: ICAO Doc 7488: p = p0 (1 - L h / T0) ^ (g / (R L)).
    """
    low, high = ALTITUDE_LIMITS_FT
    if not altitude_ft.is_finite() or not low <= altitude_ft <= high:
        raise AltitudeError(altitude_ft)
    height_m = altitude_ft * METRES_PER_FOOT.value
    ratio = 1 - LAPSE_K_PER_M.value * height_m / SEA_LEVEL_K.value
    return rounded(SEA_LEVEL_KPA.value * ratio**EXPONENT.value, "0.0001")
