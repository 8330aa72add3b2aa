"""Workbooks written: the empty one to fill in, and the one with the whole book.

Text that a spreadsheet would run as a formula is written as text.
"""

import datetime
from collections.abc import Iterable, Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any, BinaryIO

from openpyxl import Workbook  # noqa: TID253  this module owns writing; it is imported late
from openpyxl.cell import Cell, WriteOnlyCell  # noqa: TID253  as above
from openpyxl.comments import Comment  # noqa: TID253  as above
from openpyxl.styles import Alignment, Font, PatternFill  # noqa: TID253  as above
from openpyxl.utils import get_column_letter  # noqa: TID253  as above
from openpyxl.worksheet.datavalidation import DataValidation  # noqa: TID253  as above

from inventory.workbook.cells import FORMULA_STARTS
from production.workbook.choices import choices_of
from production.workbook.layout import (
    EXAMPLE_MARK,
    MARK_HEADING,
    Column,
    Kind,
    Sheet,
    sheets,
)

__all__ = ["write_book", "write_template"]

HEADING = Font(bold=True)
EXAMPLE = Font(italic=True, color="00707070")
WASH = PatternFill("solid", fgColor="00F1EADD")
WRAP = Alignment(wrap_text=True, vertical="top")
DATE_FORMAT = "yyyy-mm-dd"
MOMENT_FORMAT = "yyyy-mm-dd hh:mm:ss"
VALIDATED_ROWS = 20000
READ_ME = "Read me"


def write_template(target: Path | BinaryIO) -> None:
    """Write an empty workbook: headings, notes, drop-downs and an example row."""
    book = Workbook(write_only=True)
    _read_me(book)
    for sheet in sheets():
        page = _page(book, sheet)
        page.append(_example(page, sheet))
    book.save(target)


def write_book(
    target: Path | BinaryIO,
    rows: Iterable[tuple[Sheet, Iterator[list[Any]]]],
) -> int:
    """Write the whole book.

    Args:
        target: file or stream.
        rows: each sheet with its rows, values in the order of its columns.

    Returns:
        How many rows were written.
    """
    book = Workbook(write_only=True)
    _read_me(book)
    written = 0
    for sheet, values in rows:
        page = _page(book, sheet)
        for row in values:
            page.append([None, *(_cell(page, value) for value in row)])
            written += 1
    book.save(target)
    return written


def _page(book: Workbook, sheet: Sheet) -> Any:
    page = book.create_sheet(sheet.title)
    page.freeze_panes = "C2"
    page.column_dimensions["A"].width = 9
    for number, column in enumerate(sheet.columns, 2):
        letter = get_column_letter(number)
        page.column_dimensions[letter].width = min(38, max(11, len(column.title) + 3))
        _add_choices(page, sheet, column, letter)
    page.print_title_rows = "1:1"
    page.page_setup.orientation = "landscape"
    page.page_setup.fitToHeight = 0
    page.sheet_properties.pageSetUpPr.fitToPage = True
    page.append(
        [_heading(page, MARK_HEADING, _mark_note(sheet)), *_headings(page, sheet)]
    )
    return page


def _headings(page: Any, sheet: Sheet) -> list[Cell]:
    return [
        _heading(page, column.title, _note(sheet, column)) for column in sheet.columns
    ]


def _heading(page: Any, title: str, note: str) -> Cell:
    cell = WriteOnlyCell(page, value=title)
    cell.font, cell.fill, cell.alignment = HEADING, WASH, WRAP
    cell.comment = Comment(note, "Setting Point", width=300, height=120)
    return cell


def _mark_note(sheet: Sheet) -> str:
    return (
        f'{sheet.about} A row marked "{EXAMPLE_MARK}" here is passed over; leave this'
        " column empty for your own."
    )


def _note(sheet: Sheet, column: Column) -> str:
    lines = [column.note] if column.note else []
    if choices := choices_of(sheet, column):
        lines.append("One of: " + ", ".join(choices) + ".")
    if column.refers:
        lines.append("As written in another sheet, or in the book.")
    if column.kind in {Kind.DATE, Kind.MOMENT}:
        lines.append("A date, best as 2026-06-10.")
    lines.append("Needed." if column.is_required else "May be left empty.")
    return " ".join(lines)


def _add_choices(page: Any, sheet: Sheet, column: Column, letter: str) -> None:
    choices = choices_of(sheet, column)
    if column.kind is Kind.YESNO:
        choices = ("yes", "no")
    if not choices or len(",".join(choices)) > 250:
        return
    validation = DataValidation(
        type="list", formula1='"' + ",".join(choices) + '"', allow_blank=True
    )
    validation.error = f"{column.heading}: choose one of the list."
    validation.add(f"{letter}2:{letter}{VALIDATED_ROWS}")
    page.data_validations.append(validation)


def _example(page: Any, sheet: Sheet) -> list[Cell]:
    cells = [WriteOnlyCell(page, value=EXAMPLE_MARK)]
    cells += [_cell(page, column.example) for column in sheet.columns]
    for cell in cells:
        cell.font = EXAMPLE
    return cells


def _cell(page: Any, value: Any) -> Cell:
    cell = WriteOnlyCell(page)
    if isinstance(value, str):
        cell.value = value
        if value.startswith(FORMULA_STARTS):
            cell.data_type = "s"
            cell.quotePrefix = True
        return cell
    cell.value = value
    if isinstance(value, datetime.datetime):
        cell.number_format = MOMENT_FORMAT
    elif isinstance(value, datetime.date):
        cell.number_format = DATE_FORMAT
    elif isinstance(value, Decimal):
        cell.number_format = "General"
    return cell


def _read_me(book: Workbook) -> None:
    page = book.create_sheet(READ_ME)
    page.column_dimensions["A"].width = 30
    page.column_dimensions["B"].width = 100
    for left, right in (
        ("The workbook of your book", ""),
        (
            "How to fill it",
            "One row for each thing; hover over a heading to read what it takes.",
        ),
        ("Order", "Any; rows may name things of other sheets and of the book itself."),
        (
            "Loading",
            "All or nothing: every mistake is listed with its cell, nothing is half loaded.",
        ),
        ("Twice", "Loading the same file again changes nothing."),
    ):
        page.append([_bold(page, left), right])
    page.append([])
    for sheet in sheets():
        page.append([_bold(page, sheet.title), sheet.about])


def _bold(page: Any, text: str) -> Cell:
    cell = WriteOnlyCell(page, value=text)
    cell.font = HEADING
    return cell
