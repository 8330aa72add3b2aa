"""A market week's question, put together from the book."""

import datetime as dt
import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import TYPE_CHECKING

from inventory.models import Business, Outlet, Product
from inventory.selectors import stall
from inventory.words import say
from production.models import Batch, KitchenDay, PlanWish, RecipeVersion
from production.planning.demand import Estimate
from production.planning.distributions import Beyond, Certain, Counts, Demand
from production.planning.kitchen import Equipment
from production.planning.kitchen import KitchenDay as DayHours
from production.planning.part_batch import (
    candidate_key,
    product_of,
    share_of,
    with_halves,
)
from production.planning.pooling import Forecast
from production.planning.week_problem import (
    Candidate,
    Market,
    ProductWeek,
    WeekProblem,
    Wish,
)
from production.scaling import share_said
from production.selectors.week_demand import OutletDay, forecast_book, outlet_days
from production.selectors.week_kettles import (
    JarsThere,
    Kettle,
    begun_candidates,
    half_batches,
    is_ending,
    jars_there,
    part_batch,
    read_kettles,
)
from production.selectors.week_materials import week_materials

if TYPE_CHECKING:
    from django.db.models import QuerySet

__all__ = ["WEEK_PLAN_NOTE", "WeekBook", "free_hours", "net_price", "read_week"]

CENT = Decimal("0.01")
WEEK_PLAN_NOTE = "from the week's plan"
SPARE_SHARE = Decimal("0.15")
CHANGE_COST = Decimal("3.00")
HOUR_COST = Decimal(0)
"""Free hours are limited by the kitchen days, so they carry no price of their own;
the answer tells what an hour earns."""
LATER = ((2, "0.75"), (4, "0.50"), (6, "0.30"))
LATER_ENDING = ((6, "0.85"), (10, "0.70"), (12, "0.50"))
"""What a jar kept is worth, as a share of its net price: (weeks of demand,
share); the second where the fruit's season is ending. Common practice: our own
choice, so that shelves are filled in season and not beyond reason."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekBook:
    """The week's question with what its keys stand for.

    Attributes:
        products: by code.
        versions: the recipe version of each product, by code.
        markets: the outlet days, by the market's key.
        estimates: (product code, market key) -> demand of that day.
        demands: the same, beyond the jars an outlet holds already.
        net_prices: (product code, market key) -> money a jar brings there.
    """

    problem: WeekProblem
    forecast: Forecast
    products: Mapping[str, Product]
    versions: Mapping[str, RecipeVersion]
    markets: Mapping[str, OutletDay]
    estimates: Mapping[tuple[str, str], Estimate]
    demands: Mapping[tuple[str, str], Counts | Certain | Beyond]
    net_prices: Mapping[tuple[str, str], Decimal]

    def name(self, key: str) -> str:
        """What a product, candidate or market is called."""
        code = product_of(key)
        return str(self.products[code]) if code in self.products else key

    def accent(self, key: str) -> str:
        """The fruit colour of a product or candidate; empty where there is none."""
        product = self.products.get(product_of(key))
        return product.accent if product else ""

    def short_name(self, key: str) -> str:
        """The product's name without its jar, where that tells it apart; its share."""
        product = self.products.get(product_of(key))
        if product is None:
            return key
        alike = [p for p in self.products.values() if p.name == product.name]
        name = product.name if len(alike) == 1 else str(product)
        share = share_said(share_of(key))
        return say("{name}, {share}", name=name, share=share) if share else name


