"""From pot to shelf: jar lots, seals, weights."""

import datetime
from decimal import Decimal

import pytest

from inventory import ledger
from production import batches
from production.models import Instrument, SealCheck
from tests import factories
from tests.production import kitchen as book

pytestmark = pytest.mark.django_db


@pytest.fixture
def cook():
    return factories.make_owner()


# --- finishing, seals, weights ------------------------------------------------------


def test_finishing_makes_a_held_jar_lot_with_its_cost(cook):
    batch = book.make_held(cook)
    lot = batch.outputs.get().lot
    assert (lot.code, ledger.balance(lot), lot.released_at) == (batch.code, 6, None)
    assert lot.best_by == datetime.date(2027, 6, 10)
    fruit_sugar = Decimal(10) / 5000 * (Decimal("1087.0") + 1000)
    jars_lids = Decimal(12) / 24 * 6 * 2
    assert lot.cost == pytest.approx(fruit_sugar + jars_lids, abs=Decimal("0.001"))


def test_jars_and_lids_are_drawn_as_far_as_the_book_has_them(cook):
    batch = book.make_held(cook, jars=30)
    packaging = batch.inputs.filter(line__isnull=True)
    assert {-each.movement.quantity for each in packaging} == {24}


def test_finishing_needs_jars_or_a_weight(cook):
    batch = book.make_cooking(cook)
    with pytest.raises(batches.BatchError, match="enter the jars filled"):
        batches.finish(batch=batch, at=book.COOKED_AT, person=cook)
    with pytest.raises(batches.BatchError, match="filled into jars"):
        batches.finish(batch=batch, at=book.COOKED_AT, person=cook, made_g=Decimal(900))


def test_an_intermediate_becomes_a_lot_of_its_material(cook):
    version = book.make_recipe()
    juice = factories.make_fruit()
    version.recipe.makes_material = juice
    version.recipe.save()
    batch = batches.plan(version=version, planned_on=factories.TODAY)
    batch = batches.start(batch=batch, at=book.COOKED_AT, person=cook)
    batches.finish(batch=batch, at=book.COOKED_AT, person=cook, made_g=Decimal(1800))
    lot = batch.outputs.get().lot
    assert (lot.material, ledger.balance(lot), lot.is_frozen) == (juice, 1800, True)


def test_failed_seals_leave_the_lot_with_a_reason(cook):
    batch = book.make_held(cook)
    book.check_seals(batch, cook, failed=1)
    lot = batch.outputs.get().lot
    assert ledger.balance(lot) == 5
    assert lot.movements.get(reason="seal").note == "seal: discard"


def test_a_seal_check_taken_back_brings_its_jars_back(cook):
    batch = book.make_held(cook)
    check = book.check_seals(batch, cook, failed=2)
    batches.undo_seals(check=check, at=book.CHECKED_AT, person=cook)
    lot = batch.outputs.get().lot
    assert ledger.balance(lot) == 6
    again = book.check_seals(batch, cook, failed=1)
    batches.undo_seals(check=again, at=book.CHECKED_AT, person=cook)
    assert ledger.balance(lot) == 6


def test_finishing_teaches_the_recipe_its_yield(cook):
    batch = book.make_held(cook, jars=5)
    batch.version.refresh_from_db()
    assert batch.version.yield_correction == pytest.approx(
        5 / batch.expected_jars, abs=Decimal("0.001")
    )


def test_a_reading_names_the_instrument_checked_last(cook):
    batch = book.make_ready(cook, book.make_low_acid_recipe())
    Instrument.objects.create(name="Old meter", kind="ph_meter")
    meter = book.make_calibration()
    assert book.read(batch, cook, "ph", "3.4", at=book.CHECKED_AT).instrument == meter


@pytest.mark.parametrize(
    ("sealed", "failed", "fate", "says"),
    [
        (5, 0, "", "make 5"),
        (5, 1, "", "what becomes"),
        (7, -1, "", "from 0 up"),
    ],
)
def test_a_seal_check_must_balance(cook, sealed, failed, fate, says):
    batch = book.make_held(cook)
    with pytest.raises(batches.BatchError, match=says):
        batches.record_seals(
            output=batch.outputs.get(),
            sealed=sealed,
            failed=failed,
            fate=fate,
            at=book.CHECKED_AT,
            person=cook,
        )
    assert not SealCheck.objects.exists()


