"""The sheets of the workbook and their columns, read from ``sheets.toml``.

Pure: what stands where; nothing is read or written here.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from pathlib import Path

__all__ = ["EXAMPLE_MARK", "Column", "Kind", "Sheet", "sheet", "sheets"]

EXAMPLE_MARK = "example"
MARK_HEADING = "Row"


class Kind(StrEnum):
    """What a column holds."""

    TEXT = "text"
    NUMBER = "number"
    WHOLE = "whole"
    DATE = "date"
    MOMENT = "moment"
    TIME = "time"
    YESNO = "yesno"
    CHOICE = "choice"
    LIST = "list"


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column of a sheet.

    Attributes:
        heading: as printed, without the unit.
        field: where it goes in the row's model; a dot leads to a related row.
        kind: what it holds.
        unit: as printed; empty for text.
        refers: key of the sheet whose row it names; empty when it names none.
        part: which part of that row's identity it holds.
        choices: the words accepted, when they are a closed list.
        is_required: whether a row needs it.
        example: what stands in the example row.
        note: what a reader should know.
    """

    heading: str
    field: str
    kind: Kind = Kind.TEXT
    unit: str = ""
    refers: str = ""
    part: int = 0
    choices: tuple[str, ...] = ()
    is_required: bool = False
    example: object = None
    note: str = ""

    @property
    def title(self) -> str:
        """Heading with its unit."""
        return f"{self.heading} ({self.unit})" if self.unit else self.heading


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One sheet.

    Attributes:
        key: its short name in the program and of its file of separated values.
        title: its name in the workbook.
        model: the table its rows belong to, as "app.Model".
        about: one sentence for its readers.
        identity: fields that tell one row from another.
        columns: in order.
    """

    key: str
    title: str
    model: str
    about: str
    identity: tuple[str, ...]
    columns: tuple[Column, ...]

    def column_of(self, field: str) -> Column:
        """The first column that fills a field."""
        return next(each for each in self.columns if each.field == field)

    @property
    def by_title(self) -> Mapping[str, Column]:
        """Columns by their headings, small letters, with and without the unit."""
        found = {each.title.lower(): each for each in self.columns}
        for each in self.columns:
            found.setdefault(each.heading.lower(), each)
        return found


@cache
def sheets() -> tuple[Sheet, ...]:
    """Every sheet, in the order they are loaded."""
    text = Path(__file__).with_name("sheets.toml").read_text(encoding="utf-8")
    return tuple(_sheet(row) for row in tomllib.loads(text)["sheet"])


def sheet(key: str) -> Sheet:
    """The sheet of a key."""
    return next(each for each in sheets() if each.key == key)


def _sheet(row: Mapping[str, object]) -> Sheet:
    columns = row["columns"]
    assert isinstance(columns, list)  # noqa: S101  our own file
    return Sheet(
        key=str(row["key"]),
        title=str(row["title"]),
        model=str(row["model"]),
        about=str(row["about"]),
        identity=tuple(map(str, row["identity"])),  # type: ignore[call-overload] # a list in our own file
        columns=tuple(_column(each) for each in columns),
    )


def _column(row: Mapping[str, object]) -> Column:
    return Column(
        heading=str(row["heading"]),
        field=str(row["field"]),
        kind=Kind(str(row.get("kind", "text"))),
        unit=str(row.get("unit", "")),
        refers=str(row.get("refers", "")),
        part=int(str(row.get("part", 0))),
        choices=tuple(row.get("choices", ())),  # type: ignore[arg-type] # a list in our own file
        is_required=bool(row.get("required", False)),
        example=row.get("example"),
        note=str(row.get("note", "")),
    )
