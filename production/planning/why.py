"""Why the plan is as it is: what was left out, what binds, what a wish costs.

Reasons are read off the plan without solving again: the materials that are
missing, the hours that are gone, the table that is full. What one more unit
would earn, and what a pin or a ban changes, is answered by solving again.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum

from inventory.words import say, to_say
from production.planning.kitchen import Part, PlanningError
from production.planning.runs import Run, runs_of
from production.planning.week import Effort, solve
from production.planning.week_problem import (
    Candidate,
    WeekPlan,
    WeekProblem,
    Wish,
)

__all__ = ["Change", "LeftOut", "OneMore", "Reason", "binding", "left_out", "what_if"]

QUICK = Effort(seconds=1.0, gap=0.005)
MORE_MIN = 60
MORE_PLACES = 12


class Reason(StrEnum):
    """Why a batch is not made."""

    FORBIDDEN = to_say("left out as you asked")
    SEASON = to_say("out of season and none on hand")
    SHORT = to_say("fruit or material short")
    DAYS = to_say("no days that fit its stands and closing times")
    DEMAND = to_say("the shelf covers what can be sold")
    TABLE = to_say("no room on the tables")
    HOURS = to_say("kitchen hours taken")
    CANNER = to_say("canner taken")
    VESSEL = to_say("no vessel free overnight")
    LIGHT = to_say("no time for seal check and labels")
    OTHERS = to_say("others earn more")


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """A product without a batch, and why.

    Attributes:
        detail: the figure behind the reason, in words.
        worth: what one batch could earn at most if only it fitted, money.
    """

    product: str
    reason: Reason
    detail: str
    worth: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class OneMore:
    """What one more unit of something scarce would earn, money a week."""

    resource: str
    amount: str
    worth: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What a wish changes.

    Attributes:
        cost: what the week earns less, money (below zero: more).
        added: batches made in addition, by candidate.
        dropped: batches no longer made.
        plan: the plan with the wish.
    """

    cost: Decimal
    added: dict[str, int]
    dropped: dict[str, int]
    plan: WeekPlan


def left_out(problem: WeekProblem, plan: WeekPlan) -> tuple[LeftOut, ...]:
    """Return every product that could be made and is not, dearest loss first."""
    found = []
    for candidate in problem.candidates:
        made = sum(
            plan.batches_of(other.key)
            for other in problem.candidates
            if other.product == candidate.product
        )
        if candidate.makes is None and not candidate.begun and not made:
            found.append(_why(problem, plan, candidate))
    best: dict[str, LeftOut] = {}
    for row in found:
        kept = best.get(row.product)
        if kept is None or row.worth > kept.worth:
            best[row.product] = row
    return tuple(sorted(best.values(), key=lambda row: (-row.worth, row.product)))


def _why(problem: WeekProblem, plan: WeekPlan, candidate: Candidate) -> LeftOut:
    """Return the first reason that holds, from the plainest to the finest."""
    free = _gain(problem, plan, candidate, full_tables=False)
    for reason, detail in _reasons(problem, plan, candidate, free):
        worth = max(free, Decimal(0))
        return LeftOut(
            product=candidate.product, reason=reason, detail=detail, worth=worth
        )
    raise AssertionError("the last reason always holds")


def _reasons(
    problem: WeekProblem, plan: WeekPlan, candidate: Candidate, free: Decimal
) -> Iterator[tuple[Reason, str]]:
    """Yield the reasons that hold, each with its figure."""
    product = candidate.product
    if any(wish.forbids and wish.product == product for wish in problem.wishes):
        yield Reason.FORBIDDEN, ""
    yield from _missing(problem, plan, candidate)
    runs = runs_of(problem, candidate)
    if not runs:
        yield Reason.DAYS, ""
    if free <= 0:
        yield (
            Reason.DEMAND,
            say("{stock} jars on the shelf", stock=problem.product(product).stock),
        )
    if _gain(problem, plan, candidate, full_tables=True) <= 0 < free:
        yield Reason.TABLE, say("every place is taken by jars that earn more")
    if runs:
        excess = [_excess(problem, plan, candidate, run) for run in runs]
        least = min(excess, key=lambda rows: sum(short for _, _, short in rows))
        if least:
            reason, words, _ = max(least, key=lambda row: row[2])
            yield reason, words
    yield Reason.OTHERS, say("what it needs is put to better use")


