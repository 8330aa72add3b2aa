"""Lots over time against every possible plan, and what is refused."""

from decimal import Decimal
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from production.planning.lot_sizing import (
    LotSizingError,
    Period,
    SteadyDemand,
    cheapest_lots,
    cheapest_lots_within_capacity,
    growing_lots,
    lot_for_lot,
)

PERIODS = st.lists(
    st.builds(
        Period,
        demand=st.integers(0, 9).map(Decimal),
        set_up_cost=st.integers(0, 20).map(Decimal),
        holding_cost=st.integers(0, 3).map(Decimal),
    ),
    min_size=1,
    max_size=6,
)


def make_periods(demand, set_up, holding):
    return [
        Period(
            demand=Decimal(d),
            set_up_cost=Decimal(set_up),
            holding_cost=Decimal(holding),
        )
        for d in demand
    ]


def cost_of(periods, starts):
    """Cost when lots begin in the periods marked, each covering up to the next."""
    cost = Decimal(0)
    for t, period in enumerate(periods):
        made_in = max(s for s in range(t + 1) if starts[s])
        cost += period.demand * sum(p.holding_cost for p in periods[made_in:t])
    for t, period in enumerate(periods):
        after = next((s for s in range(t + 1, len(periods)) if starts[s]), len(periods))
        if starts[t] and any(p.demand for p in periods[t:after]):
            cost += period.set_up_cost
    return cost


@settings(max_examples=60)
@given(periods=PERIODS)
def test_the_recursion_finds_the_cheapest_of_all_plans(periods):
    others = product([True, False], repeat=len(periods) - 1)
    best = min(cost_of(periods, (True, *rest)) for rest in others)
    assert cheapest_lots(periods).cost == best


@settings(max_examples=60)
@given(periods=PERIODS)
def test_no_rule_of_thumb_beats_the_cheapest_plan(periods):
    best = cheapest_lots(periods).cost
    assert growing_lots(periods).cost >= best
    assert lot_for_lot(periods).cost >= best


@settings(max_examples=60)
@given(periods=PERIODS)
def test_every_plan_makes_what_is_wanted(periods):
    wanted = sum(p.demand for p in periods)
    for plan in (cheapest_lots, growing_lots, lot_for_lot):
        assert sum(plan(periods).quantities) == wanted


def test_what_cannot_be_answered_is_refused():
    with pytest.raises(LotSizingError, match="above nought"):
        SteadyDemand(order_cost=0, holding_cost=1, demand=1)
    with pytest.raises(LotSizingError, match="never catches up"):
        SteadyDemand(order_cost=1, holding_cost=1, demand=2, making_rate=1)
    with pytest.raises(LotSizingError, match="cost of waiting"):
        SteadyDemand(order_cost=1, holding_cost=1, demand=2, waiting_cost=0)
    with pytest.raises(LotSizingError, match="below nought"):
        make_periods([-1], 1, 1)


def test_too_little_capacity_is_refused():
    with pytest.raises(LotSizingError, match="period 2 wants 9"):
        cheapest_lots_within_capacity(
            make_periods([1, 9], 1, 1), capacity=3, most_stock=2
        )
