"""What past market days say about how many jars are asked for.

A day that sold out says only "at least so many", so averaging sales is too
low, and leaving those days out is lower still: it drops the best days. Each
day enters through its likelihood: a day with jars left by its count; a day
whose last jar went at a known hour by its count over that share of the day;
any other sold-out day by the chance of at least so many (right-censored).

This module holds the values and the answer for one product at one outlet;
``pooling`` fits all of them together. Computation in floats; a mean is good
to 1e-9 of its own size.
"""

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from inventory.words import say, to_say
from production.planning.distributions import Certain, Counts, DemandError

__all__ = [
    "Basis",
    "Estimate",
    "Override",
    "PastDay",
    "censored_mean",
    "expected_beyond",
    "mean_steps",
    "plain_mean",
]

STEPS = 10_000


@dataclass(frozen=True, slots=True, kw_only=True)
class PastDay:
    """One product on one past market day.

    Attributes:
        product: key of the product.
        outlet: key of the outlet.
        on: the market day.
        offered: jars that could be sold (taken less samples and breakage).
        sold: jars sold.
        open_share: share of the market hours until the last jar went, where
            it is known; ``None`` otherwise and on days with jars left.
    """

    product: str
    outlet: str
    on: dt.date
    offered: int
    sold: int
    open_share: float | None = None

    def __post_init__(self) -> None:
        if not 0 <= self.sold <= self.offered:
            raise DemandError(
                say(
                    "{product} at {outlet} on {on}: sold {sold} of {offered}; sales "
                    "lie between none and what was offered",
                    product=self.product,
                    outlet=self.outlet,
                    on=self.on,
                    sold=self.sold,
                    offered=self.offered,
                )
            )
        if self.open_share is not None and not 0 < self.open_share <= 1:
            raise DemandError(
                say(
                    "{product} at {outlet} on {on}: the last jar went after "
                    "{open_share} of the day; give a share above 0, up to 1",
                    product=self.product,
                    outlet=self.outlet,
                    on=self.on,
                    open_share=self.open_share,
                )
            )

    @property
    def sold_out(self) -> bool:
        """Whether the last jar went: 12 of 12 is sold out, 11 of 12 is not."""
        return self.offered > 0 and self.sold == self.offered

    @property
    def hides_demand(self) -> bool:
        """Whether the day says only "at least"."""
        return self.sold_out and self.open_share is None

    @property
    def share(self) -> float:
        """Share of the day its count stands for."""
        if self.sold_out and self.open_share is not None:
            return self.open_share
        return 1.0


class Basis(StrEnum):
    """What an estimate rests on."""

    MEASURED = "measured"
    AT_LEAST = to_say("at least")
    BORROWED = "borrowed"
    SAID = to_say("said by the maker")
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class Override:
    """A figure of the maker's that stands before any estimate.

    Attributes:
        mean: jars asked for on a day.
        spread: standard deviation, jars; ``None`` takes chance alone.
        on: the one day it is for, or ``None`` for every day.
    """

    product: str
    outlet: str
    mean: float
    spread: float | None = None
    on: dt.date | None = None

    def __post_init__(self) -> None:
        if self.mean < 0:
            raise DemandError(
                say("a demand of {mean} jars is below zero", mean=self.mean)
            )

    def demand(self) -> Counts:
        """Return the figure as a distribution."""
        variance = self.mean if self.spread is None else self.spread**2
        return Counts(mean=self.mean, variance=max(variance, self.mean))


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """How many jars may be asked for, and how that is known.

    Attributes:
        basis: what it rests on.
        demand: the distribution a plan reckons with; for "at least" it is an
            assumption, and ``mean`` is then ``None``.
        days: past days behind it.
        sold_out_days: how many of them sold out.
        floor: most jars ever offered on a sold-out day, where every day sold
            out.
        plain_mean: average of sales, for comparison; ``None`` without days.
        lent_by: the product whose days were borrowed, or "".
    """

    product: str
    outlet: str
    on: dt.date
    basis: Basis
    demand: Counts | Certain
    days: int = 0
    sold_out_days: int = 0
    floor: int | None = None
    plain_mean: float | None = None
    lent_by: str = ""

    @property
    def mean(self) -> float | None:
        """Mean jars asked for; no number where every day sold out."""
        if self.basis in {Basis.AT_LEAST, Basis.UNKNOWN}:
            return None
        return self.demand.mean

    @property
    def said(self) -> str:
        """The estimate in words."""
        if self.basis is Basis.AT_LEAST:
            return say("at least {floor}", floor=self.floor)
        if self.basis is Basis.UNKNOWN:
            return say("not known")
        low, high = self.demand.quantile(0.1), self.demand.quantile(0.9)
        return say(
            "about {mean:.1f}, mostly {low} to {high}",
            mean=self.demand.mean,
            low=low,
            high=high,
        )


def plain_mean(days: Sequence[PastDay]) -> float | None:
    """Return the average of sales: the figure to beat, not to plan with."""
    return sum(day.sold for day in days) / len(days) if days else None


def expected_beyond(mean: float, offered: int) -> float:
    """Return the mean of a Poisson count known to be at least ``offered``."""
    demand = Counts.poisson(mean)
    reached = demand.at_least(offered)
    if reached < 1e-9:
        return float(offered)
    return mean * demand.at_least(offered - 1) / reached


def mean_steps(days: Sequence[PastDay]) -> Iterator[float]:
    """Yield the successive means of the Poisson likelihood's own iteration.

    Each step puts in place of a hidden count its expectation given the mean
    so far. Starts from the average of sales over the hours on sale.

    Source: the expectation step for right-censored Poisson counts, in the
        manner of Conrad, Operational Research Quarterly 27(1), 1976.
    """
    open_days = sum(day.share for day in days)
    seen = sum(day.sold for day in days if not day.hides_demand)
    hidden = [day.offered for day in days if day.hides_demand]
    mean = sum(day.sold for day in days) / open_days
    while True:
        beyond = sum(expected_beyond(mean, offered) for offered in hidden)
        mean = (seen + beyond) / open_days
        yield mean


def censored_mean(days: Iterable[PastDay]) -> float | None:
    """Return the most likely mean demand of one product at one outlet.

    Args:
        days: past days of one product at one outlet; days on which nothing
            was offered say nothing and are left out.

    Returns:
        Jars a day, unrounded; ``None`` where no finite answer exists: no day,
        or every day sold out at an unknown hour.
    """
    told = [day for day in days if day.offered > 0]
    if not told or all(day.hides_demand for day in told):
        return None
    steps = mean_steps(told)
    for _, (before, after) in zip(range(STEPS), pairwise(steps), strict=False):
        if abs(after - before) <= 1e-12 * max(after, 1.0):
            return after
    return after
