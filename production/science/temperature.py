"""Degrees Celsius and Fahrenheit: points and intervals, kept apart."""

from decimal import Decimal

from production.science.working import plain

__all__ = ["both_scales", "celsius", "fahrenheit", "fahrenheit_degrees"]

NINE_FIFTHS = Decimal("1.8")
ICE_POINT_F = Decimal(32)
KELVIN_OFFSET = Decimal("273.15")


def fahrenheit(temperature_c: Decimal) -> Decimal:
    """A point of the scale: degrees C to degrees F, exact."""
    return temperature_c * NINE_FIFTHS + ICE_POINT_F


def celsius(temperature_f: Decimal) -> Decimal:
    """A point of the scale: degrees F to degrees C."""
    return (temperature_f - ICE_POINT_F) / NINE_FIFTHS


def fahrenheit_degrees(interval_c: Decimal) -> Decimal:
    """A difference of temperature: C degrees to F degrees, exact."""
    return interval_c * NINE_FIFTHS


def both_scales(temperature_c: Decimal) -> str:
    """The temperature on both scales ("104.4 °C (219.9 °F)")."""
    return f"{plain(temperature_c)} °C ({plain(fahrenheit(temperature_c))} °F)"
