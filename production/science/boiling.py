"""Where water boils in this kitchen: from altitude, air pressure or a thermometer.

The saturation line is IAPWS-IF97 region 4, solved backwards in closed form, so
nothing here iterates. Results are rounded to 0.001 degC.
"""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from inventory.measures import Measure, format_measure, format_temperature
from inventory.words import say, to_say
from production.science.atmosphere import altitude_text, pressure_kpa
from production.science.temperature import KELVIN_OFFSET
from production.science.working import ScienceError, Working, plain, rounded

__all__ = [
    "BoilingPoint",
    "Kitchen",
    "PressureError",
    "ReadingError",
    "boiling_point",
    "saturation_temperature_k",
]

IF97 = "IAPWS-IF97 (2007), region 4 backward equation"
ICAO = "ICAO Doc 7488, Manual of the ICAO Standard Atmosphere"
OWN_READING = to_say("the maker's own reading in plain boiling water")
N1, N2, N3, N4, N5, N6, N7, N8, N9, N10 = (
    Decimal(text)
    for text in (
        "1167.0521452767",
        "-724213.16703206",
        "-17.073846940092",
        "12020.824702470",
        "-3232555.0322333",
        "14.915108613530",
        "-4823.2657361591",
        "405113.40542057",
        "-0.23855557567849",
        "650.17534844798",
    )
)
"""Coefficients n1 to n10 of the saturation equation. Source: IAPWS-IF97, table 34."""

PRESSURE_LIMITS_HPA = (Decimal(500), Decimal(1100))
PLAUSIBLE_ERROR_C = Decimal(8)
"""A thermometer further off than this in boiling water is broken or was read
wrongly (convention)."""


class Basis(StrEnum):
    """What the local boiling point rests on."""

    ALTITUDE = "altitude"
    PRESSURE = to_say("air pressure")
    READING = to_say("thermometer reading")


class PressureError(ScienceError):
    """An air pressure outside what the weather and the hills can do."""

    def __init__(self, pressure_hpa: Decimal) -> None:
        self.pressure_hpa = pressure_hpa
        low, high = PRESSURE_LIMITS_HPA
        super().__init__(
            say(
                "an air pressure of {pressure_hpa} hPa is outside the model, which "
                "takes station pressures of {low} to {high} hPa",
                pressure_hpa=plain(pressure_hpa),
                low=plain(low),
                high=plain(high),
            )
        )


