"""The verbs of the stock ledger: one row each, checked first, never changed."""

import datetime
import uuid
from decimal import Decimal

import pytest

from inventory import ledger
from inventory.ledger import LedgerError, Stamp
from inventory.ledger.errors import (
    AlreadyCorrectedError,
    NotAReasonError,
    NotEnoughError,
    NothingChangedError,
    NotMovableError,
    NotPositiveAmountError,
    NotReleasedError,
    StoppedError,
)
from inventory.models import Lot, Movement
from tests.factories import (
    NOW,
    TODAY,
    make_fruit,
    make_lot,
    make_market_day,
    make_material,
    make_outlet,
    make_owner,
    make_packaging,
    make_product,
)

pytestmark = pytest.mark.django_db

STAMP = Stamp(on=TODAY, at=NOW)


def make_jars(**overrides):
    values = {"product": make_product(), "quantity": 24, "released_at": NOW}
    return make_lot(**{**values, **overrides})


def test_receiving_makes_a_lot_with_its_first_row():
    person = make_owner()
    lot = ledger.receive(
        lot=Lot(material=make_material(), received_on=TODAY, cost=Decimal("8.50")),
        quantity=Decimal(5000),
        stamp=Stamp(on=TODAY, at=NOW, person=person, cause="bought"),
    )
    row = lot.movements.get()
    assert (row.quantity, row.reason, row.person) == (5000, "received", person)
    assert ledger.balance(lot) == 5000
    assert ledger.unit_cost(lot) == Decimal("0.0017")


def test_lots_of_a_day_are_numbered():
    codes = [
        ledger.receive(
            lot=Lot(material=make_material(), received_on=TODAY),
            quantity=Decimal(1),
            stamp=STAMP,
        ).code
        for _ in range(3)
    ]
    assert codes == ["26161-1", "26161-2", "26161-3"]


def test_a_code_in_use_is_passed_over():
    make_lot(code="26161-2")
    lot = Lot(material=make_material(), received_on=TODAY)
    assert ledger.receive(lot=lot, quantity=Decimal(1), stamp=STAMP).code == "26161-3"


def test_a_code_of_ones_own_is_kept():
    lot = Lot(material=make_material(), received_on=TODAY, code="26161AM")
    assert ledger.receive(lot=lot, quantity=Decimal(1), stamp=STAMP).code == "26161AM"


def test_receiving_takes_only_incoming_reasons():
    lot = Lot(material=make_material(), received_on=TODAY)
    with pytest.raises(NotAReasonError, match="received, opening stock"):
        ledger.receive(lot=lot, quantity=Decimal(1), stamp=STAMP, reason="sold")


def test_drawing_takes_from_the_lot():
    lot = make_lot(quantity=1000)
    row = ledger.draw(lot=lot, quantity=Decimal(400), stamp=STAMP)
    assert (row.quantity, row.reason) == (-400, "drawn")
    assert ledger.balance(lot) == 600


def test_more_than_there_is_cannot_be_drawn():
    lot = make_lot(quantity=1000, material=make_material(name="Sugar"), code="26161-9")
    with pytest.raises(NotEnoughError) as refused:
        ledger.draw(lot=lot, quantity=Decimal("1000.001"), stamp=STAMP)
    assert refused.value.there == 1000
    assert "2 lb 3.3 oz of 26161-9 Sugar are wanted at home" in str(refused.value)
    assert lot.movements.count() == 1


@pytest.mark.parametrize("quantity", [Decimal(0), Decimal(-1)])
def test_nothing_or_less_cannot_be_drawn(quantity):
    with pytest.raises(NotPositiveAmountError):
        ledger.draw(lot=make_lot(), quantity=quantity, stamp=STAMP)


def test_a_stopped_lot_does_not_leave():
    lot = make_jars(stopped_at=NOW)
    market = make_outlet()
    with pytest.raises(StoppedError, match="lift the stop first"):
        ledger.draw(lot=lot, quantity=Decimal(1), stamp=STAMP)
    with pytest.raises(StoppedError):
        ledger.move(lot=lot, quantity=Decimal(1), stamp=STAMP, target=market)
    with pytest.raises(StoppedError):
        ledger.write_off(lot=lot, quantity=Decimal(1), stamp=STAMP, reason="sampled")


def test_a_stopped_lot_can_be_written_off_and_carried_home():
    market = make_outlet()
    lot = make_jars()
    ledger.move(lot=lot, quantity=Decimal(2), stamp=STAMP, target=market)
    Lot.objects.filter(pk=lot.pk).update(stopped_at=NOW)
    ledger.move(lot=lot, quantity=Decimal(2), stamp=STAMP, source=market)
    ledger.write_off(lot=lot, quantity=Decimal(24), stamp=STAMP, reason="recalled")
    assert ledger.balance(lot) == 0


