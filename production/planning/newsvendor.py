"""One decision before one uncertain demand.

For packing, the leftover value of a jar is nearly its cost, because a jar
brought home is sold next week; for cooking at the end of a fruit's season it
is what a jar near its best-by brings.

Source: the newsvendor model as in Snyder and Shen, *Fundamentals of Supply
Chain Theory*, 2nd ed. 2019, chapter 4.
"""

import math
from dataclasses import dataclass
from statistics import NormalDist

from inventory.words import say
from production.planning.distributions import Counts, DemandError, Tabled

__all__ = ["NormalAnswer", "critical_ratio", "expected_cost", "normal_order", "order"]


def critical_ratio(*, short_cost: float, over_cost: float) -> float:
    """Return the share of days that should not run out.

    Args:
        short_cost: money lost per jar short (price less variable cost, and
            the customer's disappointment if priced).
        over_cost: money lost per jar left over (variable cost less what the
            leftover is worth).

    Raises:
        DemandError: a cost below zero, or both zero.
    """
    if short_cost < 0 or over_cost < 0 or short_cost + over_cost == 0:
        raise DemandError(
            say(
                "costs of {short_cost} a jar short and {over_cost} a jar left over "
                "do not make a ratio: give both as zero or more, not both zero",
                short_cost=short_cost,
                over_cost=over_cost,
            )
        )
    return short_cost / (short_cost + over_cost)


def order(demand: Counts | Tabled, *, short_cost: float, over_cost: float) -> int:
    """Return the smallest number of jars that reaches the critical ratio."""
    ratio = critical_ratio(short_cost=short_cost, over_cost=over_cost)
    return demand.quantile(min(ratio, 1 - 1e-12))


def expected_cost(
    demand: Counts | Tabled, jars: int, *, short_cost: float, over_cost: float
) -> float:
    """Return the mean cost of jars short and jars left over."""
    sales = demand.expected_sales(jars)
    return short_cost * (demand.mean - sales) + over_cost * (jars - sales)


@dataclass(frozen=True, slots=True, kw_only=True)
class NormalAnswer:
    """The answer for a demand taken as normal: unrounded.

    Attributes:
        quantity: jars to have.
        expected_short: mean number of jars short.
        expected_cost: mean cost of short and leftover together.
    """

    quantity: float
    expected_short: float
    expected_cost: float


def normal_order(
    *, mean: float, spread: float, short_cost: float, over_cost: float
) -> NormalAnswer:
    """Return the order and its expected cost for a normal demand."""
    standard = NormalDist()
    z = standard.inv_cdf(critical_ratio(short_cost=short_cost, over_cost=over_cost))
    density = math.exp(-z * z / 2) / math.sqrt(2 * math.pi)
    return NormalAnswer(
        quantity=mean + z * spread,
        expected_short=spread * (density - z * (1 - standard.cdf(z))),
        expected_cost=(short_cost + over_cost) * density * spread,
    )
