"""Materials of a market week in its program: bought, made, used while fit, left."""

import math
from itertools import combinations
from typing import Any

from production.planning.week_problem import Material, Offer
from production.planning.week_values import WeekModel, units

__all__ = ["write_material"]


def write_material(week: WeekModel, material: Material) -> None:
    """Let no batch use what is neither there nor bought, nor what has gone off."""
    model = week.model
    takes = _takes(week, material)
    total = sum(takes.values())
    bought, spent, sources = _buying(week, material, takes)
    made = _making(week, material)
    if takes:
        _flow(week, sources + _lying(week, material) + made, takes)
    week.used[material.key] = total
    week.terms[f"bought {material.key}"] = -spent
    each = units(material.kept_worth * 1000)
    if each:
        most = 10**10
        change = model.new_int_var(-most, most, f"{material.key} kept")
        week.loose.add(change.index)
        total_made = sum(amount for _, _, amount in made)
        model.add(1000 * change <= each * (bought + total_made - total))
        week.terms[f"left {material.key}"] = change


def _takes(week: WeekModel, material: Material) -> dict[int, Any]:
    """Return what the batches take of a material, by day."""
    takes: dict[int, Any] = {}
    for run, x in week.runs.items():
        for need in week.problem.candidate(run.candidate).needs:
            day = run.days[need.part]
            if need.material == material.key and day is not None:
                takes[day] = takes.get(day, 0) + need.amount * x
    return takes


def _lying(week: WeekModel, material: Material) -> list[tuple[int, int, Any]]:
    """Return what lies there as sources: (from day, to day, amount)."""
    last = len(week.problem.days) - 1
    sources: list[tuple[int, int, Any]] = []
    for stock in material.stocks:
        until = last if stock.use_by is None else week.problem.number(stock.use_by)
        sources.append((0, min(until, last), stock.amount))
    return sources


def _making(week: WeekModel, material: Material) -> list[tuple[int, int, Any]]:
    """Return what batches make of it as sources, fit from the day they are done."""
    last = len(week.problem.days) - 1
    makers = {c.key: c.makes for c in week.problem.makers(material.key)}
    sources: list[tuple[int, int, Any]] = []
    for run, x in week.runs.items():
        made, done = makers.get(run.candidate), run.ready_day
        if made is not None and done is not None:
            until = last if made.keeps_days is None else done + made.keeps_days
            sources.append((done, min(until, last), made.amount * x))
    return sources


def _buying(
    week: WeekModel, material: Material, takes: dict[int, Any]
) -> tuple[Any, Any, list[tuple[int, int, Any]]]:
    """Return the amount bought, the money spent, and the purchases as sources."""
    last = len(week.problem.days) - 1
    bought: Any = 0
    spent: Any = 0
    sources: list[tuple[int, int, Any]] = []
    for n, offer in enumerate(material.offers):
        mine: Any = 0
        for on in _shopping_days(week, offer, takes):
            most = _most_packs(week, material, offer)
            packs = week.model.new_int_var(0, most, f"{material.key} {n} on {on}")
            week.bought[material.key, n, on] = packs
            until = last if offer.keeps_days is None else on + offer.keeps_days
            sources.append((on, min(until, last), offer.pack * packs))
            mine = mine + packs
        if offer.most is not None and not isinstance(mine, int):
            week.model.add(mine <= offer.most)
        bought, spent = bought + offer.pack * mine, spent + units(offer.price) * mine
    return bought, spent, sources


def _shopping_days(week: WeekModel, offer: Offer, takes: dict[int, Any]) -> list[int]:
    """Return the days worth shopping on.

    What keeps past the week is bought on the first day it can be had;
    what does not, on any of its days before the last use.
    """
    count = len(week.problem.days)
    days = [week.problem.number(on) for on in sorted(offer.days)]
    days = [day for day in days if 0 <= day < count]
    if not takes or not days:
        return []
    if offer.keeps_days is None:
        return days[:1]
    return [d for d in days if any(d <= t <= d + offer.keeps_days for t in takes)]


def _most_packs(week: WeekModel, material: Material, offer: Offer) -> int:
    """Return the packs that cover everything the week could use."""
    need = sum(
        need.amount * candidate.most
        for candidate in week.problem.candidates
        for need in candidate.needs
        if need.material == material.key
    )
    packs = math.ceil(need / offer.pack)
    return packs if offer.most is None else min(packs, offer.most)


def _flow(
    week: WeekModel, sources: list[tuple[int, int, Any]], takes: dict[int, Any]
) -> None:
    """Let every use be met from sources fit on its day.

    Said without variables for who feeds whom: the uses of any set of days are
    at most what the sources fit on one of those days hold (Hall's condition).
    Of the sets fed by the same sources only the largest is written.
    """
    feeds = {
        day: frozenset(n for n, s in enumerate(sources) if s[0] <= day <= s[1])
        for day in takes
    }
    fed_by = set()
    for many in range(1, len(takes) + 1):
        for days in combinations(takes, many):
            fed_by.add(frozenset().union(*(feeds[day] for day in days)))
    for fed in sorted(fed_by, key=sorted):
        used = sum(takes[day] for day in takes if feeds[day] <= fed)
        week.model.add(used <= sum(sources[n][2] for n in sorted(fed)))
