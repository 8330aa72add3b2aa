"""A year of the book agrees with the ledger to the cent."""

import datetime
from decimal import Decimal

import pytest

from inventory.models import Movement, ValuationYear
from inventory.valuation import Method
from labels.models import PlaceProfile
from production.models import Batch, Expense
from production.selectors.year_books import year_books
from tests.factories import TODAY, make_lot, make_market_day, make_material, make_outlet
from tests.production.books_scene import Jam, make_row

pytestmark = pytest.mark.django_db
D = Decimal
Reason = Movement.Reason
DECEMBER = datetime.date(2026, 12, 31)
NEXT_YEAR = datetime.date(2027, 2, 1)


@pytest.fixture
def sold():
    """Eight jars made: three sold, one each sampled, eaten and failed, two left."""
    jam = Jam()
    jam.cook()
    make_row(jam.jars, -3, Reason.SOLD, unit_price=D(9), sales_tax=D("1.89"))
    make_row(jam.jars, -1, Reason.SAMPLED)
    make_row(jam.jars, -1, Reason.OWN_USE)
    make_row(jam.jars, -1, Reason.SEAL)
    return jam


def books(year=2026, today=DECEMBER):
    return year_books(year, today=today)


def test_opening_and_purchases_less_closing_is_what_left(sold):
    year = books()
    goods = year.goods
    assert (goods.purchases_cost, goods.supplies_cost) == (D(30), D(38))
    # eight jars of 2.3875 without the label: 11.50 + 7.60 over 8
    assert goods.own_use_cost == D("2.39")
    assert goods.closing_cost == D("53.68")
    assert year.check.between == D("14.32")
    assert sum(year.check.left.values()) == year.check.between
    assert goods.cost_of_goods_sold == D("11.93")


def test_stock_lines_add_to_the_closing_stock(sold):
    year = books()
    assert sum(line.cost for line in year.stock) == year.goods.closing_cost
    jars = next(line for line in year.stock if line.kind == "jars")
    assert (jars.quantity, jars.unit) == (D(2), "jars")


@pytest.mark.parametrize("method", Method)
def test_last_years_closing_is_this_years_opening(sold, method):
    ValuationYear.objects.create(year=2026, method=method)
    closing = books().goods.closing_cost
    assert books(2027, NEXT_YEAR).goods.opening_cost == closing
    assert books(2027, NEXT_YEAR).goods.cost_of_goods_sold == 0


def test_a_change_of_method_is_told_and_still_agrees(sold):
    dear = make_lot(material=sold.fruit, quantity=1000, cost=D(50), received_on=TODAY)
    make_row(dear, -500, Reason.SPOILED)
    ValuationYear.objects.create(year=2026, method="fifo")
    ValuationYear.objects.create(year=2027, method="average")
    year = books(2027, NEXT_YEAR)
    assert year.goods.method_changed
    assert year.goods.opening_cost == books().goods.closing_cost
    assert sum(year.check.left.values()) == year.check.between


def test_the_sellers_own_opening_value_stands(sold):
    ValuationYear.objects.create(year=2027, method="fifo", opening_value=D("60.00"))
    year = books(2027, NEXT_YEAR)
    assert year.goods.opening_cost == D("60.00")
    assert sum(year.check.left.values()) == year.check.between == D("6.32")


def test_a_first_stock_entered_this_year_is_opening_and_not_bought():
    Jam()
    lot = make_lot(quantity=0, material=make_material(), cost=D(7))
    make_row(lot, 100, Reason.OPENING)
    assert books().goods.opening_cost == D(7)


def test_what_is_in_the_pot_at_the_end_is_still_stock(sold):
    batch = sold.cook(code="26161BN")
    Batch.objects.filter(pk=batch.pk).update(status="cooking", finished_at=None)
    sold.jars.movements.all()
    year = books()
    assert sum(year.check.left.values()) == year.check.between


