"""How much to buy or make at a time: economic quantities and lots over periods.

For what is used all year and bought in cases (jars, lids, sugar, pectin), never for
fruit: its season is a window, not a rate. Square roots make the economic quantities
floats; they agree with the exact values to nine digits. Lots over time are exact.

Source: L. V. Snyder and Z.-J. M. Shen, Fundamentals of Supply Chain Theory, 2nd ed.
2019, chapter 3 (read in texts that quote it); H. M. Wagner and T. M. Whitin,
Management Science 5(1), 1958, 89-96 (the same).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from math import inf, sqrt

from inventory.words import say

__all__ = [
    "LotSizingError",
    "Lots",
    "Period",
    "SteadyDemand",
    "SteadyQuantity",
    "cheapest_lots",
    "cheapest_lots_within_capacity",
    "economic_quantity",
    "growing_lots",
    "lot_for_lot",
    "penalty_for_quantity",
]


class LotSizingError(ValueError):
    """A question about lots that has no answer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SteadyDemand:
    """Demand that never changes.

    Attributes:
        order_cost: money per order or set-up, above nought.
        holding_cost: money per unit kept for one period, above nought.
        demand: units per period, above nought.
        making_rate: units made per period; infinite when they arrive at once.
        waiting_cost: money per unit and period a customer waits; infinite when
            nobody is kept waiting.
    """

    order_cost: float
    holding_cost: float
    demand: float
    making_rate: float = inf
    waiting_cost: float = inf

    def __post_init__(self) -> None:
        if min(self.order_cost, self.holding_cost, self.demand) <= 0:
            raise LotSizingError(
                say("order cost, holding cost and demand must each be above nought")
            )
        if self.making_rate <= self.demand:
            raise LotSizingError(
                say(
                    "{making_rate} made a period never catches up with a demand of "
                    "{demand}",
                    making_rate=self.making_rate,
                    demand=self.demand,
                )
            )
        if self.waiting_cost <= 0:
            raise LotSizingError(say("the cost of waiting must be above nought"))


@dataclass(frozen=True, slots=True, kw_only=True)
class SteadyQuantity:
    """The cheapest quantity and what the arrangement costs a period."""

    quantity: float
    cost: float
    waiting_fraction: float = 0.0


def economic_quantity(given: SteadyDemand) -> SteadyQuantity:
    """Quantity to order or make each time at the lowest cost a period.

    Covers the plain case, customers who wait, and goods made at a finite rate.
    """
    rate = 1 - given.demand / given.making_rate
    waits = given.waiting_cost != inf
    waiting = (
        given.waiting_cost / (given.holding_cost + given.waiting_cost) if waits else 1.0
    )
    held = given.holding_cost * rate * waiting
    return SteadyQuantity(
        quantity=sqrt(2 * given.order_cost * given.demand / held),
        cost=sqrt(2 * given.order_cost * given.demand * held),
        waiting_fraction=1 - waiting,
    )


