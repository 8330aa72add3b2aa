"""Questions about market days, prices, the cash box and shops."""

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db import models

from inventory.models import (
    ConsignmentLine,
    ConsignmentVisit,
    Lot,
    MarketDay,
    MarketLine,
    Movement,
    Outlet,
    Product,
    ProductPrice,
)
from inventory.money import round_money
from inventory.reconciliation import CashUp, DayCount, Settlement
from inventory.reconciliation import ConsignmentVisit as ShopCount
from inventory.selectors.stock import home_balance

__all__ = [
    "Statement",
    "StatementLine",
    "cash_up",
    "day_count",
    "day_takings",
    "day_tax",
    "days_that_wait",
    "jars_at",
    "last_float",
    "line_count",
    "lots_for_shop",
    "next_days",
    "oldest_of_each",
    "open_days",
    "packing_rows",
    "price_on",
    "prices_on",
    "statement",
    "touches_at_home",
    "visit_due",
]

ZERO = Decimal(0)


def jars_at(place: Outlet) -> "models.QuerySet[Lot]":
    """Lots of jars at an outlet now, with ``balance_here``."""
    return (
        Lot.objects.at(place)
        .filter(product__isnull=False)
        .select_related("product__jar_size")
        .order_by("product__name", "best_by", "pk")
    )


def prices_on(*, kind: str, on: datetime.date) -> Mapping[int, Decimal]:
    """Price in force by product number, at a kind of outlet."""
    prices: dict[int, Decimal] = {}
    for price in ProductPrice.objects.in_force(on=on).filter(outlet_kind=kind):
        prices.setdefault(price.product_id, price.price)
    return prices


def price_on(*, product: Product, kind: str, on: datetime.date) -> Decimal | None:
    """Price in force of one product at a kind of outlet; None when none is set."""
    found = (
        ProductPrice.objects.in_force(on=on)
        .filter(outlet_kind=kind, product=product)
        .first()
    )
    return found.price if found else None


def line_count(line: MarketLine) -> DayCount:
    """A line of a market day as a balance."""
    return DayCount(
        taken=Decimal(line.taken),
        sold=Decimal(line.sold),
        sampled=Decimal(line.sampled),
        broken=Decimal(line.broken),
        given=Decimal(line.given),
        back=Decimal(line.brought_back),
    )


def day_count(day: MarketDay) -> DayCount:
    """All jars of a market day as one balance."""
    return sum(map(line_count, day.lines.all()), DayCount(taken=ZERO))


def day_tax(day: MarketDay) -> Decimal:
    """Sales tax in the day's takings, as the ledger has it."""
    found = Movement.objects.filter(market_day=day, reason=Movement.Reason.SOLD)
    return found.aggregate(total=models.Sum("sales_tax"))["total"] or ZERO


def day_takings(day: MarketDay) -> Decimal:
    """Jars sold at their prices, without sales tax."""
    return sum((line.sold * line.unit_price for line in day.lines.all()), ZERO)


def cash_up(day: MarketDay, *, tax: Decimal | None = None) -> CashUp | None:
    """The cash box of a day; None until float and count are entered.

    Args:
        day: its lines are read unless prefetched.
        tax: sales tax in its takings, if the caller has read it already.
    """
    if day.float_in is None or day.cash_counted is None:
        return None
    tax = day_tax(day) if tax is None else tax
    return CashUp(
        float_in=day.float_in,
        expected=round_money(day_takings(day) + tax),
        card=day.card_total or ZERO,
        counted=day.cash_counted,
        paid_out=day.cash_paid_out,
        float_next=day.float_out,
    )


def last_float(*, before: datetime.date) -> Decimal | None:
    """The float kept at the end of the last day that was cashed up."""
    last = (
        MarketDay.objects.filter(on__lt=before, float_in__isnull=False)
        .order_by("-on", "-pk")
        .first()
    )
    if last is None:
        return None
    return last.float_in if last.float_out is None else last.float_out


@dataclass(frozen=True, slots=True, kw_only=True)
class StatementLine:
    """One lot on a shop's statement."""

    line: ConsignmentLine
    settled: Settlement

    @property
    def stays(self) -> int:
        """Jars in the shop after the visit."""
        line = self.line
        was = line.was_there - line.sold - line.returned - line.missing
        return was + line.left


@dataclass(frozen=True, slots=True, kw_only=True)
class Statement:
    """A visit's statement: its lines and what is due."""

    visit: ConsignmentVisit
    lines: tuple[StatementLine, ...]

    @property
    def due(self) -> Decimal:
        """What the shop owes for this visit."""
        return sum((line.settled.due for line in self.lines), ZERO)

    @property
    def gross(self) -> Decimal:
        """Jars sold at the shelf price."""
        return sum((line.settled.gross for line in self.lines), ZERO)

    @property
    def commission(self) -> Decimal:
        """The shop's share."""
        return sum((line.settled.commission for line in self.lines), ZERO)


