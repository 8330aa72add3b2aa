"""How a figure was come by, kept beside the figure so that pages can show it."""

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from inventory.words import figures, say

__all__ = ["MINUS", "TIMES", "ScienceError", "Working", "plain", "rounded"]

TIMES = "\u00d7"
MINUS = "\u2212"
LONGEST_FIGURE = 15
"""Digits before the point beyond which a figure is shown as it came."""


class ScienceError(ValueError):
    """A figure that physics, or the table behind it, does not allow."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Working:
    """One figure of a result, with the sum behind it.

    Attributes:
        figure: what the figure is ("water boils here at").
        value: the figure with its unit, as shown.
        formula: the formula with its numbers.
        source: where formula and constants come from.
        estimate: the figure is a prediction, not a measurement or a rule.
    """

    figure: str
    value: str
    formula: str
    source: str
    estimate: bool = False

    @property
    def sentence(self) -> str:
        """The working as one line of text."""
        mark = say(" (estimate)") if self.estimate else ""
        return say(
            "{figure} {value}{mark}: {formula}. Source: {source}.",
            figure=self.figure,
            value=self.value,
            mark=mark,
            formula=self.formula,
            source=self.source,
        )


def rounded(value: Decimal, step: str) -> Decimal:
    """The value rounded half-up to the step given as text ("0.1")."""
    return value.quantize(Decimal(step), rounding=ROUND_HALF_UP)


def plain(value: Decimal, step: str = "0.1") -> str:
    """The value as text, rounded to the step and without trailing zeros."""
    if not value.is_finite() or value.adjusted() > LONGEST_FIGURE:
        return str(value)
    text = format(rounded(value, step), "f")
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return figures("0" if text == "-0" else text)
