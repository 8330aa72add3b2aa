"""Plain forecasts of the next day, and how far past forecasts were off.

The baselines an estimate has to beat: simple exponential smoothing; for things
sold now and then Croston's two rows (sizes, and the gaps between them) with its
two corrections, and the one that smooths the chance of a sale on every day, so
that a product nobody asks for fades. Computation in floats; good to 1e-9 of
its own size.

Sources: J. D. Croston, Operational Research Quarterly 23(3), 1972, 289-303;
A. A. Syntetos, J. E. Boylan, International Journal of Forecasting 21(2), 2005,
303-314 (SBA); R. H. Teunter, A. A. Syntetos, M. Z. Babai, European Journal of
Operational Research 214(3), 2011, 606-615 (TSB); pages from memory, formulas as
in public code that derives them (verified).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from itertools import pairwise
from statistics import fmean, pvariance

from inventory.sourced import Kind, Sourced, Status
from inventory.words import say, to_say
from production.planning.distributions import DemandError

__all__ = [
    "Errors",
    "Intermittent",
    "Pattern",
    "PatternFound",
    "errors_of",
    "intermittent",
    "pattern_of",
    "smoothed",
    "smoothed_chance",
]

_CUT_OFFS = (
    "A. A. Syntetos, J. E. Boylan, J. D. Croston, Journal of the Operational "
    "Research Society 56(5), 2005, 495-503"
)
GAP_LIMIT = Sourced(
    value=Decimal("1.32"),
    unit="1",
    kind=Kind.CONVENTION,
    source=_CUT_OFFS,
    section="cut-off of the mean gap between sales",
    status=Status.SECONDARY,
)
SPREAD_LIMIT = Sourced(
    value=Decimal("0.49"),
    unit="1",
    kind=Kind.CONVENTION,
    source=_CUT_OFFS,
    section="cut-off of the squared coefficient of variation of the sizes",
    status=Status.SECONDARY,
)


class Pattern(StrEnum):
    """How a product sells."""

    SMOOTH = to_say("smooth")
    ERRATIC = to_say("erratic")
    INTERMITTENT = to_say("intermittent")
    LUMPY = to_say("lumpy")
    NONE = to_say("never sold")


@dataclass(frozen=True, slots=True, kw_only=True)
class PatternFound:
    """A pattern and the two figures it is read from.

    Attributes:
        gap: days a sale falls on, days in all over days with a sale; 0 without any.
        spread: squared coefficient of variation of the sizes (of the population).
    """

    pattern: Pattern
    gap: float
    spread: float

    @property
    def is_rare(self) -> bool:
        """Whether days without a sale are part of the pattern."""
        return self.pattern in {Pattern.INTERMITTENT, Pattern.LUMPY}


@dataclass(frozen=True, slots=True, kw_only=True)
class Errors:
    """How far forecasts were off; an error is what came less what was forecast.

    Attributes:
        days: forecasts judged.
        bias: mean error; below zero the forecasts were too high.
        mad: mean of the errors' sizes.
        mse: mean of their squares.
        mape: mean size as a share of what came; ``None`` where a day came to none.
        mean: mean of what came.
    """

    days: int
    bias: float
    mad: float
    mse: float
    mape: float | None
    mean: float

    @property
    def mad_over_mean(self) -> float | None:
        """The mean size of an error as a share of the mean; ``None`` at zero."""
        return self.mad / self.mean if self.mean else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Intermittent:
    """Croston's two rows, smoothed.

    Attributes:
        size: jars on a day with a sale.
        gap: days from sale to sale.
        alpha: the share a new figure counts for.
    """

    size: float
    gap: float
    alpha: float

    @property
    def croston(self) -> float:
        """Jars a day, as Croston has it: a little too high."""
        return self.size / self.gap

    @property
    def sba(self) -> float:
        """Jars a day, corrected by Syntetos and Boylan."""
        return (1 - self.alpha / 2) * self.croston

    @property
    def sbj(self) -> float:
        """Jars a day, corrected by the exact factor of Shale, Boylan and Johnston."""
        return (1 - self.alpha / (2 - self.alpha)) * self.croston


def errors_of(came: Sequence[float], forecasts: Sequence[float]) -> Errors:
    """Return how far forecasts were off.

    Args:
        came: what was asked for, one a day.
        forecasts: what had been forecast for the same days.

    Raises:
        DemandError: no day, or not as many of one as of the other.
    """
    if not came or len(came) != len(forecasts):
        raise DemandError(
            say(
                "{forecasts} forecasts for {days} days cannot be judged: give one a day",
                forecasts=len(forecasts),
                days=len(came),
            )
        )
    off = [real - said for real, said in zip(came, forecasts, strict=True)]
    shares = (abs(e) / real for e, real in zip(off, came, strict=True))
    return Errors(
        days=len(came),
        bias=fmean(off),
        mad=fmean(abs(e) for e in off),
        mse=fmean(e * e for e in off),
        mape=fmean(shares) if all(came) else None,
        mean=fmean(came),
    )


def smoothed(values: Sequence[float], *, alpha: float) -> tuple[float, ...]:
    """Return simple exponential smoothing's forecast after each value.

    Args:
        values: oldest first; the first is itself the first forecast.
        alpha: the share the newest value counts for, 0 to 1.

    Returns:
        As many as the values; the last is the forecast of the coming day.
    """
    _check_share(alpha)
    forecasts: list[float] = []
    for value in values:
        before = forecasts[-1] if forecasts else value
        forecasts.append(before + alpha * (value - before))
    return tuple(forecasts)


def intermittent(values: Sequence[float], *, alpha: float) -> Intermittent | None:
    """Return Croston's sizes and gaps after the last value.

    Both begin at their first figure and move only on a day with a sale, the last
    one included; the first gap counts from the beginning.

    Returns:
        ``None`` where nothing was ever sold.
    """
    _check_share(alpha)
    sales = [(n, value) for n, value in enumerate(values, start=1) if value]
    if not sales:
        return None
    days = [0, *(n for n, _ in sales)]
    gaps = [after - before for before, after in pairwise(days)]
    return Intermittent(
        size=smoothed([value for _, value in sales], alpha=alpha)[-1],
        gap=smoothed(gaps, alpha=alpha)[-1],
        alpha=alpha,
    )


def smoothed_chance(
    values: Sequence[float],
    *,
    alpha: float,
    beta: float | None = None,
    start: tuple[float, float] | None = None,
) -> float | None:
    """Return the forecast that smooths the chance of a sale on every day.

    Args:
        values: oldest first.
        alpha: the share a new size counts for.
        beta: the share a new day counts for in the chance; ``alpha`` where None.
        start: size and chance to begin with; the first sale's size, and one over
            its day, where None.

    Returns:
        Jars a day; ``None`` where nothing was ever sold.
    """
    beta = alpha if beta is None else beta
    _check_share(alpha)
    _check_share(beta)
    first = next((n for n, value in enumerate(values, start=1) if value), None)
    if first is None:
        return None
    size, chance = start or (values[first - 1], 1 / first)
    for value in values:
        if value:
            size += alpha * (value - size)
        chance += beta * (bool(value) - chance)
    return size * chance


def pattern_of(values: Sequence[float]) -> PatternFound:
    """Return how a product sells, by the gaps between sales and their sizes."""
    sizes = [value for value in values if value]
    if not sizes:
        return PatternFound(pattern=Pattern.NONE, gap=0.0, spread=0.0)
    gap = len(values) / len(sizes)
    spread = pvariance(sizes) / fmean(sizes) ** 2
    is_rare, is_uneven = gap > GAP_LIMIT.value, spread > SPREAD_LIMIT.value
    names = {
        (False, False): Pattern.SMOOTH,
        (False, True): Pattern.ERRATIC,
        (True, False): Pattern.INTERMITTENT,
        (True, True): Pattern.LUMPY,
    }
    return PatternFound(pattern=names[is_rare, is_uneven], gap=gap, spread=spread)


def _check_share(share: float) -> None:
    if not 0 <= share <= 1:
        raise DemandError(
            say("{share} is no share to smooth with: give 0 to 1", share=share)
        )
