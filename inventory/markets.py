"""A market day: planned, packed, taken out, counted back, cashed up.

The day is entered as figures; each entry writes to the ledger only what is missing
for it to say them, so entering twice counts once and a figure can be put right.
"""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, time
from decimal import Decimal

from django.db import transaction

from inventory import ledger, selectors
from inventory.ledger import Figures, LedgerError, Stamp
from inventory.models import (
    Lot,
    MarketDay,
    MarketLine,
    Movement,
    Outlet,
    Product,
    SoldOutMark,
)
from inventory.reconciliation import CashUp, DayCount
from inventory.sales_tax import sales_tax_of
from inventory.words import say

__all__ = [
    "MarketError",
    "cancel",
    "cash_up",
    "count_back",
    "mark_sold_out",
    "pack",
    "pack_product",
    "pack_products",
    "plan_day",
    "record",
    "sell_direct",
    "take_out",
    "unmark_sold_out",
]

Reason = Movement.Reason
CASH_FIELDS = ["float_in", "cash_counted", "card_total", "cash_paid_out", "float_out"]
ONE_TOUCH = {Reason.SAMPLED: "sampled", Reason.BROKEN: "broken", Reason.GIVEN: "given"}


class MarketError(ValueError):
    """Something a market day does not allow; the sentence says what to do."""


class OverCountedError(MarketError):
    """More is accounted for than was taken."""

    def __init__(self, lot: Lot, count: DayCount) -> None:
        self.lot, self.count = lot, count
        super().__init__(
            say(
                "{accounted:f} jars of {lot} are accounted for but {taken:f} were "
                "taken; put right what was taken or what came back",
                accounted=count.accounted,
                lot=lot,
                taken=count.taken,
            )
        )


class NoPriceError(MarketError):
    """A product without a price where it is sold."""

    def __init__(self, product: Product, outlet: Outlet) -> None:
        self.product, self.outlet = product, outlet
        super().__init__(
            say(
                "{product} has no price at a {kind}; set its price first",
                product=product,
                kind=outlet.get_kind_display(),
            )
        )


class DayClosedError(MarketError):
    """A change to a day that is over or off."""

    def __init__(self, day: MarketDay) -> None:
        self.day = day
        super().__init__(
            say(
                "{day} is {status}; nothing can be packed",
                day=day,
                status=day.get_status_display(),
            )
        )


@transaction.atomic
def plan_day(*, outlet: Outlet, on: date) -> MarketDay:
    """Put a day at an outlet into the book, with the outlet's fee, drive and hours."""
    day = MarketDay.objects.filter(outlet=outlet, on=on).first()
    if day is not None:
        return day
    day = MarketDay(
        outlet=outlet,
        on=on,
        day_fee=outlet.day_fee,
        distance_km=outlet.distance_km,
        hours=outlet.hours,
    )
    day.full_clean()
    day.save()
    return day


@transaction.atomic
def pack(*, day: MarketDay, jars: Mapping[Lot, int]) -> None:
    """Write the packing list: so many jars of each lot; others stay as they are."""
    _hold(day)
    _refuse_closed(day)
    for lot, number in jars.items():
        line = _line(day, lot)
        line.packed = number
        _save(line)
    day.lines.filter(packed=0, taken=0).delete()


@transaction.atomic
def pack_product(*, day: MarketDay, product: Product, jars: int) -> int:
    """Pack jars of a product from its oldest fit lots; the list of it is rewritten.

    Returns:
        How many jars are short.
    """
    _hold(day)
    _refuse_closed(day)
    lots = selectors.lots_to_pack(product=product, outlet=day.outlet, on=day.on)
    portions, short = selectors.oldest_first(lots, Decimal(jars))
    wanted = dict.fromkeys(
        Lot.objects.filter(market_lines__day=day, product=product), 0
    )
    wanted.update({portion.lot: int(portion.quantity) for portion in portions})
    pack(day=day, jars=wanted)
    return int(short)


@transaction.atomic
def pack_products(*, day: MarketDay, jars: Mapping[Product, int]) -> dict[Product, int]:
    """Pack several products at once; returns what is short of each."""
    short = {}
    for product, number in jars.items():
        missing = pack_product(day=day, product=product, jars=number)
        if missing:
            short[product] = missing
    return short


