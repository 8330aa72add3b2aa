"""What to buy, what to take out of the freezer, which labels to print.

Read off a week's plan: the packs it buys, and its uses met from what lies
there, the soonest to go off first.
"""

import datetime as dt
from collections import Counter, defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from operator import itemgetter

from production.planning.week_problem import Purchase, WeekPlan, WeekProblem

__all__ = ["FreezerTaking", "ShoppingList", "StoreLine", "shopping_list"]


@dataclass(frozen=True, slots=True, kw_only=True)
class StoreLine:
    """One material to buy.

    Attributes:
        need: grams or pieces the plan uses of it in all.
        on_hand: of those, what lies there.
        amount: what the packs hold together.
    """

    material: str
    on: dt.date
    packs: int
    pack_name: str
    amount: int
    need: int
    on_hand: int
    cost: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class FreezerTaking:
    """Something to take out of the freezer, by the day it is needed."""

    material: str
    amount: int
    needed_on: dt.date


@dataclass(frozen=True, slots=True, kw_only=True)
class ShoppingList:
    """Everything the week asks for before the stove is lit.

    Attributes:
        by_supplier: lines by supplier, both in order.
        freezer: takings by day.
        labels: product -> labels to print, one a jar.
    """

    by_supplier: Mapping[str, tuple[StoreLine, ...]]
    freezer: tuple[FreezerTaking, ...]
    labels: Mapping[str, int]

    @property
    def cost(self) -> Decimal:
        """Money for everything, unrounded."""
        lines = [line for rows in self.by_supplier.values() for line in rows]
        return sum((line.cost for line in lines), Decimal(0))


def shopping_list(problem: WeekProblem, plan: WeekPlan) -> ShoppingList:
    """Return what to buy and to fetch for a plan."""
    rows: dict[str, list[StoreLine]] = defaultdict(list)
    for purchase in plan.purchases:
        rows[purchase.offer.supplier].append(_line(problem, plan, purchase))
    labels: Counter[str] = Counter()
    for batch in plan.batches:
        candidate = problem.candidate(batch.candidate)
        if candidate.makes is None:
            labels[candidate.product] += candidate.jars
    return ShoppingList(
        by_supplier={
            supplier: tuple(sorted(rows[supplier], key=lambda r: (r.on, r.material)))
            for supplier in sorted(rows)
        },
        freezer=_freezer(problem, plan),
        labels=dict(sorted(labels.items())),
    )


def _line(problem: WeekProblem, plan: WeekPlan, purchase: Purchase) -> StoreLine:
    """Return one purchase as a line."""
    material = problem.material(purchase.material)
    return StoreLine(
        material=purchase.material,
        on=purchase.on,
        packs=purchase.packs,
        pack_name=purchase.offer.pack_name,
        amount=purchase.packs * purchase.offer.pack,
        need=plan.used.get(purchase.material, 0),
        on_hand=material.on_hand,
        cost=purchase.cost,
    )


def _freezer(problem: WeekProblem, plan: WeekPlan) -> tuple[FreezerTaking, ...]:
    """Return what is drawn from frozen stock, day by day."""
    taken: Counter[tuple[str, int]] = Counter()
    last = len(problem.days)
    for material in problem.materials:
        if not any(stock.frozen for stock in material.stocks):
            continue
        sources = [
            [
                last if s.use_by is None else problem.number(s.use_by),
                s.frozen,
                0,
                s.amount,
            ]
            for s in material.stocks
        ]
        for buy in (p for p in plan.purchases if p.material == material.key):
            day, keeps = problem.number(buy.on), buy.offer.keeps_days
            until = last if keeps is None else day + keeps
            sources.append([until, False, day, buy.packs * buy.offer.pack])
        sources += [
            [until, False, day, amount]
            for day, until, amount in _made(problem, plan, material.key)
        ]
        for day, need in _takes(problem, plan, material.key):
            short = need
            for source in sorted(sources, key=itemgetter(0, 1)):
                if source[2] <= day <= source[0]:
                    drawn = min(short, source[3])
                    source[3] -= drawn
                    short -= drawn
                    if source[1] and drawn:
                        taken[material.key, day] += drawn
    return tuple(
        FreezerTaking(material=key, amount=amount, needed_on=problem.days[day].on)
        for (key, day), amount in sorted(taken.items(), key=lambda row: row[0][::-1])
    )


def _made(problem: WeekProblem, plan: WeekPlan, key: str) -> list[tuple[int, int, int]]:
    """Return (day, last day fit, amount) of what the plan makes of a material."""
    found = []
    for batch in plan.batches:
        made, day = problem.candidate(batch.candidate).makes, batch.days[-1]
        if made is not None and made.material == key and day is not None:
            keeps = len(problem.days) if made.keeps_days is None else made.keeps_days
            found.append((day, day + keeps, made.amount))
    return found


def _takes(problem: WeekProblem, plan: WeekPlan, key: str) -> list[tuple[int, int]]:
    """Return (day, amount) of every use of a material, by day."""
    takes = []
    for batch in plan.batches:
        for need in problem.candidate(batch.candidate).needs:
            day = batch.days[need.part]
            if need.material == key and day is not None:
                takes.append((day, need.amount))
    return sorted(takes)
