"""A figure with its honest range: low, likely, high."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from inventory.quantity_format import format_mass
from inventory.words import say
from production.science.working import ScienceError, plain, rounded

__all__ = ["Span", "SpanError", "total"]


class SpanError(ScienceError):
    """A range whose ends are the wrong way round."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A figure that is not exactly known.

    Attributes:
        low: the least it may soundly be.
        likely: what it is taken for.
        high: the most it may soundly be.
    """

    low: Decimal
    likely: Decimal
    high: Decimal

    def __post_init__(self) -> None:
        if not self.low <= self.likely <= self.high:
            raise SpanError(
                say(
                    "a range must run from low to high, not {low}, {likely}, {high}",
                    low=self.low,
                    likely=self.likely,
                    high=self.high,
                )
            )

    @classmethod
    def exactly(cls, value: Decimal) -> Span:
        """A figure without doubt."""
        return cls(low=value, likely=value, high=value)

    @classmethod
    def about(cls, value: Decimal, doubt: Decimal) -> Span:
        """A figure known to a share of itself (0.05 for 5 % either way)."""
        return cls(low=value * (1 - doubt), likely=value, high=value * (1 + doubt))

    @property
    def is_exact(self) -> bool:
        """Whether the figure carries no doubt."""
        return self.low == self.high

    def times(self, other: Span) -> Span:
        """Product of two spans of figures that are not negative."""
        return Span(
            low=self.low * other.low,
            likely=self.likely * other.likely,
            high=self.high * other.high,
        )

    def scaled(self, factor: Decimal) -> Span:
        """The span multiplied by one factor, zero or more."""
        return self.times(Span.exactly(factor))

    def rounded(self, step: str) -> Span:
        """All three figures rounded half-up to the step."""
        return Span(
            low=rounded(self.low, step),
            likely=rounded(self.likely, step),
            high=rounded(self.high, step),
        )

    @property
    def weight_text(self) -> str:
        """Grams as the seller weighs: "7 lb (6 lb 8 oz to 7 lb 6 oz)"."""
        if self.is_exact:
            return format_mass(self.likely)
        ends = say(
            "{low} to {high}", low=format_mass(self.low), high=format_mass(self.high)
        )
        return f"{format_mass(self.likely)} ({ends})"

    def text(self, step: str = "0.1") -> str:
        """As shown: "9.2 (8.4 to 9.9)", or one figure where there is no doubt."""
        if self.is_exact:
            return plain(self.likely, step)
        ends = say(
            "{low} to {high}", low=plain(self.low, step), high=plain(self.high, step)
        )
        return f"{plain(self.likely, step)} ({ends})"


def total(spans: Iterable[Span]) -> Span:
    """The sum of spans: lows with lows, highs with highs."""
    found = list(spans)
    return Span(
        low=sum((span.low for span in found), Decimal(0)),
        likely=sum((span.likely for span in found), Decimal(0)),
        high=sum((span.high for span in found), Decimal(0)),
    )
