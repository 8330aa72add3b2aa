"""What a batch's page shows: today's figures, the steps, the readings asked for."""

import datetime
from dataclasses import dataclass
from decimal import Decimal

from inventory.measures import (
    Measure,
    format_headspace,
    format_measure,
    format_temperature,
)
from inventory.models import Business
from inventory.words import say
from production.gate_terms import COOLING_LEAST_H
from production.models import Batch, Reading, RecipeStep, RecipeVersion, StepRecord
from production.reading_entry import unit_hint
from production.readings import ReadingKind, reading_text
from production.science.finishing import FinishingPoint
from production.science.processing import STERILE_BELOW_MIN, SteamTimeError
from production.science.working import Working
from production.selectors import kitchen
from production.wording import (
    duration_text,
    number_text,
    percent_text,
)

__all__ = [
    "ReadingOnPage",
    "StepOnPage",
    "Today",
    "other_readings",
    "reading_lines",
    "readings_of",
    "steps_of",
    "today_of",
]

ANSWERS = {ReadingKind.SET_TEST, ReadingKind.JARS_STERILE}


@dataclass(frozen=True, slots=True, kw_only=True)
class Today:
    """The figures of a batch in this kitchen, as text.

    Attributes:
        altitude: of the kitchen.
        boiling: where water boils, by altitude or today's reading.
        finish: when to stop cooking, or the recipe's other test.
        headspace: to leave under the lid.
        process: minutes in the canner, or what to ask.
        canner: which.
        cautions: what to mind at the canner.
        workings: the sums behind the figures.
    """

    altitude: str
    boiling: str
    finish: str
    headspace: str
    process: str
    canner: str
    cautions: tuple[str, ...]
    workings: tuple[Working, ...]


def today_of(batch: Batch) -> Today:
    """Today's figures of a batch."""
    water = kitchen.local_boiling(batch)
    point = kitchen.finish_point(batch)
    process, cautions, workings = _process(batch)
    return Today(
        altitude=format_measure(kitchen.kitchen_altitude_m(batch), Measure.ALTITUDE),
        boiling=format_temperature(water.shown_c),
        finish=_finish(batch.version, point),
        headspace=format_headspace(batch.version.headspace_mm),
        process=process,
        canner=str(dict(Business.Canner.choices)[kitchen.canner_of(batch)]),
        cautions=cautions,
        workings=(*water.workings, *(point.workings if point else ()), *workings),
    )


def _finish(version: RecipeVersion, point: FinishingPoint | None) -> str:
    if point is not None:
        return format_temperature(point.shown_c)
    if version.finish == RecipeVersion.Finish.TIME:
        return say("a full rolling boil for the recipe's time")
    if version.finish_solids is not None:
        return say(
            "{finish_solids} soluble solids",
            finish_solids=percent_text(version.finish_solids),
        )
    return say("the recipe's own test")


def _process(batch: Batch) -> tuple[str, tuple[str, ...], tuple[Working, ...]]:
    try:
        process = kitchen.process_of(batch)
    except SteamTimeError as error:
        return str(error), (), ()
    if process.minutes is None:
        return process.question, process.cautions, process.workings
    sterile = ""
    if process.sterile_needed:
        sterile = say(
            ", jars sterilised {sterilise_min} min first",
            sterilise_min=process.sterilise_min,
        )
    return f"{process.minutes} min{sterile}", process.cautions, process.workings


@dataclass(frozen=True, slots=True, kw_only=True)
class StepOnPage:
    """One step with how far it is.

    Attributes:
        step: of the recipe.
        record: when it was begun and done, if it was.
        state: "ahead", "running" or "done".
        minutes: what its timer counts, 0 where nothing is timed.
        timed: the same as text.
        ends_at: when the timer is up.
        opens_day: the number of the cook day this step begins, 0 otherwise.
    """

    step: RecipeStep
    record: StepRecord | None
    state: str
    minutes: int
    timed: str
    ends_at: datetime.datetime | None
    opens_day: int


def steps_of(batch: Batch) -> list[StepOnPage]:
    """The steps of a batch in order."""
    records = {record.step_id: record for record in batch.step_records.all()}
    steps = sorted(batch.version.steps.all(), key=lambda step: step.position)
    is_long = bool(steps) and steps[-1].day_offset > 0
    shown: list[StepOnPage] = []
    for step in steps:
        opens = is_long and (not shown or shown[-1].step.day_offset != step.day_offset)
        day = step.day_offset + 1 if opens else 0
        shown.append(_step(batch, step, records.get(step.pk), day))
    return shown


