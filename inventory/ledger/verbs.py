"""The verbs of the stock ledger.

Each verb is one transaction: it locks its lots in the order of their numbers, checks,
then writes. Nothing is ever changed or deleted; a mistake is corrected by a row of the
same reason that points at the first. The database refuses what slips past.
"""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

from django.db import transaction

from inventory.ledger import rows
from inventory.ledger.errors import (
    LedgerError,
    NotMovableError,
)
from inventory.ledger.rows import Stamp, lock, unit_cost
from inventory.models import Lot, Movement, Outlet
from inventory.words import say

__all__ = [
    "WRITE_OFFS",
    "draw",
    "freeze",
    "move",
    "receive",
    "sell",
    "split",
    "take_back",
    "write_off",
]

Reason = Movement.Reason
WRITE_OFFS = (
    Reason.SAMPLED,
    Reason.GIVEN,
    Reason.OWN_USE,
    Reason.BROKEN,
    Reason.SEAL,
    Reason.SPOILED,
    Reason.EXPIRED,
    Reason.REJECTED,
    Reason.MISSING,
    Reason.RECALLED,
    Reason.TRIMMED,
)
# These hand food to people: not from a stopped lot, not from a held batch.
HANDED_OUT = (Reason.SOLD, Reason.SAMPLED, Reason.GIVEN)
COST_STEP = Decimal("0.0001")


@transaction.atomic
def receive(
    *, lot: Lot, quantity: Decimal, stamp: Stamp, reason: str = Reason.RECEIVED
) -> Lot:
    """Bring a new lot into the book.

    Args:
        lot: not saved yet, with its material or product, cost and dates; an empty
            code is given by the book (two-digit year, day of the year, number).
        quantity: grams, pieces or jars, more than zero.
        stamp: when and by whom.
        reason: received, opening, made or split.

    Returns:
        The saved lot.

    Raises:
        LedgerError: no amount, or not a reason to receive.
        ValidationError: the lot itself is not right.
    """
    rows.refuse_reason(reason, Movement.INCOMING)
    rows.refuse_no_amount(lot, quantity)
    if known := rows.written(stamp):
        return known.lot
    rows.save_with_code(lot, stamp.on)
    rows.write(lot, quantity, reason, stamp)
    return lot


@transaction.atomic
def draw(
    *,
    lot: Lot,
    quantity: Decimal,
    stamp: Stamp,
    place: Outlet | None = None,
    reason: str = Reason.DRAWN,
) -> Movement:
    """Take from a lot for a batch.

    Args:
        lot: of a material, or of jars for a gift box.
        quantity: grams, pieces or jars, more than zero.
        stamp: when, by whom, and the batch as cause.
        place: where it is; empty means at home.
        reason: drawn, unless the caller has a better word for it.

    Returns:
        The ledger row, quantity below zero.

    Raises:
        LedgerError: stopped, or not enough there.
    """
    (held,) = lock(lot)
    rows.refuse_stopped(held)
    return rows.take(held, quantity, reason, stamp, place=place)


@transaction.atomic
def move(
    *,
    lot: Lot,
    quantity: Decimal,
    stamp: Stamp,
    source: Outlet | None = None,
    target: Outlet | None = None,
) -> tuple[Movement, Movement]:
    """Carry jars from one place to another; home is None.

    Args:
        lot: what is carried; jars must be released to leave home.
        quantity: jars, more than zero.
        stamp: when, by whom, and the market day or visit.
        source: from where.
        target: to where.

    Returns:
        The row that left and the row that arrived.

    Raises:
        LedgerError: same place, not enough there, held or stopped.
    """
    (held,) = lock(lot)
    if known := rows.written(stamp):
        return known, rows.partner(known)
    if source == target:
        raise NotMovableError(held, target)
    if target is not None:
        rows.refuse_stopped(held)
        rows.refuse_held(held)
    left = rows.take(held, quantity, Reason.MOVED, stamp, place=source)
    again = replace(stamp, token=None)
    arrived = rows.write(held, quantity, Reason.MOVED, again, place=target)
    return left, arrived


@transaction.atomic
def sell(
    *,
    lot: Lot,
    quantity: Decimal,
    stamp: Stamp,
    place: Outlet,
    unit_price: Decimal,
    sales_tax: Decimal = Decimal(0),
) -> Movement:
    """Record jars sold at an outlet, where they must be.

    Args:
        lot: released jars.
        quantity: jars, more than zero.
        stamp: when, by whom, and the market day or visit.
        place: the outlet.
        unit_price: shelf price of one jar, without sales tax.
        sales_tax: tax on the whole row, kept apart from the price.

    Returns:
        The ledger row.

    Raises:
        LedgerError: not enough there, held or stopped.
    """
    (held,) = lock(lot)
    rows.refuse_stopped(held, stamp)
    rows.refuse_held(held, stamp)
    return rows.take(
        held,
        quantity,
        Reason.SOLD,
        stamp,
        place=place,
        unit_price=unit_price,
        sales_tax=sales_tax,
    )


