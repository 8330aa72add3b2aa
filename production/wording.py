"""How amounts of the cook day are put into words: degrees, inches, minutes, parts."""

from datetime import timedelta
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from inventory.words import figures

__all__ = [
    "as_heading",
    "duration_text",
    "fahrenheit",
    "headspace_text",
    "number_text",
    "percent_text",
    "span_text",
    "temperature_text",
]

MM_PER_INCH = Decimal("25.4")
"""Exact by definition of the inch (16 CFR 500.19(a))."""


def number_text(value: Decimal, *, places: int = 2) -> str:
    """Return a number without needless zeros, rounded half-up to `places`."""
    rounded = value.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)
    text = f"{rounded:f}"
    return figures(text.rstrip("0").rstrip(".") if "." in text else text)


def as_heading(words: str) -> str:
    """Return words with a capital first, but never "PH"."""
    return words if words.startswith("pH") else words[:1].upper() + words[1:]


def fahrenheit(celsius: Decimal) -> Decimal:
    """Return a temperature in degrees Fahrenheit, unrounded."""
    return celsius * 9 / 5 + 32


def temperature_text(celsius: Decimal) -> str:
    """Return a temperature in both scales, to a tenth of a degree."""
    return (
        f"{number_text(fahrenheit(celsius), places=1)} °F "
        f"({number_text(celsius, places=1)} °C)"
    )


def percent_text(fraction: Decimal, *, places: int = 1) -> str:
    """Return a fraction of one in percent."""
    return f"{number_text(fraction * 100, places=places)} %"


def headspace_text(millimetres: Decimal) -> str:
    """Return a headspace in eighths of an inch, where it is near one, and in mm."""
    eighths = (millimetres / MM_PER_INCH * 8).quantize(Decimal(1), ROUND_HALF_UP)
    metric = f"{number_text(millimetres, places=1)} mm"
    if abs(eighths / 8 * MM_PER_INCH - millimetres) > Decimal("0.4") or not eighths:
        return metric
    whole, part = divmod(Fraction(int(eighths), 8), 1)
    words = [str(whole)] if whole else []
    words += [str(part)] if part else []
    return f"{' '.join(words)} in ({metric})"


def duration_text(minutes: Decimal | int) -> str:
    """Return minutes as hours and minutes ("2 h 05 min")."""
    whole = int(Decimal(minutes).quantize(Decimal(1), ROUND_HALF_UP))
    hours, rest = divmod(whole, 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest:02d} min" if rest else f"{hours} h"


def span_text(span: timedelta) -> str:
    """Return a span of time as hours and minutes."""
    return duration_text(Decimal(int(span.total_seconds())) / 60)