def penalty_for_quantity(quantity: float, *, best: float) -> float:
    """Cost at another quantity as a multiple of the lowest cost."""
    return (quantity / best + best / quantity) / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Period:
    """One period of a plan over time.

    Attributes:
        demand: units wanted in it.
        set_up_cost: money when anything is made in it.
        holding_cost: money per unit carried into the next period.
    """

    demand: Decimal
    set_up_cost: Decimal
    holding_cost: Decimal

    def __post_init__(self) -> None:
        if min(self.demand, self.set_up_cost, self.holding_cost) < 0:
            raise LotSizingError(
                say("demand and costs of a period may not be below nought")
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Lots:
    """A plan: what to make in each period, and its cost in parts.

    Attributes:
        quantities: units made, one per period.
        set_up_cost: all set-ups.
        holding_cost: all carrying.
        making_cost: cost of the units themselves, where one was given.
        cheapest_so_far: least cost of the first n periods, where it was worked out.
    """

    quantities: tuple[Decimal, ...]
    set_up_cost: Decimal
    holding_cost: Decimal
    making_cost: Decimal = Decimal(0)
    cheapest_so_far: tuple[Decimal, ...] = ()

    @property
    def cost(self) -> Decimal:
        """Set-ups, carrying and making together."""
        return self.set_up_cost + self.holding_cost + self.making_cost


def cheapest_lots(
    periods: Sequence[Period], *, further_periods: int | None = None
) -> Lots:
    """Find the cheapest lots by the recursion of Wagner and Whitin.

    Args:
        periods: in order of time.
        further_periods: how many periods after its own a lot may serve, which
            is its shelf life; None when it keeps for ever.

    Returns:
        One plan of least cost, with the least cost of each beginning.
    """
    best = [Decimal(0)]
    made_in: list[int] = []
    for last in range(len(periods)):
        reach = last if further_periods is None else min(last, further_periods)
        options = [
            (best[first] + _lot_cost(periods, first, last), first)
            for first in range(last, last - reach - 1, -1)
        ]
        cost, first = min(options, key=lambda option: option[0])
        best.append(cost)
        made_in.append(first)
    starts: list[int] = []
    last = len(periods) - 1
    while last >= 0:
        starts.append(made_in[last])
        last = made_in[last] - 1
    return _lots_starting(periods, starts, so_far=tuple(best[1:]))


def growing_lots(periods: Sequence[Period]) -> Lots:
    """Let each lot grow while its average cost a period falls (Silver and Meal).

    A good plan by hand, not always the cheapest: it stops at the first rise.
    """
    starts: list[int] = []
    first = 0
    while first < len(periods):
        starts.append(first)
        last = first
        while last + 1 < len(periods) and _average(
            periods, first, last + 1
        ) <= _average(periods, first, last):
            last += 1
        first = last + 1
    return _lots_starting(periods, starts)


def lot_for_lot(periods: Sequence[Period]) -> Lots:
    """Make each period's demand in that period."""
    return _lots_starting(periods, range(len(periods)))


def _average(periods: Sequence[Period], first: int, last: int) -> Decimal:
    return _lot_cost(periods, first, last) / (last - first + 1)


def _lot_cost(periods: Sequence[Period], first: int, last: int) -> Decimal:
    """Cost of one lot made in ``first`` that serves all periods to ``last``."""
    carried = sum((p.demand for p in periods[first : last + 1]), Decimal(0))
    if carried == 0:
        return Decimal(0)
    cost = periods[first].set_up_cost
    for period in periods[first:last]:
        carried -= period.demand
        cost += carried * period.holding_cost
    return cost


def _lots_starting(
    periods: Sequence[Period],
    starts: Sequence[int],
    *,
    so_far: tuple[Decimal, ...] = (),
) -> Lots:
    bounds = [*sorted(starts), len(periods)]
    quantities = [Decimal(0)] * len(periods)
    for first, after in pairwise(bounds):
        quantities[first] = sum((p.demand for p in periods[first:after]), Decimal(0))
    return _costed(periods, quantities, so_far=so_far)


def _costed(
    periods: Sequence[Period],
    quantities: Sequence[Decimal],
    *,
    unit_cost: Decimal = Decimal(0),
    so_far: tuple[Decimal, ...] = (),
) -> Lots:
    stock = set_ups = holding = Decimal(0)
    for period, made in zip(periods, quantities, strict=True):
        stock += made - period.demand
        holding += stock * period.holding_cost
        set_ups += period.set_up_cost if made else 0
    return Lots(
        quantities=tuple(quantities),
        set_up_cost=set_ups,
        holding_cost=holding,
        making_cost=unit_cost * sum(quantities, Decimal(0)),
        cheapest_so_far=so_far,
    )


def cheapest_lots_within_capacity(
    periods: Sequence[Period],
    *,
    capacity: int,
    most_stock: int,
    unit_cost: Decimal = Decimal(0),
) -> Lots:
    """Find the cheapest lots in whole units when each period can make only so many.

    Args:
        periods: in order of time, with whole demands.
        capacity: units one period can make.
        most_stock: units that can be kept from one period to the next.
        unit_cost: money per unit made.

    Returns:
        One plan of least cost that ends with nothing left.

    Raises:
        LotSizingError: no plan meets the demand.
    """
    plans: dict[int, tuple[Decimal, tuple[int, ...]]] = {0: (Decimal(0), ())}
    for number, period in enumerate(periods, start=1):
        reached: dict[int, tuple[Decimal, tuple[int, ...]]] = {}
        for stock, (cost, made_so_far) in plans.items():
            for made in range(capacity + 1):
                left = stock + made - int(period.demand)
                if not 0 <= left <= most_stock:
                    continue
                total = cost + unit_cost * made + period.holding_cost * left
                total += period.set_up_cost if made else 0
                if left not in reached or total < reached[left][0]:
                    reached[left] = (total, (*made_so_far, made))
        if not reached:
            raise LotSizingError(
                say(
                    "period {number} wants {demand}, more than {capacity} a period and "
                    "{most_stock} in stock can give",
                    number=number,
                    demand=period.demand,
                    capacity=capacity,
                    most_stock=most_stock,
                )
            )
        plans = reached
    # A plan that ends with stock can always make less of its last lot.
    return _costed(periods, [Decimal(m) for m in plans[0][1]], unit_cost=unit_cost)
