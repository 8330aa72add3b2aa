"""Rows of the stock ledger: how one is checked and written, for the verbs only.

``inventory.ledger`` holds the verbs; nothing else writes rows.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.contrib.auth.models import User
from django.db import IntegrityError, models, transaction

from inventory.ledger.errors import (
    LedgerError,
    NotAReasonError,
    NotEnoughError,
    NotPositiveAmountError,
    NotReleasedError,
    StoppedError,
)
from inventory.models import (
    ConsignmentVisit,
    Lot,
    MarketDay,
    Movement,
    Outlet,
    StockCount,
)
from inventory.words import say

__all__ = [
    "Stamp",
    "balance",
    "change",
    "lock",
    "partner",
    "refuse_held",
    "refuse_no_amount",
    "refuse_reason",
    "refuse_stopped",
    "save_with_code",
    "take",
    "unit_cost",
    "write",
    "written",
]

CODE_TRIES = 20
POINTERS = {"lot", "person", "place", "market_day", "visit", "count", "corrects"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Stamp:
    """When, by whom and on what occasion stock changes.

    Attributes:
        on: the seller's date.
        at: the moment of entry, with its zone; the edge asks the clock once.
        person: who entered it.
        cause: what caused it, in a few words ("batch 26161AM").
        note: free text.
        market_day: the day at an outlet it belongs to.
        visit: the visit to a shop it belongs to.
        count: the stocktake it belongs to.
        token: made where the touch was made; the same token is written once.
        already: whether it tells what happened before, as the count of a market day
            does; a stop-sale or a hold set since does not make it untrue.
    """

    on: date
    at: datetime
    person: User | None = None
    cause: str = ""
    note: str = ""
    market_day: MarketDay | None = None
    visit: ConsignmentVisit | None = None
    count: StockCount | None = None
    token: UUID | None = None
    already: bool = False


def lock(*lots: Lot) -> Sequence[Lot]:
    """Lock lots in the order of their numbers and read them afresh, in that order."""
    numbers = sorted({lot.pk for lot in lots})
    return list(
        Lot.objects.select_for_update(of=("self",))
        .select_related("material", "product__jar_size")
        .filter(pk__in=numbers)
        .order_by("pk")
    )


def balance(lot: Lot, place: Outlet | None = None) -> Decimal:
    """What is left of a lot at one place; home is None."""
    return Movement.objects.filter(lot=lot, place=place).total()


def unit_cost(lot: Lot) -> Decimal:
    """Cost of one gram, piece or jar of a lot, unrounded; 0 when nothing came in."""
    received = Movement.objects.incoming().filter(lot=lot).total()
    return lot.cost / received if received > 0 else Decimal(0)


def written(stamp: Stamp) -> Movement | None:
    """The row a touch has written already, when it is sent a second time."""
    if stamp.token is None:
        return None
    return Movement.objects.select_related("lot").filter(token=stamp.token).first()


def partner(row: Movement) -> Movement:
    """The other row of a move or a split: the next with the opposite quantity."""
    its_lot = models.Q(lot=row.lot) | models.Q(lot__split_from=row.lot)
    return (
        Movement.objects.select_related("lot")
        .filter(its_lot, at=row.at, reason=row.reason, quantity=-row.quantity)
        .filter(pk__gt=row.pk)
        .earliest("pk")
    )


def take(
    lot: Lot, quantity: Decimal, reason: str, stamp: Stamp, **row: Any
) -> Movement:
    """Write a row out of a locked lot."""
    refuse_no_amount(lot, quantity)
    return change(lot, -quantity, reason, stamp, **row)


def change(
    lot: Lot, quantity: Decimal, reason: str, stamp: Stamp, **row: Any
) -> Movement:
    """Write a row of a locked lot, refusing what would leave less than nothing."""
    if known := written(stamp):
        return known
    place = row.get("place")
    if quantity < 0:
        there = balance(lot, place)
        if there + quantity < 0:
            raise NotEnoughError(lot, wanted=-quantity, there=there, place=place)
    return write(lot, quantity, reason, stamp, **row)


def write(
    lot: Lot, quantity: Decimal, reason: str, stamp: Stamp, **row: Any
) -> Movement:
    """Write one row; a row with the same token stands already and is returned."""
    if known := written(stamp):
        return known
    movement = Movement(
        lot=lot,
        quantity=quantity,
        reason=reason,
        on=stamp.on,
        at=stamp.at,
        person=stamp.person,
        cause=stamp.cause,
        note=stamp.note,
        market_day=stamp.market_day,
        visit=stamp.visit,
        count=stamp.count,
        token=stamp.token,
        **row,
    )
    # Rows it points at were just read, and the database keeps the constraints: asking
    # for each again would make a market day of thirty lots a page of many queries.
    movement.full_clean(
        exclude=POINTERS, validate_unique=False, validate_constraints=False
    )
    movement.save(force_insert=True)
    return movement


def save_with_code(lot: Lot, on: date) -> None:
    """Save a new lot; one without a code is given the next of its day."""
    if lot.code:
        lot.full_clean()
        lot.save(force_insert=True)
        return
    day = f"{on:%y%j}"
    taken = Lot.objects.filter(code__startswith=f"{day}-").count()
    for number in range(taken + 1, taken + 1 + CODE_TRIES):
        lot.code = f"{day}-{number}"
        if Lot.objects.filter(code=lot.code).exists():
            continue
        lot.full_clean(exclude={"code"})
        try:
            with transaction.atomic():
                lot.save(force_insert=True)
        except IntegrityError:
            lot.pk = None
            continue
        return
    raise LedgerError(say("no free lot code for {on}; enter a code of your own", on=on))


def refuse_no_amount(lot: Lot, quantity: Decimal) -> None:
    """Refuse nothing, or less."""
    if quantity <= 0:
        raise NotPositiveAmountError(lot, quantity)


def refuse_stopped(lot: Lot, stamp: Stamp | None = None) -> None:
    """Refuse to let a stopped lot out, unless it is told that it has left before."""
    if lot.stopped_at is not None and not (stamp and stamp.already):
        raise StoppedError(lot)


def refuse_held(lot: Lot, stamp: Stamp | None = None) -> None:
    """Refuse to hand out jars of a batch that is held, unless they were before."""
    is_held = lot.product_id is not None and lot.released_at is None
    if is_held and not (stamp and stamp.already):
        raise NotReleasedError(lot)


def refuse_reason(reason: str, accepted: Collection[Movement.Reason]) -> None:
    """Refuse a reason that does not belong to the verb."""
    if reason not in accepted:
        raise NotAReasonError(reason, list(accepted))
