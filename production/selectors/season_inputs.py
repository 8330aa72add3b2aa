"""A season's question, put together from the book."""

import datetime as dt
import math
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from inventory.models import (
    Business,
    Lot,
    Material,
    Pack,
    Product,
    SeasonWindow,
)
from inventory.selectors import stall
from inventory.selectors.stock import home_balance
from production.models import KitchenDay
from production.planning.pooling import Forecast
from production.planning.season_problem import (
    Fruit,
    Jars,
    Sale,
    SeasonProblem,
    Segment,
    Session,
)
from production.planning.week_problem import MAKING
from production.selectors.season_kettles import season_kettle, season_maker
from production.selectors.week_demand import forecast_book, outlet_days
from production.selectors.week_inputs import net_price
from production.selectors.week_kettles import Kettle as WeekKettle
from production.selectors.week_kettles import read_kettles
from production.selectors.week_makers import Maker, read_makers

__all__ = ["SeasonBook", "read_season"]

KG = Decimal(1000)
DAYS = 7
FREEZER_FILL_KG_PER_L = Decimal("0.5")
"""Fruit in bags per litre of freezer: common practice, half the space is bags and air."""
SEGMENT_CHANCES = (0.9, 0.7, 0.5, 0.3, 0.1)
END_SHARE = Decimal("0.35")
"""A jar left at the end counts for this share of its net price: common practice."""
END_COVER_WEEKS = 8
"""Weeks of demand that jars left at the end are valued for: common practice."""
LOADS_PER_HOUR = Decimal(1)
FREEZE_COST = Decimal("0.20")
"""Money per kg for bags and power of freezing: common practice."""
WIDEST_SHELF = 100_000


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonBook:
    """The season's question with what its keys stand for.

    Attributes:
        first: first day of week 0.
        products: by code.
        fruits: by key, the material.
    """

    problem: SeasonProblem
    first: dt.date
    products: Mapping[str, Product]
    fruits: Mapping[str, Material]

    def name(self, key: str) -> str:
        """What a product, or what is made to be cooked with, is called."""
        product = self.products.get(key)
        return str(product) if product else key.removeprefix(MAKING)

    def monday(self, week: int) -> dt.date:
        """First day of a week."""
        return self.first + dt.timedelta(days=DAYS * week)


def read_season(
    *,
    first: dt.date,
    weeks: int,
    cash: Decimal | None = None,
    cap: Decimal | None = None,
    sold_this_year: Decimal = Decimal(0),
    forecast: Forecast | None = None,
) -> SeasonBook:
    """Put the question of a season together.

    Args:
        first: first day of the first week.
        weeks: how many.
        cash: money at hand at the start; None leaves spending free.
        cap: the place's yearly sales cap; None where there is none.
        sold_this_year: gross sales of the running year so far, towards the cap.
        forecast: demand already fitted; read from the book where None.
    """
    business = Business.current()
    products = {
        product.code: product
        for product in Product.objects.offered(on=first).select_related(
            "jar_size__jar", "jar_size__lid", "filling__recipe"
        )
    }
    kettles = read_kettles(products, on=first)
    mondays = [first + dt.timedelta(days=DAYS * number) for number in range(weeks)]
    makers = _makers_of(kettles, first)
    fruits = _fruit_of(kettles, makers)
    stock = _stock(first)
    sales = _sales(
        products, kettles, mondays, business, forecast or forecast_book(on=first)
    )
    problem = SeasonProblem(
        weeks=weeks,
        fruits=tuple(
            _fruit(material, mondays, is_made=name in makers)
            for name, material in fruits.items()
        ),
        kettles=(
            *(
                season_kettle(code, kettle, fruits, business, mondays)
                for code, kettle in kettles.items()
            ),
            *(season_maker(maker, fruits, mondays) for maker in makers.values()),
        ),
        sales=tuple(
            _sales(
                products,
                kettles,
                mondays,
                business,
                forecast or forecast_book(on=first),
            )
        ),
        sessions=tuple((_session(monday),) for monday in mondays),
        jars=tuple(_jars(products, kettles)),
        fees=tuple(_fees(mondays)),
        shelf_jars=max(business.shelf_jars, sum(jars for jars, _ in stock.values())),
        freezer_kg=max(
            business.freezer_litres * FREEZER_FILL_KG_PER_L,
            sum(
                (_frozen_kg(m, is_made=n in makers) for n, m in fruits.items()),
                Decimal(0),
            ),
        ),
        opening_cash=cash,
        opening_stock={code: stock[code] for code in kettles if code in stock},
        end_values=_end_values(products, kettles, first),
        end_limits=_end_limits(sales, kettles, weeks),
        caps=tuple(_caps(mondays, cap, sold_this_year)),
        minute_cost=Decimal(0),
    )
    return SeasonBook(problem=problem, first=first, products=products, fruits=fruits)