@transaction.atomic
def write_off(
    *,
    lot: Lot,
    quantity: Decimal,
    stamp: Stamp,
    reason: str,
    place: Outlet | None = None,
) -> Movement:
    """Take out of stock what was sampled, given, eaten, broken, spoiled or lost.

    Args:
        lot: of anything.
        quantity: more than zero.
        stamp: when and by whom.
        reason: one of ``WRITE_OFFS``.
        place: where it was; empty means at home.

    Returns:
        The ledger row.

    Raises:
        LedgerError: not such a reason, not enough there; samples and gifts of a
            stopped lot or of jars not released.
    """
    rows.refuse_reason(reason, WRITE_OFFS)
    (held,) = lock(lot)
    if reason in HANDED_OUT:
        rows.refuse_stopped(held, stamp)
        rows.refuse_held(held, stamp)
    return rows.take(held, quantity, reason, stamp, place=place)


@transaction.atomic
def take_back(
    *,
    lot: Lot,
    quantity: Decimal,
    stamp: Stamp,
    place: Outlet | None = None,
    unit_price: Decimal | None = None,
    discard: bool = False,
) -> Movement:
    """Take back jars a customer brings; a refunded price lowers the year's sales.

    Args:
        lot: the jars' lot.
        quantity: jars, more than zero.
        stamp: when, by whom and why.
        place: where they are now; empty means at home.
        unit_price: what was refunded for one jar, if anything.
        discard: write the jars off as spoiled at once: an opened or doubtful jar
            never goes back on the shelf.

    Returns:
        The ledger row that came in.
    """
    (held,) = lock(lot)
    rows.refuse_no_amount(held, quantity)
    if known := rows.written(stamp):
        return known
    row = rows.write(
        held, quantity, Reason.RETURNED, stamp, place=place, unit_price=unit_price
    )
    if discard:
        again = replace(stamp, token=None)
        rows.take(held, quantity, Reason.SPOILED, again, place=place)
    return row


@transaction.atomic
def split(*, lot: Lot, part: Lot, quantity: Decimal, stamp: Stamp) -> Lot:
    """Make a lot of its own from a part of another; weight and cost are kept.

    Args:
        lot: at home.
        part: not saved yet, with what differs (frozen, best-by, note); what it is,
            where it came from and its share of the cost follow from the lot.
        quantity: grams, pieces or jars, more than zero.
        stamp: when and by whom.

    Returns:
        The new lot, pointing at the first.

    Raises:
        LedgerError: stopped, or not enough there.
    """
    (held,) = lock(lot)
    if known := rows.written(stamp):
        return rows.partner(known).lot
    rows.refuse_stopped(held)
    rows.take(held, quantity, Reason.SPLIT, stamp)
    part.split_from = held
    part.material, part.product = held.material, held.product
    part.purchase, part.received_on = held.purchase, stamp.on
    part.supplier_mark, part.origin = held.supplier_mark, held.origin
    part.released_at = held.released_at
    part.is_tax_exempt = held.is_tax_exempt
    part.cost = (unit_cost(held) * quantity).quantize(COST_STEP)
    again = replace(stamp, token=None)
    return receive(lot=part, quantity=quantity, stamp=again, reason=Reason.SPLIT)


@transaction.atomic
def freeze(
    *, lot: Lot, quantity: Decimal, stamp: Stamp, best_by: date | None = None
) -> Lot:
    """Freeze a part of a lot of fruit: a new lot with its own use-by.

    Args:
        lot: at home, of a material marked as freezable.
        quantity: grams, more than zero.
        stamp: when and by whom.
        best_by: use by; empty means the days the material keeps frozen.

    Returns:
        The frozen lot.

    Raises:
        LedgerError: not freezable, frozen already, stopped, or not enough there.
    """
    material = lot.material
    if material is None or not material.freezable:
        raise LedgerError(
            say(
                "{lot} is not marked as freezable; change the material first",
                lot=lot.name,
            )
        )
    if lot.is_frozen:
        raise LedgerError(
            say("{lot} is frozen already; never freeze thawed fruit again", lot=lot)
        )
    if best_by is None and material.frozen_days:
        best_by = stamp.on + timedelta(days=material.frozen_days)
    part = Lot(is_frozen=True, best_by=best_by)
    return split(lot=lot, part=part, quantity=quantity, stamp=stamp)