def test_a_check_before_twelve_hours_asks_for_confirmation(cook):
    batch = book.make_held(cook)
    soon = book.PROCESSED_AT + datetime.timedelta(hours=3)
    with pytest.raises(batches.AskAgainError, match="cooled for 3 h only"):
        book.check_seals(batch, cook, at=soon)
    assert book.check_seals(batch, cook, at=soon, is_confirmed=True)


def test_reprocessing_is_refused_after_24_hours(cook):
    batch = book.make_held(cook)
    with pytest.raises(batches.BatchError, match="too late to reprocess"):
        batches.record_seals(
            output=batch.outputs.get(),
            sealed=5,
            failed=1,
            fate="reprocess",
            at=book.PROCESSED_AT + datetime.timedelta(hours=25),
            person=cook,
        )


def test_weights_are_kept_and_checked(cook):
    output = book.make_held(cook).outputs.get()
    weights = [(Decimal(470), Decimal(186))] * 6
    assert len(batches.weigh(output=output, weights=weights, at=book.CHECKED_AT)) == 6
    with pytest.raises(batches.BatchError, match="6 were filled"):
        batches.weigh(output=output, weights=weights[:1], at=book.CHECKED_AT)


def test_what_cannot_be_finished_is_refused(cook):
    batch = book.make_cooking(cook)
    same = batches.Filled(product=batch.product, jars=3)
    with pytest.raises(batches.BatchError, match="entered twice"):
        batches.finish(batch=batch, at=book.COOKED_AT, person=cook, filled=[same, same])
    with pytest.raises(batches.BatchError, match="how many jars"):
        batches.Filled(product=batch.product, jars=0)
    held = book.make_held(cook)
    with pytest.raises(batches.WrongStatusError):
        batches.finish(batch=held, at=book.COOKED_AT, person=cook, filled=[same])


def test_an_intermediate_has_a_weight_and_no_seals(cook):
    version = book.make_recipe()
    version.recipe.makes_material = factories.make_fruit()
    version.recipe.save()
    batch = batches.plan(version=version, planned_on=factories.TODAY)
    batch = batches.start(batch=batch, at=book.COOKED_AT, person=cook)
    with pytest.raises(batches.BatchError, match="more than 0 g"):
        batches.finish(batch=batch, at=book.COOKED_AT, person=cook, made_g=Decimal(0))
    batches.finish(batch=batch, at=book.COOKED_AT, person=cook, made_g=Decimal(900))
    with pytest.raises(batches.BatchError, match="no lot of jars"):
        batches.record_seals(
            output=batch.outputs.get(),
            sealed=1,
            failed=0,
            at=book.CHECKED_AT,
            person=cook,
        )


def test_a_seal_check_needs_the_processing_and_comes_once(cook):
    batch = book.make_held(cook)
    before = book.PROCESSED_AT - datetime.timedelta(minutes=1)
    with pytest.raises(batches.BatchError, match="before the end of processing"):
        book.check_seals(batch, cook, at=before)
    processed = batch.readings.get(kind="process_min")
    batches.undo_reading(reading=processed)
    with pytest.raises(batches.BatchError, match="record the processing first"):
        book.check_seals(batch, cook)
    processed.is_undone = False
    processed.save()
    check = book.check_seals(batch, cook)
    with pytest.raises(batches.BatchError, match="checked already"):
        book.check_seals(batch, cook)
    batches.reject(batch=batch, at=book.CHECKED_AT, person=cook, reason="burnt")
    with pytest.raises(batches.WrongStatusError):
        batches.undo_seals(check=check, at=book.CHECKED_AT, person=cook)
    with pytest.raises(batches.WrongStatusError):
        book.check_seals(batch, cook)


def test_weights_that_cannot_be_are_refused(cook):
    output = book.make_held(cook).outputs.get()
    with pytest.raises(batches.BatchError, match="no jar was weighed"):
        batches.weigh(output=output, weights=[], at=book.CHECKED_AT)
    light = [(Decimal(180), Decimal(186))]
    with pytest.raises(batches.BatchError, match="heavier than its empty"):
        batches.weigh(output=output, weights=light, at=book.CHECKED_AT)
