"""Setting the ledger right: a stocktake's difference, and a figure entered wrongly."""

from dataclasses import replace
from decimal import Decimal

from django.db import transaction

from inventory.ledger import rows
from inventory.ledger.errors import (
    AlreadyCorrectedError,
    LedgerError,
    NothingChangedError,
    NotPositiveAmountError,
)
from inventory.ledger.rows import Stamp, balance, lock
from inventory.models import Lot, Movement, Outlet
from inventory.words import say

__all__ = ["UNDOABLE", "correct", "count", "undo"]

Reason = Movement.Reason
UNDOABLE = (
    Reason.SAMPLED,
    Reason.GIVEN,
    Reason.OWN_USE,
    Reason.BROKEN,
    Reason.SPOILED,
    Reason.EXPIRED,
    Reason.MISSING,
    Reason.TRIMMED,
    Reason.COUNTED,
    Reason.RETURNED,
)
"""What one touch on a lot's page wrote, and another takes back."""


@transaction.atomic
def count(
    *, lot: Lot, counted: Decimal, stamp: Stamp, place: Outlet | None = None
) -> Movement | None:
    """Set the book right by what was counted; the difference is a row of its own.

    Args:
        lot: of anything.
        counted: what is really there, nothing or more.
        stamp: when, by whom, and the stocktake.
        place: where it was counted; empty means at home.

    Returns:
        The ledger row of the difference, or None when the book was right.

    Raises:
        LedgerError: counted below zero.
    """
    if counted < 0:
        raise NotPositiveAmountError(lot, counted)
    (held,) = lock(lot)
    difference = counted - balance(held, place)
    if not difference:
        return None
    return rows.write(held, difference, Reason.COUNTED, stamp, place=place)


@transaction.atomic
def correct(*, movement: Movement, quantity: Decimal, stamp: Stamp) -> Movement:
    """Correct the figure of one row by a new row that points at it.

    Args:
        movement: the first row.
        quantity: the right figure, with the first row's sign; zero cancels it.
        stamp: when, by whom, and why in the note.

    Returns:
        The new row: the difference, with the same reason, place and occasion.

    Raises:
        LedgerError: nothing changes, a sign turned round, a move or a correction
            itself, or not enough left for it.
    """
    (held,) = lock(movement.lot)
    if movement.corrects_id:
        raise AlreadyCorrectedError(movement, say("correct the row it points at"))
    occasion = movement.market_day or movement.visit
    if occasion is not None and occasion not in {stamp.market_day, stamp.visit}:
        raise AlreadyCorrectedError(
            movement, say("put the count of {occasion} right", occasion=occasion)
        )
    if movement.reason == Reason.MOVED:
        raise AlreadyCorrectedError(movement, say("carry the jars back instead"))
    if movement.reason == Reason.SPLIT:
        raise AlreadyCorrectedError(movement, say("count both lots instead"))
    if quantity * movement.quantity < 0:
        raise LedgerError(
            say("a correction keeps the direction; enter the other movement")
        )
    stands = movement.quantity + Movement.objects.filter(corrects=movement).total()
    difference = quantity - stands
    if not difference:
        raise NothingChangedError(movement)
    share = difference / movement.quantity
    return rows.change(
        held,
        difference,
        movement.reason,
        replace(
            stamp,
            market_day=movement.market_day,
            visit=movement.visit,
            count=movement.count,
        ),
        place=movement.place,
        corrects=movement,
        unit_price=movement.unit_price,
        sales_tax=(movement.sales_tax * share).quantize(Decimal("0.01")),
    )


@transaction.atomic
def undo(*, movement: Movement, stamp: Stamp) -> list[Movement]:
    """Take a touch back: each row it wrote is cancelled by a row that points at it.

    Args:
        movement: a row of the touch, for one of the reasons in ``UNDOABLE``.
        stamp: when and by whom.

    Returns:
        The new rows.

    Raises:
        LedgerError: another kind of row, taken back already, or not enough left.
    """
    if movement.reason not in UNDOABLE or movement.corrects_id:
        raise AlreadyCorrectedError(movement, say("put it right where it was entered"))
    touch = Movement.objects.filter(
        lot=movement.lot,
        at=movement.at,
        person=movement.person,
        reason__in=UNDOABLE,
        corrects=None,
    )
    # What was taken out comes back first, so that what came in can go.
    return [
        correct(movement=row, quantity=Decimal(0), stamp=stamp)
        for row in touch.order_by("quantity")
    ]
