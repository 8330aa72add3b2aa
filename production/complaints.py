"""Complaints: written down, graded, looked into, answered, and the person forgotten.

Only what an answer needs is kept of the person, and it is erased after a set time;
the complaint itself stays, without the person.

Source of the list of fields (a model, not binding on a kitchen): 21 CFR 111.560 and
111.570.
"""

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from decimal import Decimal

from django.db import transaction
from django.utils import timezone

from inventory.models import Lot
from inventory.sourced import Kind, Sourced, Status
from inventory.words import say
from production.models import Batch, BatchOutput, Complaint
from production.selectors.lineage import downstream_by_origin, id_rows, lots_upstream
from production.suspicion import Suspect, rank_suspects
from production.symptoms import Severity, find_symptom, grade

__all__ = [
    "PERSON_KEPT_DAYS",
    "ComplaintError",
    "close",
    "common_suspects",
    "erase_persons",
    "point_at",
    "record",
    "with_lots",
]

PERSON_KEPT_DAYS = Sourced(
    value=Decimal(180),
    unit="d",
    kind=Kind.CONVENTION,
    source="common practice",
    status=Status.MEMORY,
)
"""How long the name and contact of a complainant are kept."""


class ComplaintError(ValueError):
    """A complaint cannot be written down or closed."""


@transaction.atomic
def record(*, complaint: Complaint) -> Complaint:
    """Write a complaint down and grade it.

    Args:
        complaint: not saved yet, with what the buyer said; its batch may be
            missing.

    Returns:
        The saved complaint with its severity and the day the person is forgotten.

    Raises:
        UnknownSymptomError: a symptom that is not in the table.
        ValidationError: a field is not right.
    """
    received_on = timezone.localdate(complaint.received_at)
    if complaint.person_name or complaint.person_contact:
        kept = timedelta(days=int(PERSON_KEPT_DAYS.value))
        complaint.erase_person_on = received_on + kept
    complaint.severity = _severity(complaint)
    complaint.full_clean()
    complaint.save()
    return complaint


@transaction.atomic
def point_at(*, complaint: Complaint, batch: Batch) -> Complaint:
    """Say which batch a complaint is about; the grade may rise with it.

    Args:
        complaint: written down already.
        batch: the batch the jar came from.
    """
    complaint.batch = batch
    if complaint.product is None:
        complaint.product = batch.product
    complaint.severity = _severity(complaint)
    complaint.full_clean()
    complaint.save(update_fields=["batch", "product", "severity"])
    return complaint


@transaction.atomic
def close(*, complaint: Complaint, outcome: str, at: datetime) -> Complaint:
    """Close a complaint with what was found and answered.

    Raises:
        ComplaintError: nothing was written, or it is closed already.
    """
    if complaint.closed_at is not None:
        raise ComplaintError(
            say("the {complaint} is closed already", complaint=complaint)
        )
    if not outcome.strip():
        raise ComplaintError(
            say("write down what was found and what the buyer was told")
        )
    complaint.outcome = outcome.strip()
    complaint.closed_at = at
    complaint.save(update_fields=["outcome", "closed_at"])
    return complaint


@transaction.atomic
def erase_persons(*, on: date) -> int:
    """Forget the persons whose time is over, and their photos.

    Args:
        on: today, in the seller's time zone.

    Returns:
        How many complaints lost their person.
    """
    due = Complaint.objects.filter(erase_person_on__lte=on)
    for complaint in due:
        if complaint.photo:
            complaint.photo.delete(save=False)
        complaint.person_name = complaint.person_contact = ""
        complaint.erase_person_on = None
        complaint.save(
            update_fields=["person_name", "person_contact", "erase_person_on", "photo"]
        )
    return len(due)


def common_suspects(complaints: Sequence[Complaint]) -> Sequence[Suspect]:
    """Rank the lots that the complained batches have in common.

    Args:
        complaints: those looked at together, each with its batch.

    Returns:
        Lots by how well they explain the complaints; their ``lot`` is the row
        number as text.
    """
    complained = frozenset(c.batch_id for c in complaints if c.batch_id is not None)
    made = BatchOutput.objects.filter(batch_id__in=id_rows(complained))
    lots = lots_upstream(made.values_list("lot_id", flat=True))
    below = downstream_by_origin(lots)
    every = frozenset[int]().union(*below.values())
    rows = BatchOutput.objects.filter(lot_id__in=id_rows(every)).order_by()
    maker = dict(rows.values_list("lot_id", "batch_id"))
    descendants = {
        str(lot): frozenset(maker[each] for each in found if each in maker)
        for lot, found in below.items()
    }
    in_all = Batch.objects.filter(outputs__isnull=False).distinct().count()
    return rank_suspects(descendants, complained=complained, batches_in_all=in_all)


def _severity(complaint: Complaint) -> Severity:
    symptom = find_symptom(complaint.symptom)
    jars = 1
    if complaint.batch_id is not None:
        others = Complaint.objects.filter(
            batch_id=complaint.batch_id, symptom=complaint.symptom
        ).exclude(pk=complaint.pk)
        jars += others.count()
    ill = complaint.illness == Complaint.Illness.YES
    return grade(symptom, someone_is_ill=ill, jars=jars)


def with_lots(suspects: Sequence[Suspect]) -> Sequence[tuple[Suspect, Lot]]:
    """Put the lot beside each suspect, for showing."""
    lots = Lot.objects.select_related("material", "product__jar_size").in_bulk(
        [int(suspect.lot) for suspect in suspects]
    )
    return [(suspect, lots[int(suspect.lot)]) for suspect in suspects]
