"""What each product keeps at each outlet, and what each outlet earned.

An outlet's habits (jars a day, samples, breakage) are those of its counted days of
the last year. The seller's hours at the stall are left out of what is kept, because
what is kept is what those hours earn; they stand beside each outlet.
"""

import datetime
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Case, F, Q, Sum, When

from inventory.models import (
    Business,
    ConsignmentVisit,
    MarketDay,
    Movement,
    Outlet,
    OutletKind,
    Product,
    ProductPrice,
)
from inventory.money import round_money
from production.costing.breakdown import CostingError, JarCost
from production.margins import (
    CardFees,
    DayCosts,
    Kept,
    KeptInput,
    OutletRecord,
    OutletTerms,
    kept_of_a_jar,
)
from production.selectors.cost_book import CostBook
from production.selectors.stock_value import lot_costs

__all__ = [
    "MarginTable",
    "Uncosted",
    "margin_table",
    "outlet_records",
    "outlet_terms",
    "prices_in_force",
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


def prices_in_force(*, on: datetime.date) -> dict[tuple[int, str], Decimal]:
    """Price of each product at each kind of outlet on a day."""
    prices: dict[tuple[int, str], Decimal] = {}
    for row in ProductPrice.objects.in_force(on=on):
        prices.setdefault((row.product_id, row.outlet_kind), row.price)
    return prices


def margin_table(*, book: CostBook) -> MarginTable:
    """Work out what is kept of every product at every open outlet."""
    products = list(
        Product.objects.offered(on=book.on)
        .select_related("jar_size__jar", "jar_size__lid", "filling__recipe")
        .prefetch_related("prices")
    )
    outlets = list(
        Outlet.objects.exclude(kind=OutletKind.GIFTS).filter(
            Q(closed_on__isnull=True) | Q(closed_on__gt=book.on)
        )
    )
    terms = outlet_terms(outlets, on=book.on, business=book.business)
    prices = prices_in_force(on=book.on)
    costs, uncosted = _costs(products, book)
    cells = {}
    for product in products:
        for outlet in outlets:
            price = prices.get((product.pk, outlet.kind))
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
        products=tuple(products),
        outlets=tuple(outlets),
        costs=costs,
        cells=cells,
        uncosted=tuple(uncosted),
    )


def _costs(
    products: Iterable[Product], book: CostBook
) -> tuple[dict[int, JarCost], list[Uncosted]]:
    costs, uncosted = {}, []
    for product in products:
        try:
            costs[product.pk] = book.standard_cost(product)
        except CostingError as error:
            uncosted.append(Uncosted(product=product, problem=str(error)))
    return costs, uncosted


@dataclass(frozen=True, slots=True, kw_only=True)
class _Habit:
    """How an outlet sold over the last year."""

    days: int
    sold: Decimal
    lost: Decimal


def outlet_terms(
    outlets: Iterable[Outlet], *, on: datetime.date, business: Business
) -> dict[int, OutletTerms]:
    """How each outlet takes its part, by number, from its last year of days."""
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
    if habit and habit.days and habit.sold > 0:
        jars_per_day = habit.sold / habit.days
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
    first = on - YEAR
    days = _days_attended(first, on)
    rows = (
        Movement.objects.filter(on__gt=first, on__lte=on)
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
            days=days.get(row["outlet"], 0),
            sold=-(row["sold"] or ZERO),
            lost=max(-(row["lost"] or ZERO), ZERO),
        )
        for row in rows
    }


def _days_attended(first: datetime.date, last: datetime.date) -> dict[int, int]:
    """Days with jars counted back, and visits to shops, by outlet."""
    days: defaultdict[int, int] = defaultdict(int)
    counted = MarketDay.objects.filter(status=MarketDay.Status.COUNTED)
    for rows in (counted, ConsignmentVisit.objects.all()):
        between = rows.filter(on__gt=first, on__lte=last)
        for outlet in between.values_list("outlet_id", flat=True):
            days[outlet] += 1
    return days


def outlet_records(
    *, first: datetime.date, last: datetime.date, business: Business
) -> list[OutletRecord]:
    """What each outlet brought from a day to a day; only days attended count."""

    def coins(amount: Decimal) -> Decimal:
        return round_money(amount, currency=business.currency)

    sold = _sold_by_outlet(first, last)
    records = []
    for outlet in Outlet.objects.exclude(kind=OutletKind.GIFTS):
        days = _day_sums(outlet, first, last)
        sales = sold.get(outlet.pk, _Sales())
        if not days.number and not sales.takings:
            continue
        records.append(
            OutletRecord(
                name=outlet.name,
                days=days.number,
                takings=coins(sales.takings),
                fees=coins(
                    days.fees
                    + sales.takings * outlet.commission
                    + _card_fees(outlet, sales, business)
                ),
                driving_cost=coins(days.distance_km * business.mileage_rate),
                product_cost=coins(sales.product_cost),
                hours=days.hours,
            )
        )
    return records


@dataclass(frozen=True, slots=True, kw_only=True)
class _DaySums:
    number: int
    fees: Decimal
    distance_km: Decimal
    hours: Decimal


def _day_sums(outlet: Outlet, first: datetime.date, last: datetime.date) -> _DaySums:
    days = list(
        outlet.days.filter(on__gte=first, on__lte=last, status=MarketDay.Status.COUNTED)
    )
    visits = outlet.visits.filter(on__gte=first, on__lte=last).count()
    return _DaySums(
        number=len(days) + visits,
        fees=sum((day.day_fee for day in days), ZERO),
        distance_km=sum((day.distance_km for day in days), ZERO)
        + visits * outlet.distance_km,
        hours=sum((day.hours for day in days), ZERO) + visits * outlet.hours,
    )


@dataclass(slots=True, kw_only=True)
class _Sales:
    """Running sums of an outlet: takings without tax, jars, cost of all that left."""

    takings: Decimal = ZERO
    jars: Decimal = ZERO
    product_cost: Decimal = ZERO


def _card_fees(outlet: Outlet, sales: _Sales, business: Business) -> Decimal:
    """Card fees of the takings, at the seller's usual share and size of sale."""
    if not outlet.takes_cards:
        return ZERO
    card_sales = business.card_share * sales.jars / (business.jars_per_sale or 1)
    return (
        business.card_share * sales.takings * business.card_fee_fraction
        + card_sales * business.card_fee_fixed
    )


def _sold_by_outlet(first: datetime.date, last: datetime.date) -> dict[int, _Sales]:
    costs = lot_costs()
    sold: defaultdict[int, _Sales] = defaultdict(_Sales)
    rows = Movement.objects.filter(
        on__gte=first, on__lte=last, reason__in=[Reason.SOLD, Reason.RETURNED, *LOST]
    ).select_related("market_day", "visit")
    for row in rows:
        outlet = _outlet_of(row)
        if outlet is None:
            continue
        sales = sold[outlet]
        if row.unit_price is not None:
            sales.takings -= row.quantity * row.unit_price
            sales.jars -= row.quantity
        sales.product_cost -= row.quantity * costs.unit_cost(row.lot_id)
    return dict(sold)


def _outlet_of(row: Movement) -> int | None:
    if row.market_day is not None:
        return row.market_day.outlet_id
    if row.visit is not None:
        return row.visit.outlet_id
    return row.place_id