def visit_due(visit: ConsignmentVisit) -> Decimal:
    """What a shop owes for one visit; quick when its lines are prefetched."""
    return sum((_settle(visit, line).due for line in visit.lines.all()), ZERO)


def statement(visit: ConsignmentVisit) -> Statement:
    """A visit settled line by line."""
    lines = visit.lines.select_related("lot__product__jar_size").order_by(
        "lot__product__name", "lot__code"
    )
    settled = tuple(
        StatementLine(line=line, settled=_settle(visit, line)) for line in lines
    )
    return Statement(visit=visit, lines=settled)


def _settle(visit: ConsignmentVisit, line: ConsignmentLine) -> Settlement:
    count = ShopCount(
        left=Decimal(line.was_there),
        sold=Decimal(line.sold),
        returned=Decimal(line.returned),
    )
    return count.settle(price=line.unit_price, commission_fraction=visit.commission)


def packing_rows(day: MarketDay) -> Sequence[Product]:
    """Products that can be packed for a day, with ``available`` and ``packed`` jars."""
    packed: dict[int, int] = {}
    for line in day.lines.select_related("lot"):
        number = line.lot.product_id or 0
        packed[number] = packed.get(number, 0) + line.packed
    there: dict[int, Decimal] = {}
    for lot in Lot.objects.sellable(on=day.on):
        number = lot.product_id or 0
        there[number] = there.get(number, ZERO) + home_balance(lot)
    products = Product.objects.filter(pk__in={*packed, *there}).select_related(
        "jar_size"
    )
    rows = list(products.order_by("name", "jar_size"))
    for product in rows:
        product.available = there.get(product.pk, ZERO)  # type: ignore[attr-defined]
        product.packed = packed.get(product.pk, 0)  # type: ignore[attr-defined]
    return rows


def lots_for_shop(outlet: Outlet, *, on: datetime.date) -> Sequence[Lot]:
    """Lots there with ``balance_here`` first, then lots at home fit to leave there."""
    there = list(jars_at(outlet))
    known = {lot.pk for lot in there}
    at_home = (
        Lot.objects.sellable(on=on)
        .with_balance_at(outlet)
        .exclude(pk__in=known)
        .select_related("product__jar_size")
    )
    return [*there, *at_home]


def next_days(*, on: datetime.date) -> "models.QuerySet[MarketDay]":
    """Days still to come, or out today, the next first; with ``packed`` jars."""
    return (
        MarketDay.objects.filter(on__gte=on)
        .filter(status__in=[MarketDay.Status.PLANNED, MarketDay.Status.OUT])
        .select_related("outlet")
        .annotate(packed=models.Sum("lines__packed", default=0))
        .order_by("on", "outlet__opens_at", "pk")
    )


def days_that_wait(
    *, on: datetime.date
) -> tuple[Sequence[MarketDay], MarketDay | None]:
    """Open days and the next day to come, with ``packed`` jars, in one query."""
    rows = (
        MarketDay.objects.filter(
            models.Q(on__gte=on, status=MarketDay.Status.PLANNED)
            | models.Q(status=MarketDay.Status.OUT)
        )
        .select_related("outlet")
        .annotate(packed=models.Sum("lines__packed", default=0))
        .order_by("on", "outlet__opens_at", "pk")
    )
    waiting = list(rows)
    ahead = (day for day in waiting if day.on >= on)
    return [day for day in waiting if day.on < on], next(ahead, None)


def open_days(*, on: datetime.date) -> "models.QuerySet[MarketDay]":
    """Days that are over and whose jars were never counted back, the oldest first."""
    return (
        MarketDay.objects.filter(on__lt=on)
        .filter(status=MarketDay.Status.OUT)
        .select_related("outlet")
        .order_by("on", "pk")
    )


def oldest_of_each(*, on: datetime.date) -> Sequence[Lot]:
    """The oldest lot of each product that can be handed out, by product name."""
    lots: dict[int, Lot] = {}
    for lot in Lot.objects.sellable(on=on).select_related("product__jar_size"):
        lots.setdefault(lot.product_id or 0, lot)
    return sorted(lots.values(), key=lambda lot: lot.name)


def touches_at_home(
    *, on: datetime.date, reasons: Sequence[str]
) -> "models.QuerySet[Movement]":
    """Jars handed out from home on a day and not taken back, the last first."""
    return (
        Movement.objects.filter(
            on=on, place=None, reason__in=reasons, quantity=-1, corrects=None
        )
        .filter(corrections=None, lot__product__isnull=False)
        .select_related("lot__product__jar_size")
        .order_by("-pk")
    )
