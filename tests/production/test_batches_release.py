"""Releasing, rejecting, cooking again; a bad pH stays held whatever is tried."""

from decimal import Decimal

import pytest
from django.db import IntegrityError, connection, transaction

from inventory import ledger
from inventory.models import Lot
from production import batches
from production.gate import (
    NotReleasableError,
    Override,
    OverrideRefusedError,
    Requirement,
)
from production.models import Batch, Reading
from tests import factories
from tests.production import kitchen as book

pytestmark = pytest.mark.django_db


@pytest.fixture
def cook():
    return factories.make_owner()


# --- releasing ------------------------------------------------------------------------


def test_a_complete_batch_is_released_by_a_helper_too():
    person = factories.make_helper()
    batch = book.make_ready(person)
    batch = batches.release(batch=batch, at=book.CHECKED_AT, person=person)
    assert batch.status == Batch.Status.RELEASED
    assert batch.outputs.get().lot.released_at == book.CHECKED_AT


def test_an_incomplete_batch_stays_held_with_its_reasons(cook):
    batch = book.make_held(cook)
    with pytest.raises(NotReleasableError, match="check the seal"):
        batches.release(batch=batch, at=book.CHECKED_AT, person=cook)
    assert Batch.objects.get(pk=batch.pk).status == Batch.Status.HELD


def test_an_override_is_the_owners_and_stays_on_the_record(cook):
    batch = book.make_ready(cook)
    book.read(batch, cook, "headspace", 12)
    override = Override(
        requirement=Requirement.HEADSPACE, reason="tall jars, measured twice"
    )
    with pytest.raises(OverrideRefusedError, match="only the owner"):
        batches.release(
            batch=batch,
            at=book.CHECKED_AT,
            person=factories.make_helper(),
            overrides=[override],
        )
    batch = batches.release(
        batch=batch, at=book.CHECKED_AT, person=cook, overrides=[override]
    )
    assert batch.overrides == [
        {"requirement": "headspace", "reason": "tall jars, measured twice"}
    ]


def test_holding_again_takes_the_jars_off_sale(cook):
    batch = book.make_ready(cook)
    batches.release(batch=batch, at=book.CHECKED_AT, person=cook)
    batches.hold(
        batch=batch, at=book.CHECKED_AT, person=cook, reason="a jar tastes odd"
    )
    assert batch.outputs.get().lot.released_at is None


def test_rejecting_writes_off_what_is_left(cook):
    batch = book.make_held(cook)
    with pytest.raises(batches.BatchError, match="needs a reason"):
        batches.reject(batch=batch, at=book.CHECKED_AT, person=cook, reason=" ")
    batch = batches.reject(batch=batch, at=book.CHECKED_AT, person=cook, reason="burnt")
    assert ledger.balance(batch.outputs.get().lot) == 0
    assert batch.status == Batch.Status.REJECTED


def test_a_failed_batch_is_cooked_again_as_a_child_that_draws_it(cook):
    batch = book.make_held(cook)
    child = batches.recook(
        batch=batch, at=book.CHECKED_AT, person=cook, reason="did not set"
    )
    assert child.parent == batch
    assert child.code != batch.code
    assert child.inputs.get().movement.lot == batch.outputs.get().lot
    assert Batch.objects.get(pk=batch.pk).status == Batch.Status.REJECTED


# --- a bad pH ----------------------------------------------------------------------------


@pytest.fixture
def bad(cook):
    """A batch, complete but for a pH of 4.9."""
    batch = book.make_ready(cook, book.make_low_acid_recipe())
    book.make_calibration()
    book.read(batch, cook, "ph", "4.9", at=book.CHECKED_AT, is_confirmed=True)
    return Batch.objects.get(pk=batch.pk)


def test_a_low_acid_recipe_asks_for_a_ph(cook):
    batch = book.make_ready(cook, book.make_low_acid_recipe())
    with pytest.raises(NotReleasableError, match="measure the pH"):
        batches.release(batch=batch, at=book.CHECKED_AT, person=cook)
    book.make_calibration()
    book.read(batch, cook, "ph", "3.6", at=book.CHECKED_AT)
    released = batches.release(batch=batch, at=book.CHECKED_AT, person=cook)
    assert released.status == Batch.Status.RELEASED