def test_months_hold_sales_purchases_and_write_offs(sold):
    Expense.objects.create(on=TODAY, kind="labour", text="help", amount=D(40))
    june = books().months[5]
    assert june.month == datetime.date(2026, 6, 1)
    assert (june.sales, june.sales_tax, june.jars_sold) == (D(27), D("1.89"), D(3))
    assert (june.purchases, june.supplies, june.expenses) == (D(30), D(38), D(40))
    assert june.written_off == D("7.16")
    assert len(books().months) == 12


def test_expenses_stand_on_their_lines(sold):
    for kind, amount in [("labour", 40), ("supplies", 5), ("other", 6), ("selling", 9)]:
        Expense.objects.create(on=TODAY, kind=kind, text=kind, amount=amount)
    goods = books().goods
    assert (goods.labour_cost, goods.supplies_cost, goods.other_cost) == (40, 43, 6)


def test_a_refund_lowers_the_years_sales_and_a_gift_is_no_sale(sold):
    make_row(sold.jars, 1, Reason.RETURNED, unit_price=D(9))
    make_row(sold.jars, -1, Reason.GIVEN)
    assert books().gross_sales == D(18)


def test_a_correction_lowers_a_sale(sold):
    first = sold.jars.movements.get(reason=Reason.SOLD)
    make_row(sold.jars, 1, Reason.SOLD, corrects=first, unit_price=D(9))
    year = books()
    assert year.gross_sales == D(18)
    assert sum(year.check.left.values()) == year.check.between


def test_write_offs_are_listed_at_cost_with_their_reason(sold):
    rows = {row.reason: (row.quantity, row.cost) for row in books().write_offs}
    assert rows["sampled"] == (D(1), D("2.39"))
    assert rows["seal failed"] == (D(1), D("2.39"))


def make_place(limits, kind="amount"):
    return PlaceProfile.objects.create(
        code="us-mn",
        place="Testland",
        country="US",
        completeness="ready",
        status="verified",
        citation="Test Act 1",
        read_on=TODAY,
        body={"annual_sales_cap": {"kind": kind, "limits": limits}},
    )


LIMIT = {
    "amount": 30,
    "currency": "USD",
    "comparison": "must_not_exceed",
    "basis": "gross_sales",
    "period": "calendar_year",
    "scope": "registrant",
    "as_of_year": 2021,
    "applies_to_jam": True,
    "note": "ask whether it changed",
}


def test_sales_stand_against_the_places_cap(sold):
    make_place([LIMIT])
    year = books()
    assert year.projection.sold == D(27)
    assert year.projection.is_near
    assert year.cap.words == (
        "gross sales must not exceed, per calendar year, per registrant"
    )
    assert year.cap.notes == ("ask whether it changed",)


def test_of_several_limits_the_newest_and_then_the_smallest_holds(sold):
    make_place(
        [
            LIMIT | {"amount": 10, "as_of_year": 2019},
            LIMIT | {"amount": 75, "as_of_year": 2022, "scope": "class A"},
            LIMIT | {"amount": 50, "as_of_year": 2022, "indexed": True},
            LIMIT | {"amount": 5, "as_of_year": 2030},
            LIMIT | {"amount": 1, "applies_to_jam": False},
        ]
    )
    cap = books().cap
    assert cap.amount == 50
    assert any("raised from year to year" in note for note in cap.notes)


@pytest.mark.parametrize("kind", ["none", "per_product"])
def test_a_place_without_one_amount_has_no_gauge(sold, kind):
    make_place([LIMIT], kind=kind)
    assert books().cap is None
    assert books().projection.fraction is None


def test_kilometres_come_from_the_days_unless_entered(sold):
    outlet = make_outlet()
    make_market_day(outlet=outlet, status="counted", distance_km=D(30))
    make_market_day(outlet=outlet, status="cancelled", distance_km=D(30), on=DECEMBER)
    assert (books().distance_km, books().market_days) == (D(30), 1)
    ValuationYear.objects.create(year=2026, method="fifo", mileage_km=D(412))
    assert books().distance_km == D(412)


def test_an_empty_book_has_a_year_of_nothing():
    year = books()
    assert year.goods.cost_of_goods_sold == 0
    assert year.check.left == {}
    assert year.gross_profit == 0
