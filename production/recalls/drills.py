"""The mock recall: a batch drawn by chance, found against the clock.

Source of the exercises and the scores: FDA guidance "Initiation of Voluntary
Recalls" (2022) suggests mock recalls with metrics of one's own; at least one in
twelve months is asked for by a state audit form (Florida, FDACS 07085); four hours
and near-complete accounting are common practice of private audits (from memory).
"""

import random
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import datetime
from decimal import Decimal

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from inventory.models import Movement
from inventory.words import say, to_say
from production.models import Batch, MockRecall
from production.selectors import tracing
from production.trace_answer import TraceAnswer, balance_data, count_text

__all__ = [
    "DrillError",
    "DrillFigures",
    "draw_batch",
    "finish_drill",
    "run_by_book",
    "start_drill",
]


class DrillError(ValueError):
    """A drill cannot be started or finished."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DrillFigures:
    """What the maker found, in jars, and how far it was traced.

    Attributes:
        on_shelf: counted at home.
        at_outlets: at shops and stalls, asked for or counted.
        sold: sold, from the book or the market notes.
        other: sampled, given away, written off, cooked again.
        lots_found: lots that went in, told from the records.
        outlets_reached: shops really rung during the drill.
    """

    on_shelf: int = 0
    at_outlets: int = 0
    sold: int = 0
    other: int = 0
    lots_found: int = 0
    outlets_reached: int = 0

    @property
    def found(self) -> int:
        """Jars found altogether."""
        return self.on_shelf + self.at_outlets + self.sold + self.other


def draw_batch(*, chance: random.Random | None = None) -> Batch:
    """Draw a released batch by chance.

    Raises:
        DrillError: no batch has been released yet.
    """
    numbers = list(
        Batch.objects.filter(
            status=Batch.Status.RELEASED, outputs__lot__product__isnull=False
        )
        .order_by("pk")
        .distinct()
        .values_list("pk", flat=True)
    )
    if not numbers:
        raise DrillError(say("no batch is released yet; a drill needs one"))
    return Batch.objects.get(pk=(chance or random.SystemRandom()).choice(numbers))


@transaction.atomic
def start_drill(*, batch: Batch, at: datetime, person: User | None) -> MockRecall:
    """Start the clock on a batch.

    Raises:
        DrillError: another drill is still running.
    """
    running = MockRecall.objects.filter(finished_at=None).first()
    if running is not None:
        raise DrillError(
            say("the {running} is still running; finish it first", running=running)
        )
    return MockRecall.objects.create(batch=batch, started_at=at, person=person)


@transaction.atomic
def finish_drill(
    *, drill: MockRecall, figures: DrillFigures, at: datetime
) -> MockRecall:
    """Stop the clock and score what was found against the jars made.

    Args:
        drill: running.
        figures: what the maker found.
        at: the moment.

    Raises:
        DrillError: finished already, or a figure below zero.
    """
    found = MockRecall.objects.select_for_update().get(pk=drill.pk)
    if found.finished_at is not None:
        raise DrillError(say("this drill is finished already"))
    if min(asdict(figures).values()) < 0:
        raise DrillError(say("a drill counts jars; enter 0 or more in every field"))
    answer = tracing.trace_batch(found.batch)
    _keep(found, answer, figures.found, at=at)
    outlets = {row.outlet_id for row in answer.whereabouts if row.outlet_id}
    found.result |= {
        "by": to_say("the maker"),
        "entered": asdict(figures),
        "outlets": len(outlets),
        "differences": _differences(figures, answer),
    }
    found.save()
    return found


@transaction.atomic
def run_by_book(
    *, batch: Batch, started_at: datetime, person: User | None
) -> MockRecall:
    """Drill the book alone: what does it say of every jar, and what not.

    Args:
        batch: drawn by chance.
        started_at: when the question was asked; the answer's moment is taken when
            it is there.
        person: who asked.
    """
    answer = tracing.trace_batch(batch)
    drill = MockRecall(batch=batch, started_at=started_at, person=person)
    found = answer.balance.made - answer.balance.unaccounted
    _keep(drill, answer, int(found), at=timezone.now())
    drill.result |= {"by": to_say("the book")}
    drill.full_clean(exclude=["person"])
    drill.save()
    return drill


def _keep(drill: MockRecall, answer: TraceAnswer, found: int, *, at: datetime) -> None:
    drill.finished_at = at
    drill.made = int(answer.balance.made)
    drill.found = found
    drill.unaccounted = drill.made - found
    seconds = max(round((at - drill.started_at).total_seconds(), 1), 0)
    drill.result = {
        "seconds": seconds,
        "balance": balance_data(answer.balance),
        "lots": len(answer.sources),
        "sisters": len(answer.sisters),
        "not_accounted": [_gap(row) for row in _gaps(answer)],
    }


def _gaps(answer: TraceAnswer) -> list[tuple[str, str, str, Decimal]]:
    own = {batch.code for batch in answer.affected[:1]}
    lost = {str(Movement.Reason.MISSING.label), str(Movement.Reason.COUNTED.label)}
    return [
        (row.what, row.place, row.on.isoformat() if row.on else "", row.jars)
        for row in answer.whereabouts
        if row.what in lost and row.code.split("-")[0] in own
    ]


def _gap(row: tuple[str, str, str, Decimal]) -> str:
    what, place, on, jars = row
    where = say(" at {place}", place=place) if place else say(" at home")
    return say(
        "{jars} {what}{where}, {on}",
        jars=count_text(jars),
        what=what,
        where=where,
        on=on,
    )


def _differences(figures: DrillFigures, answer: TraceAnswer) -> Mapping[str, int]:
    """What was entered less what the book says, where they differ."""
    book = answer.balance
    other = book.sampled + book.given + book.written_off + book.used + book.recalled
    pairs = {
        to_say("on the shelf"): (figures.on_shelf, book.on_shelf),
        to_say("at outlets"): (figures.at_outlets, book.at_outlets),
        to_say("sold"): (figures.sold, book.sold),
        to_say("sampled, given, written off"): (figures.other, other),
        to_say("lots that went in"): (figures.lots_found, Decimal(len(answer.sources))),
    }
    return {
        name: entered - int(said)
        for name, (entered, said) in pairs.items()
        if entered != int(said)
    }
