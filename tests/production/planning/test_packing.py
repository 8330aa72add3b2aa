"""Packing lists: within stock and table, and never worse for more of either."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from production.planning.distributions import Beyond, Certain, Counts, DemandError
from production.planning.packing import (
    Good,
    PackingError,
    in_bad_weather,
    pack,
    pack_together,
)

goods = st.lists(
    st.builds(
        Good,
        product=st.uuids().map(str),
        demand=st.floats(0.1, 15).map(Counts.poisson),
        net_price=st.integers(300, 1200).map(lambda cents: Decimal(cents) / 100),
        home_worth=st.integers(0, 300).map(lambda cents: Decimal(cents) / 100),
        handling_cost=st.just(Decimal("0.05")),
        stock=st.integers(0, 20),
    ),
    min_size=1,
    max_size=5,
    unique_by=lambda good: good.product,
)


@settings(max_examples=60)
@given(goods, st.integers(0, 40))
def test_a_list_keeps_to_stock_and_table(shelf, places):
    packing = pack(shelf, places)
    assert packing.jars <= places
    assert all(packing.of(g.product).jars <= g.stock for g in shelf)
    assert all(line.worth >= 0 for line in packing.lines)


@settings(max_examples=60)
@given(goods, st.integers(0, 40))
def test_more_room_or_stock_never_earns_less(shelf, places):
    before = pack(shelf, places).worth
    fuller = [replace(good, stock=good.stock + 2) for good in shelf]
    assert pack(shelf, places + 3).worth >= before - 1e-9
    assert pack(fuller, places).worth >= before - 1e-9


@settings(max_examples=40)
@given(goods, st.integers(0, 30))
def test_one_market_packed_alone_or_by_flow_is_worth_the_same(shelf, places):
    nothing = [replace(good, stock=0) for good in shelf]
    both = pack_together({"a": (shelf, places), "b": (nothing, 0)})
    alone = pack(shelf, places).worth
    assert sum(p.worth for p in both.values()) == pytest.approx(alone, abs=1e-3)


def test_bad_weather_takes_fewer_and_keeps_firm_orders():
    fair = Good(
        product="plum",
        demand=Counts.poisson(10),
        net_price=Decimal(8),
        home_worth=Decimal(7),
        handling_cost=Decimal("0.30"),
        stock=30,
    )
    order = replace(fair, product="order", demand=Certain(jars=6))
    dry = pack([fair, order], None)
    wet = pack([in_bad_weather(fair), in_bad_weather(order)], None)
    assert wet.of("plum").jars < dry.of("plum").jars
    assert wet.of("order").jars == dry.of("order").jars == 6


def test_jars_that_stand_there_are_not_asked_for_again():
    demand = Counts.poisson(4)
    left = Beyond(demand=demand, there=3)
    assert left.at_least(1) == pytest.approx(demand.at_least(4))
    assert left.mean == pytest.approx(4 - demand.expected_sales(3))


def test_an_order_below_zero_is_refused():
    with pytest.raises(DemandError, match="below zero"):
        Certain(jars=-1)


def test_a_table_below_zero_is_refused():
    with pytest.raises(PackingError, match="-1 places"):
        pack([], -1)
