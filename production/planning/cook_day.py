"""The minutes of the cook days: who does what when, at which station.

The batches and their days are given; this module sets the minutes with
interval constraints (CP-SAT): each cook does one thing at a time, a pot is
held from its first use to its last, burners and canners are counted, what
simmers by itself runs beside other work, stands and cooling keep their
limits, what is made to be cooked with is done before it is used on the same
day, and everything lies within the kitchen's hours. Among the timetables
that fit it takes one that ends early.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from production.planning.kitchen import DAY_MIN, Equipment, KitchenDay, Part
from production.planning.runs import window
from production.planning.week_problem import PlannedBatch, Slot, WeekProblem

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

__all__ = ["fits", "timetable"]

SEED = 11


@dataclass(frozen=True)
class _Use:
    """Something in use for a while: interval and how many of it."""

    interval: "cp_model.IntervalVar"
    count: int


@dataclass
class _Sheet:
    """The model while it is being written."""

    model: "cp_model.CpModel"
    problem: WeekProblem
    uses: dict[str, list[_Use]] = field(default_factory=dict)
    starts: dict[tuple[str, int, int, int], Any] = field(default_factory=dict)
    ends: dict[int, list[Any]] = field(default_factory=dict)
    spans: dict[tuple[str, int, int], tuple[Any, Any]] = field(default_factory=dict)

    def use(
        self, station: str, begins: Any, length: Any, ends: Any, count: int
    ) -> None:
        """Note a use of a station."""
        if count and not (isinstance(length, int) and length == 0):
            name = f"{station}{len(self.uses.get(station, ()))}"
            interval = self.model.new_interval_var(begins, length, ends, name)
            self.uses.setdefault(station, []).append(_Use(interval, count))


def timetable(
    problem: WeekProblem,
    batches: Sequence[PlannedBatch],
    *,
    days: tuple[KitchenDay, ...] | None = None,
    effort: float = 0.01,
) -> tuple[Slot, ...] | None:
    """Return the minutes of every task, or ``None`` where they do not fit.

    Args:
        problem: the week, for its hours, equipment and candidates.
        batches: what is made and on which days.
        days: hours to use in place of the problem's (longer ones).
        effort: solver's deterministic time for ending each day early.

    Returns:
        The slots by time. The same question gets the same answer.
    """
    sheet = _sheet(problem, batches, days or problem.days)
    if sheet is None:
        return None
    found = _solved(sheet, sheet.model, 1.0)
    if found is None:
        return None
    for number in sorted(sheet.ends):
        found = _earlier(sheet, found, number, effort) or found
    return _slots(problem, found)


def _earlier(
    sheet: _Sheet,
    found: dict[tuple[str, int, int, int], int],
    number: int,
    effort: float,
) -> dict[tuple[str, int, int, int], int] | None:
    """Let one day end early, and its work begin early, the other days as they are."""
    model = sheet.model.clone()
    opens = number * DAY_MIN
    today = []
    for key, start in sheet.starts.items():
        if opens <= found[key] < opens + DAY_MIN:
            model.add_hint(start, found[key])
            today.append(start - opens)
        else:
            model.add(start == found[key])
    day_end = model.new_int_var(0, 10**6, "end")
    model.add_max_equality(day_end, sheet.ends[number])
    model.minimize(20 * (day_end - opens) + sum(today))
    return _solved(sheet, model, effort)


def fits(
    problem: WeekProblem,
    batches: Sequence[PlannedBatch],
    *,
    days: tuple[KitchenDay, ...] | None = None,
) -> bool:
    """Return whether some timetable holds these batches."""
    sheet = _sheet(problem, batches, days or problem.days)
    return sheet is not None and _solved(sheet, sheet.model, 0.3) is not None


def _sheet(
    problem: WeekProblem,
    batches: Sequence[PlannedBatch],
    hours: tuple[KitchenDay, ...],
) -> _Sheet | None:
    """Return the model of these batches, or ``None`` where a day is too short."""
    from ortools.sat.python import cp_model

    sheet = _Sheet(cp_model.CpModel(), problem)
    for batch in batches:
        parts = problem.candidate(batch.candidate).parts
        for part, number in zip(parts, batch.days, strict=True):
            if number is not None:
                opens, closes = window(hours[number], number, part)
                if part.length_min > closes - opens:
                    return None
        _write(sheet, hours, batch)
    _share(sheet, problem.equipment)
    _make_before_use(sheet, batches)
    _order_twins(sheet, batches)
    return sheet


def _solved(
    sheet: _Sheet, model: "cp_model.CpModel", effort: float
) -> dict[tuple[str, int, int, int], int] | None:
    """Return the minute each task begins, or ``None``."""
    from ortools.sat.python import cp_model

    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = SEED
    solver.parameters.max_deterministic_time = effort
    solver.parameters.relative_gap_limit = 0.002
    if solver.solve(model) not in {cp_model.OPTIMAL, cp_model.FEASIBLE}:
        return None
    return {key: solver.value(start) for key, start in sheet.starts.items()}


def _write(sheet: _Sheet, hours: tuple[KitchenDay, ...], batch: PlannedBatch) -> None:
    """Write one batch's tasks into the model."""
    candidate = sheet.problem.candidate(batch.candidate)
    before: Any = None
    for n, (part, number) in enumerate(zip(candidate.parts, batch.days, strict=True)):
        if number is None:
            before = None
            continue
        key = (batch.candidate, batch.number, n)
        begins, ends = _write_part(
            sheet, key, part, window(hours[number], number, part)
        )
        if not part.light:
            _keep_away(sheet, key, part, hours[number].away, number * DAY_MIN)
        sheet.spans[key] = (begins, ends)
        if not part.light:
            sheet.ends.setdefault(number, []).append(ends)
        if before is not None:
            sheet.model.add(begins >= before + part.rest_min_h * 60)
            if part.rest_max_h is not None:
                sheet.model.add(begins <= before + part.rest_max_h * 60)
        sheet.model.add(begins >= part.begins_after_min)
        if part.begins_before_min is not None:
            sheet.model.add(begins <= part.begins_before_min)
        before = ends


