"""The value of stock: laws over random histories, and a second way of counting."""

from collections import deque
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.valuation import (
    Method,
    Movement,
    ShortStockError,
    UnknownCostError,
    ValuationError,
    last_cost,
    periodic_average,
    value_history,
)

CLOSE = Decimal("1e-15")


def make_receipt(ref, quantity, cost, *, item="sugar", lot=""):
    return Movement(
        ref=ref, item=item, lot=lot, quantity=Decimal(quantity), cost=Decimal(cost)
    )


def make_issue(ref, quantity, *, item="sugar", **more):
    return Movement(ref=ref, item=item, quantity=-Decimal(quantity), **more)


@st.composite
def histories(draw):
    """Receipts, issues by lot, returns of issues and corrections of receipts."""
    rows, on_hand, issued = [], {}, {}
    for n in range(draw(st.integers(1, 15))):
        kinds = ["buy"]
        stocked = [lot for lot, quantity in on_hand.items() if quantity > 0]
        kinds += ["issue", "correct"] if stocked else []
        kinds += ["return"] if any(issued.values()) else []
        kind, ref = draw(st.sampled_from(kinds)), f"row {n}"
        if kind == "buy":
            quantity = draw(st.integers(1, 50))
            cost = Decimal(draw(st.integers(0, 99_99))).scaleb(-2)
            rows.append(make_receipt(ref, quantity, cost, lot=ref))
            on_hand[ref] = quantity
        elif kind in {"issue", "correct"}:
            lot = draw(st.sampled_from(stocked))
            quantity = draw(st.integers(1, on_hand[lot]))
            undoes = lot if kind == "correct" else ""
            rows.append(make_issue(ref, quantity, lot=lot, reason=kind, undoes=undoes))
            on_hand[lot] -= quantity
            if kind == "issue":
                issued[ref] = quantity
        else:
            back = draw(st.sampled_from([r for r, q in issued.items() if q]))
            quantity = draw(st.integers(1, issued[back]))
            lot = next(row.lot for row in rows if row.ref == back)
            rows.append(
                Movement(
                    ref=ref,
                    item="sugar",
                    lot=lot,
                    quantity=Decimal(quantity),
                    reason="issue",
                    undoes=back,
                )
            )
            issued[back] -= quantity
            on_hand[lot] += quantity
    return rows


@settings(max_examples=60)
@given(rows=histories(), method=st.sampled_from(Method))
def test_what_was_bought_is_on_hand_or_gone(rows, method):
    value = value_history(rows, method=method)
    assert abs(value.bought_cost - value.on_hand_cost - value.left_cost) < CLOSE


@settings(max_examples=60)
@given(rows=histories(), method=st.sampled_from(Method))
def test_the_ledger_is_worth_the_sum_of_its_lots(rows, method):
    value = value_history(rows, method=method)
    ledger = sum(
        entry.cost if entry.movement.quantity > 0 else -entry.cost
        for entry in value.entries
    )
    lots = sum(value.cost_by_lot().values(), Decimal(0))
    assert abs(ledger - lots) < CLOSE
    items = sum(value.cost_by_item().values(), Decimal(0))
    assert abs(lots - value.on_hand_cost) < CLOSE
    assert abs(items - value.on_hand_cost) < CLOSE


@settings(max_examples=60)
@given(rows=histories(), method=st.sampled_from(Method))
def test_lots_hold_what_the_ledger_sums_to(rows, method):
    counted = {}
    for row in rows:
        counted[row.lot] = counted.get(row.lot, 0) + row.quantity
    left = {lot: quantity for lot, quantity in counted.items() if quantity}
    assert value_history(rows, method=method).quantity_by_lot() == left


@settings(max_examples=60)
@given(rows=histories(), method=st.sampled_from(Method))
def test_no_cost_is_ever_below_nought(rows, method):
    value = value_history(rows, method=method)
    assert all(entry.cost >= 0 for entry in value.entries)
    assert all(layer.cost >= -CLOSE for layer in value.layers)