class ReadingError(ScienceError):
    """A reading in boiling water that no sound thermometer gives there."""

    def __init__(self, reading_c: Decimal, expected_c: Decimal) -> None:
        self.reading_c = reading_c
        self.expected_c = expected_c
        super().__init__(
            say(
                "the thermometer read {reading_c} in boiling water where about "
                "{expected_c} is expected; wait for a full rolling boil, read "
                "again, and replace the thermometer if it is still more than "
                "{plausible_error} out",
                reading_c=format_temperature(reading_c),
                expected_c=format_temperature(expected_c),
                plausible_error=format_measure(PLAUSIBLE_ERROR_C, Measure.DEGREES),
            )
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Kitchen:
    """What is known about the air and the thermometer today.

    Attributes:
        altitude_ft: ft above sea level; None where the maker did not say.
        pressure_hpa: station pressure today (not reduced to sea level), if known.
        reading_c: what the maker's thermometer showed in boiling water today.
    """

    altitude_ft: Decimal | None = None
    pressure_hpa: Decimal | None = None
    reading_c: Decimal | None = None

    def __post_init__(self) -> None:
        if (
            self.altitude_ft is None
            and self.pressure_hpa is None
            and self.reading_c is None
        ):
            raise ScienceError(
                say(
                    "the kitchen needs an altitude, an air pressure, or a reading in "
                    "boiling water"
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class BoilingPoint:
    """Where water boils today, and what this thermometer shows there.

    Attributes:
        true_c: boiling point of water in degC; the reading itself where nothing
            else is known.
        basis: what ``true_c`` rests on.
        shown_c: what the maker's thermometer shows in boiling water; equal to
            ``true_c`` where no reading was taken.
        workings: the sums behind both.
    """

    true_c: Decimal
    basis: Basis
    shown_c: Decimal
    workings: tuple[Working, ...]

    @property
    def thermometer_error_c(self) -> Decimal:
        """How much the thermometer reads high (+) or low (-), in C degrees.

        Weather is part of it: 10 hPa of weather look like 0.28 degC of error.
        """
        return self.shown_c - self.true_c


def saturation_temperature_k(pressure_mpa: Decimal) -> Decimal:
    """Temperature at which water boils under a pressure.

    Args:
        pressure_mpa: MPa.

    Returns:
        K, unrounded (28 digits).

    Source: IAPWS-IF97, equation 31; check values in its table 36.
    """
    beta = pressure_mpa.sqrt().sqrt()
    e = beta**2 + N3 * beta + N6
    f = N1 * beta**2 + N4 * beta + N7
    g = N2 * beta**2 + N5 * beta + N8
    d = 2 * g / (-f - (f**2 - 4 * e * g).sqrt())
    return (N10 + d - ((N10 + d) ** 2 - 4 * (N9 + N10 * d)).sqrt()) / 2


def boiling_c(pressure: Decimal) -> Decimal:
    """Boiling point of water in degC under a pressure in kPa, rounded to 0.001."""
    return rounded(saturation_temperature_k(pressure / 1000) - KELVIN_OFFSET, "0.001")


def boiling_point(kitchen: Kitchen) -> BoilingPoint:
    """Where water boils in this kitchen today.

    A station pressure beats an altitude; a reading stands beside either and is
    what the cook goes by, because it carries the weather and the thermometer's
    own error together.

    Args:
        kitchen: what is known about the air and the thermometer.

    Returns:
        The boiling point with its basis and workings, to 0.001 degC.

    Raises:
        AltitudeError: the altitude is outside the model.
        PressureError: the pressure is outside the model.
        ReadingError: the reading cannot be that of a sound thermometer.
    """
    pressure, basis = _pressure(kitchen)
    if pressure is None:
        return _from_reading_alone(kitchen.reading_c or Decimal(0))
    true_c = boiling_c(pressure)
    workings = [_air_working(kitchen, pressure, true_c)]
    shown_c = true_c
    if kitchen.reading_c is not None:
        shown_c = kitchen.reading_c
        if abs(shown_c - true_c) > PLAUSIBLE_ERROR_C:
            raise ReadingError(shown_c, true_c)
        workings.append(_thermometer_working(shown_c, true_c))
    return BoilingPoint(
        true_c=true_c, basis=basis, shown_c=shown_c, workings=tuple(workings)
    )


def _pressure(kitchen: Kitchen) -> tuple[Decimal | None, Basis]:
    if kitchen.pressure_hpa is not None:
        low, high = PRESSURE_LIMITS_HPA
        if (
            not kitchen.pressure_hpa.is_finite()
            or not low <= kitchen.pressure_hpa <= high
        ):
            raise PressureError(kitchen.pressure_hpa)
        return kitchen.pressure_hpa / 10, Basis.PRESSURE
    if kitchen.altitude_ft is not None:
        return pressure_kpa(kitchen.altitude_ft), Basis.ALTITUDE
    return None, Basis.READING


def _from_reading_alone(reading_c: Decimal) -> BoilingPoint:
    low, high = (boiling_c(limit / 10) for limit in PRESSURE_LIMITS_HPA)
    if not low <= reading_c <= high:
        raise ReadingError(reading_c, boiling_c(Decimal("101.325")))
    working = Working(
        figure=say("water boils here at"),
        value=format_temperature(reading_c),
        formula=say("as read; no altitude was given to check the thermometer against"),
        source=say(OWN_READING),
    )
    return BoilingPoint(
        true_c=reading_c, basis=Basis.READING, shown_c=reading_c, workings=(working,)
    )


def _air_working(kitchen: Kitchen, pressure: Decimal, true_c: Decimal) -> Working:
    where = (
        say("measured station pressure")
        if kitchen.pressure_hpa is not None
        else say(
            "standard air at {altitude}",
            altitude=altitude_text(kitchen.altitude_ft or Decimal(0)),
        )
    )
    return Working(
        figure=say("water boils here at"),
        value=format_temperature(true_c),
        formula=say(
            "{where}, {pressure} kPa, on the saturation line of water",
            where=where,
            pressure=plain(pressure, "0.01"),
        ),
        source=f"{ICAO}; {IF97}",
    )


def _thermometer_working(shown_c: Decimal, true_c: Decimal) -> Working:
    error = shown_c - true_c
    return Working(
        figure=say("this thermometer shows boiling water at"),
        value=format_temperature(shown_c),
        formula=(
            say(
                "it reads {error} too high against {true_c}, weather included"
                if error >= 0
                else "it reads {error} too low against {true_c}, weather included",
                error=format_measure(abs(error), Measure.DEGREES, places=2),
                true_c=format_temperature(true_c),
            )
        ),
        source=say(OWN_READING),
    )
