"""A market day from the packing list to the cash box."""

import datetime
import uuid
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from inventory import ledger, markets, selectors
from inventory.ledger import NotEnoughError, Stamp
from inventory.markets import MarketError
from inventory.models import MarketDay, Movement
from inventory.reconciliation import DayCount, ReconciliationError
from tests.factories import (
    NOW,
    TODAY,
    make_lot,
    make_market_day,
    make_outlet,
    make_price,
    make_product,
)

pytestmark = pytest.mark.django_db

STAMP = Stamp(on=TODAY, at=NOW)


@pytest.fixture
def product():
    product = make_product()
    make_price(product, price=Decimal("9.00"))
    make_price(product, price=Decimal("8.00"), outlet_kind="gate")
    return product


@pytest.fixture
def lot(product):
    return make_lot(product=product, quantity=30, released_at=NOW)


@pytest.fixture
def day():
    return make_market_day()


def count(**jars):
    return DayCount(**{name: Decimal(value) for name, value in jars.items()})


def written(day):
    found = {}
    for row in Movement.objects.filter(market_day=day):
        where = "stall" if row.place_id else "home"
        key = (row.reason, where)
        found[key] = found.get(key, 0) + int(row.quantity)
    return {key: value for key, value in found.items() if value}


def test_a_planned_day_takes_over_what_the_outlet_costs():
    outlet = make_outlet(day_fee=Decimal(35), distance_km=Decimal(64), hours=Decimal(6))
    day = markets.plan_day(outlet=outlet, on=TODAY)
    assert (day.day_fee, day.distance_km, day.hours) == (35, 64, 6)
    assert markets.plan_day(outlet=outlet, on=TODAY) == day


def test_packing_takes_the_oldest_jars_that_still_last(product, day):
    in_days = lambda days: TODAY + datetime.timedelta(days=days)  # noqa: E731
    values = {"product": product, "released_at": NOW}
    make_lot(**values, quantity=9, best_by=in_days(20))  # less than a quarter year left
    younger = make_lot(**values, quantity=9, best_by=in_days(300))
    older = make_lot(**values, quantity=5, best_by=in_days(150))
    make_lot(product=product, quantity=9, best_by=in_days(120))  # held
    assert markets.pack_product(day=day, product=product, jars=8) == 0
    packed = {line.lot: line.packed for line in day.lines.all()}
    assert packed == {older: 5, younger: 3}


def test_packing_again_rewrites_the_list_and_says_what_is_short(product, lot, day):
    markets.pack_product(day=day, product=product, jars=8)
    assert markets.pack_product(day=day, product=product, jars=40) == 10
    assert day.lines.get().packed == 30
    markets.pack_product(day=day, product=product, jars=0)
    assert not day.lines.exists()


def test_a_day_that_balances(lot, day):
    """24 taken = 17 sold + 1 sampled + 6 brought back."""
    markets.take_out(day=day, taken={lot: 24}, stamp=STAMP)
    assert ledger.balance(lot, day.outlet) == 24
    counted = count(taken=24, sold=17, sampled=1, back=6)
    markets.count_back(day=day, counts={lot: counted}, stamp=STAMP)
    assert written(day) == {
        ("moved", "home"): -18,
        ("moved", "stall"): 18,
        ("sold", "stall"): -17,
        ("sampled", "stall"): -1,
    }
    assert ledger.balance(lot, day.outlet) == 0
    assert selectors.day_count(day).unaccounted == 0
    day.refresh_from_db()
    assert day.status == MarketDay.Status.COUNTED


def test_a_missing_jar_is_written_off_and_shown(lot, day):
    markets.take_out(day=day, taken={lot: 24}, stamp=STAMP)
    counted = count(taken=24, sold=16, sampled=1, back=6)
    markets.count_back(day=day, counts={lot: counted}, stamp=STAMP)
    assert written(day)[("missing", "stall")] == -1
    assert selectors.day_count(day).unaccounted == 1


