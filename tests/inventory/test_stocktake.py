"""A count sets the book right, row by row, each with its reason."""

from dataclasses import replace
from decimal import Decimal

import pytest

from inventory import ledger
from inventory.ledger import Stamp
from inventory.models import Movement, StockCount
from inventory.stocktake import StocktakeError, lines_to_count, record
from tests.factories import (
    NOW,
    TODAY,
    make_lot,
    make_outlet,
    make_product,
)

pytestmark = pytest.mark.django_db
D = Decimal
STAMP = Stamp(on=TODAY, at=NOW)


def counted(line, figure, reason="counted"):
    return replace(line, counted=D(figure), reason=reason)


def test_every_lot_is_listed_at_each_place_it_is_at():
    lot = make_lot(product=make_product(), quantity=12, released_at=NOW)
    outlet = make_outlet()
    ledger.move(lot=lot, quantity=D(5), stamp=STAMP, target=outlet)
    make_lot(quantity=0)
    lines = lines_to_count()
    assert [(line.place, line.expected) for line in lines] == [(None, 7), (outlet, 5)]


def test_a_difference_becomes_a_row_that_points_at_the_stocktake():
    make_lot(quantity=100)
    (line,) = lines_to_count()
    stocktake = record(lines=[counted(line, 90)], stamp=STAMP, note="new year")
    row = Movement.objects.get(count=stocktake)
    assert (row.quantity, row.reason) == (D(-10), "counted")
    assert str(stocktake) == f"stocktake of {TODAY}"


def test_a_known_reason_is_kept():
    make_lot(quantity=100)
    (line,) = lines_to_count()
    record(lines=[counted(line, 90, "spoiled")], stamp=STAMP)
    assert Movement.objects.filter(reason="spoiled", quantity=-10).count() == 1


def test_more_than_the_book_says_is_taken_in():
    make_lot(quantity=100)
    (line,) = lines_to_count()
    record(lines=[counted(line, 103)], stamp=STAMP)
    assert lines_to_count()[0].expected == 103


def test_what_agrees_or_was_not_counted_writes_no_row():
    make_lot(quantity=100)
    make_lot(quantity=50)
    first, second = lines_to_count()
    record(lines=[counted(first, first.expected), second], stamp=STAMP)
    assert Movement.objects.filter(count__isnull=False).count() == 0
    assert StockCount.objects.count() == 1


def test_more_cannot_be_broken():
    make_lot(quantity=100)
    (line,) = lines_to_count()
    with pytest.raises(StocktakeError, match=r"^3 more .* not broken"):
        record(lines=[counted(line, 103, "broken")], stamp=STAMP)
    assert StockCount.objects.count() == 0


def test_a_book_that_moved_meanwhile_is_counted_again():
    lot = make_lot(quantity=100)
    (line,) = lines_to_count()
    ledger.draw(lot=lot, quantity=D(10), stamp=STAMP)
    with pytest.raises(StocktakeError, match="open the sheet again"):
        record(lines=[counted(line, 95)], stamp=STAMP)


def test_an_empty_count_is_refused():
    make_lot(quantity=100)
    with pytest.raises(StocktakeError, match="nothing was counted"):
        record(lines=lines_to_count(), stamp=STAMP)


def test_a_lot_used_up_in_odd_portions_is_not_listed():
    lot = make_lot(quantity=D("907.185"))
    for portion in ("302.395", "302.395", "302.395"):
        ledger.draw(lot=lot, quantity=D(portion), stamp=STAMP)
    lot = make_lot(quantity=D("0.3"))
    ledger.draw(lot=lot, quantity=D("0.1"), stamp=STAMP)
    assert [line.expected for line in lines_to_count()] == [D("0.200")]
