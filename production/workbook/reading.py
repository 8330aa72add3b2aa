"""A workbook read: rows of values by field, and everything wrong with the cells.

Nothing of the book is touched here. Rows are read one by one; a sheet that
pretends to have a million rows ends where its rows end.
"""

import csv
import io
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, BinaryIO

from inventory.words import say
from inventory.workbook import cells, guard
from inventory.workbook.findings import Finding, Level, WorkbookError
from production.workbook.choices import choices_of
from production.workbook.layout import (
    EXAMPLE_MARK,
    MARK_HEADING,
    Column,
    Kind,
    Sheet,
    sheets,
)

__all__ = ["Line", "ReadWorkbook", "read_separated", "read_workbook"]

MOST_ROWS = 400_000
MOST_EMPTY_ROWS = 500
MOST_FINDINGS = 1000
HARMLESS = re.compile(r"^'([=+\-@])")
"""The mark our own separated values put before what a spreadsheet would run."""
READERS: Mapping[Kind, Callable[[Any], Any]] = {
    Kind.TEXT: cells.as_text,
    Kind.NUMBER: cells.as_decimal,
    Kind.WHOLE: cells.as_whole,
    Kind.DATE: cells.as_date,
    Kind.MOMENT: cells.as_moment,
    Kind.TIME: cells.as_time,
    Kind.YESNO: cells.as_boolean,
    Kind.CHOICE: cells.as_text,
    Kind.LIST: cells.as_text,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One row of a sheet.

    Attributes:
        sheet: which sheet.
        row: its number, the first being 1.
        values: what was typed, read by its column's kind; empty cells left out.
            The key is the column's heading.
        is_faulty: a cell could not be read; that was noted, the row is not loaded.
    """

    sheet: Sheet
    row: int
    values: Mapping[str, Any]
    is_faulty: bool = False

    def of(self, name: str) -> Any:
        """Value of a field; None when the cell is empty."""
        return self.values.get(self.sheet.column_of(name).heading)


@dataclass(slots=True, kw_only=True)
class ReadWorkbook:
    """What a file holds.

    Attributes:
        lines: rows by the key of their sheet, in the order of the sheets.
        findings: what is wrong.
    """

    lines: dict[str, list[Line]] = field(default_factory=dict)
    findings: list[Finding] = field(default_factory=list)

    @property
    def is_full(self) -> bool:
        """Whether so much is wrong that reading on helps nobody."""
        return len(self.findings) >= MOST_FINDINGS


def read_workbook(
    source: Path | BinaryIO,
    *,
    name: str,
    tell: Callable[[str, int], None] | None = None,
) -> ReadWorkbook:
    """Read a workbook.

    Args:
        source: the file.
        name: its name, for sentences.
        tell: told the sheet and row now and then.

    Raises:
        WorkbookError: it is no workbook, too large, or nothing we know is in it.
    """
    if isinstance(source, Path):
        with source.open("rb") as file:
            return read_workbook(file, name=name, tell=tell)
    remarks = guard.inspect(source, name=name)
    book = _open(source, name)
    read = ReadWorkbook()
    read.findings += [_remark(name, remark) for remark in remarks]
    known = {sheet.title.lower(): sheet for sheet in sheets()}
    try:
        for page in book.worksheets:
            sheet = known.get(page.title.strip().lower())
            if sheet is None:
                _note_unknown(read, page.title)
                continue
            rows = page.iter_rows(values_only=True)
            read.lines[sheet.key] = _read_sheet(read, sheet, rows, tell)
    finally:
        book.close()
    if not read.lines:
        titles = ", ".join(each.title for each in sheets()[:6])
        raise WorkbookError(
            say(
                "{name} has none of the sheets this book knows ({titles} and so "
                "on); begin with the empty workbook",
                name=name,
                titles=titles,
            )
        )
    return read


def read_separated(text: str, *, sheet: Sheet) -> ReadWorkbook:
    """Read one sheet from values separated by commas, semicolons or tabs."""
    read = ReadWorkbook()
    sample = text[:4000]
    marks = max(",;\t", key=sample.split("\n", 1)[0].count)
    rows = csv.reader(io.StringIO(text.lstrip("\ufeff")), delimiter=marks)
    bare = ([HARMLESS.sub(r"\1", value) for value in row] for row in rows)
    read.lines[sheet.key] = _read_sheet(read, sheet, bare, None)
    return read


def _open(source: BinaryIO, name: str) -> Any:
    import openpyxl

    try:
        return openpyxl.load_workbook(
            source, read_only=True, data_only=True, keep_links=False
        )
    except (ValueError, KeyError, TypeError, OSError, SyntaxError) as error:
        raise WorkbookError(
            say(
                "{name} could not be read as a workbook; save it again as .xlsx "
                "from your spreadsheet",
                name=name,
            )
        ) from error


def _remark(name: str, remark: str) -> Finding:
    return Finding(
        sheet=name, row=0, wrong=remark, right=say("nothing to do"), level=Level.WARNING
    )


def _note_unknown(read: ReadWorkbook, title: str) -> None:
    if title.strip().lower() == "read me":
        return
    read.findings.append(
        Finding(
            sheet=title,
            row=0,
            wrong=say("is not a sheet this book knows and is passed over"),
            right=say("rename it if it should be loaded"),
            level=Level.WARNING,
        )
    )


def _read_sheet(
    read: ReadWorkbook,
    sheet: Sheet,
    rows: Iterable[Iterable[Any]],
    tell: Callable[[str, int], None] | None,
) -> list[Line]:
    numbered = _bounded(read, sheet, rows)
    first = next(numbered, None)
    if first is None:
        return []
    columns = _columns(read, sheet, first[1])
    lines = []
    for number, row in numbered:
        if read.is_full:
            break
        line = _read_row(read, sheet, columns, number, row)
        if line is not None:
            lines.append(line)
        if tell is not None and number % 5000 == 0:
            tell(sheet.title, number)
    return lines


def _bounded(
    read: ReadWorkbook, sheet: Sheet, rows: Iterable[Iterable[Any]]
) -> Iterator[tuple[int, list[Any]]]:
    empty = 0
    for number, raw in enumerate(rows, 1):
        if number > MOST_ROWS:
            read.findings.append(
                Finding(
                    sheet=sheet.title,
                    row=number,
                    wrong=say("more than {most_rows} rows", most_rows=MOST_ROWS),
                    right=say("split the sheet into several workbooks"),
                )
            )
            return
        row = [cells.plain(value) for value in raw]
        if all(value is None for value in row):
            empty += 1
            if empty >= MOST_EMPTY_ROWS:
                return
            continue
        empty = 0
        yield number, row


def _columns(
    read: ReadWorkbook, sheet: Sheet, headings: list[Any]
) -> list[Column | None]:
    found: list[Column | None] = []
    for heading in headings:
        column = None
        if heading is not None and str(heading).lower() != MARK_HEADING.lower():
            column = sheet.by_title.get(str(heading).lower())
            if column is None or column in found:
                _note_heading(read, sheet, str(heading), is_twice=column is not None)
                column = None
        found.append(column)
    for column in sheet.columns:
        if column.is_required and column not in found:
            read.findings.append(
                Finding(
                    sheet=sheet.title,
                    row=1,
                    column=column.title,
                    wrong=say("this column is missing"),
                    right=say('add a column headed "{column}"', column=column.title),
                )
            )
    return found


def _note_heading(
    read: ReadWorkbook, sheet: Sheet, heading: str, *, is_twice: bool
) -> None:
    read.findings.append(
        Finding(
            sheet=sheet.title,
            row=1,
            value=heading,
            wrong=say("heads a second column")
            if is_twice
            else say("is no heading of this sheet"),
            right=say("keep one of them")
            if is_twice
            else say("the column is passed over"),
            level=Level.ERROR if is_twice else Level.WARNING,
        )
    )


def _read_row(
    read: ReadWorkbook,
    sheet: Sheet,
    columns: list[Column | None],
    number: int,
    row: list[Any],
) -> Line | None:
    if str(row[0] or "").lower() == EXAMPLE_MARK:
        return None
    values: dict[str, Any] = {}
    before = len(read.findings)
    typed = dict(zip(columns, row, strict=False))
    for column, value in typed.items():
        if column is None or value is None:
            continue
        try:
            values[column.heading] = _read_cell(sheet, column, value)
        except cells.CellError as error:
            read.findings.append(_finding(sheet, number, column, value, error))
    for column in sheet.columns:
        if column.is_required and column in typed and typed[column] is None:
            empty = cells.CellError(
                say("is empty"), say("{heading} is needed", heading=column.heading)
            )
            read.findings.append(_finding(sheet, number, column, "", empty))
    is_faulty = len(read.findings) > before
    return Line(sheet=sheet, row=number, values=values, is_faulty=is_faulty)


def _read_cell(sheet: Sheet, column: Column, value: Any) -> Any:
    found = READERS[column.kind](value)
    if column.kind is Kind.CHOICE:
        choices = choices_of(sheet, column)
        by_small = {choice.lower(): choice for choice in choices}
        if choices and found.lower() not in by_small:
            raise cells.CellError(
                say("is not one of the words this column takes"),
                say("one of {choices}", choices=", ".join(choices)),
            )
        return by_small.get(found.lower(), found)
    return found


def _finding(
    sheet: Sheet, row: int, column: Column, value: Any, error: cells.CellError
) -> Finding:
    return Finding(
        sheet=sheet.title,
        row=row,
        column=column.title,
        value=str(value)[:80],
        wrong=error.wrong,
        right=error.right,
    )
