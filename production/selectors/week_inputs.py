"""A market week's question, put together from the book."""

import datetime as dt
import math
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import TYPE_CHECKING

from inventory.models import Business, Outlet, Product
from inventory.selectors import stall
from inventory.words import say
from production.models import Batch, KitchenDay, RecipeVersion
from production.planning.demand import Estimate
from production.planning.distributions import Beyond, Certain, Counts, Demand
from production.planning.kitchen import Equipment
from production.planning.kitchen import KitchenDay as DayHours
from production.planning.part_batch import (
    product_of,
    share_of,
    with_halves,
)
from production.planning.pooling import Forecast
from production.planning.weather import BadWeather, bad_weather
from production.planning.week_problem import (
    MAKING,
    Candidate,
    Market,
    ProductWeek,
    WeekProblem,
)
from production.scaling import share_said
from production.selectors.week_demand import (
    OutletDay,
    forecast_book,
    outlet_days,
    weather_notes,
)
from production.selectors.week_kettles import (
    JarsThere,
    begun_candidates,
    half_batches,
    is_ending,
    jars_there,
    read_kettles,
)
from production.selectors.week_makers import (
    begun_makers,
    making,
    offered_makers,
    read_makers,
    valued,
)
from production.selectors.week_materials import week_materials
from production.selectors.week_planned import (
    before,
    by_hand,
    planned,
    planned_product,
    shares_by_hand,
    wishes,
)

if TYPE_CHECKING:
    pass

__all__ = ["WeekBook", "free_hours", "net_price", "read_week"]

CENT = Decimal("0.01")
NINE = 9 * 60
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
        weather: outlet -> what bad weather does to its demand.
    """

    problem: WeekProblem
    forecast: Forecast
    products: Mapping[str, Product]
    versions: Mapping[str, RecipeVersion]
    markets: Mapping[str, OutletDay]
    estimates: Mapping[tuple[str, str], Estimate]
    demands: Mapping[tuple[str, str], Counts | Certain | Beyond]
    net_prices: Mapping[tuple[str, str], Decimal]
    weather: Mapping[str, BadWeather]

    def name(self, key: str) -> str:
        """What a product, candidate or market is called."""
        code = product_of(key)
        if code in self.products:
            return str(self.products[code])
        return code.removeprefix(MAKING) if code.startswith(MAKING) else key

    def accent(self, key: str) -> str:
        """The fruit colour of a product or candidate; empty where there is none."""
        product = self.products.get(product_of(key))
        return product.accent if product else ""

    def short_name(self, key: str) -> str:
        """The product's name without its jar, where that tells it apart; its share."""
        product = self.products.get(product_of(key))
        name = self.name(key)
        if product is not None:
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
    rows = planned(first, last)
    mine = by_hand(kettles, rows)
    cooked = (
        *(k.candidate for code, k in kettles.items() if code not in mine),
        *(candidate for batches in mine.values() for candidate in batches),
    )
    makers = read_makers(_to_cook_with(cooked, rows), on=first)
    made = offered_makers(makers, cooked, shares=shares_by_hand(rows))
    begun = (
        *begun_candidates(kettles, first=first),
        *begun_makers(makers, first=first),
    )
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
        candidates=(*cooked, *made, *begun),
        markets=tuple(Market(key=d.key, on=d.on, places=_places(d)) for d in outlets),
        materials=valued(
            week_materials((*cooked, *made, *begun), first=first, last=last), made
        ),
        wishes=wishes(rows, first, last),
        hour_cost=HOUR_COST,
        before=before(rows),
        change_cost=CHANGE_COST,
    )
    halves = half_batches({k: v for k, v in kettles.items() if k not in mine})
    return WeekBook(
        problem=with_halves(problem, halves),
        forecast=forecast,
        products=products,
        versions={
            **{code: kettle.version for code, kettle in kettles.items()},
            **{making(maker.material): maker.version for maker in makers.values()},
        },
        markets={day.key: day for day in outlets},
        estimates=estimates,
        demands=demands,
        net_prices=net_prices,
        weather=bad_weather(
            forecast.days,
            weather_notes(on=first),
            {day.outlet.name for day in outlets},
        ),
    )


def _equipment(business: Business) -> Equipment:
    return Equipment(
        cooks=max(business.cooks, 1),
        pots=max(business.pots, 1),
        burners=max(business.burners, 1),
        vessels=business.stand_vessels,
    )


def _to_cook_with(cooked: Iterable[Candidate], rows: Iterable[Batch]) -> set[str]:
    """Materials the week's batches need, and those on the stove or planned by hand."""
    begun = Batch.objects.filter(status=Batch.Status.COOKING, product=None)
    made = begun.values_list("version__recipe__makes_material__name", flat=True)
    by_hand = {planned_product(batch).removeprefix(MAKING) for batch in rows}
    return {
        *(need.material for user in cooked for need in user.needs),
        *(name for name in made if name),
        *by_hand,
    }


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
        times = row.times if row else []
        opens, closes = (times[0][0], times[-1][1]) if times else (NINE, NINE)
        pause = (times[0][1], times[-1][0]) if len(times) > 1 else None
        free = sum(until - begins for begins, until in times)
        found.append(
            DayHours(
                on=on,
                opens_min=opens,
                closes_min=closes,
                away=pause if pause and pause[0] < pause[1] else None,
                spare_min=int(free * SPARE_SHARE),
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
