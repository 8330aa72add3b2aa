"""What the record of a batch says, assembled from the book."""

from collections.abc import Callable, Iterable
from typing import Any

from django.db.models import Q, Subquery, prefetch_related_objects
from django.utils import timezone

from inventory.measures import format_temperature
from inventory.models import Business
from inventory.paper import Column
from inventory.quantities import format_amount
from inventory.words import say
from production.gate_terms import Requirement
from production.models import (
    Batch,
    BatchOutput,
    Instrument,
    InstrumentCheck,
    Reading,
)
from production.papers.batch_record import BatchRecord, RecordTable
from production.readings import ReadingKind, reading_text
from production.selectors import batch_papers, cook_page, kitchen, net_check
from production.selectors.batch_day import inputs_of, outputs_of
from production.wording import number_text, percent_text

__all__ = ["batch_record"]


def batch_record(batch: Batch) -> BatchRecord:
    """Everything the book holds about a batch."""
    business = Business.current()
    is_judged = any(each.jar_size_id for each in outputs_of(batch))
    makers: tuple[Callable[[Batch], RecordTable], ...] = (
        _lots,
        _steps,
        _readings,
        _instruments,
        _seals,
        _weights,
        _labels,
    )
    parts = [make(batch) for make in makers]
    if is_judged:
        parts.insert(4, _gate(batch))
    return BatchRecord(
        recipe=batch.version.recipe.name,
        code=batch.code or "",
        under=f"{batch.product or batch.version.recipe}, {batch.version}",
        facts=_facts(batch),
        decision=_decision(batch),
        warnings=_warnings(batch),
        parts=tuple(parts),
        footer=say(
            "{trade_name}: batch record {batch}",
            trade_name=business.trade_name,
            batch=batch.code or "",
        ),
        is_a4=batch_papers.is_a4(),
    )


def _moment(moment: Any) -> str:
    if moment is None:
        return ""
    return f"{timezone.localtime(moment):%Y-%m-%d %H:%M}"


def _facts(batch: Batch) -> tuple[tuple[str, str], ...]:
    today = cook_page.today_of(batch)
    facts = [
        (
            say("Cooked"),
            say(
                "{started_at} to {finished_at}",
                started_at=_moment(batch.started_at),
                finished_at=_moment(batch.finished_at),
            ),
        ),
        (say("Cook"), str(batch.cook or "")),
        (say("Kitchen"), f"{today.altitude}, {today.canner}"),
        (say("Water boils at"), today.boiling),
        (say("Tested recipe from"), batch.version.tested_source or say("not named")),
        (say("Share of the tested batch"), percent_text(batch.factor)),
    ]
    if batch.parent:
        facts.append((say("Cooked again from"), str(batch.parent)))
    facts += [(say("Made"), _made(each)) for each in outputs_of(batch)]
    return tuple(facts)


def _made(output: BatchOutput) -> str:
    lot = output.lot
    amount = say(
        "{filled} {unit} of lot {lot}",
        filled=number_text(output.filled),
        unit=say(lot.unit),
        lot=lot.code,
    )
    return (
        say("{amount}, best by {best_by}", amount=amount, best_by=lot.best_by)
        if lot.best_by
        else amount
    )


def _decision(batch: Batch) -> str:
    words = say("Stands: {status}", status=batch.get_status_display())
    if batch.decided_at is None:
        return words
    words += say(
        ", {decided_at}, by {decided_by}",
        decided_at=_moment(batch.decided_at),
        decided_by=batch.decided_by,
    )
    return f"{words}. {batch.decision_reason}" if batch.decision_reason else words


def _warnings(batch: Batch) -> tuple[str, ...]:
    return tuple(
        say(
            "Set aside by the owner: {requirement}. Reason: {reason}",
            requirement=Requirement(each["requirement"]).label,
            reason=each["reason"],
        )
        for each in batch.overrides
    )