def test_a_bad_ph_cannot_be_overridden_undone_or_outvoted(cook, bad):
    overrides = [Override(requirement=Requirement.PH, reason="it will be fine")]
    with pytest.raises(OverrideRefusedError):
        batches.release(batch=bad, at=book.CHECKED_AT, person=cook, overrides=overrides)
    with pytest.raises(batches.BatchError, match="cannot be taken back"):
        batches.undo_reading(reading=bad.readings.get(kind="ph"))
    book.read(bad, cook, "ph", "3.4", at=book.CHECKED_AT)
    with pytest.raises(NotReleasableError, match=r"4\.9 is above"):
        batches.release(batch=bad, at=book.CHECKED_AT, person=cook)


def test_the_database_keeps_a_bad_ph_held(bad):
    attempts = [
        {"status": "released"},
        {"status": "released", "ph_measured": Decimal("3.0")},
        {"status": "released", "ph_limit": None, "ph_measured": None},
        {"ph_limit": Decimal("5.0")},
    ]
    for fields in attempts:
        with pytest.raises(IntegrityError), transaction.atomic():
            Batch.objects.filter(pk=bad.pk).update(**fields)
    assert Batch.objects.get(pk=bad.pk).status == Batch.Status.HELD


def test_the_database_keeps_its_jars_off_sale_and_its_reading_standing(bad):
    with pytest.raises(IntegrityError), transaction.atomic():
        Lot.objects.filter(batch_output__batch=bad).update(released_at=book.CHECKED_AT)
    ph = bad.readings.filter(kind="ph")
    for change in ({"is_undone": True}, {"value": Decimal("3.0")}, {"kind": "solids"}):
        with pytest.raises(IntegrityError), transaction.atomic():
            ph.update(**change)
    with pytest.raises(IntegrityError), transaction.atomic():
        ph.delete()


def test_a_bad_ph_is_not_written_onto_a_released_batch(cook):
    batch = book.make_ready(cook)
    batches.release(batch=batch, at=book.CHECKED_AT, person=cook)
    with pytest.raises(IntegrityError), transaction.atomic():
        Reading.objects.create(
            batch=batch, kind="ph", value=Decimal("4.7"), at=book.CHECKED_AT
        )


def test_a_batch_whose_recipe_asks_for_a_ph_is_not_released_by_hand(cook):
    version = book.make_recipe(ph_required=True)
    batch = book.make_ready(cook, version)
    with pytest.raises(IntegrityError), transaction.atomic():
        Batch.objects.filter(pk=batch.pk).update(status="released", ph_limit=None)


def test_the_guards_stand_in_the_database():
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute("SELECT tgname FROM pg_trigger WHERE NOT tgisinternal")
        else:
            cursor.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
        names = {row[0] for row in cursor.fetchall()}
    assert {"production_batch_bad_ph_update", "production_reading_kept_delete"} <= names


def test_nothing_is_cooked_again_when_no_jar_is_left(cook):
    batch = book.make_held(cook)
    lot = batch.outputs.get().lot
    stamp = ledger.Stamp(on=factories.TODAY, at=book.CHECKED_AT)
    ledger.write_off(lot=lot, quantity=Decimal(6), stamp=stamp, reason="broken")
    with pytest.raises(batches.BatchError, match="no jar of"):
        batches.recook(batch=batch, at=book.CHECKED_AT, person=cook, reason="soft set")


def test_a_batch_is_cooked_again_by_a_new_version(cook):
    batch = book.make_held(cook)
    better = factories.make_version(recipe=batch.version.recipe, number=2)
    child = batches.recook(
        batch=batch,
        at=book.CHECKED_AT,
        person=cook,
        reason="soft set",
        version=better,
    )
    better.refresh_from_db()
    assert child.version == better
    assert better.frozen_at == book.CHECKED_AT