@transaction.atomic
def take_out(*, day: MarketDay, taken: Mapping[Lot, int], stamp: Stamp) -> None:
    """Enter the jars really taken, lot by lot; entering again puts them right.

    Args:
        day: planned or out.
        taken: jars of each lot; lots left out stay as they are.
        stamp: when and by whom.

    Raises:
        MarketError: the day is counted or cancelled.
        LedgerError: not enough at home, held or stopped.
    """
    _hold(day)
    _refuse_closed(day)
    for lot in sorted(taken, key=lambda lot: lot.pk):
        line = _line(day, lot)
        line.taken = taken[lot]
        _enter(line, stamp)
    day.lines.filter(packed=0, taken=0).delete()
    day.status = MarketDay.Status.OUT
    day.save(update_fields=["status"])


@transaction.atomic
def record(
    *, day: MarketDay, lot: Lot, reason: str, stamp: Stamp, jars: int = 1
) -> MarketLine:
    """One touch at the stall: a jar sampled, broken or given; less than 0 takes it back.

    Raises:
        MarketError: another reason, the lot was not taken, or more than were taken.
    """
    field = {str(known): name for known, name in ONE_TOUCH.items()}.get(str(reason))
    if field is None:
        raise MarketError(
            say('"{reason}" is not one of sampled, broken, given', reason=reason)
        )
    _hold(day)
    line = day.lines.filter(lot=lot).first()
    if line is None:
        raise MarketError(
            say(
                "{lot} was not taken to {day}; enter what was taken first",
                lot=lot,
                day=day,
            )
        )
    if stamp.token and Movement.objects.filter(token=stamp.token).exists():
        return line
    setattr(line, field, max(getattr(line, field) + jars, 0))
    _enter(line, stamp)
    return line


@transaction.atomic
def count_back(
    *, day: MarketDay, counts: Mapping[Lot, DayCount], stamp: Stamp
) -> MarketDay:
    """Close a day: what was sold, sampled, broken, given and brought back of each lot.

    What nothing explains is written off as missing, with the day, and shown as
    unaccounted; it is never spread. Entering again puts the figures right.

    Args:
        day: out or counted.
        counts: one balance for each lot taken.
        stamp: when and by whom.

    Raises:
        MarketError: cancelled, more accounted than taken, or sold without a price.
        LedgerError: not enough at home, held or stopped.
    """
    _hold(day)
    if day.status == MarketDay.Status.CANCELLED:
        raise DayClosedError(day)
    for lot in sorted(counts, key=lambda lot: lot.pk):
        count = counts[lot]
        if count.unaccounted < 0:
            raise OverCountedError(lot, count)
        line = _line(day, lot)
        line.taken, line.sold = int(count.taken), int(count.sold)
        line.sampled, line.broken = int(count.sampled), int(count.broken)
        line.given, line.brought_back = int(count.given), int(count.back)
        _enter(line, stamp, missing=count.unaccounted)
    day.status = MarketDay.Status.COUNTED
    day.save(update_fields=["status"])
    return day


@transaction.atomic
def mark_sold_out(*, day: MarketDay, product: Product, at: time | None) -> SoldOutMark:
    """Mark a product sold out, and when if it was noticed; again sets the hour anew."""
    mark, _ = SoldOutMark.objects.update_or_create(
        day=day, product=product, defaults={"at": at}
    )
    return mark


@transaction.atomic
def unmark_sold_out(*, day: MarketDay, product: Product) -> None:
    """Take a sold-out mark away."""
    SoldOutMark.objects.filter(day=day, product=product).delete()


@transaction.atomic
def cash_up(
    *,
    day: MarketDay,
    float_in: Decimal,
    counted: Decimal,
    card: Decimal = Decimal(0),
    paid_out: Decimal = Decimal(0),
    float_out: Decimal | None = None,
) -> CashUp:
    """Enter the cash box of a day; the difference is shown and never spread.

    Args:
        day: best counted back first, so that the expected takings are known.
        float_in: change in the box in the morning.
        counted: cash in the box at the end, float included.
        card: total of the card reader.
        paid_out: paid from the box during the day.
        float_out: change kept for the next day; empty means the same again.

    Returns:
        The cash box with its difference.

    Raises:
        ReconciliationError: a figure below zero.
    """
    day.float_in, day.cash_counted, day.card_total = float_in, counted, card
    day.cash_paid_out, day.float_out = paid_out, float_out
    box = selectors.cash_up(day)
    assert box is not None  # noqa: S101  both figures were just set
    day.full_clean()
    day.save(update_fields=CASH_FIELDS)
    return box


