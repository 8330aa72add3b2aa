"""The timetable as lines for a page, a picture and a calendar.

Small pieces of the same step that follow one another are one line.
"""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, replace

from production.planning.kitchen import DAY_MIN
from production.planning.week_problem import Slot, WeekPlan, WeekProblem

__all__ = ["DayLine", "DaySheet", "day_sheets"]


@dataclass(frozen=True, slots=True, kw_only=True)
class DayLine:
    """One line of a day's sheet; minutes from that day's midnight.

    Attributes:
        batch: number among the batches of its candidate.
        hands_until_min: until when a cook is at it.
        station: "pot", "canner" or "".
    """

    candidate: str
    batch: int
    label: str
    begins_min: int
    hands_until_min: int
    ends_min: int
    station: str

    @property
    def begins_at(self) -> dt.time:
        """Clock time it begins."""
        return clock(self.begins_min)

    @property
    def ends_at(self) -> dt.time:
        """Clock time it ends."""
        return clock(self.ends_min)

    @property
    def hands_min(self) -> int:
        """Minutes a cook is at it."""
        return self.hands_until_min - self.begins_min

    @property
    def idle_min(self) -> int:
        """Minutes it goes by itself."""
        return self.ends_min - self.hands_until_min


@dataclass(frozen=True, slots=True, kw_only=True)
class DaySheet:
    """What one day asks of the kitchen, by time."""

    on: dt.date
    lines: tuple[DayLine, ...]

    @property
    def hands_min(self) -> int:
        """Minutes of hands, all lines together."""
        return sum(line.hands_min for line in self.lines)


def clock(minutes: int) -> dt.time:
    """Return minutes after midnight as a clock time; the next day's wrap."""
    return dt.time(minutes // 60 % 24, minutes % 60)


def day_sheets(problem: WeekProblem, plan: WeekPlan) -> tuple[DaySheet, ...]:
    """Return the days with something to do, in order."""
    by_day: dict[int, list[Slot]] = {}
    numbers = {(b.candidate, b.number): b for b in plan.batches}
    for slot in plan.slots:
        day = numbers[slot.candidate, slot.number].days[slot.part]
        if day is not None:
            by_day.setdefault(day, []).append(slot)
    return tuple(
        DaySheet(on=problem.days[day].on, lines=_lines(problem, day, by_day[day]))
        for day in sorted(by_day)
    )


def _lines(
    problem: WeekProblem, day: int, slots: Iterable[Slot]
) -> tuple[DayLine, ...]:
    """Return a day's slots as lines, neighbours of one step joined."""
    lines: dict[tuple[str, int], list[DayLine]] = {}
    for slot in slots:
        task = problem.candidate(slot.candidate).parts[slot.part].tasks[slot.task]
        line = DayLine(
            candidate=slot.candidate,
            batch=slot.number,
            label=slot.label,
            begins_min=slot.begins_min - day * DAY_MIN,
            hands_until_min=slot.hands_until_min - day * DAY_MIN,
            ends_min=slot.ends_min - day * DAY_MIN,
            station="canner" if task.canners else "pot" if task.pot else "",
        )
        mine = lines.setdefault((slot.candidate, slot.number), [])
        last = mine[-1] if mine else None
        if (
            last
            and last.label == line.label
            and last.hands_until_min == line.begins_min
        ):
            mine[-1] = replace(
                last, hands_until_min=line.hands_until_min, ends_min=line.ends_min
            )
        else:
            mine.append(line)
    joined = [line for mine in lines.values() for line in mine]
    return tuple(sorted(joined, key=lambda x: (x.begins_min, x.candidate, x.batch)))
