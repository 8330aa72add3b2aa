"""The verbs of a batch, from plan to release."""

import datetime
from decimal import Decimal

import pytest
from django.db import IntegrityError, connection, transaction

from inventory import ledger
from inventory.models import Lot, Movement
from production import batches
from production.gate import (
    NotReleasableError,
    Override,
    OverrideRefusedError,
    Requirement,
)
from production.models import Batch, Instrument, Reading, SealCheck, StepRecord
from production.readings import ReadingError, ReadingKind
from production.scaling import ScaledUpError
from production.selectors import kitchen
from tests import factories
from tests.production import kitchen as book

pytestmark = pytest.mark.django_db


@pytest.fixture
def cook():
    return factories.make_owner()


def test_kinds_of_reading_are_those_of_the_pure_core():
    assert set(Reading.Kind.values) == {kind.value for kind in ReadingKind}


# --- planning and starting ------------------------------------------------------


def test_scaling_up_is_refused_with_the_offer():
    with pytest.raises(ScaledUpError, match="one full and one half batch instead"):
        book.make_planned(factor=Decimal("1.5"))


def test_scaling_down_keeps_the_expected_jars_in_proportion():
    version = book.make_recipe()
    product = book.make_jam_product(version)
    full = book.make_planned(version, product=product)
    half = book.make_planned(version, product=product, factor=Decimal("0.5"))
    assert half.expected_jars == pytest.approx(full.expected_jars / 2, abs=1)
    assert half.expected_mass_g == pytest.approx(full.expected_mass_g / 2, abs=1)
    assert 5 < full.expected_jars < 7


def test_a_product_of_another_recipe_is_refused():
    version = book.make_recipe()
    other = factories.make_product()
    with pytest.raises(batches.BatchError, match="not filled with"):
        batches.plan(version=version, product=other, planned_on=factories.TODAY)


def test_a_planned_batch_can_be_dropped_a_started_one_not(cook):
    batch = book.make_planned()
    batches.cancel(batch=batch)
    assert not Batch.objects.filter(pk=batch.pk).exists()
    started = book.make_cooking(cook)
    with pytest.raises(batches.WrongStatusError):
        batches.cancel(batch=started)


def test_starting_draws_as_bought_gives_a_code_and_freezes_the_recipe(cook):
    batch = book.make_cooking(cook)
    drawn = {each.line.position: -each.movement.quantity for each in batch.inputs.all()}
    assert drawn == {1: Decimal("1087.0"), 2: Decimal(1000)}
    assert batch.code.startswith("26161")
    assert batch.version.frozen_at == book.COOKED_AT
    assert batch.status == Batch.Status.COOKING


def test_lots_are_drawn_oldest_best_by_first(cook):
    version = book.make_recipe()
    sugar = version.lines.get(position=2).material
    early = factories.make_lot(
        material=sugar, quantity=300, best_by=datetime.date(2026, 7, 1)
    )
    batch = book.make_cooking(cook, version)
    drawn = batch.inputs.filter(line__position=2).order_by("pk")
    assert [(each.movement.lot == early) for each in drawn] == [True, False]
    assert [-each.movement.quantity for each in drawn] == [300, 700]


def test_chosen_lots_are_drawn_instead(cook):
    batch = book.make_planned()
    chosen = [
        batches.Draw(
            lot=Lot.objects.get(material=line.material),
            quantity=Decimal(900),
            line=line,
        )
        for line in batch.version.lines.all()
    ]
    batch = batches.start(batch=batch, at=book.COOKED_AT, person=cook, draws=chosen)
    assert {-each.movement.quantity for each in batch.inputs.all()} == {900}


def test_a_short_material_refuses_the_start_and_draws_nothing(cook):
    version = book.make_recipe()
    version.lines.filter(position=2).update(grams=Decimal(9000))
    with pytest.raises(batches.ShortOfMaterialError, match="9000 g are needed"):
        book.make_cooking(cook, version)
    assert not Movement.objects.filter(reason=Movement.Reason.DRAWN).exists()


