"""Declared net weights: exact conversion, rounding that never overstates.

The figure entered stays the source; the other is derived from it once, and
never converted back.
"""

from dataclasses import dataclass
from decimal import ROUND_FLOOR, ROUND_HALF_UP, Decimal

from inventory.units import GRAMS_PER_OUNCE
from inventory.words import say
from production.wording import number_text

__all__ = [
    "Declaration",
    "DeclarationError",
    "grams_from_ounces",
    "ounces_from_grams",
]


class DeclarationError(ValueError):
    """A net weight that cannot stand on a label."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Declaration:
    """The net weight on a label, in ounces, in grams, or in both.

    Attributes:
        ounces: avoirdupois ounces as printed.
        grams: grams as printed.
    """

    ounces: Decimal | None = None
    grams: Decimal | None = None

    def __post_init__(self) -> None:
        given = [each for each in (self.ounces, self.grams) if each is not None]
        if not given:
            raise DeclarationError(say("a net weight needs ounces, grams, or both"))
        if min(given) <= 0:
            raise DeclarationError(say("a net weight is more than nothing"))

    @property
    def larger_g(self) -> Decimal:
        """The quantity a check holds the jar to: the larger of the two.

        Source: NIST Handbook 133 (2026), 2.3.3.
        """
        customary = Decimal(0)
        if self.ounces is not None:
            customary = self.ounces * GRAMS_PER_OUNCE.value
        return max(customary, self.grams or Decimal(0))

    @property
    def text(self) -> str:
        """The words of the label, without "Net Wt"."""
        if self.ounces is None:
            return f"{number_text(self.grams or Decimal(0))} g"
        if self.grams is None:
            return f"{number_text(self.ounces)} oz"
        return f"{number_text(self.ounces)} oz ({number_text(self.grams)} g)"

    @classmethod
    def of_ounces(cls, ounces: Decimal) -> "Declaration":
        """Return the dual declaration derived from ounces."""
        return cls(ounces=ounces, grams=grams_from_ounces(ounces))

    @classmethod
    def of_grams(cls, grams: Decimal) -> "Declaration":
        """Return the dual declaration derived from grams."""
        return cls(ounces=ounces_from_grams(grams), grams=grams)


def grams_from_ounces(ounces: Decimal, *, nearest: bool = False) -> Decimal:
    """Return grams to be printed beside ounces.

    Args:
        ounces: avoirdupois ounces as printed.
        nearest: round to the nearest figure; it may overstate, so the jars must
            then be checked against it. By default the rest is cut off.

    Source: 16 CFR 500.19(b), three digits, two below 100 g; a rounded figure
    never overstates (uniform packaging regulation, as quoted by NIST).
    """
    return _to_digits(ounces * GRAMS_PER_OUNCE.value, nearest=nearest)


def ounces_from_grams(grams: Decimal) -> Decimal:
    """Return ounces to be printed beside grams: three digits, the rest cut off."""
    return _to_digits(grams / GRAMS_PER_OUNCE.value, nearest=False, digits=3)


def _to_digits(value: Decimal, *, nearest: bool, digits: int | None = None) -> Decimal:
    if digits is None:
        digits = 3 if value >= 100 else 2
    step = Decimal(1).scaleb(value.adjusted() - digits + 1)
    mode = ROUND_HALF_UP if nearest else ROUND_FLOOR
    return (value / step).to_integral_value(mode) * step