figures = st.builds(
    lambda *parts: count(
        taken=sum(parts),
        **dict(
            zip(["sold", "sampled", "broken", "given", "back"], parts, strict=False)
        ),
    ),
    *[st.integers(0, 5)] * 6,
)


@given(entries=st.lists(figures, min_size=1, max_size=3))
@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_only_the_last_entry_counts_however_often_it_is_entered(product, entries):
    """The ledger after any corrections says what one single entry would have said."""
    day = make_market_day()
    lot = make_lot(product=product, quantity=60, released_at=NOW)
    for counted in [*entries, entries[-1]]:
        markets.count_back(day=day, counts={lot: counted}, stamp=STAMP)
    last = entries[-1]
    sums = {
        reason: -Movement.objects.filter(lot=lot, market_day=day, reason=reason).total()
        for reason in ("sold", "sampled", "broken", "given", "missing")
    }
    assert sums == {
        "sold": last.sold,
        "sampled": last.sampled,
        "broken": last.broken,
        "given": last.given,
        "missing": last.unaccounted,
    }
    assert ledger.balance(lot, day.outlet) == 0
    assert ledger.balance(lot) == 60 - last.taken + last.back


def test_entering_the_same_figures_again_writes_nothing(lot, day):
    counted = count(taken=10, sold=4, back=6)
    markets.count_back(day=day, counts={lot: counted}, stamp=STAMP)
    rows = Movement.objects.count()
    markets.count_back(day=day, counts={lot: counted}, stamp=STAMP)
    assert Movement.objects.count() == rows


def test_more_found_than_taken_is_refused(lot, day):
    with pytest.raises(MarketError, match=r"25 jars of .* but 24 were taken"):
        markets.count_back(
            day=day, counts={lot: count(taken=24, sold=19, back=6)}, stamp=STAMP
        )
    assert not Movement.objects.filter(market_day=day).exists()


def test_more_than_there_is_cannot_be_taken(lot, day):
    with pytest.raises(NotEnoughError):
        markets.take_out(day=day, taken={lot: 31}, stamp=STAMP)


def test_sales_carry_price_and_tax_of_the_place(lot):
    day = make_market_day(outlet=make_outlet(sales_tax=Decimal("0.06875")))
    markets.count_back(day=day, counts={lot: count(taken=10, sold=10)}, stamp=STAMP)
    sale = Movement.objects.get(market_day=day, reason="sold")
    assert sale.unit_price == 9
    assert sale.sales_tax == Decimal("6.19")
    assert selectors.day_takings(day) == 90


def test_a_price_put_right_rewrites_the_sale(lot, day):
    counts = {lot: count(taken=10, sold=10)}
    markets.count_back(day=day, counts=counts, stamp=STAMP)
    line = day.lines.get()
    line.unit_price = Decimal("8.50")
    line.save()
    markets.count_back(day=day, counts=counts, stamp=STAMP)
    sales = Movement.objects.filter(market_day=day, reason="sold")
    assert sales.total() == -10
    assert sum(-row.quantity * row.unit_price for row in sales) == 85


def test_a_sale_needs_a_price(day):
    lot = make_lot(product=make_product(), quantity=5, released_at=NOW)
    with pytest.raises(MarketError, match="has no price at a market"):
        markets.count_back(day=day, counts={lot: count(taken=5, sold=5)}, stamp=STAMP)


def test_one_touch_at_the_stall(lot, day):
    markets.take_out(day=day, taken={lot: 5}, stamp=STAMP)
    touch = Stamp(on=TODAY, at=NOW, token=uuid.uuid4())
    for _ in range(2):
        markets.record(day=day, lot=lot, reason="sampled", stamp=touch)
    assert day.lines.get().sampled == 1
    assert written(day)[("sampled", "stall")] == -1
    markets.record(day=day, lot=lot, reason="sampled", stamp=STAMP, jars=-1)
    assert day.lines.get().sampled == 0
    assert ("sampled", "stall") not in written(day)


