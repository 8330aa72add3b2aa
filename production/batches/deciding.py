"""What becomes of a finished batch: released, held again, rejected, cooked again."""

import datetime
from collections.abc import Sequence
from decimal import Decimal

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from inventory import ledger
from inventory.models import Lot, Movement
from inventory.roles import is_owner
from inventory.words import say
from production import gate
from production.batches.beginning import Draw, give_code, stamp, take
from production.batches.errors import BatchError, WrongStatusError
from production.gate_terms import Override
from production.models import Batch, RecipeVersion
from production.selectors import kitchen
from production.stop_sale import StopSaleError, refuse_stopped_upstream

__all__ = ["hold", "recook", "reject", "release"]


@transaction.atomic
def release(
    *,
    batch: Batch,
    at: datetime.datetime,
    person: User,
    overrides: Sequence[Override] = (),
) -> Batch:
    """Release a held batch: its sealed jars may be sold.

    Args:
        batch: held.
        at: the moment.
        person: who releases it; only an owner may override anything.
        overrides: requirements accepted with a written reason.

    Raises:
        WrongStatusError: the batch is not held.
        BatchError: a lot it was made from is stopped.
        NotReleasableError: something stands against it; its result says what.
        OverrideRefusedError: an override that may not be given.
    """
    batch = _locked(batch, Batch.Status.HELD)
    _refuse_stopped(batch)
    result = gate.require_releasable(
        batch.code or "",
        kitchen.judge_batch(batch),
        overrides,
        is_owner=is_owner(person),
    )
    batch.overrides = [
        {"requirement": each.requirement.value, "reason": each.reason.strip()}
        for each in result.overrides
    ]
    _decide(batch, Batch.Status.RELEASED, at=at, person=person)
    Lot.objects.filter(batch_output__batch=batch).update(released_at=at)
    return batch


def _refuse_stopped(batch: Batch) -> None:
    try:
        refuse_stopped_upstream(batch)
    except StopSaleError as error:
        raise BatchError(str(error)) from error


@transaction.atomic
def hold(*, batch: Batch, at: datetime.datetime, person: User, reason: str) -> Batch:
    """Take a release back: no more of its jars are sold until it is released again.

    Raises:
        WrongStatusError: the batch is not released.
        BatchError: no reason.
    """
    batch = _locked(batch, Batch.Status.RELEASED)
    _require_reason(reason, say("holding the batch again"))
    Lot.objects.filter(batch_output__batch=batch).update(released_at=None)
    _decide(batch, Batch.Status.HELD, at=at, person=person, reason=reason)
    return batch


@transaction.atomic
def reject(*, batch: Batch, at: datetime.datetime, person: User, reason: str) -> Batch:
    """Reject a batch: what is left of it at home is written off.

    Raises:
        WrongStatusError: the batch is neither cooking nor held.
        BatchError: no reason.
    """
    batch = _locked(batch, Batch.Status.COOKING, Batch.Status.HELD)
    _require_reason(reason, say("rejecting the batch"))
    for lot in _lots(batch):
        left = ledger.balance(lot)
        if left > 0:
            ledger.write_off(
                lot=lot,
                quantity=left,
                stamp=stamp(batch, at=at, person=person, note=reason[:200]),
                reason=Movement.Reason.REJECTED,
            )
    _decide(batch, Batch.Status.REJECTED, at=at, person=person, reason=reason)
    return batch


@transaction.atomic
def recook(
    *,
    batch: Batch,
    at: datetime.datetime,
    person: User,
    reason: str,
    version: RecipeVersion | None = None,
    draws: Sequence[Draw] = (),
) -> Batch:
    """Cook a failed batch again as a new one that draws the old jars.

    The new batch has its own code and label; the old one is closed as rejected.

    Args:
        batch: held, with jars at home.
        at: the moment.
        person: who cooks.
        reason: what was wrong with the old one.
        version: the recipe it is cooked by now; by default the same.
        draws: what is added, such as lemon juice.

    Returns:
        The child batch, cooking.

    Raises:
        WrongStatusError: the batch is not held.
        BatchError: no reason, or no jar is left at home.
    """
    batch = _locked(batch, Batch.Status.HELD)
    _require_reason(reason, say("cooking the batch again"))
    lots = [(lot, ledger.balance(lot)) for lot in _lots(batch)]
    left = [(lot, there) for lot, there in lots if there > 0]
    if not left:
        raise BatchError(
            say("no jar of {batch} is left at home to cook again", batch=batch)
        )
    child = _child(batch, version or batch.version, at=at, person=person)
    olds = [Draw(lot=lot, quantity=there) for lot, there in left]
    for draw in [*olds, *draws]:
        take(child, draw, at=at, person=person)
    said = f"cooked again as {child.code}: {reason}"
    _decide(batch, Batch.Status.REJECTED, at=at, person=person, reason=said)
    return child


def _child(
    batch: Batch, version: RecipeVersion, *, at: datetime.datetime, person: User
) -> Batch:
    on = timezone.localdate(at)
    child = Batch(
        version=version,
        product=batch.product,
        factor=batch.factor,
        parent=batch,
        planned_on=on,
        status=Batch.Status.COOKING,
        started_at=at,
        cook=person,
        altitude_m=batch.altitude_m,
        canner=batch.canner,
        ph_limit=kitchen.ph_limit(version)
        if kitchen.asks_ph(version) or batch.ph_limit is not None
        else None,
        expected_jars=sum((each.filled for each in batch.outputs.all()), Decimal(0)),
    )
    if version.frozen_at is None:
        version.frozen_at = at
        version.save(update_fields=["frozen_at"])
    give_code(child, on)
    return child


def _locked(batch: Batch, *wanted: Batch.Status) -> Batch:
    found = Batch.objects.select_for_update().get(pk=batch.pk)
    if found.status not in wanted:
        raise WrongStatusError(
            found,
            found.get_status_display(),
            say(" or ").join(str(each.label) for each in wanted),
        )
    return found


def _require_reason(reason: str, what: str) -> None:
    if len(reason.strip()) < 3:
        raise BatchError(
            say("{what} needs a reason in words; it prints on the record", what=what)
        )


def _lots(batch: Batch) -> list[Lot]:
    return list(Lot.objects.filter(batch_output__batch=batch).order_by("pk"))


def _decide(
    batch: Batch,
    status: Batch.Status,
    *,
    at: datetime.datetime,
    person: User,
    reason: str = "",
) -> None:
    batch.status = status
    batch.decided_at = at
    batch.decided_by = person
    batch.decision_reason = reason.strip()
    batch.full_clean()
    batch.save(
        update_fields=[
            "status",
            "decided_at",
            "decided_by",
            "decision_reason",
            "overrides",
        ]
    )
