"""A draw, a finish and a start taken back: counter-rows, and nothing later depends on it."""

from decimal import Decimal

import pytest
from django.urls import reverse

from inventory import ledger
from inventory.models import Lot, Movement
from production import batches
from production.batches import BatchError, Filled, WrongStatusError
from production.models import Batch
from production.selectors.draws import drawn_cost
from tests import factories
from tests.production import kitchen as book

pytestmark = pytest.mark.django_db


def balances():
    return {lot.code: ledger.balance(lot) for lot in Lot.objects.all()}


def now(person):
    return {"at": book.CHECKED_AT, "person": person}


def press(client, name, *args):
    return client.post(reverse(f"production:{name}", args=args), follow=True)


def test_a_finish_is_taken_back_and_done_again_on_the_same_lot(helper, helper_client):
    batch = book.make_cooking(helper)
    before = balances()
    batches.finish(
        batch=batch, filled=[Filled(product=batch.product, jars=7)], **now(helper)
    )
    lot = batch.outputs.get().lot
    page = press(helper_client, "batch-unfinish", batch.pk).content.decode()
    assert "The finish is taken back" in page
    batch.refresh_from_db()
    assert batch.status == Batch.Status.COOKING
    assert {k: v for k, v in balances().items() if v} == {
        k: v for k, v in before.items() if v
    }
    batches.finish(
        batch=batch, filled=[Filled(product=batch.product, jars=6)], **now(helper)
    )
    again = batch.outputs.get()
    assert again.lot == lot
    assert ledger.balance(lot) == 6
    assert Movement.objects.incoming().filter(lot=lot).total() == 6


def test_another_product_after_a_finish_taken_back_gets_the_next_code(helper):
    batch = book.make_cooking(helper)
    other = factories.make_product()
    factories.make_filling(other, batch.version.recipe)
    batches.finish(
        batch=batch, filled=[Filled(product=batch.product, jars=7)], **now(helper)
    )
    batches.undo_finish(batch=batch, **now(helper))
    batches.finish(batch=batch, filled=[Filled(product=other, jars=7)], **now(helper))
    assert batch.outputs.get().lot.code == f"{batch.code}-2"


def test_a_finish_stands_once_something_depends_on_it(helper):
    batch = book.make_held(helper)
    lot = batch.outputs.get().lot
    row = ledger.write_off(
        lot=lot, quantity=Decimal(1), reason="broken",
        stamp=ledger.Stamp(on=factories.TODAY, at=factories.NOW),
    )  # fmt: skip
    with pytest.raises(BatchError, match="moved, used or written off since"):
        batches.undo_finish(batch=batch, **now(helper))
    ledger.correct(
        movement=row, quantity=Decimal(0),
        stamp=ledger.Stamp(on=factories.TODAY, at=factories.NOW),
    )  # fmt: skip
    batches.undo_finish(batch=batch, **now(helper))


def test_checked_seals_and_weighed_jars_keep_a_finish(helper, helper_client):
    batch = book.make_held(helper)
    output = batch.outputs.get()
    rows = batches.weigh(
        output=output, weights=[(Decimal(400), Decimal(180))], at=book.CHECKED_AT
    )
    with pytest.raises(BatchError, match="were weighed"):
        batches.undo_finish(batch=batch, **now(helper))
    rows[0].delete()
    book.check_seals(batch, helper)
    page = press(helper_client, "batch-unfinish", batch.pk).content.decode()
    assert "take the seal check back first" in page


def test_more_put_in_by_mistake_is_taken_out(helper, helper_client):
    batch = book.make_cooking(helper)
    first = batch.inputs.first()
    lot, cost = first.movement.lot, drawn_cost(batch)
    left = ledger.balance(lot)
    drawn = batches.add(batch=batch, lot=lot, quantity=Decimal(50), **now(helper))
    assert ledger.balance(lot) == left - 50
    page = press(helper_client, "batch-take-out", batch.pk, drawn.pk).content.decode()
    assert "has it again" in page
    assert ledger.balance(lot) == left
    assert drawn_cost(batch) == cost
    alone = press(helper_client, "batch-take-out", batch.pk, first.pk).content.decode()
    assert "put the right lot in first" in alone


def test_a_start_is_taken_back_while_nothing_is_recorded(helper, helper_client):
    batch = book.make_planned()
    before = balances()
    batches.start(batch=batch, at=book.COOKED_AT, person=helper)
    page = press(helper_client, "batch-unstart", batch.pk).content.decode()
    assert "The start is taken back" in page
    batch.refresh_from_db()
    assert (batch.status, batch.code) == (Batch.Status.PLANNED, None)
    assert balances() == before
    batch = batches.start(batch=batch, at=book.COOKED_AT, person=helper)
    step = factories.make_step(batch.version)
    batches.begin_step(batch=batch, step=step, at=book.COOKED_AT, person=helper)
    with pytest.raises(BatchError, match="take those back first"):
        batches.undo_start(batch=batch, **now(helper))
    with pytest.raises(WrongStatusError):
        batches.undo_finish(batch=batch, **now(helper))


@pytest.mark.parametrize("name", ["batch-unfinish", "batch-unstart"])
def test_only_a_touch_takes_back_and_only_for_who_is_signed_in(
    name, client, helper_client, helper
):
    batch = book.make_cooking(helper)
    address = reverse(f"production:{name}", args=[batch.pk])
    assert helper_client.get(address).status_code == 405
    client.logout()
    assert client.post(address).status_code == 302
    assert helper_client.post(address[:-6] + "nowhere/").status_code == 404