def test_one_touch_knows_three_reasons_and_the_jars_taken(lot, day):
    with pytest.raises(MarketError, match="sampled, broken, given"):
        markets.record(day=day, lot=lot, reason="sold", stamp=STAMP)
    with pytest.raises(MarketError, match="was not taken"):
        markets.record(day=day, lot=lot, reason="broken", stamp=STAMP)
    markets.take_out(day=day, taken={lot: 1}, stamp=STAMP)
    with pytest.raises(MarketError, match="2 jars of"):
        markets.record(day=day, lot=lot, reason="broken", stamp=STAMP, jars=2)


def test_the_sold_out_hour_is_kept_once(product, day):
    markets.mark_sold_out(day=day, product=product, at=None)
    mark = markets.mark_sold_out(day=day, product=product, at=datetime.time(10, 40))
    assert day.sold_out_marks.get() == mark
    assert mark.at == datetime.time(10, 40)
    markets.unmark_sold_out(day=day, product=product)
    assert not day.sold_out_marks.exists()


def test_cashing_up_shows_the_difference(lot, day):
    """Common practice: float 60 + expected 153 - card 54 = 159; 157 counted, -2."""
    counted = count(taken=20, sold=17, back=3)
    markets.count_back(day=day, counts={lot: counted}, stamp=STAMP)
    box = markets.cash_up(
        day=day, float_in=Decimal(60), card=Decimal(54), counted=Decimal(157)
    )
    assert (box.expected, box.cash_expected, box.difference) == (153, 159, -2)
    assert selectors.cash_up(MarketDay.objects.get(pk=day.pk)) == box


def test_the_float_goes_on_to_the_next_day(day):
    assert selectors.last_float(before=TODAY) is None
    markets.cash_up(day=day, float_in=Decimal(60), counted=Decimal(60))
    tomorrow = TODAY + datetime.timedelta(days=1)
    assert selectors.last_float(before=tomorrow) == 60
    markets.cash_up(
        day=day, float_in=Decimal(60), counted=Decimal(60), float_out=Decimal(45)
    )
    assert selectors.last_float(before=tomorrow) == 45


def test_no_box_before_it_is_counted_and_none_below_zero(day):
    assert selectors.cash_up(day) is None
    with pytest.raises(ReconciliationError):
        markets.cash_up(day=day, float_in=Decimal(-1), counted=Decimal(0))


def test_a_day_is_called_off_only_when_nothing_is_out(lot, day):
    markets.take_out(day=day, taken={lot: 5}, stamp=STAMP)
    with pytest.raises(MarketError, match="count them back"):
        markets.cancel(day=day)
    markets.take_out(day=day, taken={lot: 0}, stamp=STAMP)
    assert markets.cancel(day=day, note="storm").status == MarketDay.Status.CANCELLED
    with pytest.raises(MarketError, match="cancelled"):
        markets.pack(day=day, jars={lot: 1})
    with pytest.raises(MarketError, match="cancelled"):
        markets.count_back(day=day, counts={}, stamp=STAMP)


def test_selling_at_the_gate_is_one_touch(lot):
    gate = make_outlet(kind="gate", weekday=None)
    touch = Stamp(on=TODAY, at=NOW, token=uuid.uuid4())
    for _ in range(2):
        sale = markets.sell_direct(outlet=gate, lot=lot, jars=2, stamp=touch)
    assert (sale.quantity, sale.unit_price, sale.place) == (-2, 8, gate)
    assert ledger.balance(lot) == 28


def test_only_priced_jars_sell_at_the_gate(lot):
    with pytest.raises(MarketError, match="has no price"):
        markets.sell_direct(
            outlet=make_outlet(kind="gifts"), lot=lot, jars=1, stamp=STAMP
        )
    with pytest.raises(ledger.LedgerError, match="not a lot of jars"):
        markets.sell_direct(outlet=make_outlet(), lot=make_lot(), jars=1, stamp=STAMP)