def _lots(batch: Batch) -> RecordTable:
    return RecordTable(
        heading=say("Lots that went in"),
        columns=(
            Column(heading=say("Lot"), share=1.4),
            Column(heading=say("Of"), share=2.4),
            Column(heading=say("Taken"), share=1.2, align="right"),
            Column(heading=say("Supplier and mark"), share=2.6),
            Column(heading=say("Received"), share=1.2),
        ),
        rows=tuple(
            (
                each.movement.lot.code,
                each.movement.lot.name,
                format_amount(-each.movement.quantity, each.movement.lot.unit),
                _supplier(each.movement.lot),
                str(each.movement.lot.received_on),
            )
            for each in inputs_of(batch)
        ),
        empty=say("No lot was drawn."),
    )


def _supplier(lot: Any) -> str:
    names = [str(lot.purchase.supplier)] if lot.purchase else []
    names += [mark for mark in (lot.supplier_mark, lot.origin) if mark]
    return ", ".join(names)


def _steps(batch: Batch) -> RecordTable:
    return RecordTable(
        heading=say("Steps"),
        columns=(
            Column(heading=say("Step"), share=5),
            Column(heading=say("Begun"), share=1.6),
            Column(heading=say("Done"), share=1.6),
            Column(heading=say("By"), share=1),
        ),
        rows=tuple(
            (
                f"{each.step.position}. {each.step.text}",
                _moment(each.record.started_at) if each.record else "",
                _moment(each.record.done_at) if each.record else "",
                str(each.record.person or "") if each.record else "",
            )
            for each in cook_page.steps_of(batch)
        ),
        empty=say("No step was recorded."),
    )


def _readings(batch: Batch) -> RecordTable:
    return RecordTable(
        heading=say("Readings"),
        columns=(
            Column(heading=say("Reading"), share=2),
            Column(heading=say("Value"), share=2),
            Column(heading=say("When"), share=1.8),
            Column(heading=say("Instrument"), share=1.3),
            Column(heading=say("By"), share=1),
            Column(heading="", share=1),
        ),
        rows=tuple(_reading(each) for each in _in_time(batch)),
        empty=say("Nothing was read."),
        note=say("A reading taken back stays on the record."),
    )


def _in_time(batch: Batch) -> list[Reading]:
    return sorted(batch.readings.all(), key=lambda each: (each.at, each.pk))


def _reading(reading: Reading) -> tuple[str, ...]:
    kind = ReadingKind(reading.kind)
    return (
        kind.label,
        reading_text(kind, reading.value),
        _moment(reading.at),
        str(reading.instrument or ""),
        str(reading.person or ""),
        say("taken back") if reading.is_undone else "",
    )


def _instruments(batch: Batch) -> RecordTable:
    """The check each instrument had before it was last read for this batch."""
    last = {each.instrument_id: each for each in _in_time(batch) if each.instrument_id}
    newest = _last_checks(last.values())
    rows = []
    for reading in last.values():
        checks = newest.get(reading.instrument_id or 0, [])
        rows += [_check_row(check) for check in checks]
        if not checks:
            rows.append((str(reading.instrument), "", say("never checked"), "", ""))
    return RecordTable(
        heading=say("Instruments"),
        columns=(
            Column(heading=say("Instrument"), share=1.5),
            Column(heading=say("Checked"), share=1.8),
            Column(heading=say("Against"), share=1.4),
            Column(heading=say("Showed"), share=1.5, align="right"),
            Column(heading=say("Found"), share=3),
        ),
        rows=tuple(rows),
        empty=say("No instrument was named."),
    )


