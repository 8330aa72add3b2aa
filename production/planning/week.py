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

The same problem gets the same plan: one worker, a fixed seed, and limits
counted in the solver's deterministic time.
"""

import time
from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from production.planning.cook_day import fits, timetable
from production.planning.kitchen import KitchenDay
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
from production.planning.week_values import MONEY, WeekModel

__all__ = ["Effort", "solve"]

SEED = 11


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """How long to look and how near to the best is near enough.

    Attributes:
        seconds: limit of the whole search; the best plan so far is returned.
        gap: stop when no plan can earn more than this share more.
        workers: solver threads; more than one may answer with another, equally
            good plan from run to run.
    """

    seconds: float = 3.0
    gap: float = 0.01
    workers: int = 1


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
        week = write(problem, elastic=elastic)
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
    said = "no plan was found in time that keeps the pinned and begun batches"
    return replace(plan, relaxed=(said,), proven=False)


def _agree(week: WeekModel, effort: Effort, began: float) -> WeekPlan | None:
    """Solve program and timetable in turn until they agree, or time is up.

    When time is up the last choice is thinned until it fits and solved again
    with those batches given: a plan with its honest gap.
    """
    solver = _solver(effort)
    cuts = 0
    while True:
        if not _choose(week, solver, effort, began):
            return None
        batches = _batches(week, solver)
        hours = _hours(week, solver)
        bound = float(solver.best_objective_bound)
        slots = timetable(week.problem, batches, days=hours)
        if slots is None and time.perf_counter() - began > 0.7 * effort.seconds:
            slots, batches = _thinned(week, batches, hours)
            _hold(week, batches)
            if not _choose(week, solver, effort, began):
                return None
        if slots is not None:
            break
        cuts += _rule_out(week, batches, hours)
        _hint(week, solver)
    plan = _plan(week, solver, batches, bound)
    return replace(
        plan,
        slots=slots,
        cuts=cuts,
        proven=plan.gap <= Decimal(str(effort.gap)) + Decimal("0.0001"),
        seconds=round(time.perf_counter() - began, 3),
    )


def _choose(week: WeekModel, solver: Any, effort: Effort, began: float) -> bool:
    """Solve the program with the time left; return whether it has a plan."""
    from ortools.sat.python import cp_model

    left = max(effort.seconds - (time.perf_counter() - began), 0.5)
    solver.parameters.max_time_in_seconds = 4 * left
    solver.parameters.max_deterministic_time = 0.75 * effort.seconds
    # Prices of what is given up would drown a share of the objective.
    solver.parameters.relative_gap_limit = 0.0 if week.elastic else effort.gap
    return solver.solve(week.model) in {cp_model.OPTIMAL, cp_model.FEASIBLE}


def _hint(week: WeekModel, solver: Any) -> None:
    """Begin the next search from this choice."""
    week.model.clear_hints()  # type: ignore[no-untyped-call]  # untyped there
    for x in week.runs.values():
        week.model.add_hint(x, solver.value(x))


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


def _hold(week: WeekModel, batches: Sequence[PlannedBatch]) -> None:
    """Fix the batches of every run."""
    held = Counter((batch.candidate, batch.days) for batch in batches)
    for run, x in week.runs.items():
        week.model.add(x == held[run.candidate, run.days])


def _solver(effort: Effort) -> Any:
    """Return a solver set to repeat itself."""
    from ortools.sat.python import cp_model

    solver = cp_model.CpSolver()
    solver.parameters.num_workers = effort.workers
    solver.parameters.random_seed = SEED
    solver.parameters.relative_gap_limit = effort.gap
    solver.parameters.linearization_level = 2
    return solver


def _batches(week: WeekModel, solver: Any) -> tuple[PlannedBatch, ...]:
    """Read the batches from the solution, by first day."""
    batches, numbers = [], defaultdict[str, int](int)
    for run, x in sorted(week.runs.items(), key=lambda item: item[0].first_day):
        for _ in range(solver.value(x)):
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
        and other.opens_min - day.opens_min == 0
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
            said.append(f"{name} is begun but cannot be finished in these hours")
        elif kind == "hours":
            day = week.problem.days[what].on
            minutes = missing * OVERTIME_MIN
            said.append(f"on {day:%A} the kitchen is needed {minutes} minutes longer")
        else:
            name = week.problem.name_of(what.product)
            said.append(_wish_said(kind, what, name, missing))
    return said


def _wish_said(kind: str, wish: Wish, name: str, missing: int) -> str:
    """Say how a pin was given up."""
    if kind == "day" and wish.on is not None:
        return f"{name} could not be made on {wish.on:%A} as pinned"
    if missing == 1:
        return f"1 pinned batch of {name} does not fit and is left out"
    return f"{missing} pinned batches of {name} do not fit and are left out"
