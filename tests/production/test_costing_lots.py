"""The cost of a lot, back through splits and batches."""

from decimal import Decimal

import pytest

from production.costing.breakdown import CostingError
from production.costing.lot_costs import DrawFact, LotCosts, LotFact

D = Decimal
FRUIT, FROZEN, PUREE, JARS, PEEL, OPENING = range(1, 7)


def make_costs(**draws):
    lots = {
        FRUIT: LotFact(code="F1", received=D(4000), cost=D(16)),
        FROZEN: LotFact(code="F2", received=D(1000), split_from=FRUIT),
        PUREE: LotFact(code="P1", received=D(800), made_by=10),
        JARS: LotFact(code="J1", received=D(8), made_by=20, share=D("0.75")),
        PEEL: LotFact(code="J2", received=D(100), made_by=20, share=D("0.25")),
        OPENING: LotFact(code="J3", received=D(10), cost=D(25)),
    }
    batches = {
        10: [DrawFact(lot=FROZEN, quantity=D(1000))],
        20: [
            DrawFact(lot=PUREE, quantity=D(800)),
            DrawFact(lot=FRUIT, quantity=D(1000)),
        ],
    }
    return LotCosts(lots=lots, draws=batches | draws.get("draws", {}))


@pytest.mark.parametrize(
    ("lot", "unit"),
    [
        (FRUIT, "0.004"),
        (FROZEN, "0.004"),
        (PUREE, "0.005"),
        (JARS, "0.75"),  # three quarters of 8.00 over eight jars
        (PEEL, "0.02"),
        (OPENING, "2.5"),
    ],
)
def test_the_cost_of_a_lot_is_that_of_what_it_came_from(lot, unit):
    assert make_costs().unit_cost(lot) == D(unit)


def test_outputs_carry_the_whole_batch():
    costs = make_costs()
    carried = 8 * costs.unit_cost(JARS) + 100 * costs.unit_cost(PEEL)
    assert carried == costs.batch_cost(20) == D(8)


def test_a_batch_that_drew_nothing_costs_nothing():
    assert make_costs().batch_cost(99) == 0


def test_a_made_lot_without_recorded_draws_keeps_the_cost_entered():
    lot = LotFact(code="old", received=D(4), cost=D(10), made_by=77)
    assert LotCosts(lots={1: lot}, draws={}).unit_cost(1) == D("2.5")


def test_a_lot_of_nothing_costs_nothing():
    lot = LotFact(code="empty", received=D(0), cost=D(10))
    assert LotCosts(lots={1: lot}, draws={}).unit_cost(1) == 0


def test_a_lot_made_from_itself_is_refused():
    costs = make_costs(draws={10: [DrawFact(lot=PUREE, quantity=D(1))]})
    with pytest.raises(CostingError, match="P1 was made from itself"):
        costs.unit_cost(PUREE)
