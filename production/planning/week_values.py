"""The week's program while it is being written, and its units of money."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from production.planning.runs import Run
from production.planning.week_problem import PlannedBatch, WeekProblem

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

__all__ = ["MONEY", "WeekModel", "units"]

MONEY = 10_000


@dataclass
class WeekModel:
    """The program and the variables an answer is read from.

    Attributes:
        elastic, light_days: as asked for.
        runs: batches of each run.
        taken: (product, market) -> jars.
        kept: product -> jars left at the end.
        bought: (material, offer's place, day number) -> packs.
        terms: the objective's parts, name -> expression.
        slack: what may be given up, in the order of rising price: (sentence's
            key, what, variable, price in objective units).
        loose: indexes of the variables that are whole of themselves once the runs are.
    """

    model: "cp_model.CpModel"
    problem: WeekProblem
    elastic: bool
    light_days: int
    runs: dict[Run, Any] = field(default_factory=dict)
    taken: dict[tuple[str, str], Any] = field(default_factory=dict)
    kept: dict[str, Any] = field(default_factory=dict)
    bought: dict[tuple[str, int, int], Any] = field(default_factory=dict)
    used: dict[str, Any] = field(default_factory=dict)
    earned: dict[str, Any] = field(default_factory=dict)
    terms: dict[str, Any] = field(default_factory=dict)
    slack: list[tuple[str, Any, Any, int]] = field(default_factory=list)
    overtime: dict[int, Any] = field(default_factory=dict)
    loose: set[int] = field(default_factory=set)
    at_least: dict[tuple[str, int, int], Any] = field(default_factory=dict)

    def batches(self, key: str) -> Any:
        """Return the number of batches of a candidate."""
        return sum(x for run, x in self.runs.items() if run.candidate == key)

    def on_day(self, key: str, day: int) -> Any:
        """Return the batches of a candidate with a part on a day."""
        return sum(
            x
            for run, x in self.runs.items()
            if run.candidate == key and day in run.days
        )

    def forbid(self, batches: Sequence[PlannedBatch], days: Iterable[int]) -> None:
        """Rule out so many batches of these candidates together on a day.

        What does not fit on one day does not fit with more work on it, nor on
        any of the ``days`` given, which are no roomier.
        """
        for day in days:
            literals = []
            for key, many in Counter(batch.candidate for batch in batches).items():
                literals.append(self._reached(key, day, many).negated())
            self.model.add_bool_or(literals)

    def forbid_together(self, batches: Sequence[PlannedBatch]) -> None:
        """Rule out exactly these batches on exactly these days, or more."""
        literals = []
        for (key, days), many in Counter(
            (batch.candidate, batch.days) for batch in batches
        ).items():
            run = Run(candidate=key, days=days)
            reached = self.model.new_bool_var(f"{key}{days}>={many}")
            self.model.add(self.runs[run] <= many - 1).only_enforce_if(
                reached.negated()
            )
            literals.append(reached.negated())
        self.model.add_bool_or(literals)

    def _reached(self, key: str, day: int, many: int) -> Any:
        """Return the literal "at least so many batches of it on this day"."""
        known = self.at_least.get((key, day, many))
        if known is None:
            known = self.model.new_bool_var(f"{key}@{day}>={many}")
            self.model.add(self.on_day(key, day) <= many - 1).only_enforce_if(
                known.negated()
            )
            self.at_least[key, day, many] = known
        return known


def units(money: Decimal) -> int:
    """Return money in the objective's units."""
    return int((money * MONEY).to_integral_value())
