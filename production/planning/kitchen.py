"""The kitchen as a plan sees it: hours, stations, and the work of one batch.

Times are whole minutes from midnight of the plan's first day.
"""

import datetime as dt
from dataclasses import dataclass, replace

from inventory.words import say

__all__ = [
    "DAY_MIN",
    "Equipment",
    "KitchenDay",
    "Part",
    "PlanningError",
    "Task",
]

DAY_MIN = 24 * 60


class PlanningError(ValueError):
    """A plan was asked for with figures that cannot be."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One piece of work: hands first, then by itself.

    Attributes:
        label: what is done.
        hands_min: minutes a cook is at it.
        idle_min: minutes it then goes by itself.
        pot: a pot is in use.
        burner: a burner is in use (a canner brings its own).
        canners: canners in use.
        wait_max_min: longest wait since the task before; ``None`` for any.
    """

    label: str
    hands_min: int = 0
    idle_min: int = 0
    pot: bool = False
    burner: bool = False
    canners: int = 0
    wait_max_min: int | None = None

    def __post_init__(self) -> None:
        if self.hands_min < 0 or self.idle_min < 0 or self.length_min == 0:
            raise PlanningError(
                say('the step "{label}" takes no time', label=self.label)
            )

    @property
    def length_min(self) -> int:
        """Minutes from beginning to end."""
        return self.hands_min + self.idle_min

    @property
    def burners(self) -> int:
        """Burners in use: one for a pot on the boil, one for each canner."""
        return int(self.burner) + self.canners


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """The work of one batch on one day.

    Attributes:
        tasks: in their order.
        rest_min_h: hours since the part before, at least (an overnight stand,
            cooling).
        rest_max_h: at most, or ``None`` without end.
        vessel: a vessel is taken during that rest.
        light: needs no stove: seal check and labels, in the light hours.
        begins_after_min: not before this minute (rest of a batch begun).
        begins_before_min: not after this minute, or ``None``.
    """

    tasks: tuple[Task, ...]
    rest_min_h: int = 0
    rest_max_h: int | None = None
    vessel: bool = False
    light: bool = False
    begins_after_min: int = 0
    begins_before_min: int | None = None

    def __post_init__(self) -> None:
        if not self.tasks:
            raise PlanningError(say("a day's work has no steps"))
        if self.rest_max_h is not None and self.rest_max_h < self.rest_min_h:
            raise PlanningError(
                say(
                    "a stand of at least {rest_min_h} h and at most {rest_max_h} h has "
                    "no length",
                    rest_min_h=self.rest_min_h,
                    rest_max_h=self.rest_max_h,
                )
            )

    @property
    def hands_min(self) -> int:
        """Minutes a cook is at it."""
        return sum(task.hands_min for task in self.tasks)

    @property
    def length_min(self) -> int:
        """Minutes it takes without waiting."""
        return sum(task.length_min for task in self.tasks)

    @property
    def pot_min(self) -> int:
        """Least minutes a pot is held, from its first use to its last."""
        uses = [n for n, task in enumerate(self.tasks) if task.pot]
        if not uses:
            return 0
        return sum(task.length_min for task in self.tasks[uses[0] : uses[-1] + 1])

    @property
    def burner_min(self) -> int:
        """Burner minutes."""
        return sum(task.length_min * task.burners for task in self.tasks)

    @property
    def canner_min(self) -> int:
        """Canner minutes."""
        return sum(task.length_min * task.canners for task in self.tasks)

    @property
    def loads(self) -> int:
        """Canner loads."""
        return sum(task.canners for task in self.tasks)

    @property
    def head_min(self) -> int:
        """Minutes before the canner can first be used."""
        minutes = 0
        for task in self.tasks:
            if task.canners:
                break
            minutes += task.length_min
        return minutes

    @property
    def tail_min(self) -> int:
        """Minutes from the last time it goes by itself until its end."""
        minutes = 0
        for task in reversed(self.tasks):
            if task.idle_min:
                return minutes + task.idle_min
            minutes += task.length_min
        return 0

    @property
    def early_hands_min(self) -> int:
        """Minutes of hands before that tail."""
        early, late = 0, 0
        for task in self.tasks:
            late += task.hands_min
            if task.idle_min:
                early += late
                late = 0
        return early

    @property
    def after_canner_min(self) -> int:
        """Minutes between its last use of the canner and its end."""
        minutes = 0
        for task in reversed(self.tasks):
            if task.canners:
                break
            minutes += task.length_min
        return minutes


@dataclass(frozen=True, slots=True, kw_only=True)
class Equipment:
    """What the kitchen has of each thing.

    Attributes:
        vessels: how many may stand overnight.
    """

    cooks: int = 1
    pots: int = 2
    burners: int = 4
    canners: int = 1
    vessels: int = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class KitchenDay:
    """One day's free hours.

    Attributes:
        opens_min: minutes after midnight the stove is free from.
        closes_min: until when; the same as ``opens_min`` on a closed day.
        away: from minute to minute in between, when the stove is not free and
            nobody is there: nothing may be on it; ``None`` without a pause.
        spare_min: minutes at the stove left unplanned: kitchens run late, and
            hands and canner never mesh to the minute.
        loads: most canner loads, or ``None`` for as many as fit.
        light_opens_min: light work (seal checks, labels) from.
        light_closes_min: until.
        light_min: most minutes of light work.
    """

    on: dt.date
    opens_min: int = 0
    closes_min: int = 0
    away: tuple[int, int] | None = None
    spare_min: int = 0
    loads: int | None = None
    light_opens_min: int = 8 * 60
    light_closes_min: int = 20 * 60
    light_min: int = 120

    def __post_init__(self) -> None:
        if not 0 <= self.opens_min <= self.closes_min <= 2 * DAY_MIN:
            raise PlanningError(
                say(
                    "{on}: kitchen hours from minute {opens_min} to {closes_min} do "
                    "not follow one another",
                    on=self.on,
                    opens_min=self.opens_min,
                    closes_min=self.closes_min,
                )
            )
        if self.away and not (
            self.opens_min < self.away[0] < self.away[1] < self.closes_min
        ):
            raise PlanningError(
                say(
                    "{on}: the pause from minute {begins} to {ends} does not lie within "
                    "the kitchen's hours",
                    on=self.on,
                    begins=self.away[0],
                    ends=self.away[1],
                )
            )

    @property
    def minutes(self) -> int:
        """Minutes the stove is free, a pause taken off."""
        pause = self.away[1] - self.away[0] if self.away else 0
        return self.closes_min - self.opens_min - pause

    @property
    def plan_min(self) -> int:
        """Minutes at the stove that may be planned for."""
        return max(self.minutes - self.spare_min, 0)

    def longer(self, minutes: int) -> "KitchenDay":
        """Return the day with its hours lengthened at the end."""
        return replace(self, closes_min=self.closes_min + minutes)
