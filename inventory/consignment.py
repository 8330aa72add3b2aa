"""Shops: jars left on consignment and settled at each visit, or sold outright."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from django.db import transaction

from inventory import ledger, selectors
from inventory.ledger import Figures, Stamp
from inventory.models import (
    ConsignmentLine,
    ConsignmentVisit,
    Lot,
    Movement,
    Outlet,
    OutletKind,
)
from inventory.reconciliation import ConsignmentVisit as ShopCount
from inventory.sales_tax import sales_tax_of
from inventory.words import say

__all__ = ["ConsignmentError", "ShopFigures", "deliver", "pay", "visit", "was_there"]

Reason = Movement.Reason


class ConsignmentError(ValueError):
    """Something a visit does not allow; the sentence says what to do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopFigures:
    """What a visit found and did with one lot.

    Attributes:
        sold: jars the shop sold since the last visit.
        returned: jars taken home.
        still_there: jars counted on the shop's shelf and staying.
        left: jars newly left.
        unit_price: shelf price; empty means the price in force at such shops.
    """

    sold: int = 0
    returned: int = 0
    still_there: int = 0
    left: int = 0
    unit_price: Decimal | None = None


@transaction.atomic
def visit(
    *,
    shop: ConsignmentVisit,
    figures: Mapping[Lot, ShopFigures],
    stamp: Stamp,
) -> ConsignmentVisit:
    """Enter a visit; entering the same shop and day again puts its figures right.

    Jars that were left and are not found are written off as missing at the shop.

    Args:
        shop: not saved yet: the outlet, the day and the commission agreed.
        figures: one entry for each lot that was there or is newly left.
        stamp: when and by whom.

    Returns:
        The saved visit.

    Raises:
        ConsignmentError: more is found than was left, or no price is set.
        LedgerError: not enough at home, held or stopped.
    """
    visits = ConsignmentVisit.objects.filter(outlet=shop.outlet)
    if later := visits.filter(on__gt=shop.on).first():
        raise ConsignmentError(
            say(
                "a later visit, of {on}, is entered already; put that one right",
                on=later.on,
            )
        )
    shop = _same_day(shop)
    for lot in sorted(figures, key=lambda lot: lot.pk):
        _enter(shop, lot, figures[lot], stamp)
    return shop


@transaction.atomic
def deliver(
    *, shop: ConsignmentVisit, jars: Mapping[Lot, int], stamp: Stamp
) -> ConsignmentVisit:
    """Sell to a shop that buys: each jar is carried there and sold at once.

    Entering the same shop and day again puts its figures right.

    Raises:
        ConsignmentError: the shop sells on consignment.
    """
    if shop.outlet.kind != OutletKind.WHOLESALE:
        raise ConsignmentError(
            say(
                "{outlet} does not buy outright; enter a visit instead",
                outlet=shop.outlet,
            )
        )
    shop = _same_day(shop)
    stamp = _of(shop, stamp)
    for lot in sorted(jars, key=lambda lot: lot.pk):
        price = _price(shop, lot, None)
        ledger.bring_up_to(
            lot=lot,
            place=shop.outlet,
            figures=Figures(
                carried=Decimal(jars[lot]),
                gone={Reason.SOLD: Decimal(jars[lot])},
                unit_price=price,
            ),
            stamp=stamp,
        )
        ConsignmentLine.objects.update_or_create(
            visit=shop,
            lot=lot,
            defaults={
                "was_there": jars[lot],
                "sold": jars[lot],
                "unit_price": price,
            },
        )
    return shop


@transaction.atomic
def pay(*, shop: ConsignmentVisit, on: date | None) -> ConsignmentVisit:
    """Mark what a visit left due as paid, or as unpaid again."""
    if on is not None and on < shop.on:
        raise ConsignmentError(
            say("paid on {on}, before the visit of {on2}", on=on, on2=shop.on)
        )
    shop.paid_on = on
    shop.save(update_fields=["paid_on"])
    return shop


def was_there(*, outlet: Outlet, lot: Lot, of: ConsignmentVisit | None = None) -> int:
    """Jars of a lot in the shop before a visit (before its own rows, if entered)."""
    now = ledger.balance(lot, outlet)
    if of is not None and of.pk:
        own = Movement.objects.filter(lot=lot, place=outlet, visit=of)
        now -= own.total()
    return int(now)


def _same_day(shop: ConsignmentVisit) -> ConsignmentVisit:
    """The visit saved: the one of that shop and day, when there is one already."""
    Outlet.objects.select_for_update().get(pk=shop.outlet_id)  # one entry at a time
    known = ConsignmentVisit.objects.filter(outlet=shop.outlet, on=shop.on).first()
    if known is not None:
        known.commission, known.note = shop.commission, shop.note
        shop = known
    shop.full_clean()
    shop.save()
    return shop


def _enter(
    shop: ConsignmentVisit, lot: Lot, figures: ShopFigures, stamp: Stamp
) -> None:
    there = was_there(outlet=shop.outlet, lot=lot, of=shop)
    missing = _missing(lot, there, figures)
    price = _price(shop, lot, figures.unit_price)
    ConsignmentLine.objects.filter(visit=shop, lot=lot).delete()
    line = ConsignmentLine(
        visit=shop,
        lot=lot,
        was_there=there,
        sold=figures.sold,
        returned=figures.returned,
        missing=missing,
        left=figures.left,
        unit_price=price,
    )
    line.full_clean()
    line.save()
    ledger.bring_up_to(
        lot=lot,
        place=shop.outlet,
        figures=Figures(
            carried=Decimal(figures.left - figures.returned),
            gone={
                Reason.SOLD: Decimal(figures.sold),
                Reason.MISSING: Decimal(missing),
            },
            unit_price=price,
            sales_tax=sales_tax_of(figures.sold * price, outlet=shop.outlet, lot=lot),
        ),
        stamp=replace(_of(shop, stamp), already=True),
    )


def _missing(lot: Lot, there: int, figures: ShopFigures) -> int:
    count = ShopCount(
        left=Decimal(there),
        sold=Decimal(figures.sold),
        returned=Decimal(figures.returned),
        still_there=Decimal(figures.still_there),
    )
    if count.missing < 0:
        found = figures.sold + figures.returned + figures.still_there
        raise ConsignmentError(
            say(
                "{found} jars of {lot} are found but {there} were left; count again",
                found=found,
                lot=lot,
                there=there,
            )
        )
    return int(count.missing)


def _price(shop: ConsignmentVisit, lot: Lot, price: Decimal | None) -> Decimal:
    if price is not None:
        return price
    known = lot.product and selectors.price_on(
        product=lot.product, kind=shop.outlet.kind, on=shop.on
    )
    if not known:
        raise ConsignmentError(
            say(
                "{lot} has no price at a {kind}; enter one, or set it first",
                lot=lot.name,
                kind=shop.outlet.get_kind_display(),
            )
        )
    return known


def _of(shop: ConsignmentVisit, stamp: Stamp) -> Stamp:
    return replace(stamp, on=shop.on, visit=shop, cause=f"visit to {shop.outlet}")