def _missing(
    problem: WeekProblem, plan: WeekPlan, candidate: Candidate
) -> Iterator[tuple[Reason, str]]:
    """Yield the materials one batch would lack."""
    for need in candidate.needs:
        material = problem.material(need.material)
        packs = [o for o in material.offers if o.most != 0 and o.days]
        bought = Counter(p.offer for p in plan.purchases if p.material == material.key)
        if any(o.most is None for o in packs):
            continue
        could = sum(((o.most or 0) - bought[o]) * o.pack for o in packs)
        have = material.on_hand + sum(o.pack * n for o, n in bought.items())
        have += _can_be_made(problem, plan, material.key)
        left = have - plan.used.get(material.key, 0) + could
        if left >= need.amount:
            continue
        makers = problem.makers(material.key)
        if makers and not packs:
            yield from _missing(problem, plan, makers[0])
        if not packs and not material.on_hand and material.season:
            yield Reason.SEASON, f"{material.key}: {material.season}"
        else:
            short = need.amount - left
            yield (
                Reason.SHORT,
                say(
                    "{key}: {short} missing for a batch", key=material.key, short=short
                ),
            )


def _can_be_made(problem: WeekProblem, plan: WeekPlan, key: str) -> int:
    """Return what the plan makes of a material and what more of it could be made."""
    amount = 0
    for maker in problem.makers(key):
        made = plan.batches_of(maker.key)
        could = not next(_missing(problem, plan, maker), None)
        count = max(maker.most, made) if could else made
        amount += count * (maker.makes.amount if maker.makes else 0)
    return amount


def _gain(
    problem: WeekProblem, plan: WeekPlan, candidate: Candidate, *, full_tables: bool
) -> Decimal:
    """Return the most one batch could add if time and fruit were free, money.

    Args:
        problem: the week.
        plan: the plan to add to.
        candidate: the batch.
        full_tables: places taken by others stay taken.
    """
    product = problem.product(candidate.product)
    worths: list[Decimal] = []
    have = product.stock + sum(jars for _, jars in product.coming)
    have += sum(
        c.jars * plan.batches_of(c.key)
        for c in problem.candidates
        if c.product == product.key
    )
    for market in problem.markets:
        steps = product.worths.get(market.key, ())
        taken = {(t.product, t.market): t.jars for t in plan.taken}
        here = taken.get((product.key, market.key), 0)
        if full_tables and market.places is not None:
            room = market.places - sum(
                jars for (_, key), jars in taken.items() if key == market.key
            )
            steps = steps[: here + max(room, 0)]
        worths += steps
    worths += [each for jars, each in product.later for _ in range(jars)]
    best = sorted(worths, reverse=True)[have : have + candidate.jars]
    hours = problem.hour_cost * candidate.hands_min / 60
    return sum(best, Decimal(0)) - candidate.cost - hours - _fruit(problem, candidate)


def _fruit(problem: WeekProblem, candidate: Candidate) -> Decimal:
    """Return the least its materials cost, by the cheapest offer, money."""
    total = Decimal(0)
    for need in candidate.needs:
        material = problem.material(need.material)
        prices = [o.price / o.pack for o in material.offers if o.most != 0]
        each = min(prices, default=material.kept_worth)
        total += need.amount * (material.kept_worth if material.on_hand else each)
    return total


def _excess(
    problem: WeekProblem, plan: WeekPlan, candidate: Candidate, run: Run
) -> list[tuple[Reason, str, int]]:
    """Return what a run would use beyond what is left: (reason, words, minutes)."""
    used = _used(problem, plan)
    rows = []
    for part, number in zip(candidate.parts, run.days, strict=True):
        if number is None:
            continue
        on = problem.days[number].on
        for reason, thing, need, limit in _day_limits(problem, part, number):
            short = used[thing, number] + need - limit
            if need and short > 0:
                rows.append(
                    (
                        reason,
                        say(_TOO_FEW.get(thing, _MINUTES_TOO_FEW), on=on, short=short),
                        short,
                    )
                )
    for night in run.nights(candidate.parts):
        if used["vessel", night] + 1 > problem.equipment.vessels:
            on = problem.days[night].on
            rows.append((Reason.VESSEL, say("the night of {on:%A}", on=on), 1))
    return rows


_MINUTES_TOO_FEW = to_say("{on:%A}: {short} minutes too few")
_TOO_FEW = {"loads": to_say("{on:%A}: {short} loads too few")}


def _day_limits(
    problem: WeekProblem, part: Part, number: int
) -> list[tuple[Reason, str, int, int]]:
    """Return what a part needs on a day: (reason if short, thing, need, limit)."""
    day, have = problem.days[number], problem.equipment
    if part.light:
        return [(Reason.LIGHT, "light", part.hands_min, day.light_min)]
    limit = day.plan_min
    rows = [
        (Reason.HOURS, "hands", part.hands_min, have.cooks * limit),
        (Reason.CANNER, "canner", part.canner_min, have.canners * limit),
        (Reason.HOURS, "pots", part.pot_min, have.pots * limit),
    ]
    if day.loads is not None:
        rows.append((Reason.CANNER, "loads", part.loads, day.loads))
    return rows


