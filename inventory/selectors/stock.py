"""Questions about lots, purchases, offers and the freezer."""

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db import models
from django.db.models.functions import Coalesce

from inventory.models import (
    Business,
    Lot,
    Material,
    Movement,
    Outlet,
    Pack,
    Product,
    Purchase,
    Supplier,
)

__all__ = [
    "FreezerUse",
    "Portion",
    "expired",
    "freezer_use",
    "home_balance",
    "home_sum",
    "last_pack_prices",
    "lots_to_pack",
    "oldest_first",
    "places_of",
    "purchases",
    "purchases_of",
    "suppliers",
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


@dataclass(frozen=True, slots=True, kw_only=True)
class FreezerUse:
    """How full the freezer is, estimated from weights."""

    lots: Sequence[Lot]
    used_l: Decimal
    space_l: Decimal
    terms: Sequence[tuple[Lot, Decimal]] = ()

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
    terms = [(lot, _litres(lot)) for lot in lots]
    return FreezerUse(
        lots=lots,
        used_l=sum((litres for _, litres in terms), ZERO),
        space_l=Decimal(business.freezer_litres),
        terms=terms,
    )


def _litres(lot: Lot) -> Decimal:
    density = (lot.material.density_g_per_ml if lot.material else None) or 1
    return home_balance(lot) / density / 1000


def home_sum(lot: Lot) -> list[dict[str, Any]]:
    """What came to and left a lot at home, by reason: ``words`` and ``total``."""
    rows = (
        lot.movements.filter(place__isnull=True)
        .order_by("reason")
        .values("reason")
        .annotate(total=models.Sum("quantity"))
    )
    words = dict(Movement.Reason.choices)
    return [{"words": words[row["reason"]], "total": row["total"]} for row in rows]


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
    lots = Lot.objects.filter(purchase=models.OuterRef("pk")).order_by()
    of_each = lots.values("purchase")
    return Purchase.objects.select_related("supplier").annotate(
        lot_count=Coalesce(
            models.Subquery(of_each.annotate(count=models.Count("pk")).values("count")),
            0,
        ),
        total=models.Subquery(
            of_each.annotate(total=models.Sum("cost")).values("total")
        ),
    )


def suppliers() -> "models.QuerySet[Supplier]":
    """Suppliers with ``purchases_count``, by name."""
    bought = Purchase.objects.filter(supplier=models.OuterRef("pk")).order_by()
    count = bought.values("supplier").annotate(count=models.Count("pk"))
    return Supplier.objects.annotate(
        purchases_count=Coalesce(models.Subquery(count.values("count")), 0)
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