def _makers_of(kettles: Mapping[str, WeekKettle], on: dt.date) -> dict[str, Maker]:
    """The recipes that make what the kettles are cooked with, by material."""
    lines = [line for kettle in kettles.values() for line in kettle.version.lines.all()]
    makers = read_makers({line.material.name for line in lines}, on=on)
    return {name: maker for name, maker in makers.items() if maker.candidate()}


def _fruit_of(
    kettles: Mapping[str, WeekKettle], makers: Mapping[str, Maker]
) -> dict[str, Material]:
    found = {}
    versions = [kettle.version for kettle in kettles.values()]
    versions += [maker.version for maker in makers.values()]
    for version in versions:
        for line in version.lines.all():
            material = line.material
            if material.kind == Material.Kind.FRUIT or material.name in makers:
                found[material.name] = material
    return found


def _fruit(material: Material, mondays: Sequence[dt.date], *, is_made: bool) -> Fruit:
    windows = list(material.seasons.all())
    prices, most = [], []
    for monday in mondays:
        window = _open_window(windows, monday)
        prices.append(window.price_per_kg if window else None)
        most.append(window.kg_per_week if window else None)
    frozen_days = material.frozen_days or 0
    return Fruit(
        key=material.name,
        prices=tuple(prices),
        most_kg=tuple(most),
        fresh_weeks=(material.fresh_days or 0) // DAYS,
        frozen_weeks=frozen_days // DAYS if material.freezable else 0,
        freeze_cost=FREEZE_COST,
        opening_frozen_kg=_frozen_kg(material, is_made=is_made),
    )


def _open_window(
    windows: Sequence[SeasonWindow], monday: dt.date
) -> SeasonWindow | None:
    middle = monday + dt.timedelta(days=3)
    return next((window for window in windows if window.is_open(middle)), None)


def _frozen_kg(material: Material, *, is_made: bool) -> Decimal:
    lots = Lot.objects.on_hand().filter(material=material, stopped_at__isnull=True)
    kept = [lot for lot in lots if lot.is_frozen or is_made]
    return sum((home_balance(lot) for lot in kept), Decimal(0)) / KG


def _sales(
    products: Mapping[str, Product],
    kettles: Mapping[str, WeekKettle],
    mondays: Sequence[dt.date],
    business: Business,
    forecast: Forecast,
) -> list[Sale]:
    by_kind: dict[str, Mapping[int, Decimal]] = {}
    found = []
    for number, monday in enumerate(mondays):
        last = monday + dt.timedelta(days=DAYS - 1)
        for day in outlet_days(first=monday, last=last):
            kind = day.outlet.kind
            prices = by_kind.setdefault(kind, stall.prices_on(kind=kind, on=monday))
            for code in kettles:
                price = prices.get(products[code].pk)
                if price is None:
                    continue
                demand = forecast.on(code, day.outlet.name, day.on).demand
                segments = _segments(demand)
                if not segments:
                    continue
                found.append(
                    Sale(
                        key=code,
                        week=number,
                        price=price,
                        net=net_price(price, day.outlet, business),
                        segments=segments,
                    )
                )
    return found


def _segments(demand: object) -> tuple[Segment, ...]:
    """A demand as jars of falling chance: each jar's own chance, in five steps."""
    at_least = getattr(demand, "at_least", None)
    if at_least is None:
        return ()
    steps: dict[float, int] = defaultdict(int)
    jar = 1
    while jar < WIDEST_SHELF:
        chance = at_least(jar)
        if chance < 0.05:
            break
        step = next(each for each in (*SEGMENT_CHANCES, 0.0) if chance >= each - 0.1)
        steps[step] += 1
        jar += 1
    return tuple(
        Segment(jars=Decimal(count), probability=Decimal(str(chance)))
        for chance, count in sorted(steps.items(), reverse=True)
        if chance > 0
    )