def read_week(
    *, first: dt.date, days: int = 7, forecast: Forecast | None = None
) -> WeekBook:
    """Put the question of a week together.

    Args:
        first: its first day.
        days: how many.
        forecast: demand already fitted; read from the book where None.
    """
    business = Business.current()
    last = first + dt.timedelta(days=days - 1)
    outlets = outlet_days(first=first, last=last)
    products = {p.code: p for p in _products(first)}
    net_prices = _net_prices(products, outlets, business, first)
    forecast = forecast or forecast_book(on=first)
    estimates = {
        (code, day.key): forecast.on(code, day.outlet.name, day.on)
        for code in products
        for day in outlets
    }
    demands = _demands(estimates, outlets)
    kettles = read_kettles(products, on=first)
    begun = begun_candidates(kettles, first=first)
    by_hand = _by_hand(kettles, first, last)
    jars = jars_there(first=first)
    problem = WeekProblem(
        days=free_hours(first=first, days=days),
        equipment=_equipment(business),
        products=tuple(
            _product_week(
                product,
                {d.key: demands[code, d.key] for d in outlets},
                {
                    d.key: net_prices[code, d.key]
                    for d in outlets
                    if (code, d.key) in net_prices
                },
                jars,
                ending=code in kettles and is_ending(kettles[code].version, on=first),
            )
            for code, product in products.items()
        ),
        candidates=(
            *(k.candidate for code, k in kettles.items() if code not in by_hand),
            *(candidate for rows in by_hand.values() for candidate in rows),
            *begun,
        ),
        markets=tuple(Market(key=d.key, on=d.on, places=_places(d)) for d in outlets),
        materials=week_materials(
            (kettle.candidate for kettle in kettles.values()), first=first, last=last
        ),
        wishes=_wishes(first, last),
        hour_cost=HOUR_COST,
        before=_before(first, last),
        change_cost=CHANGE_COST,
    )
    halves = half_batches({k: v for k, v in kettles.items() if k not in by_hand})
    return WeekBook(
        problem=with_halves(problem, halves),
        forecast=forecast,
        products=products,
        versions={code: kettle.version for code, kettle in kettles.items()},
        markets={day.key: day for day in outlets},
        estimates=estimates,
        demands=demands,
        net_prices=net_prices,
    )


def _equipment(business: Business) -> Equipment:
    return Equipment(
        cooks=max(business.cooks, 1),
        pots=max(business.pots, 1),
        burners=max(business.burners, 1),
        vessels=business.stand_vessels,
    )


def _wishes(first: dt.date, last: dt.date) -> tuple[Wish, ...]:
    """What the seller pinned and forbade; a batch planned by hand is pinned."""
    found = {}
    rows = PlanWish.objects.filter(
        starts_on__gt=first - dt.timedelta(days=7), starts_on__lte=last
    )
    for row in rows.select_related("product").order_by("starts_on"):
        forbids = row.wish == PlanWish.Wish.FORBID
        on = row.on if row.on and first <= row.on <= last else None
        found[row.product.code] = Wish(
            product=row.product.code, batches=0 if forbids else row.batches, on=on
        )
    mine = _planned(first, last).exclude(note=WEEK_PLAN_NOTE)
    for batch in mine:
        if batch.product and batch.product.code not in found:
            code = batch.product.code
            found[code] = Wish(product=code, batches=1, on=batch.planned_on)
    return tuple(found.values())


def _planned(first: dt.date, last: dt.date) -> "QuerySet[Batch]":
    return Batch.objects.filter(
        status=Batch.Status.PLANNED,
        planned_on__gte=first,
        planned_on__lte=last,
        product__isnull=False,
    ).select_related("product")


def _by_hand(
    kettles: Mapping[str, Kettle], first: dt.date, last: dt.date
) -> dict[str, list[Candidate]]:
    """Batches of the shares the seller planned by hand, for products so planned.

    Such a product is offered in these shares alone: the plan's batch is the seller's.
    """
    found: dict[str, dict[Decimal, Candidate]] = {}
    for batch in _planned(first, last).exclude(note=WEEK_PLAN_NOTE):
        code = batch.product.code if batch.product else ""
        share = batch.factor.normalize()
        mine = part_batch(kettles[code], share) if code in kettles else None
        if mine is not None:
            found.setdefault(code, {})[share] = mine
    return {code: list(rows.values()) for code, rows in found.items()}


def _before(first: dt.date, last: dt.date) -> dict[tuple[str, dt.date], int]:
    """Batches the book has planned, which a new plan keeps unless it gains."""
    return dict(
        Counter(
            (candidate_key(batch.product.code, batch.factor), batch.planned_on)
            for batch in _planned(first, last)
            if batch.product
        )
    )


def _products(on: dt.date) -> Sequence[Product]:
    return list(
        Product.objects.offered(on=on)
        .select_related("jar_size__jar", "jar_size__lid", "filling__recipe", "likeness")
        .prefetch_related("prices")
    )


def _places(day: OutletDay) -> int:
    """Places free at an outlet: a shop's shelf may hold jars already."""
    return max(day.outlet.table_jars - sum(_there(day).values()), 0)


