"""Loading a workbook: all or nothing, every mistake at once, twice changes nothing.

The rows are written inside one transaction while mistakes are collected; at the
first mistake, or when only a check was asked for, everything is taken back.
"""

import datetime
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo, available_timezones

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from inventory.models import Lot
from inventory.words import say
from inventory.workbook.findings import Finding, Level
from production import gate
from production.gate import Override, Requirement
from production.models import Batch, Reading
from production.selectors import kitchen
from production.workbook.layout import sheets
from production.workbook.ledger_rows import LedgerLoader
from production.workbook.plain_rows import load_plain
from production.workbook.reading import Line, ReadWorkbook
from production.workbook.shelf import Shelf, Tally

__all__ = ["Loaded", "load"]

LEDGER_SHEETS = (
    "purchases",
    "parts",
    "batch_lots",
    "jar_movements",
    "pantry_movements",
)
AFTER_LEDGER = ("market_lines", "visit_lines")
HUNDREDTH = Decimal("0.01")
PASSED = {Batch.Status.RELEASED, Batch.Status.RECALLED}


class _TakenBackError(Exception):
    """Ends the transaction without keeping anything."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Loaded:
    """What a loading did, or would do.

    Attributes:
        is_kept: whether the rows are in the book now.
        tallies: by sheet key.
        findings: what is wrong or worth saying, in the order of the sheets.
    """

    is_kept: bool
    tallies: Mapping[str, Tally]
    findings: tuple[Finding, ...]

    @property
    def errors(self) -> tuple[Finding, ...]:
        """Findings that stop a loading."""
        return tuple(each for each in self.findings if each.level is Level.ERROR)

    def as_dict(self) -> dict[str, Any]:
        """The answer with stable keys, for JSON."""
        return {
            "loaded": self.is_kept,
            "sheets": {key: tally.as_dict() for key, tally in self.tallies.items()},
            "findings": [finding.as_dict() for finding in self.findings],
        }


def load(
    *,
    read: ReadWorkbook,
    at: datetime.datetime,
    check_only: bool = False,
    tell: Callable[[str, int], None] | None = None,
) -> Loaded:
    """Load what was read, or only say what loading would do.

    Args:
        read: the workbook, as read.
        at: the moment.
        check_only: keep nothing.
        tell: told each sheet and its number of rows.

    Returns:
        What was, or would be, created and changed; and everything wrong.
    """
    shelf = Shelf(at=at)
    is_kept = False
    try:
        with transaction.atomic(), timezone.override(_zone(read)):
            _load_sheets(shelf, read.lines, tell)
            _take_back_if(
                check_only
                or any(
                    each.level is Level.ERROR
                    for each in (*read.findings, *shelf.findings)
                )
            )
        is_kept = True
    except _TakenBackError:
        pass
    order = {each.title: number for number, each in enumerate(sheets())}
    findings = sorted(
        (*read.findings, *shelf.findings),
        key=lambda each: (order.get(each.sheet, -1), each.row),
    )
    return Loaded(is_kept=is_kept, tallies=shelf.tallies, findings=tuple(findings))


def _zone(read: ReadWorkbook) -> datetime.tzinfo:
    """The time zone moments are meant in: the file's own business, else the present."""
    for line in read.lines.get("business", []):
        name = line.of("time_zone")
        if name in available_timezones():
            return ZoneInfo(name)
    return timezone.get_current_timezone()


def _take_back_if(must: bool) -> None:  # noqa: FBT001  said by its name
    if must:
        raise _TakenBackError


def _load_sheets(
    shelf: Shelf,
    lines: Mapping[str, list[Line]],
    tell: Callable[[str, int], None] | None,
) -> None:
    ledger = LedgerLoader(shelf)
    for sheet in sheets():
        rows = lines.get(sheet.key, [])
        if tell is not None and rows:
            tell(sheet.title, len(rows))
        if sheet.key == "batches":
            rows = [_held(line) for line in rows]
        if sheet.key in LEDGER_SHEETS:
            _load_ledger(ledger, sheet.key, rows)
        elif sheet.key not in AFTER_LEDGER:
            load_plain(shelf, sheet, rows)
    ledger.write()
    for key in AFTER_LEDGER:
        load_plain(shelf, next(s for s in sheets() if s.key == key), lines.get(key, []))
    _decide(shelf, lines)


def _load_ledger(ledger: LedgerLoader, key: str, rows: list[Line]) -> None:
    match key:
        case "purchases":
            ledger.purchases(rows)
        case "parts":
            ledger.parts(rows)
        case "batch_lots":
            ledger.batch_lots(rows)
        case _:
            ledger.movements(rows)


def _held(line: Line) -> Line:
    """A batch comes in as held; whether it is released, the gate decides."""
    known = Batch.objects.filter(code__iexact=str(line.of("code"))).first()
    if known is not None or line.of("status") not in PASSED:
        return line
    values = {**line.values, line.sheet.column_of("status").heading: Batch.Status.HELD}
    return Line(sheet=line.sheet, row=line.row, values=values)


def _decide(shelf: Shelf, lines: Mapping[str, list[Line]]) -> None:
    for line in lines.get("batches", []):
        if line.of("status") not in PASSED:
            continue
        batch = Batch.objects.filter(code__iexact=str(line.of("code"))).first()
        if batch is not None and shelf.is_made_here(batch):
            _release(shelf, line, batch)


def _release(shelf: Shelf, line: Line, batch: Batch) -> None:
    """Pass a batch through the same gate as the kitchen page."""
    _take_highest_ph(batch)
    try:
        if batch.outputs.filter(lot__product__isnull=False).exists():
            gate.require_releasable(
                batch.code or "",
                kitchen.judge_batch(batch),
                _overrides(batch),
                is_owner=True,
            )
        batch.status = line.of("status")
        batch.full_clean()
        batch.save(update_fields=["status", "ph_measured", "ph_limit"])
    except (gate.GateError, ValidationError) as error:
        words = (
            "; ".join(error.messages) if isinstance(error, ValidationError) else error
        )
        shelf.wrong(
            line,
            line.sheet.column_of("status"),
            line.of("status"),
            wrong=say("is not what the gate says: {words}", words=words),
            right=say("add the readings that are missing, or write held"),
        )
        return
    at = batch.decided_at or shelf.at
    Lot.objects.filter(batch_output__batch=batch).update(released_at=at)


def _take_highest_ph(batch: Batch) -> None:
    measured = batch.readings.filter(kind=Reading.Kind.PH, is_undone=False)
    values = [reading.value for reading in measured]
    highest = max(values, default=None)
    batch.ph_measured = None if highest is None else highest.quantize(HUNDREDTH)
    if kitchen.asks_ph(batch.version) or batch.ph_limit is not None:
        own = kitchen.ph_limit(batch.version)
        batch.ph_limit = min(batch.ph_limit or own, own)


def _overrides(batch: Batch) -> list[Override]:
    return [
        Override(requirement=Requirement(each["requirement"]), reason=each["reason"])
        for each in batch.overrides
    ]