def queue_of_units(rows):
    """First in, first out, one piece at a time, in exact fractions."""
    queue, gone = deque(), Fraction(0)
    for row in rows:
        if row.quantity > 0:
            unit = Fraction(row.cost) / int(row.quantity)
            queue.extend([unit] * int(row.quantity))
        else:
            gone += sum(queue.popleft() for _ in range(-int(row.quantity)))
    return gone, sum(queue, Fraction(0))


def running_average(rows):
    """Moving average in exact fractions: one heap of quantity and value."""
    quantity, value, gone = 0, Fraction(0), Fraction(0)
    for row in rows:
        if row.quantity > 0:
            value += Fraction(row.cost)
        else:
            left = value * int(-row.quantity) / quantity
            value, gone = value - left, gone + left
        quantity += int(row.quantity)
    return gone, value


@st.composite
def simple_histories(draw):
    rows, on_hand = [], 0
    for n in range(draw(st.integers(1, 20))):
        if on_hand and draw(st.booleans()):
            quantity = draw(st.integers(1, on_hand))
            rows.append(make_issue(f"row {n}", quantity))
            on_hand -= quantity
        else:
            quantity = draw(st.integers(1, 30))
            cost = Decimal(draw(st.integers(0, 99_99))).scaleb(-2)
            rows.append(make_receipt(f"row {n}", quantity, cost))
            on_hand += quantity
    return rows


@settings(max_examples=60)
@given(rows=simple_histories())
def test_first_in_first_out_agrees_with_a_queue_of_single_pieces(rows):
    gone, left = queue_of_units(rows)
    value = value_history(rows, method=Method.FIFO)
    assert abs(Fraction(value.left_cost) - gone) < Fraction(CLOSE)
    assert abs(Fraction(value.on_hand_cost) - left) < Fraction(CLOSE)


@settings(max_examples=60)
@given(rows=simple_histories())
def test_average_agrees_with_one_running_heap(rows):
    gone, left = running_average(rows)
    value = value_history(rows, method=Method.AVERAGE)
    assert abs(Fraction(value.left_cost) - gone) < Fraction(CLOSE)
    assert abs(Fraction(value.on_hand_cost) - left) < Fraction(CLOSE)


def make_batch(*, shares=("1",)):
    rows = [
        make_receipt("fruit", 4000, "16.00", item="strawberries", lot="F1"),
        make_receipt("jars", 24, "12.00", item="half-pint jar", lot="J1"),
        make_issue("draw fruit", 2000, item="strawberries", lot="F1", batch="B"),
        make_issue("draw jars", 8, item="half-pint jar", lot="J1", batch="B"),
    ]
    outputs = [
        Movement(
            ref=f"out {n}",
            item=f"product {n}",
            lot=f"P{n}",
            quantity=Decimal(8),
            batch="B",
            share=Decimal(share),
        )
        for n, share in enumerate(shares)
    ]
    return rows + outputs


@pytest.mark.parametrize("method", Method)
def test_jars_carry_the_cost_of_what_their_batch_drew(method):
    value = value_history(make_batch(), method=method)
    assert value.cost_by_lot()["P0"] == Decimal("12.00")
    assert value.in_work == {}


def test_a_by_product_carries_its_share_of_the_batch():
    value = value_history(make_batch(shares=("0.75", "0.25")), method=Method.FIFO)
    assert value.cost_by_lot()["P0"] == Decimal("9.00")
    assert value.cost_by_lot()["P1"] == Decimal("3.00")


def test_a_batch_still_cooking_holds_its_cost_in_work():
    value = value_history(make_batch(shares=()), method=Method.FIFO)
    assert value.in_work == {"B": Decimal("12.00")}
    assert value.bought_cost == value.on_hand_cost + value.in_work["B"]


def test_a_failed_seal_leaves_at_cost_under_its_reason():
    rows = [*make_batch(), make_issue("seal", 1, item="product 0", reason="seal")]
    value = value_history(rows, method=Method.FIFO)
    assert value.left_cost_by_reason() == {"seal": Decimal("1.50")}


