"""What each product keeps at each outlet, and what each outlet earned.

An outlet's habits (jars a day, samples, breakage) are those of its counted days of
the last year. The seller's hours at the stall are left out of what is kept, because
what is kept is what those hours earn; they stand beside each outlet.
"""

import datetime
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db.models import Case, Count, F, OuterRef, Q, QuerySet, Subquery, Sum, When
from django.db.models.functions import Coalesce

from inventory.models import (
    Business,
    ConsignmentVisit,
    MarketDay,
    Movement,
    Outlet,
    OutletKind,
    Product,
)
from production.costing.breakdown import CostingError, JarCost
from production.margins import (
    CardFees,
    DayCosts,
    Kept,
    KeptInput,
    OutletTerms,
    kept_of_a_jar,
)
from production.selectors.cost_book import CostBook
from production.selectors.selling_prices import PricedProduct, priced_products

__all__ = [
    "MarginTable",
    "Uncosted",
    "margin_table",
    "outlet_terms",
    "with_days_attended",
]

ZERO = Decimal(0)
YEAR = datetime.timedelta(days=365)
Reason = Movement.Reason
LOST = (Reason.SAMPLED, Reason.BROKEN, Reason.MISSING, Reason.GIVEN)


@dataclass(frozen=True, slots=True, kw_only=True)
class Uncosted:
    """A product whose cost nobody can tell, and what to do about it."""

    product: Product
    problem: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MarginTable:
    """What is kept of every product at every outlet that has a price for it.

    Attributes:
        products: in the order of the book.
        outlets: in the order of the book.
        costs: standard cost of each costed product, by number.
        cells: what is kept, by product and outlet number.
        uncosted: products left out, with the reason.
    """

    products: tuple[Product, ...]
    outlets: tuple[Outlet, ...]
    costs: Mapping[int, JarCost]
    cells: Mapping[tuple[int, int], Kept]
    uncosted: tuple[Uncosted, ...]

    def losing(self) -> list[tuple[Product, Outlet, Kept]]:
        """Pairs that lose money, the worst first."""
        found = [
            (product, outlet, self.cells[product.pk, outlet.pk])
            for product in self.products
            for outlet in self.outlets
            if (product.pk, outlet.pk) in self.cells
            and self.cells[product.pk, outlet.pk].loses_money
        ]
        return sorted(found, key=lambda row: row[2].kept)


def margin_table(*, book: CostBook) -> MarginTable:
    """Work out what is kept of every product at every open outlet."""
    priced = priced_products(Product.objects.offered(on=book.on), on=book.on)
    open_outlets = Outlet.objects.exclude(kind=OutletKind.GIFTS).filter(
        Q(closed_on__isnull=True) | Q(closed_on__gt=book.on)
    )
    outlets = list(with_days_attended(open_outlets, on=book.on))
    terms = outlet_terms(outlets, on=book.on, business=book.business)
    costs, uncosted = _costs(priced, book)
    cells = {}
    for row in priced:
        product = row.product
        for outlet in outlets:
            price = row.prices.get(outlet.kind)
            if price is not None and product.pk in costs:
                cells[product.pk, outlet.pk] = kept_of_a_jar(
                    KeptInput(
                        product=str(product),
                        price=price,
                        cost=costs[product.pk].total_cost,
                        outlet=terms[outlet.pk],
                    )
                )
    return MarginTable(
        products=tuple(row.product for row in priced),
        outlets=tuple(outlets),
        costs=costs,
        cells=cells,
        uncosted=tuple(uncosted),
    )


def _costs(
    products: Iterable[PricedProduct], book: CostBook
) -> tuple[dict[int, JarCost], list[Uncosted]]:
    costs, uncosted = {}, []
    for row in products:
        try:
            costs[row.product.pk] = book.standard_cost(row)
        except CostingError as error:
            uncosted.append(Uncosted(product=row.product, problem=str(error)))
    return costs, uncosted


@dataclass(frozen=True, slots=True, kw_only=True)
class _Habit:
    """How an outlet sold over the last year."""

    sold: Decimal
    lost: Decimal


def outlet_terms(
    outlets: Iterable[Outlet], *, on: datetime.date, business: Business
) -> dict[int, OutletTerms]:
    """How each outlet takes its part, by number, from its last year of days.

    Args:
        outlets: as `with_days_attended` reads them.
        on: the last day of the year looked at.
        business: card fees and what a kilometre costs.
    """
    habits = _habits(on)
    return {
        outlet.pk: _terms(outlet, habits.get(outlet.pk), business) for outlet in outlets
    }


def _terms(outlet: Outlet, habit: _Habit | None, business: Business) -> OutletTerms:
    card = CardFees(share_of_sales=ZERO)
    if outlet.takes_cards:
        card = CardFees(
            fraction=business.card_fee_fraction,
            fixed=business.card_fee_fixed,
            share_of_sales=business.card_share,
            jars_per_sale=business.jars_per_sale or Decimal(1),
        )
    day = DayCosts(
        stall_fee=outlet.day_fee,
        distance_km=outlet.distance_km,
        km_rate=business.mileage_rate,
    )
    jars_per_day, loss_share = Decimal(outlet.table_jars or 1), ZERO
    attended: int = outlet.days_attended  # type: ignore[attr-defined] # annotated
    if habit and attended and habit.sold > 0:
        jars_per_day = habit.sold / attended
        loss_share = habit.lost / habit.sold
    return OutletTerms(
        name=outlet.name,
        commission=outlet.commission,
        card=card,
        day=day,
        jars_per_day=jars_per_day,
        loss_share=loss_share,
    )


def _habits(on: datetime.date) -> dict[int, _Habit]:
    rows = (
        Movement.objects.filter(on__gt=on - YEAR, on__lte=on)
        .annotate(
            outlet=Case(
                When(market_day__isnull=False, then=F("market_day__outlet")),
                When(visit__isnull=False, then=F("visit__outlet")),
                default=F("place"),
            )
        )
        .filter(outlet__isnull=False, reason__in=[Reason.SOLD, *LOST])
        .order_by()
        .values("outlet")
        .annotate(
            sold=Sum("quantity", filter=Q(reason=Reason.SOLD)),
            lost=Sum("quantity", filter=Q(reason__in=LOST)),
        )
    )
    return {
        row["outlet"]: _Habit(
            sold=-(row["sold"] or ZERO),
            lost=max(-(row["lost"] or ZERO), ZERO),
        )
        for row in rows
    }


def with_days_attended(
    outlets: QuerySet[Outlet], *, on: datetime.date
) -> QuerySet[Outlet]:
    """Adds ``days_attended``: days with jars counted back and visits, of a year."""
    year = {"on__gt": on - YEAR, "on__lte": on}
    counted = MarketDay.objects.filter(status=MarketDay.Status.COUNTED, **year)
    visits = ConsignmentVisit.objects.filter(**year)
    return outlets.annotate(days_attended=_number_at(counted) + _number_at(visits))


def _number_at(rows: QuerySet[Any]) -> Coalesce:
    """How many of some rows are of the outlet."""
    here = rows.filter(outlet=OuterRef("pk")).order_by().values("outlet")
    return Coalesce(Subquery(here.annotate(number=Count("pk")).values("number")), 0)
