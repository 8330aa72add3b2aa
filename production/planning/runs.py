"""The days a batch can lie on.

A run gives each part of a batch its day so that every stand can be kept
within the kitchen's hours. Exact minutes are set later; a run is listed when
some minutes could keep it.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from production.planning.kitchen import DAY_MIN, KitchenDay, Part
from production.planning.week_problem import Candidate, WeekProblem

__all__ = ["LIGHT_DAYS", "Run", "runs_of", "window"]

LIGHT_DAYS = 2
"""How many of the earliest days for seal check and labels may be offered."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """Days of one batch.

    Attributes:
        days: number of each part's day; ``None``: a light part after the week.
    """

    candidate: str
    days: tuple[int | None, ...]

    @property
    def first_day(self) -> int:
        """Number of the day it is begun."""
        return self.days[0] or 0

    @property
    def ready_day(self) -> int | None:
        """Number of the day its last part is done, or ``None`` after the week."""
        return self.days[-1]

    def nights(self, parts: tuple[Part, ...]) -> Iterator[int]:
        """Yield the days after which one of its vessels stands overnight."""
        for n, part in enumerate(parts):
            begun, done = self.days[n - 1] if n else None, self.days[n]
            if part.vessel and begun is not None and done is not None:
                yield from range(begun, done)


def window(day: KitchenDay, number: int, part: Part) -> tuple[int, int]:
    """Return the minutes within which a part may lie on a day."""
    start = number * DAY_MIN
    if part.light:
        return start + day.light_opens_min, start + day.light_closes_min
    return start + day.opens_min, start + day.closes_min


def runs_of(
    problem: WeekProblem,
    candidate: Candidate,
    *,
    late_min: int = 0,
    light_days: int = LIGHT_DAYS,
) -> tuple[Run, ...]:
    """Return every run of a candidate in the week, earliest days first.

    Args:
        problem: the week.
        candidate: the batch.
        late_min: minutes by which open days may run late.
        light_days: how many of the earliest days for light work are offered.
    """
    hours = tuple(d.longer(late_min) if d.minutes else d for d in problem.days)
    return tuple(
        Run(candidate=candidate.key, days=days)
        for days in _days(hours, candidate.parts, light_days, (), None)
    )


def _days(
    hours: tuple[KitchenDay, ...],
    parts: tuple[Part, ...],
    light_days: int,
    chosen: tuple[int | None, ...],
    ended: tuple[int, int] | None,
) -> Iterator[tuple[int | None, ...]]:
    """Yield the completions of the days chosen so far.

    ``ended`` is the earliest and latest minute the part before may have ended.
    """
    if len(chosen) == len(parts):
        yield chosen
        return
    part = parts[len(chosen)]
    offered = 0
    for number, day in enumerate(hours):
        begins = _begins(day, number, part, ended)
        if begins is None:
            continue
        ends = (begins[0] + part.length_min, window(day, number, part)[1])
        yield from _days(hours, parts, light_days, (*chosen, number), ends)
        offered += 1
        if part.light and offered == light_days:
            return
    if part.light and offered < light_days and chosen:
        yield (*chosen, None)


def _begins(
    day: KitchenDay, number: int, part: Part, ended: tuple[int, int] | None
) -> tuple[int, int] | None:
    """Return the earliest and latest minute a part may begin on a day."""
    opens, closes = window(day, number, part)
    earliest = max(opens, part.begins_after_min)
    latest = closes - part.length_min
    if part.begins_before_min is not None:
        latest = min(latest, part.begins_before_min)
    if ended is not None:
        earliest = max(earliest, ended[0] + part.rest_min_h * 60)
        if part.rest_max_h is not None:
            latest = min(latest, ended[1] + part.rest_max_h * 60)
    return (earliest, latest) if earliest <= latest else None
