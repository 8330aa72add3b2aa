"""Which batches to make on which day of a market week.

Two steps, repeated until they agree: the week's program chooses batches and
days by sums (``week_model``); the timetable sets their minutes
(``cook_day``). A day's work that does not fit its minutes is ruled out and
the program solved again, so the bound stays a bound on every plan that can
really be cooked.

Nothing to be done is never an error. Lost sales are always allowed. Where
wishes and begun batches cannot all be kept, they are given up in this order,
the first as long as it helps: the day of a pinned batch, a pinned batch, the
kitchen's closing hour (for a begun batch only), a begun batch.

The same problem gets the same plan, unless the clock ended the search.
"""

import math
import time
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Any

from inventory.words import say
from production.planning.cook_day import fits, timetable
from production.planning.kitchen import KitchenDay
from production.planning.runs import Run
from production.planning.week_model import OVERTIME_MIN, write
from production.planning.week_problem import (
    PlannedBatch,
    Purchase,
    Slot,
    Taken,
    WeekPlan,
    WeekProblem,
    Wish,
)
from production.planning.week_search import Effort, choose, fill_in
from production.planning.week_values import MONEY, WeekModel

__all__ = ["Effort", "solve"]


def solve(problem: WeekProblem, effort: Effort | None = None) -> WeekPlan:
    """Return the plan that earns most.

    Args:
        problem: the week.
        effort: limits of the search.

    Returns:
        The plan with its timetable, objective, bound and what was relaxed.
        Without any batch worth making it has none, and that is its answer.
    """
    effort = effort or Effort()
    began = time.perf_counter()
    for elastic in (False, True):
        week = write(problem, elastic=elastic, light_days=1)
        plan = _agree(week, effort, began)
        if plan is not None:
            return plan
    free = replace(
        problem,
        wishes=tuple(wish for wish in problem.wishes if wish.forbids),
        candidates=tuple(c for c in problem.candidates if not c.begun),
    )
    dropped = replace(free, candidates=())
    plan = _agree(write(free), effort, began) or _agree(write(dropped), effort, began)
    if plan is None:
        raise AssertionError("a week without batches has a plan")
    said = say("no plan was found in time that keeps the pinned and begun batches")
    return replace(plan, relaxed=(said,), proven=False)


def _agree(week: WeekModel, effort: Effort, began: float) -> WeekPlan | None:
    """Solve program and timetable in turn until they agree, or time is up.

    A choice whose minutes do not fit is thinned until they do. The thinned plan
    is taken when it is near enough to the bound, or when time is up.
    """
    cuts, bound = 0, math.inf
    while True:
        left = effort.seconds - (time.perf_counter() - began)
        choice = choose(week, effort, max(left - 0.5, 0.5))
        if choice is None:
            return None
        bound = min(bound, choice.bound)
        batches = _batches(choice.runs)
        if week.light_days == 1 and _is_light_work_late(week.problem, batches):
            week = write(week.problem, elastic=week.elastic)
            continue
        solver = fill_in(week, choice.runs, effort)
        hours = _hours(week, solver)
        slots = timetable(week.problem, batches, days=hours)
        if slots is not None:
            break
        slots, fewer = _thinned(week, batches, hours)
        solver = fill_in(week, _runs(fewer), effort)
        is_late = time.perf_counter() - began > 0.7 * effort.seconds
        if solver is not None and (is_late or _is_near(solver, bound, effort)):
            batches = fewer
            break
        if is_late:
            return None
        cuts += _rule_out(week, batches, hours)
    plan = _plan(week, solver, batches, bound)
    return replace(
        plan,
        slots=slots,
        cuts=cuts,
        proven=plan.gap <= Decimal(str(effort.gap)) + Decimal("0.0001"),
        seconds=round(time.perf_counter() - began, 3),
    )


def _is_light_work_late(problem: WeekProblem, batches: Sequence[PlannedBatch]) -> bool:
    """Return whether a day gets more seal checks and labels than it has minutes for."""
    minutes = Counter[int]()
    for batch in batches:
        parts = problem.candidate(batch.candidate).parts
        for part, day in zip(parts, batch.days, strict=True):
            if part.light and day is not None:
                minutes[day] += part.hands_min
    return any(many > problem.days[day].light_min for day, many in minutes.items())


def _is_near(solver: Any, bound: float, effort: Effort) -> bool:
    """Return whether a plan is near enough to the bound."""
    missing = bound - float(solver.objective_value)
    return missing <= effort.gap * max(abs(bound), 1.0)


def _thinned(
    week: WeekModel, batches: tuple[PlannedBatch, ...], hours: tuple[KitchenDay, ...]
) -> tuple[tuple[Slot, ...], tuple[PlannedBatch, ...]]:
    """Leave out batches, the fewest jars first, until a timetable fits."""
    begun = {c.key for c in week.problem.candidates if c.begun}
    left = list(batches)
    for number in range(len(hours)):
        while not fits(week.problem, _today(left, number), days=hours):
            today = [batch for batch in left if number in batch.days]
            left.remove(
                min(
                    today,
                    key=lambda b: (
                        b.candidate in begun,
                        week.problem.candidate(b.candidate).jars,
                        b.number,
                    ),
                )
            )
    slots = timetable(week.problem, left, days=hours)
    while slots is None:
        left.pop()
        slots = timetable(week.problem, left, days=hours)
    return slots, tuple(left)