def test_held_jars_are_neither_sold_nor_carried_nor_given():
    lot = make_jars(released_at=None)
    market = make_outlet()
    for refused in (
        lambda: ledger.move(lot=lot, quantity=Decimal(1), stamp=STAMP, target=market),
        lambda: ledger.write_off(
            lot=lot, quantity=Decimal(1), stamp=STAMP, reason="given"
        ),
        lambda: ledger.sell(
            lot=lot,
            quantity=Decimal(1),
            stamp=STAMP,
            place=market,
            unit_price=Decimal(9),
        ),
    ):
        with pytest.raises(NotReleasedError, match="enter the seal check"):
            refused()


def test_moving_is_two_rows_and_keeps_the_total():
    lot = make_jars()
    market = make_outlet()
    left, arrived = ledger.move(
        lot=lot, quantity=Decimal(10), stamp=STAMP, target=market
    )
    assert (left.place, left.quantity) == (None, -10)
    assert (arrived.place, arrived.quantity) == (market, 10)
    assert ledger.balance(lot) == 14
    assert Lot.objects.with_balance().get(pk=lot.pk).balance == 24


def test_jars_do_not_move_to_where_they_are():
    with pytest.raises(NotMovableError, match="at home already"):
        ledger.move(lot=make_jars(), quantity=Decimal(1), stamp=STAMP)


def test_selling_needs_the_jars_to_be_there():
    lot = make_jars()
    market = make_outlet()
    with pytest.raises(NotEnoughError):
        ledger.sell(
            lot=lot,
            quantity=Decimal(1),
            stamp=STAMP,
            place=market,
            unit_price=Decimal(9),
        )


def test_a_sale_keeps_price_and_tax_apart():
    lot = make_jars()
    market = make_outlet()
    ledger.move(lot=lot, quantity=Decimal(3), stamp=STAMP, target=market)
    row = ledger.sell(
        lot=lot,
        quantity=Decimal(2),
        stamp=STAMP,
        place=market,
        unit_price=Decimal("9.00"),
        sales_tax=Decimal("1.24"),
    )
    assert (row.unit_price, row.sales_tax) == (Decimal("9.00"), Decimal("1.24"))
    assert ledger.balance(lot, market) == 1


@pytest.mark.parametrize("reason", ledger.WRITE_OFFS)
def test_each_write_off_has_its_reason(reason):
    lot = make_jars()
    row = ledger.write_off(lot=lot, quantity=Decimal(1), stamp=STAMP, reason=reason)
    assert (row.reason, row.quantity) == (reason, -1)


def test_a_sale_is_no_write_off():
    with pytest.raises(NotAReasonError, match="sampled, given away"):
        ledger.write_off(
            lot=make_jars(), quantity=Decimal(1), stamp=STAMP, reason="sold"
        )


def test_a_jar_brought_back_comes_in_with_its_refund():
    lot = make_jars()
    row = ledger.take_back(
        lot=lot, quantity=Decimal(1), stamp=STAMP, unit_price=Decimal("9.00")
    )
    assert (row.quantity, row.reason, row.unit_price) == (1, "returned", 9)
    assert ledger.balance(lot) == 25


def test_a_doubtful_jar_brought_back_does_not_reach_the_shelf():
    lot = make_jars()
    ledger.take_back(lot=lot, quantity=Decimal(1), stamp=STAMP, discard=True)
    assert ledger.balance(lot) == 24
    assert lot.movements.latest("pk").reason == "spoiled"


def test_freezing_a_part_keeps_weight_cost_and_descent():
    """5.5 kg of 8 kg are frozen: two lots, the weight kept, a use-by of its own."""
    fruit = make_fruit(frozen_days=300)
    lot = make_lot(material=fruit, quantity=8000, cost=Decimal("40.00"), origin="Farm")
    frozen = ledger.freeze(lot=lot, quantity=Decimal(5500), stamp=STAMP)
    assert (ledger.balance(lot), ledger.balance(frozen)) == (2500, 5500)
    assert (frozen.split_from, frozen.origin, frozen.is_frozen) == (lot, "Farm", True)
    assert frozen.best_by == TODAY + datetime.timedelta(days=300)
    assert frozen.cost == Decimal("27.5000")
    assert ledger.unit_cost(frozen) == ledger.unit_cost(lot)


def test_only_freezable_and_fresh_things_are_frozen():
    with pytest.raises(LedgerError, match="not marked as freezable"):
        ledger.freeze(lot=make_lot(), quantity=Decimal(1), stamp=STAMP)
    with pytest.raises(LedgerError, match="not marked as freezable"):
        ledger.freeze(lot=make_jars(), quantity=Decimal(1), stamp=STAMP)
    frozen = make_lot(material=make_fruit(), is_frozen=True)
    with pytest.raises(LedgerError, match="never freeze thawed fruit again"):
        ledger.freeze(lot=frozen, quantity=Decimal(1), stamp=STAMP)


