"""How fruit prices and sales went over the years and the months."""

import datetime
from collections import defaultdict
from decimal import Decimal

from django.db.models import Sum

from inventory.measures import Measure, rate
from inventory.models import Lot, Material, Movement, Product
from production.books_pictures import PricePoint

__all__ = ["fruit_prices", "jars_by_month"]

GRAMS_PER_KG = Decimal(1000)
MONTHS = 12


def fruit_prices(*, on: datetime.date) -> dict[str, list[PricePoint]]:
    """Price of a kilogram, or of a pound, as bought, of each fruit at each purchase up to a day."""
    lots = (
        Lot.objects.with_received()
        .filter(
            material__kind=Material.Kind.FRUIT,
            purchase__isnull=False,
            split_from__isnull=True,
            received_on__lte=on,
            cost__gt=0,
        )
        .select_related("material")
        .order_by("material__name", "received_on", "pk")
    )
    series: defaultdict[str, list[PricePoint]] = defaultdict(list)
    for lot in lots:
        received = Decimal(lot.received)  # type: ignore[attr-defined] # annotated
        if received > 0:
            price = rate(lot.cost / received * GRAMS_PER_KG, Measure.GOODS)
            series[lot.material.name].append(  # type: ignore[union-attr] # filtered
                PricePoint(on=lot.received_on, price=price)
            )
    return dict(series)


def jars_by_month(*, year: int) -> dict[str, list[int]]:
    """Jars of each product sold in each month of a year, best seller first."""
    rows = (
        Movement.objects.filter(
            reason=Movement.Reason.SOLD, on__year=year, lot__product__isnull=False
        )
        .order_by()
        .values_list("lot__product", "on__month")
        .annotate(Sum("quantity"))
    )
    products = Product.objects.select_related("jar_size").in_bulk()
    sums: defaultdict[str, list[int]] = defaultdict(lambda: [0] * MONTHS)
    for product, month, jars in rows:
        sums[str(products[product])][month - 1] -= round(jars)
    return dict(sorted(sums.items(), key=lambda item: -sum(item[1])))
