"""Bring the ledger up to the figures of an occasion, however often they are entered.

A market day or a visit to a shop is entered as figures ("taken 24, back 6"), sometimes
twice, sometimes put right later. Each time only the difference to what the ledger
already says of that occasion is written, so nothing is counted double.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal

from django.db import transaction

from inventory.ledger import corrections, rows, verbs
from inventory.ledger.rows import Stamp
from inventory.models import Lot, Movement, Outlet
from inventory.models.stock import MovementQuerySet

__all__ = ["Figures", "bring_up_to"]

Reason = Movement.Reason


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """What an occasion did with the jars of one lot at one place.

    Attributes:
        carried: jars carried there, less those carried home.
        gone: jars that left the place for good, by reason.
        unit_price: shelf price of one jar sold.
        sales_tax: tax on all the jars sold, kept apart from the price.
    """

    carried: Decimal
    gone: Mapping[Movement.Reason, Decimal] = field(default_factory=dict)
    unit_price: Decimal = Decimal(0)
    sales_tax: Decimal = Decimal(0)


@transaction.atomic
def bring_up_to(*, lot: Lot, place: Outlet, figures: Figures, stamp: Stamp) -> None:
    """Write what is missing for the ledger to say these figures of the occasion.

    Args:
        lot: jars.
        place: the stall or shop.
        figures: the whole of what the occasion did; reasons left out stay as they are.
        stamp: when, by whom; its market day or visit is the occasion.

    Raises:
        LedgerError: not enough at home or there, held or stopped.
    """
    rows.lock(lot)
    of_occasion = Movement.objects.filter(
        lot=lot, place=place, market_day=stamp.market_day, visit=stamp.visit
    )
    _give_back_at_another_price(of_occasion, figures, stamp)
    carry = figures.carried - of_occasion.filter(reason=Reason.MOVED).total()
    gone = {
        reason: figure + of_occasion.filter(reason=reason).total()
        for reason, figure in figures.gone.items()
    }
    if len([change for change in (carry, *gone.values()) if change]) != 1:
        stamp = replace(stamp, token=None)  # a token names one row
    # First what brings jars to the place, so that there is enough for what takes them.
    for reason, more in gone.items():
        if more < 0:
            _give_back(of_occasion.filter(reason=reason), -more, stamp)
    if carry > 0:
        verbs.move(lot=lot, quantity=carry, stamp=stamp, target=place)
    for reason, more in gone.items():
        if more > 0:
            _let_go(lot, place, reason, more, figures, stamp)
    if carry < 0:
        verbs.move(lot=lot, quantity=-carry, stamp=stamp, source=place)


def _let_go(
    lot: Lot,
    place: Outlet,
    reason: Movement.Reason,
    jars: Decimal,
    figures: Figures,
    stamp: Stamp,
) -> None:
    if reason != Reason.SOLD:
        verbs.write_off(lot=lot, quantity=jars, stamp=stamp, reason=reason, place=place)
        return
    sold = figures.gone[Reason.SOLD]
    verbs.sell(
        lot=lot,
        quantity=jars,
        stamp=stamp,
        place=place,
        unit_price=figures.unit_price,
        sales_tax=(figures.sales_tax * jars / sold).quantize(Decimal("0.01")),
    )


def _give_back_at_another_price(
    of_occasion: MovementQuerySet, figures: Figures, stamp: Stamp
) -> None:
    """Cancel sales written at a price since put right; they are written anew."""
    if Reason.SOLD not in figures.gone:
        return
    sold = of_occasion.filter(reason=Reason.SOLD)
    stale = sold.exclude(unit_price=figures.unit_price)
    _give_back(stale, -stale.total(), stamp)


def _give_back(written: MovementQuerySet, jars: Decimal, stamp: Stamp) -> None:
    """Correct the last rows first until so many jars are back."""
    for row in written.filter(corrects=None).order_by("-pk"):
        stands = -row.quantity - Movement.objects.filter(corrects=row).total()
        back = min(jars, stands)
        if back > 0:
            corrections.correct(movement=row, quantity=-(stands - back), stamp=stamp)
            jars -= back
