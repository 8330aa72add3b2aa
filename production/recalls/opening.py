"""Opening, telling, checking and closing a recall."""

from dataclasses import asdict
from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.roles import is_owner
from inventory.words import say
from production.models import Batch, EffectivenessCheck, Recall, StopSale
from production.recall_rules import (
    AUTHORITY_CLASSES,
    EFFECTIVENESS_SHARES,
    NoticeWords,
    contacts_needed,
)
from production.selectors import recall_scope

__all__ = [
    "RecallError",
    "close_recall",
    "note_class",
    "open_recall",
    "record_check",
    "tell_authority",
    "write_notice",
]


class RecallError(ValueError):
    """A recall cannot be opened, changed or closed."""


@transaction.atomic
def open_recall(
    *, stop_sale: StopSale, reason: str, at: datetime, person: User
) -> Recall:
    """Open a recall of the jars of a stop-sale.

    Every shop that got some of them gets a line to be told and checked; released
    batches become recalled ones.

    Args:
        stop_sale: standing, not lifted.
        reason: what is wrong, in the maker's words.
        at: the moment; the first message to anybody is the recall's beginning.
        person: an owner.

    Raises:
        RecallError: not the owner, no reason, lifted, or recalled already.
    """
    if not is_owner(person):
        raise RecallError(say("only the owner may open a recall; ask them"))
    if not reason.strip():
        raise RecallError(say("say what is wrong with these jars"))
    found = StopSale.objects.select_for_update().get(pk=stop_sale.pk)
    if found.lifted_at is not None:
        raise RecallError(say("that stop-sale was lifted; stop the sale again first"))
    if found.recalls.exists():
        raise RecallError(say("these jars are under recall already; open that recall"))
    recall = Recall.objects.create(
        stop_sale=found,
        opened_at=at,
        opened_by=person,
        reason=reason.strip(),
        notice=asdict(NoticeWords(why=reason.strip())),
    )
    for shop in recall_scope.read(found).shops:
        EffectivenessCheck.objects.create(
            recall=recall, outlet_id=shop.outlet_id, jars_there=int(shop.jars)
        )
    Batch.objects.filter(
        outputs__lot__in=found.lots.all(), status=Batch.Status.RELEASED
    ).update(status=Batch.Status.RECALLED)
    return recall


@transaction.atomic
def write_notice(
    *, recall: Recall, words: NoticeWords, level: str | None = None
) -> Recall:
    """Keep the words of the notices and the level of the checks.

    Raises:
        RecallError: the recall is closed, or the level is unknown.
    """
    _refuse_closed(recall)
    level = level or recall.level
    if level not in EFFECTIVENESS_SHARES:
        raise RecallError(
            say(
                '"{level}" is no level; choose {effectiveness_shares}',
                level=level,
                effectiveness_shares=", ".join(EFFECTIVENESS_SHARES),
            )
        )
    recall.notice = asdict(words)
    recall.level = level
    recall.save(update_fields=["notice", "level"])
    return recall


@transaction.atomic
def tell_authority(*, recall: Recall, at: datetime) -> Recall:
    """Note when the authority was told."""
    recall.authority_told_at = at
    recall.save(update_fields=["authority_told_at"])
    return recall


@transaction.atomic
def note_class(*, recall: Recall, authority_class: str) -> Recall:
    """Note the class the authority gave; it is theirs to give.

    Raises:
        RecallError: no such class, or the authority was not told yet.
    """
    if authority_class not in AUTHORITY_CLASSES:
        raise RecallError(
            say(
                "a class is one of {authority_classes}",
                authority_classes=", ".join(AUTHORITY_CLASSES),
            )
        )
    if recall.authority_told_at is None:
        raise RecallError(
            say("the authority gives the class; note first when you told them")
        )
    recall.authority_class = authority_class
    recall.save(update_fields=["authority_class"])
    return recall


@transaction.atomic
def record_check(
    *,
    check: EffectivenessCheck,
    told_at: datetime | None,
    how: str = "",
    answered: bool = False,
    note: str = "",
) -> EffectivenessCheck:
    """Note when and how a shop was told, and whether it answered.

    Raises:
        RecallError: answered without having been told.
    """
    if answered and told_at is None:
        raise RecallError(
            say("{outlet} cannot have answered before it was told", outlet=check.outlet)
        )
    check.told_at, check.how = told_at, how.strip()
    check.answered, check.note = answered, note.strip()
    check.full_clean()
    check.save()
    return check


@transaction.atomic
def close_recall(*, recall: Recall, note: str, at: datetime, person: User) -> Recall:
    """Close a recall once enough shops were told and answered.

    Args:
        recall: open.
        note: what became of the jars, and what is changed in the kitchen.
        at: the moment.
        person: an owner.

    Raises:
        RecallError: not the owner, no note, a shop not told, too few answers, or
            closed already.
    """
    _refuse_closed(recall)
    if not is_owner(person):
        raise RecallError(say("only the owner may close a recall; ask them"))
    if not note.strip():
        raise RecallError(say("write down what became of the jars and what is changed"))
    checks = list(recall.checks.select_related("outlet"))
    silent = [str(check.outlet) for check in checks if check.told_at is None]
    if silent:
        raise RecallError(say("not told yet: {silent}", silent=", ".join(silent)))
    needed = contacts_needed(recall.level, len(checks))
    answers = sum(check.answered for check in checks)
    if answers < needed:
        raise RecallError(
            say(
                "level {level} asks for {needed} answers, and {answers} came; ask "
                "again, or agree on another level with the authority",
                level=recall.level,
                needed=needed,
                answers=answers,
            )
        )
    recall.closed_at, recall.closing_note = at, note.strip()
    recall.save(update_fields=["closed_at", "closing_note"])
    return recall


def _refuse_closed(recall: Recall) -> None:
    if recall.closed_at is not None:
        raise RecallError(say("the {recall} is closed", recall=recall))
