"""Questions that cross the tables of the inventory, or gather what a sum needs."""

import datetime
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db import models

from inventory.models import (
    Business,
    ConsignmentLine,
    ConsignmentVisit,
    Lot,
    MarketDay,
    MarketLine,
    Material,
    Movement,
    Outlet,
    Pack,
    Product,
    ProductPrice,
    Purchase,
    Supplier,
)
from inventory.money import round_money
from inventory.reconciliation import CashUp, DayCount, Settlement
from inventory.reconciliation import ConsignmentVisit as ShopCount

__all__ = [
    "FreezerUse",
    "Portion",
    "Statement",
    "StatementLine",
    "cash_up",
    "day_count",
    "day_takings",
    "day_tax",
    "expired",
    "freezer_use",
    "home_balance",
    "jars_at",
    "last_float",
    "last_pack_prices",
    "line_count",
    "lots_to_pack",
    "oldest_first",
    "places_of",
    "price_on",
    "prices_on",
    "purchases",
    "purchases_of",
    "statement",
    "use_first",
]

DAYS_A_MONTH = Decimal("30.4375")
ZERO = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Portion:
    """So much of one lot."""

    lot: Lot
    quantity: Decimal


def home_balance(lot: Lot) -> Decimal:
    """The balance at home a query has put on the lot (``with_home_balance``)."""
    return Decimal(lot.home_balance)  # type: ignore[attr-defined]  # by annotation


def oldest_first(
    lots: Iterable[Lot], wanted: Decimal
) -> tuple[tuple[Portion, ...], Decimal]:
    """Share a wanted quantity over lots, taking each empty before the next.

    Args:
        lots: with ``home_balance``, in the order to take them (as ``usable`` gives).
        wanted: grams, pieces or jars.

    Returns:
        The portions, and what is still short (0 when the lots suffice).
    """
    portions = []
    short = wanted
    for lot in lots:
        if short <= 0:
            break
        quantity = min(short, home_balance(lot))
        portions.append(Portion(lot=lot, quantity=quantity))
        short -= quantity
    return tuple(portions), max(short, ZERO)


def lots_to_pack(
    *, product: Product, outlet: Outlet, on: datetime.date
) -> Sequence[Lot]:
    """Jars of a product fit to take to an outlet, oldest best-by first.

    Left out are lots whose best-by leaves less than the outlet's share of the life.
    """
    months = product.best_by_months or Business.current().best_by_months
    least = int(DAYS_A_MONTH * months * outlet.min_life_fraction)
    good_until = on + datetime.timedelta(days=least)
    return [
        lot
        for lot in Lot.objects.sellable(on=on)
        .filter(product=product)
        .select_related("product__jar_size")
        if lot.best_by is None or lot.best_by >= good_until
    ]


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


def cash_up(day: MarketDay) -> CashUp | None:
    """The cash box of a day; None until float and count are entered."""
    if day.float_in is None or day.cash_counted is None:
        return None
    return CashUp(
        float_in=day.float_in,
        expected=round_money(day_takings(day) + day_tax(day)),
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


def statement(visit: ConsignmentVisit) -> Statement:
    """A visit settled line by line."""
    lines = visit.lines.select_related("lot__product__jar_size").order_by(
        "lot__product__name", "lot__code"
    )
    return Statement(
        visit=visit,
        lines=tuple(
            StatementLine(
                line=line,
                settled=ShopCount(
                    left=Decimal(line.was_there),
                    sold=Decimal(line.sold),
                    returned=Decimal(line.returned),
                ).settle(price=line.unit_price, commission_fraction=visit.commission),
            )
            for line in lines
        ),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class FreezerUse:
    """How full the freezer is, estimated from weights."""

    lots: Sequence[Lot]
    used_l: Decimal
    space_l: Decimal

    @property
    def free_l(self) -> Decimal:
        """Litres left; below zero when the weights say it is overfull."""
        return self.space_l - self.used_l


def freezer_use(business: Business) -> FreezerUse:
    """Frozen lots at home, first to use first, and the space they take.

    A kilogram takes the litres of its density; without one, a litre
    (common practice for bagged fruit).
    """
    lots = list(
        Lot.objects.on_hand()
        .filter(is_frozen=True)
        .select_related("material", "product__jar_size", "purchase__supplier")
        .order_by(models.F("best_by").asc(nulls_last=True), "pk")
    )
    used = ZERO
    for lot in lots:
        density = (lot.material.density_g_per_ml if lot.material else None) or 1
        used += home_balance(lot) / density / 1000
    return FreezerUse(lots=lots, used_l=used, space_l=Decimal(business.freezer_litres))


def use_first() -> "models.QuerySet[Lot]":
    """What is at home with a best-by, the first to go first; past it comes foremost."""
    return (
        Lot.objects.on_hand()
        .filter(best_by__isnull=False)
        .select_related("material", "product__jar_size")
        .order_by("best_by", "pk")
    )


def expired(*, on: datetime.date) -> "models.QuerySet[Lot]":
    """Lots at home past their best-by."""
    return Lot.objects.on_hand().filter(best_by__lt=on)


def places_of(lot: Lot) -> "models.QuerySet[Outlet]":
    """Outlets where jars of a lot are now, with ``jars``."""
    return (
        Outlet.objects.filter(movements__lot=lot)
        .annotate(jars=models.Sum("movements__quantity"))
        .filter(jars__gt=0)
    )


def purchases() -> "models.QuerySet[Purchase]":
    """Purchases with their number of lots and ``total`` cost, newest first."""
    return Purchase.objects.select_related("supplier").annotate(
        lot_count=models.Count("lots"), total=models.Sum("lots__cost")
    )


def purchases_of(supplier: Supplier) -> "models.QuerySet[Purchase]":
    """Purchases from one supplier."""
    return purchases().filter(supplier=supplier)


def last_pack_prices(material: Material) -> Sequence[Pack]:
    """Offers of a material still current, the cheapest per gram or piece first."""
    packs = material.packs.filter(is_current=True).select_related(
        "supplier", "material"
    )
    return sorted(packs, key=lambda pack: pack.unit_price)
