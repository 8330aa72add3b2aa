"""Stop-sales: jars put out of reach at once, and let go again only by the owner.

A stopped lot is locked, marked and from then on refused by the ledger: nothing of
it is drawn, carried to an outlet, sold, sampled or given away, by whatever page or
import, and no label is printed for it. The mark is set under the same lock a sale
takes, so a sale is either in the book before the stop or refused after it.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import QuerySet, Sum

from inventory import ledger
from inventory.models import Lot, Movement, Outlet
from inventory.roles import is_owner
from inventory.words import say
from production.models import Batch, Complaint, StopSale
from production.selectors.lineage import id_rows, lots_downstream, lots_upstream

__all__ = [
    "OffTheTable",
    "StopSaleError",
    "lift",
    "lots_of",
    "off_the_table",
    "refuse_stopped_upstream",
    "stop",
    "stop_batches",
    "stop_everything_with",
]


class StopSaleError(ValueError):
    """A stop-sale cannot be set or lifted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OffTheTable:
    """So many jars of a stopped lot that must be taken away from one place."""

    lot: Lot
    outlet: Outlet | None
    jars: Decimal

    @property
    def place(self) -> str:
        """Where they are, in words."""
        return str(self.outlet) if self.outlet else say("at home")


@transaction.atomic
def stop(
    *,
    lots: Iterable[Lot],
    reason: str,
    at: datetime,
    person: User | None,
    complaint: Complaint | None = None,
    suspect_lot: Lot | None = None,
) -> StopSale:
    """Put lots out of reach, all at once.

    Args:
        lots: what is stopped; what is stopped already stays so.
        reason: why, in the maker's words.
        at: the moment.
        person: who stops; a helper may.
        complaint: what it follows from, if anything.
        suspect_lot: the lot they share, if one is suspected.

    Returns:
        The stop-sale.

    Raises:
        StopSaleError: no reason, or nothing to stop.
    """
    if not reason.strip():
        raise StopSaleError(say("say why the sale is stopped"))
    held = ledger.lock(*lots)
    if not held:
        raise StopSaleError(say("there are no jars to stop; the batch made none yet"))
    fresh = [lot.pk for lot in held if lot.stopped_at is None]
    Lot.objects.filter(pk__in=fresh).update(stopped_at=at)
    stopped = StopSale.objects.create(
        reason=reason.strip(),
        set_at=at,
        set_by=person,
        complaint=complaint,
        suspect_lot=suspect_lot,
    )
    stopped.lots.set(held)
    return stopped


@transaction.atomic
def stop_batches(
    *,
    batches: Iterable[Batch],
    reason: str,
    at: datetime,
    person: User | None,
    complaint: Complaint | None = None,
) -> StopSale:
    """Stop every jar of some batches, and of what was cooked from them.

    Raises:
        StopSaleError: no reason, or the batches made nothing yet.
    """
    made = list(Lot.objects.filter(batch_output__batch__in=[b.pk for b in batches]))
    ledger.lock(*made)
    below = lots_downstream(lot.pk for lot in made)
    return stop(
        lots=[*made, *Lot.objects.filter(pk__in=id_rows(below))],
        reason=reason,
        at=at,
        person=person,
        complaint=complaint,
    )


@transaction.atomic
def stop_everything_with(
    *,
    lot: Lot,
    reason: str,
    at: datetime,
    person: User | None,
    complaint: Complaint | None = None,
) -> StopSale:
    """Stop a suspect lot and everything that was made with it, to any depth.

    The suspect is locked first, so that no batch draws from it in between.

    Raises:
        StopSaleError: no reason.
    """
    ledger.lock(lot)
    below = lots_downstream([lot.pk])
    return stop(
        lots=[lot, *Lot.objects.filter(pk__in=id_rows(below))],
        reason=reason,
        at=at,
        person=person,
        complaint=complaint,
        suspect_lot=lot,
    )


@transaction.atomic
def lift(*, stop_sale: StopSale, reason: str, at: datetime, person: User) -> StopSale:
    """Let stopped jars go again; lots under another stop-sale stay stopped.

    Args:
        stop_sale: the stop-sale.
        reason: what was found, in the owner's words.
        at: the moment.
        person: an owner.

    Raises:
        StopSaleError: not the owner, no reason, lifted already, or under recall.
    """
    if not is_owner(person):
        raise StopSaleError(say("only the owner may lift a stop-sale; ask them"))
    if not reason.strip():
        raise StopSaleError(say("say what was found that lets the jars be sold again"))
    found = StopSale.objects.select_for_update().get(pk=stop_sale.pk)
    if found.lifted_at is not None:
        raise StopSaleError(say("the {found} was lifted already", found=found))
    if found.recalls.exists():
        raise StopSaleError(
            say("these jars are recalled; a recall is closed, never lifted")
        )
    held = ledger.lock(*found.lots.all())
    found.lifted_at, found.lifted_by = at, person
    found.lift_reason = reason.strip()
    found.full_clean()
    found.save(update_fields=["lifted_at", "lifted_by", "lift_reason"])
    free = Lot.objects.filter(pk__in=[lot.pk for lot in held]).exclude(
        stop_sales__lifted_at__isnull=True
    )
    Lot.objects.filter(pk__in=[lot.pk for lot in free]).update(stopped_at=None)
    return found


def lots_of(stop_sale: StopSale) -> QuerySet[Lot]:
    """The stopped lots with what they are of."""
    return stop_sale.lots.select_related("material", "product__jar_size").order_by(
        "code"
    )


def off_the_table(stop_sale: StopSale) -> Sequence[OffTheTable]:
    """List what must come off which table or shelf.

    Args:
        stop_sale: the stop-sale.

    Returns:
        Lots with what is left of them at each place, outlets first.
    """
    lots = {lot.pk: lot for lot in lots_of(stop_sale)}
    outlets = Outlet.objects.in_bulk()
    rows = (
        Movement.objects.filter(lot_id__in=id_rows(lots))
        .order_by()
        .values_list("lot_id", "place_id")
        .annotate(total=Sum("quantity"))
    )
    found = [
        OffTheTable(
            lot=lots[lot],
            outlet=outlets[place] if place else None,
            jars=total,
        )
        for lot, place, total in rows
        if total > 0
    ]
    return sorted(found, key=lambda e: (e.outlet is None, e.place, e.lot.code))


def refuse_stopped_upstream(batch: Batch) -> None:
    """Refuse to let jars out that were made, at any remove, from a stopped lot.

    Raises:
        StopSaleError: a lot upstream is stopped.
    """
    drawn = batch.inputs.values_list("movement__lot_id", flat=True)
    lots = frozenset(drawn) | lots_upstream(drawn)
    bad = Lot.objects.filter(pk__in=id_rows(lots), stopped_at__isnull=False).first()
    if bad is not None:
        raise StopSaleError(
            say(
                "{batch} holds some of {bad}, which is stopped; lift that "
                "stop-sale first",
                batch=batch,
                bad=bad,
            )
        )