def test_a_corrected_draw_comes_off_its_batch():
    back = Movement(
        ref="too much",
        item="strawberries",
        lot="F1",
        quantity=Decimal(500),
        batch="B",
        undoes="draw fruit",
    )
    rows = make_batch()
    value = value_history([*rows[:4], back, rows[4]], method=Method.FIFO)
    assert value.cost_by_lot()["P0"] == Decimal("10.00")


def test_a_correction_after_the_batch_is_finished_stays_visible():
    back = Movement(
        ref="too much",
        item="strawberries",
        lot="F1",
        quantity=Decimal(500),
        batch="B",
        undoes="draw fruit",
    )
    value = value_history([*make_batch(), back], method=Method.FIFO)
    assert value.in_work == {"B": Decimal("-2.00")}
    on_hand = value.on_hand_cost + value.in_work["B"]
    assert value.bought_cost == on_hand


def test_a_taken_back_output_returns_its_cost_to_the_batch():
    undo = make_issue("undo", 8, item="product 0", lot="P0", batch="B", undoes="out 0")
    value = value_history([*make_batch(), undo], method=Method.FIFO)
    assert value.in_work == {"B": Decimal("12.00")}


def test_a_jar_found_at_the_stocktake_takes_its_lots_cost():
    rows = [
        make_receipt("bought", 10, "5.00", lot="A"),
        Movement(
            ref="count", item="sugar", lot="A", quantity=Decimal(1), reason="stocktake"
        ),
    ]
    value = value_history(rows, method=Method.FIFO)
    assert value.on_hand_cost == Decimal("5.50")
    assert value.left_cost_by_reason() == {"stocktake": Decimal("-0.50")}


def test_a_correction_of_a_receipt_takes_that_receipt_first():
    rows = [
        make_receipt("old", 10, "10.00"),
        make_receipt("new", 10, "30.00"),
        make_issue("back to the shop", 10, undoes="new", reason="returned"),
    ]
    value = value_history(rows, method=Method.FIFO)
    assert value.on_hand_cost == Decimal("10.00")


def test_every_draw_names_the_receipt_it_came_from():
    rows = [
        make_receipt("a", 3, "3.00"),
        make_receipt("b", 3, "6.00"),
        make_issue("c", 4),
    ]
    draws = value_history(rows, method=Method.FIFO).entries[-1].draws
    assert [(d.ref, d.quantity, d.cost) for d in draws] == [("a", 3, 3), ("b", 1, 2)]


def test_more_than_is_there_is_refused_with_the_figures():
    rows = [make_receipt("a", 3, "3.00", lot="A"), make_issue("b", 4, lot="A")]
    with pytest.raises(ShortStockError, match="4 of sugar left in b but only 3"):
        value_history(rows, method=Method.FIFO)


def test_what_comes_in_without_a_cost_is_refused():
    row = Movement(ref="gift", item="sugar", quantity=Decimal(1))
    with pytest.raises(UnknownCostError, match="enter what it cost"):
        value_history([row], method=Method.FIFO)
    with pytest.raises(UnknownCostError):
        periodic_average([row])


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"quantity": Decimal(0)}, "moves nothing"),
        ({"quantity": Decimal(-1), "cost": Decimal(1)}, "only what comes in"),
        ({"quantity": Decimal(1), "cost": Decimal(-1)}, "never below nought"),
        ({"quantity": Decimal(1), "share": Decimal(2)}, "between 0 and 1"),
    ],
)
def test_a_senseless_row_is_refused(fields, said):
    with pytest.raises(ValuationError, match=said):
        Movement(ref="row", item="sugar", **fields)


def test_two_rows_of_one_name_are_refused():
    row = make_receipt("a", 1, "1.00")
    with pytest.raises(ValuationError, match="two rows are called a"):
        value_history([row, row], method=Method.FIFO)


def test_a_period_cannot_lose_more_than_it_had():
    with pytest.raises(ShortStockError):
        periodic_average([make_receipt("a", 1, "1.00"), make_issue("b", 2)])
    with pytest.raises(ShortStockError):
        periodic_average([])


def test_the_last_cost_needs_a_purchase():
    with pytest.raises(ValuationError, match="nothing was bought yet"):
        last_cost([])
