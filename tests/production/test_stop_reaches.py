"""A stop-sale reaches every room: kitchen, stall and labels."""

import pytest

from inventory.models import Lot
from production import batches, stop_sale
from production.batches import BatchError
from tests.factories import NOW, make_owner
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