@transaction.atomic
def cancel(*, day: MarketDay, note: str = "") -> MarketDay:
    """Call a day off: nothing was taken; days missed are not counted as zero sales."""
    _hold(day)
    if day.lines.filter(taken__gt=0).exists():
        raise MarketError(
            say("jars are out at {day}; count them back before calling it off", day=day)
        )
    day.lines.all().delete()
    day.status = MarketDay.Status.CANCELLED
    day.note = note or day.note
    day.save(update_fields=["status", "note"])
    return day


@transaction.atomic
def sell_direct(
    *,
    outlet: Outlet,
    lot: Lot,
    jars: int,
    stamp: Stamp,
    unit_price: Decimal | None = None,
) -> Movement:
    """Sell from home at once, at the gate or to a neighbour.

    Args:
        outlet: where the sale counts.
        lot: released jars at home.
        jars: how many.
        stamp: when and by whom.
        unit_price: price of one; empty means the price in force there.

    Raises:
        MarketError: no price is set.
        LedgerError: not enough at home, held or stopped.
    """
    if unit_price is None:
        unit_price = _price(lot, outlet, stamp.on)
    carried = replace(stamp, token=None)
    if stamp.token and (known := Movement.objects.filter(token=stamp.token).first()):
        return known
    ledger.move(lot=lot, quantity=Decimal(jars), stamp=carried, target=outlet)
    return ledger.sell(
        lot=lot,
        quantity=Decimal(jars),
        stamp=stamp,
        place=outlet,
        unit_price=unit_price,
        sales_tax=sales_tax_of(jars * unit_price, outlet=outlet, lot=lot),
    )


def _enter(line: MarketLine, stamp: Stamp, *, missing: Decimal | None = None) -> None:
    """Save a line and bring the ledger up to it."""
    day = line.day
    if line.unaccounted < 0:
        raise OverCountedError(line.lot, selectors.line_count(line))
    if line.sold and not line.unit_price:
        line.unit_price = _price(line.lot, day.outlet, day.on)
    _save(line)
    gone = {
        Reason.SOLD: Decimal(line.sold),
        Reason.SAMPLED: Decimal(line.sampled),
        Reason.BROKEN: Decimal(line.broken),
        Reason.GIVEN: Decimal(line.given),
    }
    if missing is not None:
        gone[Reason.MISSING] = missing
    ledger.bring_up_to(
        lot=line.lot,
        place=day.outlet,
        figures=Figures(
            carried=Decimal(line.taken - line.brought_back),
            gone=gone,
            unit_price=line.unit_price,
            sales_tax=sales_tax_of(
                line.sold * line.unit_price, outlet=day.outlet, lot=line.lot
            ),
        ),
        stamp=replace(
            stamp,
            on=day.on,
            market_day=day,
            cause=str(day),
            already=missing is not None,
        ),
    )


def _hold(day: MarketDay) -> None:
    """Lock a day against other entries, and read afresh how far it is."""
    day.status = MarketDay.objects.select_for_update().get(pk=day.pk).status


def _line(day: MarketDay, lot: Lot) -> MarketLine:
    found = day.lines.select_related("lot").filter(lot=lot).first()
    if found is not None:
        return found
    price = lot.product and selectors.price_on(
        product=lot.product, kind=day.outlet.kind, on=day.on
    )
    return MarketLine(day=day, lot=lot, unit_price=price or Decimal(0))


def _price(lot: Lot, outlet: Outlet, on: date) -> Decimal:
    if lot.product is None:
        raise LedgerError(say("{lot} is not a lot of jars; choose jars", lot=lot))
    price = selectors.price_on(product=lot.product, kind=outlet.kind, on=on)
    if price is None:
        raise NoPriceError(lot.product, outlet)
    return price


def _save(line: MarketLine) -> None:
    line.full_clean()
    line.save()


def _refuse_closed(day: MarketDay) -> None:
    if day.status not in {MarketDay.Status.PLANNED, MarketDay.Status.OUT}:
        raise DayClosedError(day)