def _used(problem: WeekProblem, plan: WeekPlan) -> Counter[tuple[str, int]]:
    """Return what the plan uses of every station on every day."""
    used: Counter[tuple[str, int]] = Counter()
    for batch in plan.batches:
        parts = problem.candidate(batch.candidate).parts
        for part, number in zip(parts, batch.days, strict=True):
            if number is not None:
                name = "light" if part.light else "hands"
                used[name, number] += part.hands_min
                used["canner", number] += part.canner_min
                used["pots", number] += part.pot_min
                used["loads", number] += part.loads
        run = Run(candidate=batch.candidate, days=batch.days)
        used.update(("vessel", night) for night in run.nights(parts))
    return used


def binding(
    problem: WeekProblem, plan: WeekPlan, *, most: int = 4, effort: Effort = QUICK
) -> tuple[OneMore, ...]:
    """Return what binds most: what one more unit of it would earn.

    Args:
        problem: the week.
        plan: its plan.
        most: how many tight resources to try, tightest first.
        effort: limits of each search. A gain within the plan's own gap may be
            the search's and not the resource's.

    Returns:
        Resources that earn something, the most first.
    """
    found = []
    for resource, amount, richer in _richer(problem, plan)[:most]:
        again = solve(richer, effort)
        if again.objective > plan.objective:
            worth = again.objective - plan.objective
            found.append(OneMore(resource=resource, amount=amount, worth=worth))
    return tuple(sorted(found, key=lambda row: (-row.worth, row.resource)))


def _richer(problem: WeekProblem, plan: WeekPlan) -> list[tuple[str, str, WeekProblem]]:
    """Return the problem with one more unit of each tight thing, tightest first."""
    used = _used(problem, plan)
    rows: list[tuple[float, str, str, WeekProblem]] = []
    for number, day in enumerate(problem.days):
        limit = problem.equipment.cooks * day.plan_min
        share = (
            max(used["hands", number], used["canner", number]) / limit if limit else 0
        )
        if share > 0.6:
            days = list(problem.days)
            days[number] = day.longer(MORE_MIN)
            richer = replace(problem, days=tuple(days))
            rows.append(
                (
                    share,
                    say("{on:%A} in the kitchen", on=day.on),
                    say("one more hour"),
                    richer,
                )
            )
    rows += _richer_markets(problem, plan) + _richer_fruit(problem, plan)
    rows.sort(key=lambda row: (-row[0], row[1]))
    return [row[1:] for row in rows]


def _richer_markets(
    problem: WeekProblem, plan: WeekPlan
) -> list[tuple[float, str, str, WeekProblem]]:
    """Return the problem with more places on each full table."""
    rows = []
    for n, market in enumerate(problem.markets):
        jars = sum(t.jars for t in plan.taken if t.market == market.key)
        if market.places is not None and jars >= market.places:
            wider = list(problem.markets)
            wider[n] = replace(market, places=market.places + MORE_PLACES)
            richer = replace(problem, markets=tuple(wider))
            amount = say("{more_places} more places", more_places=MORE_PLACES)
            rows.append((1.0, say("table at {key}", key=market.key), amount, richer))
    return rows


def _richer_fruit(
    problem: WeekProblem, plan: WeekPlan
) -> list[tuple[float, str, str, WeekProblem]]:
    """Return the problem with one more pack of each material bought to its limit."""
    rows = []
    for purchase in plan.purchases:
        offer = purchase.offer
        if offer.most is not None and purchase.packs >= offer.most:
            material = problem.material(purchase.material)
            more = replace(offer, most=offer.most + 1)
            offers = tuple(more if o == offer else o for o in material.offers)
            richer = replace(
                problem,
                materials=tuple(
                    replace(m, offers=offers) if m.key == material.key else m
                    for m in problem.materials
                ),
            )
            amount = say(
                "one more pack ({pack_name})", pack_name=offer.pack_name or offer.pack
            )
            rows.append((0.9, material.key, amount, richer))
    return rows


def what_if(
    problem: WeekProblem, plan: WeekPlan, wish: Wish, *, effort: Effort | None = None
) -> Change:
    """Return what a pin or a ban changes.

    Raises:
        PlanningError: nothing in the week makes this product.
    """
    if not any(c.product == wish.product for c in problem.candidates):
        raise PlanningError(
            say("nothing in this week makes {product}", product=wish.product)
        )
    others = tuple(w for w in problem.wishes if w.product != wish.product)
    again = solve(replace(problem, wishes=(*others, wish)), effort)
    before = Counter(batch.candidate for batch in plan.batches)
    after = Counter(batch.candidate for batch in again.batches)
    return Change(
        cost=plan.objective - again.objective,
        added=dict(after - before),
        dropped=dict(before - after),
        plan=again,
    )
