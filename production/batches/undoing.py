"""Touches of the kitchen taken back: a draw, the finish, the start.

The ledger forgets nothing: each is taken back by rows that point at the first, and
only while nothing that came after depends on it.
"""

import datetime
from collections.abc import Iterable
from decimal import Decimal

from django.contrib.auth.models import User
from django.db import transaction

from inventory import ledger
from inventory.models import Lot, Movement
from inventory.words import say
from production.batches.beginning import stamp
from production.batches.errors import BatchError, WrongStatusError
from production.models import Batch, BatchInput, BatchOutput
from production.selectors import recipe_page

__all__ = ["take_out", "undo_finish", "undo_start"]

ZERO = Decimal(0)


@transaction.atomic
def take_out(*, drawn: BatchInput, at: datetime.datetime, person: User | None) -> Lot:
    """Take back one draw written down by mistake; what was drawn is in its lot again.

    Args:
        drawn: of a batch that is cooking, for a line of its recipe.
        at: the moment.
        person: who takes it back.

    Returns:
        The lot that has it again.

    Raises:
        WrongStatusError: the batch is not cooking.
        BatchError: it is the only draw of its line, which would leave it without a lot.
    """
    batch = _locked(drawn.batch_id, Batch.Status.COOKING)
    others = batch.inputs.filter(line=drawn.line).exclude(pk=drawn.pk)
    if drawn.line is None or not others.exists():
        raise BatchError(
            say(
                "{lot} is all that was put in for its line; put the right lot in "
                "first, then take this one out",
                lot=drawn.movement.lot,
            )
        )
    lot = drawn.movement.lot
    _give_back(batch, [drawn], at=at, person=person)
    return lot


@transaction.atomic
def undo_finish(*, batch: Batch, at: datetime.datetime, person: User | None) -> Batch:
    """Take the finish back: the pot cooks again, jars and lids are at home again.

    Args:
        batch: held, its jars not touched since.
        at: the moment.
        person: who takes it back.

    Raises:
        WrongStatusError: the batch is not held.
        BatchError: seals were checked, jars weighed, or jars moved since.
    """
    batch = _locked(batch.pk, Batch.Status.HELD)
    outputs = list(batch.outputs.select_related("lot"))
    for output in outputs:
        _refuse_touched(output)
    for output in outputs:
        for row in _standing(output.lot.movements.filter(reason=Movement.Reason.MADE)):
            _cancel(batch, row, at=at, person=person)
        output.delete()
    _give_back(batch, batch.inputs.filter(line=None), at=at, person=person)
    batch.status = Batch.Status.COOKING
    batch.finished_at = None
    batch.hands_on_min = None
    batch.full_clean()
    batch.save(update_fields=["status", "finished_at", "hands_on_min"])
    learnt = recipe_page.yields_of(batch.version.recipe).learnt_correction
    batch.version.recipe.versions.update(yield_correction=learnt)
    return batch


@transaction.atomic
def undo_start(*, batch: Batch, at: datetime.datetime, person: User | None) -> Batch:
    """Take the start back: what was drawn is in its lots again, the batch is planned.

    No jar carries its code yet, so the code is free again.

    Args:
        batch: cooking, with nothing recorded yet.
        at: the moment.
        person: who takes it back.

    Raises:
        WrongStatusError: the batch is not cooking.
        BatchError: a step or a reading was recorded, or an earlier batch is cooked again.
    """
    batch = _locked(batch.pk, Batch.Status.COOKING)
    if batch.parent_id is not None:
        raise BatchError(
            say(
                "{batch} cooks an earlier batch again, which is closed; reject it "
                "instead",
                batch=batch,
            )
        )
    if batch.step_records.exists() or batch.readings.filter(is_undone=False).exists():
        raise BatchError(
            say(
                "steps or readings of {batch} are written down; take those back first",
                batch=batch,
            )
        )
    _give_back(batch, batch.inputs.all(), at=at, person=person)
    batch.status = Batch.Status.PLANNED
    batch.started_at = batch.cook = batch.code = batch.made_on = None
    batch.full_clean()
    batch.save(update_fields=["status", "started_at", "cook", "code", "made_on"])
    return batch


def _locked(pk: int, wanted: Batch.Status) -> Batch:
    batch = Batch.objects.select_for_update().get(pk=pk)
    if batch.status != wanted:
        raise WrongStatusError(batch, batch.get_status_display(), str(wanted.label))
    return batch


def _refuse_touched(output: BatchOutput) -> None:
    if output.seal_checks.exists():
        raise BatchError(
            say(
                "the seals of {lot} are checked; take the seal check back first",
                lot=output.lot,
            )
        )
    if output.weighings.exists():
        raise BatchError(
            say(
                "jars of {lot} were weighed; what they weigh belongs to this finish, "
                "so put the jars right by counting the lot",
                lot=output.lot,
            )
        )
    later = output.lot.movements.exclude(reason=Movement.Reason.MADE)
    if any(True for _ in _standing(later)) or output.lot.splits.exists():
        raise BatchError(
            say(
                "{lot} was moved, used or written off since; put that right first",
                lot=output.lot,
            )
        )


def _standing(rows: Iterable[Movement]) -> Iterable[Movement]:
    """First rows whose figure is not corrected to nothing."""
    for row in rows:
        if row.corrects_id is None:
            stands = row.quantity + sum(
                (each.quantity for each in row.corrections.all()), ZERO
            )
            if stands:
                yield row


def _give_back(
    batch: Batch,
    drawn: Iterable[BatchInput],
    *,
    at: datetime.datetime,
    person: User | None,
) -> None:
    """Cancel draws; the batch forgets them, the ledger keeps both rows."""
    for each in list(drawn):
        _cancel(batch, each.movement, at=at, person=person)
        each.delete()


def _cancel(
    batch: Batch, row: Movement, *, at: datetime.datetime, person: User | None
) -> None:
    ledger.correct(
        movement=row,
        quantity=ZERO,
        stamp=stamp(batch, at=at, person=person, note=say("taken back")),
    )
