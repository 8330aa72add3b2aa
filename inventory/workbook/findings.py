"""What is wrong with a workbook, cell by cell."""

from dataclasses import dataclass
from enum import StrEnum

from inventory.words import say

__all__ = ["Finding", "Level", "WorkbookError"]


class Level(StrEnum):
    """An error stops the loading; a warning is only said."""

    ERROR = "error"
    WARNING = "warning"


class WorkbookError(ValueError):
    """A file that cannot be read as a workbook at all."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing wrong, with its place, and what would be right.

    Attributes:
        sheet: name of the sheet.
        row: row in the sheet, the first being 1; 0 for the sheet as a whole.
        column: heading of the column; empty for the row as a whole.
        value: what stands there, as text.
        wrong: what is wrong with it.
        right: what would be right.
        level: error or warning.
    """

    sheet: str
    row: int
    column: str = ""
    value: str = ""
    wrong: str
    right: str
    level: Level = Level.ERROR

    def __str__(self) -> str:
        place = (
            say("{sheet}, row {row}", sheet=self.sheet, row=self.row)
            if self.row
            else self.sheet
        )
        if self.column:
            place += f", {self.column}"
        shown = f' "{self.value}"' if self.value else ""
        return f"{place}:{shown} {self.wrong}; {self.right}"

    def as_dict(self) -> dict[str, object]:
        """The finding with stable keys, for JSON."""
        return {
            "level": self.level.value,
            "sheet": self.sheet,
            "row": self.row,
            "column": self.column,
            "value": self.value,
            "wrong": self.wrong,
            "right": self.right,
        }