def _last_checks(readings: Iterable[Reading]) -> dict[int, list[InstrumentCheck]]:
    """The checks of the newest moment before each reading, by instrument."""
    wanted = Q(pk__in=[])
    for reading in readings:
        before = InstrumentCheck.objects.filter(
            instrument=reading.instrument_id, checked_at__lte=reading.at
        ).order_by("-checked_at")
        moment = Subquery(before.values("checked_at")[:1])
        wanted |= Q(instrument=reading.instrument_id, checked_at=moment)
    found: dict[int, list[InstrumentCheck]] = {}
    for check in InstrumentCheck.objects.filter(wanted).select_related("instrument"):
        found.setdefault(check.instrument_id, []).append(check)
    return found


def _check_row(check: InstrumentCheck) -> tuple[str, ...]:
    return (
        str(check.instrument),
        _moment(check.checked_at),
        check.reference,
        format_temperature(check.reading)
        if check.instrument.kind == Instrument.Kind.THERMOMETER
        else number_text(check.reading),
        check.found or (say("passed") if check.passed else say("did not pass")),
    )


def _gate(batch: Batch) -> RecordTable:
    return RecordTable(
        heading=say("Release requirements"),
        columns=(
            Column(heading=say("Requirement"), share=1.4),
            Column(heading=say("Stands"), share=1.1),
            Column(heading=say("Why"), share=5),
        ),
        rows=tuple(
            (each.requirement.label, each.standing.value.replace("_", " "), each.says)
            for each in kitchen.judge_batch(batch).findings
        ),
        empty=say("Nothing is asked."),
    )


def _seals(batch: Batch) -> RecordTable:
    checks = [
        (output, check)
        for output in outputs_of(batch)
        for check in output.seal_checks.all()
    ]
    checks.sort(key=lambda pair: pair[1].checked_at, reverse=True)
    return RecordTable(
        heading=say("Seal checks"),
        columns=(
            Column(heading=say("Lot"), share=1.2),
            Column(heading=say("When"), share=1.8),
            Column(heading=say("Sealed"), share=0.8, align="right"),
            Column(heading=say("Not sealed"), share=0.9, align="right"),
            Column(heading=say("What became of them"), share=2),
            Column(heading=say("By"), share=1),
        ),
        rows=tuple(
            (
                output.lot.code,
                _moment(each.checked_at),
                str(each.sealed),
                str(each.failed),
                each.get_fate_display() if each.fate else "",
                str(each.person or ""),
            )
            for output, each in checks
        ),
        empty=say("The seals were not checked yet."),
    )


def _weights(batch: Batch) -> RecordTable:
    rows = []
    jars = [output for output in outputs_of(batch) if output.jar_size_id]
    prefetch_related_objects(jars, "weighings")
    for output in jars:
        found = net_check.net_check(output)
        if not found.weighings:
            continue
        declared = found.declaration.text if found.declaration else ""
        said = found.result.verdict if found.result else found.problem
        rows.append((output.lot.code, declared, str(len(found.weighings)), said))
    return RecordTable(
        heading=say("Net weight"),
        columns=(
            Column(heading=say("Lot"), share=1.2),
            Column(heading=say("Declared"), share=1.4),
            Column(heading=say("Weighed"), share=0.9, align="right"),
            Column(heading=say("Found"), share=4),
        ),
        rows=tuple(rows),
        empty=say("No jar was weighed."),
        note=say("NIST Handbook 133, Category A."),
    )


def _labels(batch: Batch) -> RecordTable:
    # The upper app's print runs, reached from the batch: nothing of it is imported.
    runs = batch.print_runs.select_related("sheet", "printed_by")
    return RecordTable(
        heading=say("Labels printed"),
        columns=(
            Column(heading=say("When"), share=1.8),
            Column(heading=say("Labels"), share=0.8, align="right"),
            Column(heading=say("Sheet"), share=3),
            Column(heading=say("By"), share=1),
            Column(heading="", share=1.5),
        ),
        rows=tuple(
            (
                _moment(each.printed_at),
                str(each.count),
                str(each.sheet),
                str(each.printed_by or ""),
                say("draft") if each.is_draft else each.reason,
            )
            for each in runs
        ),
        empty=say("No label was printed."),
    )
