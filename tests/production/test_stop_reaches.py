"""A stop-sale reaches every room: kitchen, stall and labels."""

from decimal import Decimal

import pytest

from inventory import markets
from inventory.ledger import Stamp
from inventory.ledger.errors import StoppedError
from inventory.models import Lot
from inventory.reconciliation import DayCount
from production import batches, stop_sale
from production.batches import BatchError
from production.selectors import tracing
from tests.factories import NOW, make_outlet, make_owner, make_price
from tests.production.kitchen import CHECKED_AT, make_ready

pytestmark = pytest.mark.django_db


def test_a_held_batch_with_a_stopped_lot_is_not_released():
    owner = make_owner()
    batch = make_ready(owner)
    fruit = batch.inputs.first().movement.lot
    stop_sale.stop(lots=[fruit], reason="recalled by the grower", at=NOW, person=owner)
    with pytest.raises(BatchError, match="is stopped; lift that stop-sale first"):
        batches.release(batch=batch, at=CHECKED_AT, person=owner)


def test_a_released_batch_that_is_stopped_is_no_longer_sellable():
    owner = make_owner()
    batch = batches.release(batch=make_ready(owner), at=CHECKED_AT, person=owner)
    on = CHECKED_AT.date()
    jars = Lot.objects.filter(batch_output__batch=batch)
    assert jars.sellable(on=on).exists()
    stop_sale.stop_batches(batches=[batch], reason="mould", at=NOW, person=owner)
    assert not jars.sellable(on=on).exists()


def test_what_was_sold_before_the_stop_can_still_be_counted():
    """The morning's sales happened; the evening's count may say so."""
    owner = make_owner()
    batch = batches.release(batch=make_ready(owner), at=CHECKED_AT, person=owner)
    lot = batch.outputs.get().lot
    make_price(lot.product)
    on = CHECKED_AT.date()
    day = markets.plan_day(outlet=make_outlet(), on=on)
    stamp = Stamp(on=on, at=CHECKED_AT, person=owner)
    markets.take_out(day=day, taken={lot: 4}, stamp=stamp)
    stop_sale.stop_batches(batches=[batch], reason="mould", at=NOW, person=owner)
    count = DayCount(taken=Decimal(4), sold=Decimal(3), back=Decimal(1))
    markets.count_back(day=day, counts={lot: count}, stamp=stamp)
    assert tracing.trace_batch(batch).balance.sold == 3


def test_a_touch_at_the_stall_is_refused_after_the_stop():
    owner = make_owner()
    batch = batches.release(batch=make_ready(owner), at=CHECKED_AT, person=owner)
    lot = batch.outputs.get().lot
    on = CHECKED_AT.date()
    day = markets.plan_day(outlet=make_outlet(), on=on)
    stamp = Stamp(on=on, at=CHECKED_AT, person=owner)
    markets.take_out(day=day, taken={lot: 4}, stamp=stamp)
    stop_sale.stop_batches(batches=[batch], reason="mould", at=NOW, person=owner)
    with pytest.raises(StoppedError):
        markets.record(day=day, lot=lot, reason="sampled", stamp=stamp)
