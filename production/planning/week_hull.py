"""Whole batches, said so that the program's relaxation knows it.

Left alone, the relaxation makes half a batch to fill the best half of the
demand, and pays for half a pack of fruit. Both together put its bound several
per cent too high. For each product this module names every combination of
whole batches ("one of the full kettle, none of the half") and bounds what the
product can earn and the packs it must buy by the combination chosen. True of
every plan; it only sharpens the bound.
"""

import itertools
import math
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from production.planning.week_problem import Candidate, ProductWeek
from production.planning.week_values import WeekModel, units

__all__ = ["write_hull"]

MOST_COMBINATIONS = 60


def write_hull(week: WeekModel, product: ProductWeek) -> None:
    """Bound a product's earnings and packs by its whole batches."""
    makers = [c for c in week.problem.candidates if c.product == product.key]
    if not makers or math.prod(c.most + 1 for c in makers) > MOST_COMBINATIONS:
        return
    ways = list(itertools.product(*(range(c.most + 1) for c in makers)))
    chosen = [week.model.new_bool_var(f"{product.key} {way}") for way in ways]
    week.model.add_exactly_one(chosen)
    for n, candidate in enumerate(makers):
        made = sum(way[n] * z for way, z in zip(ways, chosen, strict=True))
        week.model.add(week.batches(candidate.key) == made)
    opening = product.stock + sum(jars for _, jars in product.coming)
    best = _best_worths(week, product, makers, opening)
    limit = sum(
        units(sum(best[: opening + _jars(makers, way)], Decimal(0))) * z
        for way, z in zip(ways, chosen, strict=True)
    )
    week.model.add(week.earned[product.key] <= limit)
    for material in {need.material for c in makers for need in c.needs}:
        _packs(week, makers, material, list(zip(ways, chosen, strict=True)))


def _jars(makers: Sequence[Candidate], way: Sequence[int]) -> int:
    """Return the jars of a combination."""
    return sum(c.jars * n for c, n in zip(makers, way, strict=True))


def _best_worths(
    week: WeekModel, product: ProductWeek, makers: Sequence[Candidate], opening: int
) -> list[Decimal]:
    """Return the worths of a product's jars wherever they go, best first.

    A market that no new batch can be ready for is served from the shelf only.
    """
    keys = {candidate.key for candidate in makers}
    done = [run.ready_day for run in week.runs if run.candidate in keys]
    first = min((day for day in done if day is not None), default=None)
    worths: list[Decimal] = []
    for market in week.problem.markets:
        row = product.worths.get(market.key, ())
        reached = first is not None and first < week.problem.number(market.on)
        worths += row if reached else row[:opening]
    worths += [each for jars, each in product.later for _ in range(jars)]
    return sorted((worth for worth in worths if worth > 0), reverse=True)


def _packs(
    week: WeekModel,
    makers: Sequence[Candidate],
    key: str,
    ways: list[tuple[tuple[int, ...], Any]],
) -> None:
    """Bound the packs of a material by the combination chosen."""
    material = week.problem.material(key)
    if not material.offers:
        return
    pack = max(offer.pack for offer in material.offers)
    bought = sum(x for (name, _, _), x in week.bought.items() if name == key)
    needs = [sum(n.amount for n in c.needs if n.material == key) for c in makers]
    least = []
    for way, z in ways:
        need = sum(n * amount for n, amount in zip(way, needs, strict=True))
        least.append(math.ceil(max(need - material.on_hand, 0) / pack) * z)
    week.model.add(bought >= sum(least))