def _keep_away(
    sheet: _Sheet,
    key: tuple[str, int, int],
    part: Part,
    away: tuple[int, int] | None,
    midnight: int,
) -> None:
    """Let no task of a part run while nobody is in the kitchen."""
    if away is None:
        return
    for n, task in enumerate(part.tasks):
        start = sheet.starts[(*key, n)]
        is_before = sheet.model.new_bool_var(f"{key}{n} before")
        sheet.model.add(start + task.length_min <= midnight + away[0]).only_enforce_if(
            is_before
        )
        sheet.model.add(start >= midnight + away[1]).only_enforce_if(
            is_before.negated()
        )


def _write_part(
    sheet: _Sheet, key: tuple[str, int, int], part: Part, hours: tuple[int, int]
) -> tuple[Any, Any]:
    """Write the tasks of one part; return its beginning and its end."""
    model, opens, closes = sheet.model, *hours
    begins, before, pot_from, pot_until = None, None, None, None
    for n, task in enumerate(part.tasks):
        start = model.new_int_var(opens, closes - task.length_min, f"{key}{n}")
        sheet.starts[(*key, n)] = start
        end = start + task.length_min
        if before is not None:
            model.add(start >= before)
            if task.wait_max_min is not None:
                model.add(start <= before + task.wait_max_min)
        begins = start if begins is None else begins
        if task.pot:
            pot_from = start if pot_from is None else pot_from
            pot_until = end
        sheet.use("cooks", start, task.hands_min, start + task.hands_min, 1)
        sheet.use("burners", start, task.length_min, end, task.burners)
        sheet.use("canners", start, task.length_min, end, task.canners)
        before = end
    if pot_from is not None:
        held = model.new_int_var(part.pot_min, closes - opens, f"{key}pot")
        sheet.use("pots", pot_from, held, pot_until, 1)
    return begins, before


def _share(sheet: _Sheet, equipment: Equipment) -> None:
    """Let no more of anything be in use than there is."""
    for station, uses in sheet.uses.items():
        limit = getattr(equipment, station)
        if limit == 1 and all(use.count == 1 for use in uses):
            sheet.model.add_no_overlap([use.interval for use in uses])
        else:
            sheet.model.add_cumulative(
                [use.interval for use in uses], [use.count for use in uses], limit
            )


def _make_before_use(sheet: _Sheet, batches: Sequence[PlannedBatch]) -> None:
    """Let what is made of a material be done before it is used on the same day."""
    for maker in batches:
        made, day = sheet.problem.candidate(maker.candidate).makes, maker.days[-1]
        if made is None or day is None:
            continue
        done = sheet.spans[maker.candidate, maker.number, len(maker.days) - 1][1]
        for user in batches:
            for need in sheet.problem.candidate(user.candidate).needs:
                if need.material == made.material and user.days[need.part] == day:
                    key = (user.candidate, user.number, need.part)
                    sheet.model.add(sheet.spans[key][0] >= done)


def _order_twins(sheet: _Sheet, batches: Sequence[PlannedBatch]) -> None:
    """Let of two alike batches on the same days the first begin first."""
    for one in batches:
        for other in batches:
            alike = (one.candidate, one.days) == (other.candidate, other.days)
            if alike and other.number == one.number + 1:
                part = next(n for n, day in enumerate(one.days) if day is not None)
                first = sheet.starts[one.candidate, one.number, part, 0]
                second = sheet.starts[other.candidate, other.number, part, 0]
                sheet.model.add(first <= second)


def _slots(
    problem: WeekProblem, found: dict[tuple[str, int, int, int], int]
) -> tuple[Slot, ...]:
    """Return the solved minutes as slots, by time."""
    slots = []
    for (key, number, part, n), begins in found.items():
        task = problem.candidate(key).parts[part].tasks[n]
        slots.append(
            Slot(
                candidate=key,
                number=number,
                part=part,
                task=n,
                label=task.label,
                begins_min=begins,
                hands_until_min=begins + task.hands_min,
                ends_min=begins + task.length_min,
            )
        )
    return tuple(
        sorted(slots, key=lambda s: (s.begins_min, s.candidate, s.number, s.task))
    )
