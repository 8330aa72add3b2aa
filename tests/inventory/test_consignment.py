"""Shops: left, sold, returned, missing, and what is due."""

import datetime
from decimal import Decimal

import pytest

from inventory import consignment, ledger, selectors
from inventory.consignment import ConsignmentError, ShopFigures
from inventory.ledger import Stamp
from inventory.models import ConsignmentVisit, Movement
from tests.factories import NOW, TODAY, make_lot, make_outlet, make_price, make_product

pytestmark = pytest.mark.django_db

STAMP = Stamp(on=TODAY, at=NOW)
NEXT = TODAY + datetime.timedelta(days=30)


@pytest.fixture
def shop():
    return make_outlet(kind="consignment", name="Corner Shop")


@pytest.fixture
def lot():
    product = make_product()
    make_price(product, price=Decimal("8.00"), outlet_kind="consignment")
    make_price(product, price=Decimal("5.00"), outlet_kind="wholesale")
    return make_lot(product=product, quantity=24, released_at=NOW)


def visit(shop, lot, *, on=TODAY, **figures):
    return consignment.visit(
        shop=ConsignmentVisit(outlet=shop, on=on, commission=Decimal("0.30")),
        figures={lot: ShopFigures(**figures)},
        stamp=STAMP,
    )


def test_a_visit_settles_what_was_left(shop, lot):
    """12 left, 7 sold, 4 returned, 1 missing; 7 x 8.00 x 70 % = 39.20 due."""
    visit(shop, lot, left=12)
    assert ledger.balance(lot, shop) == 12
    second = visit(shop, lot, on=NEXT, sold=7, returned=4)
    statement = selectors.statement(second)
    (line,) = statement.lines
    assert (line.line.was_there, line.line.missing, line.stays) == (12, 1, 0)
    assert (statement.due, statement.commission) == (
        Decimal("39.20"),
        Decimal("16.80"),
    )
    assert ledger.balance(lot) == 16
    assert ledger.balance(lot, shop) == 0


def test_the_missing_jar_is_a_write_off_at_the_shop(shop, lot):
    visit(shop, lot, left=12)
    visit(shop, lot, on=NEXT, sold=7, returned=4)
    row = Movement.objects.get(reason="missing")
    assert (row.place, row.quantity, row.lot) == (shop, -1, lot)
    assert "Corner Shop" in row.cause


def test_jars_that_stay_are_there_at_the_next_visit(shop, lot):
    visit(shop, lot, left=12)
    second = visit(shop, lot, on=NEXT, sold=5, still_there=7, left=3)
    (line,) = selectors.statement(second).lines
    assert (line.line.missing, line.stays) == (0, 10)
    assert ledger.balance(lot, shop) == 10


def test_entering_a_visit_again_puts_it_right(shop, lot):
    visit(shop, lot, left=12)
    for _ in range(2):
        visit(shop, lot, on=NEXT, sold=7, returned=4)
    again = visit(shop, lot, on=NEXT, sold=8, returned=4)
    assert shop.visits.count() == 2
    assert again.lines.get().was_there == 12
    assert Movement.objects.filter(visit=again, reason="sold").total() == -8
    assert Movement.objects.filter(visit=again, reason="missing").total() == 0


def test_more_found_than_left_is_refused(shop, lot):
    visit(shop, lot, left=12)
    with pytest.raises(ConsignmentError, match=r"13 jars of .* but 12 were left"):
        visit(shop, lot, on=NEXT, sold=9, returned=4)


def test_an_earlier_visit_is_not_rewritten(shop, lot):
    visit(shop, lot, on=NEXT, left=12)
    with pytest.raises(ConsignmentError, match="later visit"):
        visit(shop, lot, left=10)


def test_a_shop_sells_at_a_price(shop):
    lot = make_lot(product=make_product(), quantity=9, released_at=NOW)
    with pytest.raises(ConsignmentError, match="has no price at a shop on consignment"):
        visit(shop, lot, left=3)
    assert visit(shop, lot, left=3, unit_price=Decimal(7)).lines.get().unit_price == 7


def test_a_shop_that_buys_is_sold_to_at_once(lot):
    buyer = make_outlet(kind="wholesale")
    delivered = consignment.deliver(
        shop=ConsignmentVisit(outlet=buyer, on=TODAY, commission=Decimal(0)),
        jars={lot: 10},
        stamp=STAMP,
    )
    assert selectors.statement(delivered).due == 50
    assert ledger.balance(lot, buyer) == 0
    assert ledger.balance(lot) == 14


def test_a_delivery_entered_again_is_put_right(lot):
    buyer = make_outlet(kind="wholesale")
    for jars in (10, 10, 8):
        delivered = consignment.deliver(
            shop=ConsignmentVisit(outlet=buyer, on=TODAY, commission=Decimal(0)),
            jars={lot: jars},
            stamp=STAMP,
        )
    assert selectors.statement(delivered).due == 40
    assert ledger.balance(lot) == 16
    assert buyer.visits.count() == 1


def test_a_shop_on_consignment_does_not_buy_outright(shop, lot):
    with pytest.raises(ConsignmentError, match="enter a visit instead"):
        consignment.deliver(
            shop=ConsignmentVisit(outlet=shop, on=TODAY, commission=Decimal(0)),
            jars={lot: 1},
            stamp=STAMP,
        )


def test_what_is_due_is_marked_as_paid(shop, lot):
    made = visit(shop, lot, left=1)
    assert consignment.pay(shop=made, on=NEXT).paid_on == NEXT
    assert consignment.pay(shop=made, on=None).paid_on is None
    with pytest.raises(ConsignmentError, match="before the visit"):
        consignment.pay(shop=made, on=TODAY - datetime.timedelta(days=1))
