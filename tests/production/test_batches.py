"""Planning, starting and recording a batch."""

import datetime
from decimal import Decimal

import pytest

from inventory.models import Lot, Movement
from production import batches
from production.models import Batch, Reading, StepRecord
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


def test_more_of_an_ingredient_goes_in_while_it_cooks(cook):
    batch = book.make_cooking(cook)
    line = batch.version.lines.get(position=2)
    lot = Lot.objects.get(material=line.material)
    more = {"batch": batch, "quantity": Decimal(50), "at": book.COOKED_AT}
    drawn = batches.add(lot=lot, person=cook, **more)
    assert (drawn.line, drawn.taken) == (line, 50)
    with pytest.raises(batches.BatchError, match="label would not"):
        batches.add(lot=factories.make_lot(), person=cook, **more)
    Lot.objects.filter(pk=lot.pk).update(best_by=datetime.date(2026, 6, 9))
    with pytest.raises(batches.BatchError, match="was best by"):
        batches.add(lot=Lot.objects.get(pk=lot.pk), person=cook, **more)


def test_nothing_more_goes_into_a_held_batch(cook):
    batch = book.make_held(cook)
    lot = batch.inputs.first().movement.lot
    with pytest.raises(batches.WrongStatusError):
        batches.add(
            batch=batch, lot=lot, quantity=Decimal(1), at=book.COOKED_AT, person=cook
        )


def test_the_newest_standing_reading_counts_and_undo_brings_the_older_back(cook):
    batch = book.make_cooking(cook)
    book.read(batch, cook, "headspace", 6)
    second = book.read(batch, cook, "headspace", 7)
    assert kitchen.batch_readings(batch).headspace_mm == 7
    batches.undo_reading(reading=second)
    assert kitchen.batch_readings(batch).headspace_mm == 6


def test_a_step_or_reading_of_a_closed_batch_is_refused(cook):
    batch = book.make_held(cook)
    reading = batch.readings.first()
    step = book.make_recipe().steps.first()
    with pytest.raises(batches.BatchError, match="no step of"):
        batches.begin_step(batch=batch, step=step, at=book.COOKED_AT, person=cook)
    batches.undo_step(batch=batch, step=batch.version.steps.first())
    batches.reject(batch=batch, at=book.CHECKED_AT, person=cook, reason="burnt")
    with pytest.raises(batches.WrongStatusError, match="cooking or held"):
        book.read(batch, cook, "headspace", 6)
    with pytest.raises(batches.WrongStatusError):
        batches.undo_reading(reading=reading)


def test_nothing_is_no_draw():
    with pytest.raises(batches.BatchError, match="nothing to draw"):
        batches.Draw(lot=factories.make_lot(), quantity=Decimal(0))
