"""A recipe's steps as the work of its days.

Preparing can be put down and taken up again, so it is laid in short pieces;
what boils is not interrupted. Each canner load is filled just before it goes
in and lifted out after. Wiping, seal check and labels follow when the jars
have cooled, away from the stove.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from inventory.sourced import Kind, Sourced, Status
from inventory.words import say
from production.planning.kitchen import Part, Task

__all__ = ["COOLING_H", "Step", "parts_of"]

COOLING_H = Sourced(
    value=Decimal(12),
    unit="h",
    kind=Kind.CONVENTION,
    source="USDA, Complete Guide to Home Canning, Agriculture Information Bulletin 539",
    section="Testing jar seals: after cooling 12 to 24 hours",
    edition="rev. 2015",
    status=Status.SECONDARY,
)
PIECE_MIN = 10
FILL_WAIT_MIN = 60
CANNER_WAIT_MIN = 15
LIFT_WAIT_MIN = 30


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of a recipe.

    Attributes:
        kind: "prepare", "cook", "stand", "fill", "process" or "cool".
        day: days after the first.
        pot: it needs a pot on a burner.
        stand_min_h: hours it stands at least; ``stand_max_h`` at most, 0 for
            no limit.
    """

    kind: str
    day: int = 0
    hands_min: int = 0
    idle_min: int = 0
    pot: bool = False
    stand_min_h: int = 0
    stand_max_h: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Filling:
    """Jars and canner of a batch."""

    jars: int
    places: int
    load_min: int


def parts_of(
    steps: Sequence[Step], *, jars: int, places: int, load_min: int
) -> tuple[Part, ...]:
    """Return the work of a batch, day by day.

    Args:
        steps: in recipe order.
        jars: jars it fills.
        places: jars a canner load holds.
        load_min: minutes a load takes where the recipe does not say, heating
            included.
    """
    filling = _Filling(jars=jars, places=max(places, 1), load_min=load_min)
    stove = [step for step in steps if step.kind != "cool"]
    days = sorted({step.day for step in stove})
    parts: list[Part] = []
    for day in days:
        tasks = _tasks([step for step in stove if step.day == day], filling)
        if not tasks:
            continue
        stand = _stand_before(stove, day) if parts else None
        parts.append(
            Part(
                tasks=tuple(tasks),
                rest_min_h=stand.stand_min_h if stand else 0,
                rest_max_h=(stand.stand_max_h or None) if stand else None,
                vessel=stand is not None,
            )
        )
    after = sum(step.hands_min for step in steps if step.kind == "cool")
    if parts and after:
        work = Task(label=say("wipe, check seals, label"), hands_min=after)
        cooling = int(COOLING_H.value)
        parts.append(Part(tasks=(work,), rest_min_h=cooling, light=True))
    return tuple(parts)


def _stand_before(steps: Sequence[Step], day: int) -> Step | None:
    """Return the stand that lies between a day and the one before."""
    stands = [s for s in steps if s.kind == "stand" and s.stand_min_h and s.day <= day]
    return stands[-1] if stands else None


def _tasks(steps: Sequence[Step], filling: _Filling) -> list[Task]:
    """Return one day's tasks."""
    tasks: list[Task] = []
    for step in steps:
        if step.kind == "prepare" and not step.pot and not step.idle_min:
            tasks += _pieces(step)
        elif step.kind in {"fill", "process"}:
            continue
        elif step.hands_min + step.idle_min:
            tasks.append(
                Task(
                    label=step.kind
                    if step.kind != "stand"
                    else say("set aside to stand"),
                    hands_min=step.hands_min,
                    idle_min=step.idle_min,
                    pot=step.pot,
                    burner=step.pot,
                    wait_max_min=FILL_WAIT_MIN if tasks and tasks[-1].pot else None,
                )
            )
    return tasks + _loads(steps, filling)


def _pieces(step: Step) -> list[Task]:
    """Return preparing as pieces of about ten minutes."""
    count = math.ceil(step.hands_min / PIECE_MIN)
    sizes = [step.hands_min * (n + 1) // count for n in range(count)]
    return [
        Task(label=say("prepare"), hands_min=size - before)
        for before, size in zip([0, *sizes], sizes, strict=False)
    ]


def _loads(steps: Sequence[Step], filling: _Filling) -> list[Task]:
    """Return filling and canner, load by load."""
    fill = sum(step.hands_min for step in steps if step.kind == "fill")
    process = [step for step in steps if step.kind == "process"]
    idle = sum(step.idle_min for step in process) or (
        filling.load_min if process else 0
    )
    lift = sum(step.hands_min for step in process)
    if not idle:
        return [Task(label=say("fill"), hands_min=fill, pot=True)] if fill else []
    tasks: list[Task] = []
    count = max(math.ceil(filling.jars / filling.places), 1)
    for n in range(count):
        share = fill * (n + 1) // count - fill * n // count
        if share:
            label = (
                say("fill") if count == 1 else say("fill load {number}", number=n + 1)
            )
            tasks.append(
                Task(label=label, hands_min=share, pot=True, wait_max_min=FILL_WAIT_MIN)
            )
        tasks.append(
            Task(
                label=say("in the canner"),
                idle_min=idle,
                canners=1,
                wait_max_min=CANNER_WAIT_MIN,
            )
        )
    if lift:
        tasks.append(
            Task(label=say("lift out"), hands_min=lift, wait_max_min=LIFT_WAIT_MIN)
        )
    return tasks