def _step(
    batch: Batch, step: RecipeStep, record: StepRecord | None, opens_day: int
) -> StepOnPage:
    minutes = _timed_minutes(batch, step)
    started = record.started_at if record else None
    state = "ahead"
    if record is not None:
        state = "done" if record.done_at else "running"
    return StepOnPage(
        step=step,
        record=record,
        state=state,
        minutes=minutes,
        timed=duration_text(minutes) if minutes else "",
        ends_at=started + datetime.timedelta(minutes=minutes)
        if started and minutes
        else None,
        opens_day=opens_day,
    )


def _timed_minutes(batch: Batch, step: RecipeStep) -> int:
    if step.kind == RecipeStep.Kind.PROCESS:
        return int(kitchen.processing_minutes(batch) or step.unattended_min)
    if step.stand_min_hours:
        return step.stand_min_hours * 60
    if step.kind == RecipeStep.Kind.COOL:
        return int(COOLING_LEAST_H.value) * 60
    return step.unattended_min or step.hands_on_min


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingOnPage:
    """One reading the page asks for.

    Attributes:
        kind: what is read.
        hint: the unit a bare number is taken in.
        expected: what it should be, as text; empty where nothing is expected.
        reading: the one that stands, if any.
        shown: its value as text.
        is_answer: yes or no instead of a number.
    """

    kind: ReadingKind
    hint: str
    expected: str
    reading: Reading | None
    shown: str
    is_answer: bool


def readings_of(batch: Batch) -> list[ReadingOnPage]:
    """The readings a batch's page asks for, in the order of the day."""
    found = kitchen.standing_readings(batch)
    is_metric = Business.current().units == Business.Units.METRIC
    expected = _expected(batch)
    return [
        ReadingOnPage(
            kind=kind,
            hint=unit_hint(kind, is_metric=is_metric),
            expected=expected.get(kind, ""),
            reading=found.get(kind.value),
            shown=reading_text(kind, found[kind.value].value)
            if kind.value in found
            else "",
            is_answer=kind in ANSWERS,
        )
        for kind in _asked_kinds(batch)
    ]


def other_readings(batch: Batch) -> list[tuple[Reading, str]]:
    """Standing readings the page does not ask for, with their value as text."""
    asked = {kind.value for kind in _asked_kinds(batch)}
    return [
        (reading, f"{kind.heading}: {reading_text(kind, reading.value)}")
        for name, reading in kitchen.standing_readings(batch).items()
        if name not in asked and (kind := ReadingKind(name))
    ]


def reading_lines(batch: Batch) -> list[tuple[Reading, str, str]]:
    """Every reading of a batch, its heading and its value, taken back or not."""
    return [
        (
            reading,
            ReadingKind(reading.kind).heading,
            reading_text(ReadingKind(reading.kind), reading.value),
        )
        for reading in sorted(batch.readings.all(), key=lambda each: (each.at, each.pk))
    ]


def _expected(batch: Batch) -> dict[ReadingKind, str]:
    limits = kitchen.gate_limits(batch)
    water = kitchen.local_boiling(batch)
    known: dict[ReadingKind, Decimal | None] = {
        ReadingKind.BOILING_WATER: water.true_c,
        ReadingKind.FINISH_TEMPERATURE: limits.finish_c,
        ReadingKind.SOLIDS: limits.solids_fraction,
        ReadingKind.ROLLING_BOIL: limits.rolling_boil_min,
        ReadingKind.HEADSPACE: limits.headspace_mm,
        ReadingKind.PROCESS_MIN: limits.processing_min,
    }
    texts = {
        kind: reading_text(kind, value)
        for kind, value in known.items()
        if value is not None
    }
    if limits.asks_ph:
        texts[ReadingKind.PH] = say(
            "at most pH {ph_limit}", ph_limit=number_text(limits.ph_limit)
        )
    return texts


def _asked_kinds(batch: Batch) -> list[ReadingKind]:
    limits = kitchen.gate_limits(batch)
    kinds = [ReadingKind.BOILING_WATER]
    if limits.finish_c is not None:
        kinds.append(ReadingKind.FINISH_TEMPERATURE)
    if limits.solids_fraction is not None:
        kinds.append(ReadingKind.SOLIDS)
    if limits.rolling_boil_min is not None:
        kinds.append(ReadingKind.ROLLING_BOIL)
    kinds += [ReadingKind.SET_TEST, ReadingKind.HEADSPACE]
    minutes = limits.processing_min
    if minutes is not None and minutes < STERILE_BELOW_MIN.value:
        kinds.append(ReadingKind.JARS_STERILE)
    kinds.append(ReadingKind.PROCESS_MIN)
    if limits.asks_ph:
        kinds.append(ReadingKind.PH)
    return kinds
