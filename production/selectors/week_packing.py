"""The packing list of each market of a week: what to take, fair or foul."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from itertools import groupby

from production.planning.packing import Good, Packing, in_bad_weather, pack_together
from production.planning.week_problem import Market, WeekPlan
from production.selectors.week_inputs import WeekBook

__all__ = ["MarketPacking", "pack_week"]

HANDLING_COST = Decimal("0.05")
HOME_SHARE = Decimal("0.90")
SHOWN_LEAST = 1
"""Carrying, breakage and wear of a jar brought home; what it is still worth, as a
share of its net price; jars of each product shown in any case. Common practice:
our own choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MarketPacking:
    """One market's list, and the list for a bad day."""

    market: str
    fair: Packing
    foul: Packing
    ready: Mapping[str, int]


def pack_week(book: WeekBook, plan: WeekPlan) -> tuple[MarketPacking, ...]:
    """Pack every market of the week in turn.

    What an earlier market is expected to sell is not there for a later one;
    markets of one day share the shelf.
    """
    sold: dict[str, float] = defaultdict(float)
    packed: list[MarketPacking] = []
    markets = sorted(book.problem.markets, key=lambda m: (m.on, m.key))
    for _, group in groupby(markets, key=lambda m: m.on):
        today = list(group)
        goods = {m.key: _goods(book, plan, m, sold) for m in today}
        places = {m.key: m.places for m in today}
        fair = pack_together({k: (goods[k], places[k]) for k in goods})
        wet = {k: (_in_the_wet(book, k, goods[k]), places[k]) for k in goods}
        foul = pack_together(wet)
        for market in today:
            packed.append(
                MarketPacking(
                    market=market.key,
                    fair=fair[market.key],
                    foul=foul[market.key],
                    ready={g.product: g.stock for g in goods[market.key]},
                )
            )
            for line in fair[market.key].lines:
                demand = book.demands[line.product, market.key]
                sold[line.product] += demand.expected_sales(line.jars)
    return tuple(packed)


def _in_the_wet(book: WeekBook, market: str, goods: list[Good]) -> list[Good]:
    share = book.weather[book.markets[market].outlet.name].share
    return [in_bad_weather(good, share) for good in goods]


def _goods(
    book: WeekBook, plan: WeekPlan, market: Market, sold: Mapping[str, float]
) -> list[Good]:
    goods = []
    for product in book.problem.products:
        net = book.net_prices.get((product.key, market.key))
        stock = _ready(book, plan, product.key, market) - round(sold[product.key])
        if net is None or stock <= 0:
            continue
        goods.append(
            Good(
                product=product.key,
                demand=book.demands[product.key, market.key],
                net_price=net,
                home_worth=net * HOME_SHARE,
                handling_cost=HANDLING_COST,
                stock=stock,
                least=SHOWN_LEAST,
            )
        )
    return goods


def _ready(book: WeekBook, plan: WeekPlan, key: str, market: Market) -> int:
    """Jars of a product that may go to a market."""
    problem = book.problem
    product = problem.product(key)
    jars = product.stock + sum(n for on, n in product.coming if on < market.on)
    last = problem.number(market.on)
    for batch in plan.batches:
        candidate = problem.candidate(batch.candidate)
        done = batch.days[-1]
        if candidate.product == key and done is not None and done < last:
            jars += candidate.jars
    return jars
