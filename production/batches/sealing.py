"""After the canner: the seal of every jar, and the weight of some."""

import datetime
from collections.abc import Sequence
from decimal import Decimal

from django.contrib.auth.models import User
from django.db import transaction

from inventory import ledger
from inventory.models import Movement
from inventory.words import say
from production.batches.beginning import stamp
from production.batches.errors import AskAgainError, BatchError, WrongStatusError
from production.gate_terms import COOLING_LEAST_H, COOLING_MOST_H
from production.models import Batch, BatchOutput, JarWeighing, SealCheck
from production.selectors import kitchen
from production.wording import number_text, span_text

__all__ = ["record_seals", "undo_seals", "weigh"]


@transaction.atomic
def record_seals(  # noqa: PLR0913 - each is a part of one seal check
    *,
    output: BatchOutput,
    sealed: int,
    failed: int,
    at: datetime.datetime,
    person: User | None,
    fate: str = "",
    is_confirmed: bool = False,
    note: str = "",
) -> SealCheck:
    """Record the seal check of every jar of a lot; failed jars leave it.

    Args:
        output: the jar lot of a held batch, not checked before.
        sealed: jars found sealed.
        failed: jars found unsealed.
        at: the moment of the check.
        person: who checked.
        fate: what became of the failed jars, one of `SealCheck.Fate`.
        is_confirmed: a check sooner than 12 hours after processing is meant.
        note: anything to remember.

    Raises:
        AskAgainError: the jars have not cooled for 12 hours.
        BatchError: the jars do not add up, no fate, or too late to reprocess.
        WrongStatusError: the batch is not held.
    """
    batch = Batch.objects.select_for_update().get(pk=output.batch_id)
    if batch.status != Batch.Status.HELD:
        raise WrongStatusError(batch, batch.get_status_display(), say("held"))
    if output.seal_checks.exists():
        raise BatchError(say("the seals of {lot} were checked already", lot=output.lot))
    _check_seal_count(output, sealed, failed)
    _check_fate(failed, fate)
    _check_cooling(batch, at, fate, is_confirmed=is_confirmed)
    check = SealCheck(
        output=output,
        checked_at=at,
        sealed=sealed,
        failed=failed,
        fate=fate if failed else "",
        person=person,
        note=note,
    )
    check.full_clean()
    check.save()
    if failed:
        ledger.write_off(
            lot=output.lot,
            quantity=Decimal(failed),
            stamp=stamp(
                batch, at=at, person=person, note=f"seal: {check.get_fate_display()}"
            ),
            reason=Movement.Reason.SEAL,
        )
    return check


def _check_seal_count(output: BatchOutput, sealed: int, failed: int) -> None:
    if sealed < 0 or failed < 0:
        raise BatchError(say("jars are counted from 0 up"))
    if output.jar_size is None:
        raise BatchError(
            say("{lot} is no lot of jars; there are no seals to check", lot=output.lot)
        )
    if sealed + failed != output.filled:
        raise BatchError(
            say(
                "{filled} jars were filled, but {sealed} sealed and {failed} "
                "unsealed make {together}; check every jar",
                filled=number_text(output.filled),
                sealed=sealed,
                failed=failed,
                together=sealed + failed,
            )
        )


def _check_fate(failed: int, fate: str) -> None:
    if failed and fate not in SealCheck.Fate.values:
        raise BatchError(
            say(
                "say what becomes of the unsealed jars: refrigerate, reprocess or "
                "discard"
            )
        )


def _check_cooling(
    batch: Batch, at: datetime.datetime, fate: str, *, is_confirmed: bool
) -> None:
    processed_at = kitchen.batch_readings(batch).processed_at
    if processed_at is None:
        raise BatchError(
            say("record the processing first: the jars cool 12 to 24 hours after it")
        )
    cooled = at - processed_at
    if cooled < datetime.timedelta(0):
        raise BatchError(say("the seal check lies before the end of processing"))
    too_late = datetime.timedelta(hours=int(COOLING_MOST_H.value))
    if fate == SealCheck.Fate.REPROCESS and cooled > too_late:
        raise BatchError(
            say(
                "{cooled} after processing it is too late to reprocess; "
                "refrigerate or discard the unsealed jars",
                cooled=span_text(cooled),
            )
        )
    soon = datetime.timedelta(hours=int(COOLING_LEAST_H.value))
    if cooled < soon and not is_confirmed:
        raise AskAgainError(
            say(
                "the jars have cooled for {cooled} only; leave them 12 to 24 "
                "hours, or confirm that you checked them now",
                cooled=span_text(cooled),
            )
        )


@transaction.atomic
def undo_seals(*, check: SealCheck, at: datetime.datetime, person: User | None) -> None:
    """Take back a seal check written down by mistake; its jars come back.

    The ledger keeps both rows: the write-off and its correction.

    Raises:
        WrongStatusError: the batch is not held.
    """
    batch = Batch.objects.select_for_update().get(pk=check.output.batch_id)
    if batch.status != Batch.Status.HELD:
        raise WrongStatusError(batch, batch.get_status_display(), say("held"))
    rows = check.output.lot.movements.filter(
        reason=Movement.Reason.SEAL, corrects=None, corrections=None
    )
    for row in rows:
        ledger.correct(
            movement=row,
            quantity=Decimal(0),
            stamp=stamp(batch, at=at, person=person, note="seal check taken back"),
        )
    check.delete()


@transaction.atomic
def weigh(
    *,
    output: BatchOutput,
    weights: Sequence[tuple[Decimal, Decimal]],
    at: datetime.datetime,
) -> list[JarWeighing]:
    """Record weighed jars of a lot.

    Args:
        output: the jar lot.
        weights: gross and tare of each jar, g, at room temperature.
        at: the moment.

    Raises:
        BatchError: nothing was weighed, more jars than there are, or a full jar
            is lighter than an empty one.
    """
    if not weights:
        raise BatchError(say("no jar was weighed"))
    before = output.weighings.count()
    if before + len(weights) > output.filled:
        raise BatchError(
            say(
                "{before} jars would have been weighed, but {filled} were filled",
                before=before + len(weights),
                filled=number_text(output.filled),
            )
        )
    rows = []
    for gross, tare in weights:
        if tare <= 0 or gross <= tare:
            raise BatchError(
                say(
                    "a full jar of {gross} g must be heavier than its empty jar of "
                    "{tare} g",
                    gross=number_text(gross),
                    tare=number_text(tare),
                )
            )
        row = JarWeighing(output=output, weighed_at=at, gross_g=gross, tare_g=tare)
        row.full_clean()
        rows.append(row)
    return JarWeighing.objects.bulk_create(rows)
