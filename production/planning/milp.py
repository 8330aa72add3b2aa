"""A small door to HiGHS: rows, columns, bounds, and a quiet solver.

HiGHS prints a line of its own when it is made, before anything can be told to it;
descriptor 1 is turned away for that moment. One pool of two threads a process.
"""

import contextlib
import os
import sys
import time
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

import highspy  # noqa: TID253  this module owns the solver; it is imported late
import numpy as np  # noqa: TID253  as above

__all__ = ["Model", "Solved"]

THREADS = 2
INFINITY = float("inf")


@dataclass(frozen=True, slots=True, kw_only=True)
class Solved:
    """What the solver found.

    Attributes:
        status: "optimal", "gap", "time", "stopped" or "infeasible".
        objective: of the best plan.
        bound: no plan is better than this.
        values: by column number.
        duals: by row number, of the linear program with whole numbers held.
        seconds: spent.
    """

    status: str
    objective: float
    bound: float
    values: tuple[float, ...]
    duals: tuple[float, ...] = ()
    seconds: float = 0.0

    @property
    def gap(self) -> float:
        """Share by which the bound lies above the plan."""
        if self.bound == self.objective:
            return 0.0
        return (self.bound - self.objective) / max(abs(self.bound), 1e-9)


@dataclass(slots=True)
class Model:
    """A maximisation under linear rows, some columns whole."""

    costs: list[float] = field(default_factory=list)
    lower: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)
    rows: list[tuple[float, float, dict[int, float]]] = field(default_factory=list)
    constant: float = 0.0

    def column(
        self,
        *,
        worth: float = 0.0,
        least: float = 0.0,
        most: float = INFINITY,
        is_whole: bool = False,
    ) -> int:
        """Add a column; its number."""
        self.costs.append(worth)
        self.lower.append(least)
        self.upper.append(most)
        self.whole.append(is_whole)
        return len(self.costs) - 1

    def row(
        self,
        terms: Mapping[int, float],
        *,
        least: float = -INFINITY,
        most: float = INFINITY,
    ) -> int:
        """Add a row; its number."""
        self.rows.append(
            (least, most, {key: value for key, value in terms.items() if value})
        )
        return len(self.rows) - 1

    def solve(
        self,
        *,
        gap: float,
        seconds: float,
        tell: Callable[[float, float, float], bool] | None = None,
    ) -> Solved:
        """Search for the best plan.

        Args:
            gap: stop when the plan is this close to the bound, as a share.
            seconds: stop after so long and keep the best so far.
            tell: told (seconds, plan, bound) now and then; True stops the search.

        Returns:
            The best plan, or "infeasible" without values.
        """
        began = time.monotonic()
        solver = _quiet_solver()
        solver.setOptionValue("mip_rel_gap", gap)
        solver.setOptionValue("time_limit", seconds)
        solver.passModel(self._problem())
        if tell is not None:
            _listen(solver, tell)
        solver.run()
        return self._read(solver, time.monotonic() - began)

    def relaxed(self) -> float:
        """Optimum when every column may be a fraction."""
        solver = _quiet_solver()
        problem = self._problem()
        problem.integrality_ = []
        solver.passModel(problem)
        solver.run()
        return float(solver.getInfo().objective_function_value)

    def held_duals(self, values: tuple[float, ...]) -> tuple[float, ...]:
        """What one more unit of each row is worth while whole numbers stay as they are."""
        solver = _quiet_solver()
        problem = self._problem()
        problem.integrality_ = []
        lower, upper = list(self.lower), list(self.upper)
        for number, is_whole in enumerate(self.whole):
            if is_whole:
                lower[number] = upper[number] = float(round(values[number]))
        problem.col_lower_, problem.col_upper_ = lower, upper
        solver.passModel(problem)
        solver.run()
        return tuple(solver.getSolution().row_dual)

    def _problem(self) -> Any:
        problem = highspy.HighsLp()
        problem.num_col_, problem.num_row_ = len(self.costs), len(self.rows)
        problem.sense_ = highspy.ObjSense.kMaximize
        problem.offset_ = self.constant
        problem.col_cost_ = np.array(self.costs)
        problem.col_lower_ = np.array(self.lower)
        problem.col_upper_ = np.array(self.upper)
        problem.row_lower_ = np.array([least for least, _, _ in self.rows])
        problem.row_upper_ = np.array([most for _, most, _ in self.rows])
        starts, index, value = [0], [], []
        for _, _, terms in self.rows:
            index += list(terms)
            value += list(terms.values())
            starts.append(len(index))
        problem.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        problem.a_matrix_.start_ = np.array(starts)
        problem.a_matrix_.index_ = np.array(index)
        problem.a_matrix_.value_ = np.array(value, dtype=float)
        kinds = highspy.HighsVarType
        problem.integrality_ = [
            kinds.kInteger if is_whole else kinds.kContinuous for is_whole in self.whole
        ]
        return problem

    def _read(self, solver: Any, seconds: float) -> Solved:
        status = solver.getModelStatus()
        kinds = highspy.HighsModelStatus
        info = solver.getInfo()
        has_plan = info.primal_solution_status == 2
        if not has_plan:
            return Solved(
                status="infeasible" if status != kinds.kTimeLimit else "time",
                objective=-INFINITY,
                bound=INFINITY,
                values=(),
                seconds=seconds,
            )
        names = {kinds.kOptimal: "optimal", kinds.kTimeLimit: "time"}
        objective = float(info.objective_function_value)
        bound = float(info.mip_dual_bound) if any(self.whole) else objective
        word = names.get(status, "stopped")
        if word == "optimal" and bound - objective > 1e-6 * max(1.0, abs(bound)):
            word = "gap"
        return Solved(
            status=word,
            objective=objective,
            bound=max(bound, objective),
            values=tuple(solver.getSolution().col_value),
            seconds=seconds,
        )


def _listen(solver: Any, tell: Callable[[float, float, float], bool]) -> None:
    def heard(event: Any) -> None:
        data = event.data_out
        if tell(data.running_time, data.mip_primal_bound, data.mip_dual_bound):
            event.data_in.user_interrupt = True

    solver.cbMipInterrupt.subscribe(heard)


def _quiet_solver() -> Any:
    with _turned_away():
        solver = highspy.Highs()  # type: ignore[no-untyped-call] # untyped there
        solver.silent()
    solver.setOptionValue("threads", THREADS)
    solver.setOptionValue("random_seed", 1)
    return solver


@contextlib.contextmanager
def _turned_away() -> Iterator[None]:
    """Send what is written to descriptor 1 nowhere for a moment."""
    sys.stdout.flush()
    kept = os.dup(1)
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 1)
        yield
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)
