"""What a cook records while cooking: steps begun and done, readings, and undo."""

import datetime
from decimal import Decimal

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import Max

from inventory.words import say
from production.batches.errors import AskAgainError, BatchError, WrongStatusError
from production.models import Batch, Instrument, Reading, RecipeStep, StepRecord
from production.readings import ReadingKind, ask_again, reading_text
from production.science.working import ScienceError
from production.selectors import instruments, kitchen
from production.wording import number_text

__all__ = [
    "begin_step",
    "doubt",
    "end_step",
    "record_reading",
    "undo_reading",
    "undo_step",
]

OPEN = (Batch.Status.COOKING, Batch.Status.HELD)


def _require_open(batch: Batch) -> None:
    if batch.status not in OPEN:
        raise WrongStatusError(
            batch, batch.get_status_display(), say("cooking or held")
        )


@transaction.atomic
def begin_step(
    *, batch: Batch, step: RecipeStep, at: datetime.datetime, person: User | None
) -> StepRecord:
    """Record that a step was begun; a second touch changes nothing.

    Raises:
        WrongStatusError: the batch is not cooking.
        BatchError: the step is of another recipe.
    """
    _require_step(batch, step)
    record, _ = StepRecord.objects.get_or_create(
        batch=batch, step=step, defaults={"started_at": at, "person": person}
    )
    return record


@transaction.atomic
def end_step(
    *, batch: Batch, step: RecipeStep, at: datetime.datetime, person: User | None
) -> StepRecord:
    """Record that a step is done; a second touch changes nothing.

    Raises:
        WrongStatusError: the batch is not cooking.
        BatchError: the step is of another recipe.
    """
    _require_step(batch, step)
    record, _ = StepRecord.objects.get_or_create(
        batch=batch, step=step, defaults={"person": person}
    )
    if record.done_at is None:
        record.done_at = at
        record.person = person
        record.full_clean()
        record.save(update_fields=["done_at", "person"])
    return record


@transaction.atomic
def undo_step(*, batch: Batch, step: RecipeStep) -> None:
    """Take back the last touch of a step: first "done", then "begun".

    Raises:
        WrongStatusError: the batch is not cooking.
    """
    _require_step(batch, step)
    record = StepRecord.objects.filter(batch=batch, step=step).first()
    if record is None:
        return
    if record.done_at is not None and record.started_at is not None:
        record.done_at = None
        record.save(update_fields=["done_at"])
        return
    record.delete()


def _require_step(batch: Batch, step: RecipeStep) -> None:
    _require_open(batch)
    if step.version_id != batch.version_id:
        raise BatchError(
            say("{step} is no step of {version}", step=step, version=batch.version)
        )


@transaction.atomic
def record_reading(  # noqa: PLR0913 - each is a part of one reading
    *,
    batch: Batch,
    kind: str,
    value: Decimal,
    at: datetime.datetime,
    person: User | None,
    instrument: Instrument | None = None,
    is_confirmed: bool = False,
    note: str = "",
) -> Reading:
    """Write down a reading of a batch.

    Args:
        batch: cooking or held.
        kind: one of `Reading.Kind`.
        value: in the unit of the kind.
        at: the moment it was read; of processing, its end.
        person: who read it.
        instrument: what it was read with; by default the one checked last.
        is_confirmed: the cook has looked again at an unusual value.
        note: anything to remember.

    Raises:
        AskAgainError: the value is unusual and was not confirmed.
        ReadingError: no instrument shows such a value.
        BatchError: no thermometer shows that in boiling water here.
        WrongStatusError: the batch is not open.
    """
    batch = Batch.objects.select_for_update().get(pk=batch.pk)
    _require_open(batch)
    question = doubt(batch=batch, kind=ReadingKind(kind), value=value)
    if question and not is_confirmed:
        raise AskAgainError(question)
    reading = Reading(
        batch=batch,
        kind=kind,
        value=value,
        at=at,
        person=person,
        instrument=instrument or instruments.usual_instrument(kind),
        note=note,
    )
    reading.full_clean()
    reading.save()
    _keep_highest_ph(batch)
    return reading


def doubt(*, batch: Batch, kind: ReadingKind, value: Decimal) -> str | None:
    """Why a reading should be looked at once more before it is written down, or None.

    Raises:
        ReadingError: no instrument shows such a value.
        BatchError: no thermometer shows that in boiling water here.
    """
    if kind is ReadingKind.BOILING_WATER:
        _check_boiling(batch, value)
    return ask_again(kind, value, target=_target(batch, kind))


def _check_boiling(batch: Batch, value: Decimal) -> None:
    try:
        kitchen.boiling_by(batch, value)
    except ScienceError as error:
        raise BatchError(str(error)) from error


def _target(batch: Batch, kind: ReadingKind) -> Decimal | None:
    if kind is ReadingKind.BOILING_WATER:
        return kitchen.local_boiling(batch).true_c
    limits = kitchen.gate_limits(batch)
    return {
        ReadingKind.FINISH_TEMPERATURE: limits.finish_c,
        ReadingKind.SOLIDS: limits.solids_fraction,
        ReadingKind.HEADSPACE: limits.headspace_mm,
        ReadingKind.PROCESS_MIN: limits.processing_min,
    }.get(kind)


@transaction.atomic
def undo_reading(*, reading: Reading) -> Reading:
    """Take back a reading that was written down by mistake; its row is kept.

    A pH above the limit is never taken back: the batch stays held.

    Raises:
        BatchError: the reading decides about safety and cannot be undone.
        WrongStatusError: the batch is closed.
    """
    batch = Batch.objects.select_for_update().get(pk=reading.batch_id)
    _require_open(batch)
    if reading.kind == Reading.Kind.PH and reading.value > _limit(batch):
        raise BatchError(
            say(
                "{ph} is above the limit of {batch} and cannot be taken back; "
                "reject the batch, or cook it again as a new one",
                ph=reading_text(ReadingKind.PH, reading.value),
                batch=number_text(_limit(batch)),
            )
        )
    reading.is_undone = True
    reading.save(update_fields=["is_undone"])
    _keep_highest_ph(batch)
    return reading


def _limit(batch: Batch) -> Decimal:
    return batch.ph_limit or kitchen.ph_limit(batch.version)


def _keep_highest_ph(batch: Batch) -> None:
    """Keep the highest pH, and its limit, on the batch, where the database sees them."""
    measured = batch.readings.filter(kind=Reading.Kind.PH, is_undone=False)
    batch.ph_measured = measured.aggregate(highest=Max("value"))["highest"]
    if batch.ph_measured is not None and batch.ph_limit is None:
        batch.ph_limit = kitchen.ph_limit(batch.version)
    batch.save(update_fields=["ph_measured", "ph_limit"])
