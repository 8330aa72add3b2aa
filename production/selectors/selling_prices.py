"""Products with the prices they are sold at, read in one query."""

import datetime
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import F, FilteredRelation, Q, QuerySet

from inventory.models import Product

__all__ = ["PricedProduct", "mean_price", "priced_products"]

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class PricedProduct:
    """A product and its price at each kind of outlet that has one."""

    product: Product
    prices: Mapping[str, Decimal]

    @property
    def mean_price(self) -> Decimal:
        """Mean of its prices, as a stand-in for what a jar brings."""
        return mean_price(self.prices.values())


def mean_price(prices: Iterable[Decimal]) -> Decimal:
    """Mean of some prices; 0 where there are none."""
    known = list(prices)
    return sum(known, ZERO) / len(known) if known else ZERO


def priced_products(
    products: QuerySet[Product], *, on: datetime.date
) -> list[PricedProduct]:
    """Products in the order asked, with jar, lid, recipe and the prices in force.

    Args:
        products: which ones.
        on: the day whose prices hold.
    """
    rows = products.select_related(
        "jar_size__jar", "jar_size__lid", "filling__recipe"
    ).annotate(
        valid=FilteredRelation("prices", condition=Q(prices__valid_from__lte=on)),
        valid_from=F("valid__valid_from"),
        valid_at=F("valid__outlet_kind"),
        valid_price=F("valid__price"),
    )
    found: dict[int, Product] = {}
    newest: dict[int, dict[str, tuple[datetime.date, Decimal]]] = {}
    for row in rows:
        found.setdefault(row.pk, row)
        prices = newest.setdefault(row.pk, {})
        if row.valid_from is None:
            continue
        known = prices.get(row.valid_at)
        if known is None or row.valid_from > known[0]:
            prices[row.valid_at] = row.valid_from, row.valid_price
    return [
        PricedProduct(
            product=product,
            prices={kind: price for kind, (_, price) in newest[number].items()},
        )
        for number, product in found.items()
    ]
