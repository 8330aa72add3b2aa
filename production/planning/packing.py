"""How many of each product to take to a market.

The next jar of a product is worth what it earns if it is asked for, less the
trouble of bringing it home if it is not. A jar brought home is sold another
day, so what selling it *now* earns is its net price less what it is worth at
home. These worths fall from jar to jar, so taking the jar of largest next
worth again and again is optimal for one market (a greedy choice over
concave terms); markets that leave on the same morning share the shelf and
are packed together by a minimum-cost flow.
"""

import heapq
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from inventory.sourced import Kind, Sourced, Status
from inventory.words import say
from production.planning.distributions import Beyond, Certain, Counts, Demand

__all__ = [
    "BAD_WEATHER_SHARE",
    "Good",
    "Packing",
    "PackingError",
    "PackingLine",
    "in_bad_weather",
    "jar_worths",
    "pack",
    "pack_together",
]

BAD_WEATHER_SHARE = Sourced(
    value=Decimal("0.5"),
    unit="1",
    kind=Kind.CONVENTION,
    source="common practice",
    section="share of a fair day's demand on a wet or very hot day; set your own",
    status=Status.MEMORY,
)

SCALE = 1_000_000


class PackingError(ValueError):
    """A packing list was asked for with figures that cannot be."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Good:
    """One product as it stands before one market.

    Attributes:
        product: its key, the same for every market.
        demand: jars that may be asked for.
        net_price: what a sale brings after the outlet's fees, money a jar.
        home_worth: what a jar brought home is still worth, money a jar.
        handling_cost: carrying, breakage and wear of a jar brought home.
        stock: jars that may be taken.
        least: jars to show in any case, if there are so many.
        places: table places one jar needs.
    """

    product: str
    demand: Demand
    net_price: Decimal
    home_worth: Decimal = Decimal(0)
    handling_cost: Decimal = Decimal(0)
    stock: int = 0
    least: int = 0
    places: int = 1

    def __post_init__(self) -> None:
        if self.stock < 0 or self.least < 0:
            raise PackingError(
                say("{product}: jars below zero cannot be packed", product=self.product)
            )
        if self.places < 1:
            raise PackingError(
                say("{product}: a jar takes at least one place", product=self.product)
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class PackingLine:
    """How many of one product to take, and what that is worth.

    Attributes:
        worth: expected earning over leaving all of them at home, money.
        next_worth: what one more jar would add, money.
        held_by: what stopped at this number: "stock", "space" or "worth".
    """

    product: str
    jars: int
    worth: float
    next_worth: float
    held_by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Packing:
    """The packing list of one market.

    Attributes:
        lines: in the order of the goods given.
        worth: total of the lines, money.
        space_worth: what one more table place would earn, money.
        places: table places there were, or None without a limit.
    """

    lines: tuple[PackingLine, ...]
    places: int | None
    space_worth: float

    @property
    def jars(self) -> int:
        """Jars on the list."""
        return sum(line.jars for line in self.lines)

    @property
    def worth(self) -> float:
        """What the list is expected to earn over leaving it at home."""
        return sum(line.worth for line in self.lines)

    def of(self, product: str) -> PackingLine:
        """Return the line of a product."""
        return next(line for line in self.lines if line.product == product)


def jar_worths(good: Good, jars: int) -> tuple[float, ...]:
    """Return what the first, second, ... jar of a good adds, money."""
    gain = float(good.net_price - good.home_worth)
    cost = float(good.handling_cost)
    asked = (good.demand.at_least(k) for k in range(1, jars + 1))
    return tuple(gain * share - cost * (1 - share) for share in asked)


def in_bad_weather(good: Good, share: Decimal = BAD_WEATHER_SHARE.value) -> Good:
    """Return the good as on a wet day: the same table, fewer customers."""
    demand = good.demand
    if isinstance(demand, Beyond | Counts | Certain):
        return replace(good, demand=demand.scaled(float(share)))
    raise PackingError(
        say(
            "{product}: this demand cannot be scaled to the weather",
            product=good.product,
        )
    )


def pack(goods: Sequence[Good], places: int | None) -> Packing:
    """Return the packing list that earns most at one market.

    Args:
        goods: products with their stock and demand; order is kept.
        places: table places, or None without a limit.

    Raises:
        PackingError: places below zero.
    """
    if places is not None and places < 0:
        raise PackingError(
            say("a table of {places} places cannot be packed", places=places)
        )
    taken = _least(goods, places)
    free = _free(goods, taken, places)
    worths = {good.product: jar_worths(good, good.stock + 1) for good in goods}
    heap = [_entry(i, good, worths, taken) for i, good in enumerate(goods)]
    heapq.heapify(heap)
    while heap:
        neg_worth, index = heapq.heappop(heap)
        good = goods[index]
        stuck = taken[good.product] >= good.stock or good.places > free
        if neg_worth >= 0 or stuck:
            continue
        taken[good.product] += 1
        free -= good.places
        heapq.heappush(heap, _entry(index, good, worths, taken))
    return _listed(goods, taken, places, free)


def _entry(
    index: int,
    good: Good,
    worths: Mapping[str, tuple[float, ...]],
    taken: Mapping[str, int],
) -> tuple[float, int]:
    """Return the heap entry of a good: largest next worth per place first."""
    return (-worths[good.product][taken[good.product]] / good.places, index)


def _least(goods: Sequence[Good], places: int | None) -> dict[str, int]:
    """Return the jars shown in any case, as far as table and stock reach."""
    taken, free = {}, float("inf") if places is None else places
    for good in goods:
        fits = good.stock if places is None else int(free // good.places)
        taken[good.product] = min(good.least, good.stock, fits)
        free -= taken[good.product] * good.places
    return taken


def _free(goods: Sequence[Good], taken: Mapping[str, int], places: int | None) -> float:
    """Return the table places not yet taken."""
    if places is None:
        return float("inf")
    return places - sum(taken[good.product] * good.places for good in goods)


def _listed(
    goods: Sequence[Good], taken: Mapping[str, int], places: int | None, free: float
) -> Packing:
    """Return the list of what was taken with its worths and reasons."""
    lines, space_worth = [], 0.0
    for good in goods:
        jars = taken[good.product]
        worths = jar_worths(good, jars + 1)
        next_worth = worths[jars]
        if next_worth <= 0:
            held_by = "worth"
        elif jars >= good.stock:
            held_by = "stock"
        else:
            held_by = "space"
            if good.places > free:
                space_worth = max(space_worth, next_worth / good.places)
        lines.append(
            PackingLine(
                product=good.product,
                jars=jars,
                worth=sum(worths[:jars]),
                next_worth=next_worth,
                held_by=held_by,
            )
        )
    return Packing(lines=tuple(lines), places=places, space_worth=space_worth)


def pack_together(
    markets: Mapping[str, tuple[Sequence[Good], int | None]],
) -> dict[str, Packing]:
    """Return the packing lists of markets that leave on the same morning.

    The stock of a product is shared between them: the largest figure given
    for it counts once. Every jar is taken to take one place.

    Args:
        markets: for each market its goods and its table places.
    """
    if len(markets) <= 1:
        return {name: pack(goods, places) for name, (goods, places) in markets.items()}
    shares = _shared(markets)
    packed = {}
    for name, (goods, places) in markets.items():
        mine = [
            replace(good, stock=shares[name, good.product], least=0) for good in goods
        ]
        taken = {good.product: good.stock for good in mine}
        packed[name] = _listed(mine, taken, places, _free(mine, taken, places))
    return packed


def _shared(
    markets: Mapping[str, tuple[Sequence[Good], int | None]],
) -> dict[tuple[str, str], int]:
    """Return the jars of each product for each market, by minimum-cost flow."""
    from ortools.graph.python import min_cost_flow

    flow = min_cost_flow.SimpleMinCostFlow()
    stock: dict[str, int] = {}
    for goods, _ in markets.values():
        for good in goods:
            stock[good.product] = max(stock.get(good.product, 0), good.stock)
    source, sink = 0, 1
    shelf = {product: 2 + n for n, product in enumerate(stock)}
    table = {name: 2 + len(stock) + n for n, name in enumerate(markets)}
    total = sum(stock.values())
    for product, jars in stock.items():
        flow.add_arc_with_capacity_and_unit_cost(source, shelf[product], jars, 0)
        flow.add_arc_with_capacity_and_unit_cost(shelf[product], sink, jars, 0)
    arcs: dict[int, tuple[str, str]] = {}
    for name, (goods, places) in markets.items():
        room = total if places is None else places
        flow.add_arc_with_capacity_and_unit_cost(table[name], sink, room, 0)
        for product, cost in _jar_costs(goods):
            arc = flow.add_arc_with_capacity_and_unit_cost(
                shelf[product], table[name], 1, cost
            )
            arcs[arc] = (name, product)
    flow.set_nodes_supplies([source, sink], [total, -total])
    flow.solve()
    shares = {
        (n, good.product): 0 for n, (goods, _) in markets.items() for good in goods
    }
    for arc, key in arcs.items():
        shares[key] += flow.flow(arc)
    return shares


def _jar_costs(goods: Sequence[Good]) -> Iterator[tuple[str, int]]:
    """Yield each jar worth taking with its whole-number cost in the flow."""
    for good in goods:
        for rank, worth in enumerate(jar_worths(good, good.stock)):
            gain = worth + (SCALE if rank < good.least else 0)
            if gain > 0:
                yield good.product, -round(gain * SCALE)