@pytest.mark.parametrize("wrong", ["missing", "other", "expired", "extra"])
def test_wrong_lots_are_refused(cook, wrong):
    batch = book.make_planned()
    first, second = batch.version.lines.all()
    lots = {line: Lot.objects.get(material=line.material) for line in (first, second)}
    draws = [batches.Draw(lot=lots[first], quantity=Decimal(900), line=first)]
    if wrong == "other":
        draws.append(batches.Draw(lot=lots[first], quantity=Decimal(1), line=second))
    if wrong in {"expired", "extra"}:
        draws.append(batches.Draw(lot=lots[second], quantity=Decimal(1), line=second))
    if wrong == "expired":
        lots[second].best_by = datetime.date(2026, 6, 9)
    if wrong == "extra":
        draws.append(batches.Draw(lot=factories.make_lot(), quantity=Decimal(1)))
    with pytest.raises(batches.BatchError):
        batches.start(batch=batch, at=book.COOKED_AT, person=cook, draws=draws)


def test_two_batches_of_a_day_get_different_letters(cook):
    first = book.make_cooking(cook)
    second = book.make_cooking(cook)
    assert first.code != second.code
    assert first.code[:5] == second.code[:5]


def test_a_batch_starts_once(cook):
    batch = book.make_cooking(cook)
    with pytest.raises(batches.WrongStatusError, match="only while planned"):
        batches.start(batch=batch, at=book.COOKED_AT, person=cook)


# --- steps and readings -----------------------------------------------------------


def test_a_step_is_begun_and_done_by_one_touch_each(cook):
    batch = book.make_cooking(cook)
    step = batch.version.steps.first()
    later = book.COOKED_AT + datetime.timedelta(minutes=30)
    batches.begin_step(batch=batch, step=step, at=book.COOKED_AT, person=cook)
    batches.begin_step(batch=batch, step=step, at=later, person=cook)
    record = batches.end_step(batch=batch, step=step, at=later, person=cook)
    assert (record.started_at, record.done_at) == (book.COOKED_AT, later)


def test_undo_takes_back_done_then_begun(cook):
    batch = book.make_cooking(cook)
    step = batch.version.steps.first()
    batches.begin_step(batch=batch, step=step, at=book.COOKED_AT, person=cook)
    batches.end_step(batch=batch, step=step, at=book.COOKED_AT, person=cook)
    batches.undo_step(batch=batch, step=step)
    assert StepRecord.objects.get(batch=batch).done_at is None
    batches.undo_step(batch=batch, step=step)
    assert not StepRecord.objects.filter(batch=batch).exists()


def test_an_unusual_reading_asks_again_and_takes_the_second_answer(cook):
    batch = book.make_cooking(cook)
    with pytest.raises(batches.AskAgainError, match="look once more"):
        book.read(batch, cook, "headspace", 40)
    assert not batch.readings.exists()
    assert book.read(batch, cook, "headspace", 40, is_confirmed=True).value == 40


def test_an_impossible_reading_is_refused_even_when_confirmed(cook):
    batch = book.make_cooking(cook)
    with pytest.raises(ReadingError):
        book.read(batch, cook, "ph", 15, is_confirmed=True)


def test_todays_boiling_water_moves_the_finishing_temperature(cook):
    batch = book.make_cooking(cook)
    before = kitchen.gate_limits(batch).finish_c
    shown = kitchen.local_boiling(batch).true_c + 1
    book.read(batch, cook, "boiling_water", shown)
    assert kitchen.gate_limits(batch).finish_c == pytest.approx(
        before + 1, abs=Decimal("0.01")
    )


def test_no_thermometer_shows_that_in_boiling_water_here(cook):
    batch = book.make_cooking(cook)
    with pytest.raises(batches.BatchError, match="full rolling boil"):
        book.read(batch, cook, "boiling_water", 85, is_confirmed=True)
    Reading.objects.create(
        batch=batch, kind="boiling_water", value=85, at=book.COOKED_AT
    )
    assert kitchen.local_boiling(batch).shown_c > 98


def test_the_newest_standing_reading_counts_and_undo_brings_the_older_back(cook):
    batch = book.make_cooking(cook)
    book.read(batch, cook, "headspace", 6)
    second = book.read(batch, cook, "headspace", 7)
    assert kitchen.batch_readings(batch).headspace_mm == 7
    batches.undo_reading(reading=second)
    assert kitchen.batch_readings(batch).headspace_mm == 6


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
