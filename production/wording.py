"""How amounts of the cook day are put into words: minutes, parts, plain numbers.

Degrees, inches and weights follow the seller's setting: `inventory.measures`.
"""

from datetime import timedelta
from decimal import ROUND_HALF_UP, Decimal

from inventory.words import figures

__all__ = [
    "as_heading",
    "duration_text",
    "number_text",
    "percent_text",
    "span_text",
]


def number_text(value: Decimal, *, places: int = 2) -> str:
    """Return a number without needless zeros, rounded half-up to `places`."""
    rounded = value.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)
    text = f"{rounded:f}"
    return figures(text.rstrip("0").rstrip(".") if "." in text else text)


def as_heading(words: str) -> str:
    """Return words with a capital first, but never "PH"."""
    return words if words.startswith("pH") else words[:1].upper() + words[1:]


def percent_text(fraction: Decimal, *, places: int = 1) -> str:
    """Return a fraction of one in percent."""
    return f"{number_text(fraction * 100, places=places)} %"


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