def _today(batches: Sequence[PlannedBatch], number: int) -> list[PlannedBatch]:
    """Return the work of one day alone."""
    return [_only(batch, number) for batch in batches if number in batch.days]


def _runs(batches: Sequence[PlannedBatch]) -> dict[Run, int]:
    """Return how many batches each run makes."""
    return Counter(Run(candidate=b.candidate, days=b.days) for b in batches)


def _batches(runs: Mapping[Run, int]) -> tuple[PlannedBatch, ...]:
    """Return the batches of the runs, by first day."""
    batches, numbers = [], defaultdict[str, int](int)
    for run, many in sorted(runs.items(), key=lambda item: item[0].first_day):
        for _ in range(many):
            numbers[run.candidate] += 1
            batches.append(
                PlannedBatch(
                    candidate=run.candidate,
                    number=numbers[run.candidate],
                    days=run.days,
                )
            )
    return tuple(batches)


def _hours(week: WeekModel, solver: Any) -> tuple[KitchenDay, ...]:
    """Return the days with the overtime the solution takes."""
    return tuple(
        day.longer(OVERTIME_MIN * solver.value(week.overtime[n]))
        if n in week.overtime
        else day
        for n, day in enumerate(week.problem.days)
    )


def _rule_out(
    week: WeekModel, batches: Sequence[PlannedBatch], hours: tuple[KitchenDay, ...]
) -> int:
    """Rule out the smallest day's work found that does not fit; count the cuts."""
    cuts = 0
    for number in range(len(hours)):
        alone = _today(batches, number)
        if fits(week.problem, alone, days=hours):
            continue
        for batch in list(alone):
            fewer = [other for other in alone if other is not batch]
            if fewer and not fits(week.problem, fewer, days=hours):
                alone = fewer
        week.forbid(alone, _no_roomier(hours, number, week))
        cuts += 1
    if not cuts:
        week.forbid_together(batches)
        cuts = 1
    return cuts


def _only(batch: PlannedBatch, number: int) -> PlannedBatch:
    """Return the batch with the work of one day alone."""
    days = tuple(day if day == number else None for day in batch.days)
    return replace(batch, days=days)


def _no_roomier(
    hours: tuple[KitchenDay, ...], number: int, week: WeekModel
) -> list[int]:
    """Return the days with no more room than this one."""
    if week.overtime:
        return [number]
    day = hours[number]
    light = (day.light_opens_min, day.light_closes_min)
    return [
        n
        for n, other in enumerate(hours)
        if other.minutes <= day.minutes
        and (other.light_opens_min, other.light_closes_min) == light
        and (other.opens_min, other.away) == (day.opens_min, day.away)
    ]


def _plan(
    week: WeekModel, solver: Any, batches: tuple[PlannedBatch, ...], bound: float
) -> WeekPlan:
    """Read the rest of the plan from the solution."""
    problem = week.problem
    given_up = sum(price * solver.value(x) for _, _, x, price in week.slack)
    terms = {
        name: Decimal(solver.value(term) if not isinstance(term, int) else term) / MONEY
        for name, term in week.terms.items()
    }
    purchases = tuple(
        Purchase(
            material=key,
            offer=problem.material(key).offers[n],
            on=problem.days[on].on,
            packs=solver.value(packs),
        )
        for (key, n, on), packs in week.bought.items()
        if solver.value(packs)
    )
    taken = tuple(
        Taken(product=product, market=market, jars=solver.value(jars))
        for (product, market), jars in week.taken.items()
        if solver.value(jars)
    )
    return WeekPlan(
        batches=batches,
        purchases=purchases,
        taken=taken,
        kept={key: solver.value(jars) for key, jars in week.kept.items()},
        used={key: solver.value(amount) for key, amount in week.used.items()},
        slots=(),
        terms=terms,
        objective=sum(terms.values(), Decimal(0)),
        bound=Decimal(round(bound + given_up)) / MONEY,
        relaxed=tuple(_said(week, solver)),
    )


def _said(week: WeekModel, solver: Any) -> list[str]:
    """Say what was given up, in the order of giving up."""
    said = []
    for kind, what, variable, _ in week.slack:
        missing = solver.value(variable)
        if not missing:
            continue
        if kind == "begun":
            name = week.problem.name_of(week.problem.candidate(what).product)
            said.append(
                say("{name} is begun but cannot be finished in these hours", name=name)
            )
        elif kind == "hours":
            day = week.problem.days[what].on
            minutes = missing * OVERTIME_MIN
            said.append(
                say(
                    "on {day:%A} the kitchen is needed {minutes} minutes longer",
                    day=day,
                    minutes=minutes,
                )
            )
        else:
            name = week.problem.name_of(what.product)
            said.append(_wish_said(kind, what, name, missing))
    return said


def _wish_said(kind: str, wish: Wish, name: str, missing: int) -> str:
    """Say how a pin was given up."""
    if kind == "day" and wish.on is not None:
        return say(
            "{name} could not be made on {on:%A} as pinned", name=name, on=wish.on
        )
    if missing == 1:
        return say("1 pinned batch of {name} does not fit and is left out", name=name)
    return say(
        "{missing} pinned batches of {name} do not fit and are left out",
        missing=missing,
        name=name,
    )
