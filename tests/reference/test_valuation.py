"""Published examples of valuing stock, each with its source."""

from decimal import Decimal

import pytest

from inventory.valuation import (
    Method,
    Movement,
    last_cost,
    periodic_average,
    value_history,
)


def make_history(*steps):
    """(quantity, unit cost) comes in; a negative number leaves."""
    rows = []
    for number, step in enumerate(steps):
        if isinstance(step, tuple):
            quantity, unit = Decimal(step[0]), Decimal(step[1])
            cost = quantity * unit
        else:
            quantity, cost = Decimal(step), None
        rows.append(
            Movement(ref=str(number), item="goods", quantity=quantity, cost=cost)
        )
    return rows


# V1: a course sheet on first in first out and weighted average
# (coursehero.com/file/6386813, read in full).
COURSE_SHEET = make_history(
    (300, "20.00"), (100, "20.20"), (200, "20.70"), (200, "21.00"), -450
)
# V2: an analyst course text, "Analysis of Inventories" (mohasaba.net topic 225773).
ANALYST_TEXT = make_history((2, "2"), (3, "3"), (5, "5"), -7)
# V3: a worked answer (wizedu.com/questions/41384).
WORKED_ANSWER = make_history((8, "4"), (20, "4.50"), (20, "5"), -40)
# V4: an accounting textbook's perpetual record (coursehero.com/file/p3asc8l).
PERPETUAL = make_history((10, "91"), (15, "106"), -20, (20, "115"), (10, "119"), -23)


@pytest.mark.parametrize(
    ("history", "left", "on_hand"),
    [
        pytest.param(COURSE_SHEET, "9055", "7305", id="V1"),
        pytest.param(ANALYST_TEXT, "23", "15", id="V2"),
        pytest.param(WORKED_ANSWER, "182", "40", id="V3"),
        pytest.param(PERPETUAL, "4570", "1420", id="V4"),
    ],
)
def test_first_in_first_out(history, left, on_hand):
    value = value_history(history, method=Method.FIFO)
    assert value.left_cost == Decimal(left)
    assert value.on_hand_cost == Decimal(on_hand)


@pytest.mark.parametrize(
    ("history", "unit", "left", "on_hand"),
    [
        pytest.param(COURSE_SHEET, "20.45", "9202.50", "7157.50", id="V1"),
        pytest.param(ANALYST_TEXT, "3.80", "26.60", "11.40", id="V2"),
        pytest.param(WORKED_ANSWER, "4.625", "185", "37", id="V3"),
    ],
)
def test_one_average_for_the_period(history, unit, left, on_hand):
    average = periodic_average(history)
    assert average.unit_cost == Decimal(unit)
    assert average.left_cost == Decimal(left)
    assert average.on_hand_cost == Decimal(on_hand)


def test_moving_average_equals_the_periods_when_nothing_left_between_v1():
    value = value_history(COURSE_SHEET, method=Method.AVERAGE)
    assert value.on_hand_cost == Decimal("7157.50")


def test_goods_available_and_last_cost_of_the_course_sheet_v1():
    assert periodic_average(COURSE_SHEET).available_cost == Decimal(16360)
    # Worked out here, not printed: closing stock at the last cost.
    assert 350 * last_cost(COURSE_SHEET) == Decimal(7350)


def test_each_issue_of_the_perpetual_record_v4():
    value = value_history(PERPETUAL, method=Method.FIFO)
    issues = [e.cost for e in value.entries if e.movement.quantity < 0]
    assert issues == [Decimal(1970), Decimal(2600)]


def test_moving_average_of_the_perpetual_record_v5():
    # Worked out here; the textbook's own answer agrees as remembered (memory).
    value = value_history(PERPETUAL, method=Method.AVERAGE)
    issues = [e for e in value.entries if e.movement.quantity < 0]
    assert [e.unit_cost for e in issues] == [Decimal(100), Decimal(114)]
    assert [e.cost for e in issues] == [Decimal(2000), Decimal(2622)]
    assert value.on_hand_cost == Decimal(1368)


def test_periodic_and_moving_average_differ_v6():
    # Worked out here: 4,683.09 against 4,622.00 of V5.
    average = periodic_average(PERPETUAL)
    assert round(average.unit_cost, 4) == Decimal("108.9091")
    assert round(average.left_cost, 2) == Decimal("4683.09")
