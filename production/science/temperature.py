"""Degrees Celsius and Fahrenheit, for data that carries both.

Pages and papers write temperatures through `inventory.measures`.
"""

from decimal import Decimal

__all__ = ["celsius", "fahrenheit"]

NINE_FIFTHS = Decimal("1.8")
ICE_POINT_F = Decimal(32)
KELVIN_OFFSET = Decimal("273.15")


def fahrenheit(temperature_c: Decimal) -> Decimal:
    """A point of the scale: degrees C to degrees F, exact."""
    return temperature_c * NINE_FIFTHS + ICE_POINT_F


def celsius(temperature_f: Decimal) -> Decimal:
    """A point of the scale: degrees F to degrees C."""
    return (temperature_f - ICE_POINT_F) / NINE_FIFTHS
