"""The week's program, searched.

It is written once, for CP-SAT (``week_model``). HiGHS chooses the batches and
gives the bound: once the batches are chosen the jars of every step are whole
of themselves, so they may be fractions in its search, which makes it several
times quicker than a search that must count them. CP-SAT then fills in jars and packs,
whole, to the last hundredth of a cent. Where wishes and hours may be given up
at a price, the prices would drown HiGHS's tolerances; there CP-SAT does both.

Time ends a search by the clock. A search that ends by its gap finds the same
plan for the same problem.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from production.planning.runs import Run
from production.planning.week_values import MONEY, WeekModel

if TYPE_CHECKING:
    from production.planning.milp import Model

__all__ = ["Choice", "Effort", "choose", "fill_in"]

SEED = 11
IDLE_COST = 1
"""What a batch costs in the search beside its costs, in hundredths of a cent: of two
plans that earn the same the one with fewer batches is taken. The bound makes up for
it."""
LARGE = 1000
"""A row whose factors are larger is divided, so that grams do not drown pieces."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """How long to look and how near to the best is near enough.

    Attributes:
        seconds: limit of the whole search; the best plan so far is returned.
        gap: stop when no plan can earn more than this share more.
        workers: CP-SAT's threads; more than one may answer with another, equally
            good plan from run to run.
    """

    seconds: float = 3.0
    gap: float = 0.01
    workers: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """Batches chosen.

    Attributes:
        runs: batches of each run made.
        bound: no choice earns more, in the objective's units.
    """

    runs: Mapping[Run, int]
    bound: float


def choose(week: WeekModel, effort: Effort, seconds: float) -> Choice | None:
    """Return the best batches found in so many seconds, or ``None``."""
    if week.elastic:
        return _choose_whole(week, effort, seconds)
    program = program_of(week)
    for x in week.runs.values():
        program.costs[x.index] -= IDLE_COST / MONEY
    solved = program.solve(gap=effort.gap, seconds=seconds)
    if not solved.values:
        if solved.status == "infeasible":
            return None
        return _choose_whole(week, effort, seconds)
    runs = {run: round(solved.values[x.index]) for run, x in week.runs.items()}
    return Choice(
        runs={run: many for run, many in runs.items() if many},
        bound=solved.bound * MONEY + IDLE_COST * _most_batches(week),
    )


def _most_batches(week: WeekModel) -> int:
    """Return how many batches a week can have at most."""
    return sum(candidate.most for candidate in week.problem.candidates)


def fill_in(week: WeekModel, runs: Mapping[Run, int], effort: Effort) -> Any | None:
    """Return a CP-SAT solver holding the best jars and packs for these batches.

    Returns:
        The solver, to read values from; ``None`` where the batches cannot be.
    """
    model = week.model.clone()
    for run, x in week.runs.items():
        model.add(x == runs.get(run, 0))
    solver = _solver(effort, effort.seconds)
    solver.parameters.relative_gap_limit = 0.0
    return solver if _has_plan(solver, model) else None


def program_of(week: WeekModel) -> "Model":
    """Return the program for HiGHS, money in the seller's currency."""
    from production.planning.milp import Model  # noqa: PLC0415  loads the solver

    written = week.model.proto
    model = Model()
    for number, variable in enumerate(written.variables):
        domain = list(variable.domain)
        model.column(
            least=domain[0], most=domain[-1], is_whole=number not in week.loose
        )
    sign = written.objective.scaling_factor or 1.0
    for number, worth in zip(
        written.objective.vars, written.objective.coeffs, strict=True
    ):
        model.costs[number] += sign * worth / MONEY
    model.constant = sign * written.objective.offset / MONEY
    for constraint in written.constraints:
        _write_row(model, constraint)
    return model


def _write_row(model: "Model", constraint: Any) -> None:
    """Write one constraint of CP-SAT as a row."""
    if constraint.has_linear():
        terms: dict[int, float] = {}
        for number, factor in zip(
            constraint.linear.vars, constraint.linear.coeffs, strict=True
        ):
            terms[number] = terms.get(number, 0.0) + factor
        domain = list(constraint.linear.domain)
        least = domain[0] if domain[0] > -(2**62) else -math.inf
        most = domain[-1] if domain[-1] < 2**62 else math.inf
        _write_linear(model, terms, (least, most), list(constraint.enforcement_literal))
    elif constraint.has_exactly_one():
        terms, constant = _of_literals(list(constraint.exactly_one.literals))
        model.row(terms, least=1 - constant, most=1 - constant)
    else:
        terms, constant = _of_literals(list(constraint.bool_or.literals))
        model.row(terms, least=1 - constant)


def _write_linear(
    model: "Model",
    terms: dict[int, float],
    limits: tuple[float, float],
    literals: list[int],
) -> None:
    """Write a linear row; one that waits for literals is loose until they hold."""
    least, most = limits
    if literals:
        highest = sum(
            factor * (model.upper[number] if factor > 0 else model.lower[number])
            for number, factor in terms.items()
        )
        waits, constant = _of_literals(literals)
        slack = highest - most
        for number, factor in waits.items():
            terms[number] = terms.get(number, 0.0) + slack * factor
        most += slack * (len(literals) - constant)
    largest = max((abs(factor) for factor in terms.values()), default=1)
    if largest > LARGE:
        size = LARGE / largest
        terms = {number: factor * size for number, factor in terms.items()}
        least, most = least * size, most * size
    model.row(terms, least=least, most=most)


def _of_literals(literals: list[int]) -> tuple[dict[int, float], int]:
    """Return the sum of literals as terms and a constant; negated ones count down."""
    terms: dict[int, float] = {}
    constant = 0
    for literal in literals:
        number = literal if literal >= 0 else -literal - 1
        terms[number] = terms.get(number, 0.0) + (1 if literal >= 0 else -1)
        constant += literal < 0
    return terms, constant


def _choose_whole(week: WeekModel, effort: Effort, seconds: float) -> Choice | None:
    """Choose with CP-SAT alone."""
    solver = _solver(effort, seconds)
    # Prices of what is given up would drown a share of the objective.
    solver.parameters.relative_gap_limit = 0.0 if week.elastic else effort.gap
    if not _has_plan(solver, week.model):
        return None
    runs = {run: solver.value(x) for run, x in week.runs.items()}
    return Choice(
        runs={run: many for run, many in runs.items() if many},
        bound=float(solver.best_objective_bound),
    )


def _solver(effort: Effort, seconds: float) -> Any:
    """Return a CP-SAT solver set to repeat itself."""
    from ortools.sat.python import cp_model

    solver = cp_model.CpSolver()
    solver.parameters.num_workers = effort.workers
    solver.parameters.random_seed = SEED
    solver.parameters.linearization_level = 2
    solver.parameters.max_time_in_seconds = 4 * seconds
    solver.parameters.max_deterministic_time = seconds
    return solver


def _has_plan(solver: Any, model: Any) -> bool:
    """Solve; return whether there is a plan."""
    from ortools.sat.python import cp_model

    return solver.solve(model) in {cp_model.OPTIMAL, cp_model.FEASIBLE}
