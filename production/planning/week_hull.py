"""Whole batches, said so that the program's relaxation knows it.

Left alone, the relaxation makes half a batch to fill the best half of the
demand, and pays for half a pack of fruit. Both together put its bound several
per cent too high. For each product this module names every combination of
whole batches and of the markets they are ready for ("one full kettle ready for
Wednesday, one half kettle ready for Saturday only") and bounds what the product
can earn and the packs it must buy by the combination chosen. True of every
plan; it only sharpens the bound.
"""

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from production.planning.runs import Run
from production.planning.week_problem import Candidate, Market, ProductWeek
from production.planning.week_values import WeekModel, units

__all__ = ["write_hull"]

MOST_WAYS = 80
"""More combinations than this cost more than they sharpen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Group:
    """Batches of one candidate that are ready for the same markets.

    Attributes:
        reaches: for each market in order, whether its jars are ready by then.
        runs: the variables of its runs.
    """

    candidate: Candidate
    reaches: tuple[bool, ...]
    runs: tuple[Any, ...]


def write_hull(week: WeekModel, product: ProductWeek) -> None:
    """Bound a product's earnings and packs by its whole batches."""
    markets = sorted(week.problem.markets, key=lambda market: (market.on, market.key))
    groups = _groups(week, product, markets)
    if not groups:
        return
    for offered in (groups, _merged(groups)):
        ways = _ways(offered)
        if ways:
            _write(week, product, offered, ways)
            return


def _groups(
    week: WeekModel, product: ProductWeek, markets: Sequence[Market]
) -> list[_Group]:
    """Return a product's runs by candidate and markets reached."""
    found: dict[tuple[str, tuple[bool, ...]], list[Any]] = {}
    for run, x in week.runs.items():
        if week.problem.candidate(run.candidate).product == product.key:
            reaches = tuple(_reaches(week, run, market) for market in markets)
            found.setdefault((run.candidate, reaches), []).append(x)
    return [
        _Group(candidate=week.problem.candidate(key), reaches=reaches, runs=tuple(runs))
        for (key, reaches), runs in found.items()
    ]


def _reaches(week: WeekModel, run: Run, market: Market) -> bool:
    """Return whether a run's jars are ready the day before a market."""
    return run.ready_day is not None and run.ready_day < week.problem.number(market.on)


def _merged(groups: Sequence[_Group]) -> list[_Group]:
    """Return one group a candidate, ready for whatever any of its runs is."""
    return [
        _Group(
            candidate=candidate,
            reaches=tuple(
                any(each)
                for each in zip(
                    *(g.reaches for g in groups if g.candidate == candidate),
                    strict=True,
                )
            ),
            runs=tuple(x for g in groups if g.candidate == candidate for x in g.runs),
        )
        for candidate in dict.fromkeys(group.candidate for group in groups)
    ]


def _ways(groups: Sequence[_Group]) -> list[tuple[int, ...]]:
    """Return every number of batches of each group; nothing where they are too many."""
    mosts = {group.candidate.key: group.candidate.most for group in groups}
    if math.prod(group.candidate.most + 1 for group in groups) > 20 * MOST_WAYS:
        return []
    ways = [
        way
        for way in itertools.product(*(range(g.candidate.most + 1) for g in groups))
        if all(
            sum(n for n, g in zip(way, groups, strict=True) if g.candidate.key == key)
            <= most
            for key, most in mosts.items()
        )
    ]
    return ways if len(ways) <= MOST_WAYS else []


def _write(
    week: WeekModel,
    product: ProductWeek,
    groups: Sequence[_Group],
    ways: Sequence[tuple[int, ...]],
) -> None:
    """Let exactly one way be chosen, and bound by it."""
    chosen = [week.model.new_bool_var(f"{product.key} {way}") for way in ways]
    week.model.add_exactly_one(chosen)
    for n, group in enumerate(groups):
        made = sum(way[n] * z for way, z in zip(ways, chosen, strict=True))
        week.model.add(sum(group.runs) == made)
    limit = sum(
        units(_best_worth(week, product, groups, way)) * z
        for way, z in zip(ways, chosen, strict=True)
    )
    week.model.add(week.earned[product.key] <= limit)
    for material in {n.material for g in groups for n in g.candidate.needs}:
        _packs(week, groups, material, list(zip(ways, chosen, strict=True)))


def _best_worth(
    week: WeekModel,
    product: ProductWeek,
    groups: Sequence[_Group],
    way: Sequence[int],
) -> Decimal:
    """Return the most a product's jars can be worth, tables left aside.

    The dearest place first, as long as jars are ready for it: what is ready for
    a market is ready for every later one, so taking the dearest that still fits
    is best.
    """
    markets = sorted(week.problem.markets, key=lambda market: (market.on, market.key))
    places = [
        (worth, n)
        for n, market in enumerate(markets)
        for worth in product.worths.get(market.key, ())
    ]
    places += [(w, len(markets)) for jars, w in product.later for _ in range(jars)]
    ready = _ready(product, markets, groups, way)
    worth = Decimal(0)
    given = [0] * len(ready)
    for each, n in sorted(places, key=lambda place: (-place[0], place[1])):
        if each <= 0:
            break
        if all(given[m] < ready[m] for m in range(n, len(ready))):
            worth += each
            for m in range(n, len(ready)):
                given[m] += 1
    return worth


def _ready(
    product: ProductWeek,
    markets: Sequence[Market],
    groups: Sequence[_Group],
    way: Sequence[int],
) -> list[int]:
    """Return the jars ready for each market in order, and in the end."""
    made = [group.candidate.jars * n for group, n in zip(groups, way, strict=True)]
    coming = sum(jars for _, jars in product.coming)
    ready = [
        product.stock
        + sum(jars for on, jars in product.coming if on < market.on)
        + sum(
            jars for group, jars in zip(groups, made, strict=True) if group.reaches[n]
        )
        for n, market in enumerate(markets)
    ]
    return [*ready, product.stock + coming + sum(made)]


def _packs(
    week: WeekModel,
    groups: Sequence[_Group],
    key: str,
    ways: list[tuple[tuple[int, ...], Any]],
) -> None:
    """Bound the packs of a material by the combination chosen."""
    material = week.problem.material(key)
    if not material.offers or week.problem.makers(key):
        return
    pack = max(offer.pack for offer in material.offers)
    bought = sum(x for (name, _, _), x in week.bought.items() if name == key)
    needs = [
        sum(n.amount for n in group.candidate.needs if n.material == key)
        for group in groups
    ]
    least = []
    for way, z in ways:
        need = sum(n * amount for n, amount in zip(way, needs, strict=True))
        least.append(math.ceil(max(need - material.on_hand, 0) / pack) * z)
    week.model.add(bought >= sum(least))