def _there(day: OutletDay) -> Counter[str]:
    """Jars that stand at an outlet already, by product code."""
    jars: Counter[str] = Counter()
    for lot in stall.jars_at(day.outlet):
        if lot.product:
            jars[lot.product.code] += int(lot.balance_here)  # type: ignore[attr-defined]  # by annotation
    return jars


def _demands(
    estimates: Mapping[tuple[str, str], Estimate], outlets: Sequence[OutletDay]
) -> dict[tuple[str, str], Counts | Certain | Beyond]:
    """What is asked for beyond the jars an outlet holds already."""
    there = {day.key: _there(day) for day in outlets}
    found: dict[tuple[str, str], Counts | Certain | Beyond] = {}
    for (code, key), estimate in estimates.items():
        jars = there[key][code]
        demand = estimate.demand
        found[code, key] = Beyond(demand=demand, there=jars) if jars else demand
    return found


def free_hours(*, first: dt.date, days: int) -> tuple[DayHours, ...]:
    """The kitchen's free hours; a date's own row stands before its weekday's."""
    rules = {row.weekday: row for row in KitchenDay.objects.filter(on__isnull=True)}
    dates = {row.on: row for row in KitchenDay.objects.filter(on__isnull=False)}
    found = []
    for number in range(days):
        on = first + dt.timedelta(days=number)
        row = dates.get(on) or rules.get(on.weekday())
        minutes = row.minutes if row else 0
        at = row.starts_at if row and row.starts_at else dt.time(9)
        opens = at.hour * 60 + at.minute
        found.append(
            DayHours(
                on=on,
                opens_min=opens,
                closes_min=opens + minutes,
                spare_min=int(minutes * SPARE_SHARE),
            )
        )
    return tuple(found)


def _net_prices(
    products: Mapping[str, Product],
    outlets: Sequence[OutletDay],
    business: Business,
    on: dt.date,
) -> dict[tuple[str, str], Decimal]:
    """What a jar brings at each outlet after commission and card fees."""
    by_kind = {
        d.outlet.kind: stall.prices_on(kind=d.outlet.kind, on=on) for d in outlets
    }
    found = {}
    for day in outlets:
        for code, product in products.items():
            price = by_kind[day.outlet.kind].get(product.pk)
            if price is not None:
                found[code, day.key] = net_price(price, day.outlet, business)
    return found


def net_price(price: Decimal, outlet: Outlet, business: Business) -> Decimal:
    """What a jar brings at an outlet after commission and usual card fees, to the cent."""
    net = price * (1 - outlet.commission)
    if outlet.takes_cards:
        jars = business.jars_per_sale or Decimal(1)
        fee = price * business.card_fee_fraction + business.card_fee_fixed / jars
        net -= fee * business.card_share
    return net.quantize(CENT, ROUND_HALF_UP)


def _product_week(
    product: Product,
    demands: Mapping[str, Demand],
    nets: Mapping[str, Decimal],
    jars: JarsThere,
    *,
    ending: bool,
) -> ProductWeek:
    """A product's week: its jars, and what more of them would earn.

    Args:
        product: its row.
        demands: demand by market key.
        nets: what a jar brings there, where it has a price.
        jars: what is there and coming.
        ending: its fruit is about to go out of season.
    """
    mean = sum(demands[key].mean for key in nets)
    best = max(nets.values(), default=Decimal(0))
    later = tuple(
        (math.ceil(mean * weeks), (best * Decimal(share)).quantize(CENT, ROUND_HALF_UP))
        for weeks, share in (LATER_ENDING if ending else LATER)
    )
    least = later[-1][1]
    return ProductWeek(
        key=product.code,
        name=str(product),
        stock=jars.ready.get(product.code, 0),
        coming=jars.coming.get(product.code, ()),
        worths={
            key: _worths(demands[key], net, min(least, net))
            for key, net in nets.items()
        },
        later=later,
    )


def _worths(demand: Demand, net: Decimal, home: Decimal) -> tuple[Decimal, ...]:
    """What the first, second, ... jar earns at a market; brought home, the least."""
    worths = []
    for jar in range(1, 400):
        share = Decimal(demand.at_least(jar))
        if share < Decimal("0.005"):
            break
        worth = net * share + home * (1 - share)
        worths.append(worth.quantize(CENT, ROUND_HALF_UP))
    return tuple(worths)