def test_counting_writes_the_difference():
    lot = make_lot(material=make_packaging(), quantity=100)
    assert ledger.count(lot=lot, counted=Decimal(100), stamp=STAMP) is None
    row = ledger.count(lot=lot, counted=Decimal(97), stamp=STAMP)
    assert (row.quantity, row.reason) == (-3, "counted")
    assert ledger.count(lot=lot, counted=Decimal(99), stamp=STAMP).quantity == 2
    with pytest.raises(NotPositiveAmountError):
        ledger.count(lot=lot, counted=Decimal(-1), stamp=STAMP)


def test_a_correction_points_at_the_first_row_and_keeps_its_reason():
    lot = make_lot(quantity=1000)
    first = ledger.draw(lot=lot, quantity=Decimal(400), stamp=STAMP)
    row = ledger.correct(movement=first, quantity=Decimal(-350), stamp=STAMP)
    assert (row.quantity, row.reason, row.corrects) == (50, "drawn", first)
    again = ledger.correct(movement=first, quantity=Decimal(-360), stamp=STAMP)
    assert again.quantity == -10
    assert ledger.balance(lot) == 640


def test_a_corrected_receipt_changes_what_one_gram_cost():
    lot = make_lot(quantity=1000, cost=Decimal(9))
    ledger.correct(movement=lot.movements.get(), quantity=Decimal(900), stamp=STAMP)
    assert ledger.unit_cost(lot) == Decimal("0.01")


def test_a_corrected_sale_corrects_its_tax():
    lot = make_jars()
    market = make_outlet()
    ledger.move(lot=lot, quantity=Decimal(7), stamp=STAMP, target=market)
    sale = ledger.sell(
        lot=lot,
        quantity=Decimal(7),
        stamp=STAMP,
        place=market,
        unit_price=Decimal(9),
        sales_tax=Decimal("4.34"),
    )
    row = ledger.correct(movement=sale, quantity=Decimal(-6), stamp=STAMP)
    assert (row.quantity, row.sales_tax, row.unit_price) == (1, Decimal("-0.62"), 9)


def test_what_cannot_be_corrected_says_what_to_do():
    lot = make_jars()
    left, _ = ledger.move(
        lot=lot, quantity=Decimal(1), stamp=STAMP, target=make_outlet()
    )
    first = lot.movements.earliest("pk")
    correction = ledger.correct(movement=first, quantity=Decimal(20), stamp=STAMP)
    with pytest.raises(AlreadyCorrectedError, match="carry the jars back"):
        ledger.correct(movement=left, quantity=Decimal(-2), stamp=STAMP)
    with pytest.raises(AlreadyCorrectedError, match="the row it points at"):
        ledger.correct(movement=correction, quantity=Decimal(-2), stamp=STAMP)
    with pytest.raises(NothingChangedError):
        ledger.correct(movement=first, quantity=Decimal(20), stamp=STAMP)
    with pytest.raises(LedgerError, match="keeps the direction"):
        ledger.correct(movement=first, quantity=Decimal(-1), stamp=STAMP)
    with pytest.raises(NotEnoughError):
        ledger.correct(movement=first, quantity=Decimal(0), stamp=STAMP)


def test_a_sale_of_a_market_day_is_put_right_with_its_count():
    lot = make_jars()
    day = make_market_day()
    of_day = Stamp(on=TODAY, at=NOW, market_day=day)
    row = ledger.write_off(lot=lot, quantity=Decimal(2), stamp=of_day, reason="sampled")
    with pytest.raises(AlreadyCorrectedError, match="put the count of"):
        ledger.correct(movement=row, quantity=Decimal(-1), stamp=STAMP)
    assert ledger.correct(movement=row, quantity=Decimal(-1), stamp=of_day)


def test_a_split_is_counted_rather_than_corrected():
    lot = make_lot(material=make_fruit())
    frozen = ledger.freeze(lot=lot, quantity=Decimal(10), stamp=STAMP)
    with pytest.raises(AlreadyCorrectedError, match="count both lots"):
        ledger.correct(
            movement=frozen.movements.get(), quantity=Decimal(5), stamp=STAMP
        )


def test_a_touch_sent_twice_is_written_once():
    lot = make_jars(quantity=2)
    market = make_outlet()
    sent = [Stamp(on=TODAY, at=NOW, token=uuid.uuid4()) for _ in range(4)]
    for _ in range(2):
        ledger.move(lot=lot, quantity=Decimal(1), stamp=sent[0], target=market)
        ledger.write_off(lot=lot, quantity=Decimal(1), stamp=sent[1], reason="given")
        new = Lot(material=make_material(), received_on=TODAY)
        ledger.receive(lot=new, quantity=Decimal(1), stamp=sent[2])
    assert lot.movements.count() == 4
    assert Movement.objects.filter(lot__product=None).count() == 1


def test_a_freezing_sent_twice_makes_one_lot():
    lot = make_lot(material=make_fruit(), quantity=1000)
    stamp = Stamp(on=TODAY, at=NOW, token=uuid.uuid4())
    first = ledger.freeze(lot=lot, quantity=Decimal(600), stamp=stamp)
    assert ledger.freeze(lot=lot, quantity=Decimal(600), stamp=stamp) == first
    assert lot.splits.count() == 1