def _session(monday: dt.date) -> Session:
    rows = list(KitchenDay.objects.all())
    by_date = {row.on: row.minutes_in_all for row in rows if row.on}
    by_weekday = {row.weekday: row.minutes_in_all for row in rows if row.on is None}
    minutes = 0
    for number in range(DAYS):
        day = monday + dt.timedelta(days=number)
        minutes += by_date.get(day, by_weekday.get(day.weekday(), 0))
    return Session(minutes=minutes, loads=int(minutes // 60 * LOADS_PER_HOUR))


def _jars(
    products: Mapping[str, Product], kettles: Mapping[str, WeekKettle]
) -> list[Jars]:
    found = {}
    for code in kettles:
        size = products[code].jar_size
        if size.jar is None or size.name in found:
            continue
        packs = list(Pack.objects.filter(material=size.jar, is_current=True))
        if not packs:
            continue
        pack = min(packs, key=lambda one: one.quantity)
        lots = Lot.objects.on_hand().filter(material=size.jar)
        there = sum((home_balance(lot) for lot in lots), Decimal(0))
        each = pack.price / pack.quantity
        found[size.name] = Jars(
            key=size.name,
            case=int(pack.quantity),
            case_price=pack.price,
            opening=int(there),
            end_value=(each / 2).quantize(Decimal("0.01")),
        )
    return list(found.values())


def _fees(mondays: Sequence[dt.date]) -> list[Decimal]:
    return [
        sum(
            (
                day.day.day_fee if day.day else day.outlet.day_fee
                for day in outlet_days(
                    first=monday, last=monday + dt.timedelta(days=DAYS - 1)
                )
            ),
            Decimal(0),
        )
        for monday in mondays
    ]


def _stock(first: dt.date) -> dict[str, tuple[int, int]]:
    """Jars at home by product: how many, and weeks until the freshest is past."""
    found: dict[str, tuple[int, int]] = {}
    lots = Lot.objects.usable(on=first).filter(product__isnull=False)
    for lot in lots.select_related("product"):
        assert lot.product is not None  # noqa: S101  as filtered
        jars, weeks = found.get(lot.product.code, (0, 0))
        left = (lot.best_by - first).days // DAYS if lot.best_by else 520
        found[lot.product.code] = (jars + int(home_balance(lot)), max(weeks, left))
    return found


def _end_values(
    products: Mapping[str, Product], kettles: Mapping[str, WeekKettle], first: dt.date
) -> dict[str, Decimal]:
    prices = stall.prices_on(kind="market", on=first)
    return {
        code: (prices.get(products[code].pk, Decimal(0)) * END_SHARE).quantize(
            Decimal("0.01")
        )
        for code in kettles
    }


def _end_limits(
    sales: Sequence[Sale], kettles: Mapping[str, WeekKettle], weeks: int
) -> dict[str, int]:
    """Jars left at the end that are worth keeping: some weeks of usual demand."""
    wanted: dict[str, Decimal] = defaultdict(Decimal)
    for sale in sales:
        for segment in sale.segments:
            wanted[sale.key] += segment.jars * segment.probability
    return {code: math.ceil(wanted[code] / weeks * END_COVER_WEEKS) for code in kettles}


def _caps(
    mondays: Sequence[dt.date], cap: Decimal | None, sold: Decimal
) -> list[tuple[int, int, Decimal]]:
    """The cap of each calendar year that the weeks touch."""
    if cap is None:
        return []
    years: dict[int, list[int]] = defaultdict(list)
    for number, monday in enumerate(mondays):
        years[(monday + dt.timedelta(days=DAYS - 1)).year].append(number)
    this_year = mondays[0].year
    return [
        (weeks[0], weeks[-1], max(Decimal(0), cap - (sold if year == this_year else 0)))
        for year, weeks in years.items()
    ]
