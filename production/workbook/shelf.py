"""What a loading knows while it goes: rows by their names, findings, and tallies."""

import datetime
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from django.apps import apps
from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.db import models

from inventory.words import say
from inventory.workbook.findings import Finding, Level
from production.workbook.layout import Column, Sheet, sheet
from production.workbook.reading import Line
from production.workbook.saving import identity_of

__all__ = ["FaultyRowError", "Shelf", "Tally", "loose"]

# Sheets whose rows others name, and what to read with them.
RELATED: Mapping[str, tuple[str, ...]] = {
    "recipes": ("recipe",),
    "market_days": ("outlet",),
    "visits": ("outlet",),
    "lots": ("material", "product"),
}
MODELS: Mapping[str, str] = {"lots": "inventory.Lot"}


class FaultyRowError(Exception):
    """A line names a row that is not loaded for a mistake of its own."""


def loose(part: Any) -> Any:
    """A name as compared: small letters; dates and numbers as they are."""
    return part.casefold() if isinstance(part, str) else part


@dataclass(slots=True, kw_only=True)
class Tally:
    """What became of a sheet's rows."""

    created: int = 0
    changed: int = 0
    same: int = 0
    changes: list[str] = field(default_factory=list)

    def as_dict(self) -> dict[str, Any]:
        """The tally with stable keys, for JSON."""
        return {
            "created": self.created,
            "changed": self.changed,
            "same": self.same,
            "changes": self.changes,
        }


class Shelf:
    """Rows of the book by what cells call them; new ones are put here as they come."""

    MOST_CHANGES = 200

    def __init__(self, *, at: datetime.datetime) -> None:
        self.at = at
        self.findings: list[Finding] = []
        self.tallies: dict[str, Tally] = {}
        self._rows: dict[str, dict[tuple[Any, ...], Any]] = {}
        self.made_here: set[tuple[str, int]] = set()
        self._faulty: dict[str, set[tuple[Any, ...]]] = {}
        self._noted: set[tuple[str, int, str]] = set()

    def tally(self, key: str) -> Tally:
        """The tally of a sheet."""
        return self.tallies.setdefault(key, Tally())

    def rows(self, key: str) -> dict[tuple[Any, ...], Any]:
        """All rows of a sheet's table, by name."""
        if key not in self._rows:
            model = apps.get_model(MODELS.get(key) or sheet(key).model)
            found = model._base_manager.select_related(*RELATED.get(key, ()))
            self._rows[key] = {
                tuple(map(loose, identity_of(row))): row for row in found
            }
        return self._rows[key]

    def put(self, key: str, row: models.Model) -> None:
        """Add a row that was just made."""
        self.rows(key)[tuple(map(loose, identity_of(row)))] = row
        self.made_here.add((row._meta.label, row.pk))

    def is_made_here(self, row: models.Model) -> bool:
        """Whether this loading made the row."""
        return (row._meta.label, row.pk) in self.made_here

    def fault(self, line: Line) -> None:
        """Remember a row that is not loaded, so that those who name it stay quiet."""
        names = _own_names(line.sheet)
        parts = tuple(loose(line.values.get(each.heading)) for each in names)
        self._faulty.setdefault(line.sheet.key, set()).add(parts)

    def find(self, line: Line, field_name: str) -> Any:
        """The row a line names in a field; None with a finding when there is none.

        Raises:
            FaultyRowError: the row it names has a mistake of its own.
        """
        columns = [each for each in line.sheet.columns if each.field == field_name]
        parts = tuple(line.values.get(each.heading) for each in columns)
        if all(part is None for part in parts):
            return None
        key = columns[0].refers
        found = self.rows(key).get(tuple(map(loose, parts)))
        if found is None and tuple(map(loose, parts)) in self._faulty.get(key, ()):
            raise FaultyRowError
        if found is None and None not in parts:
            called = (
                sheet(key).title if key != "lots" else say("Purchases and Batch lots")
            )
            self.wrong(
                line,
                columns[0],
                ", ".join(map(str, parts)),
                wrong=say("is not known"),
                right=say("write it as in {called}, or add it there", called=called),
            )
        return found

    def wrong(
        self,
        line: Line,
        column: Column | None,
        value: Any,
        *,
        wrong: str,
        right: str,
        level: Level = Level.ERROR,
    ) -> None:
        """Note what is wrong with a cell, or with the row when no column is given.

        The first word on a cell is the one that counts.
        """
        place = (line.sheet.title, line.row, column.title if column else "")
        if place in self._noted:
            return
        self._noted.add(place)
        self.findings.append(
            Finding(
                sheet=line.sheet.title,
                row=line.row,
                column=column.title if column else "",
                value=str(value)[:80] if value is not None else "",
                wrong=wrong,
                right=right,
                level=level,
            )
        )

    def refused(self, line: Line, error: ValidationError) -> None:
        """Note what the model itself refuses, on the column of its field."""
        if not hasattr(error, "error_dict"):
            self._note(line, None, error.messages)
            return
        for name, messages in error.message_dict.items():
            column = None if name == NON_FIELD_ERRORS else _column(line.sheet, name)
            self._note(line, column, messages)

    def _note(self, line: Line, column: Column | None, messages: Iterable[str]) -> None:
        for message in messages:
            value = line.values.get(column.heading) if column else None
            self.wrong(
                line,
                column,
                value,
                wrong=say("is not accepted"),
                right=message.rstrip(".")[:1].lower() + message.rstrip(".")[1:],
            )

    def note_change(self, line: Line, row: models.Model, words: list[str]) -> None:
        """Remember a change for the preview."""
        tally = self.tally(line.sheet.key)
        tally.changed += 1
        if len(tally.changes) < self.MOST_CHANGES:
            tally.changes.append(f"{row}: {', '.join(words)}")


def _own_names(sheet_: Sheet) -> list[Column]:
    return [each for each in sheet_.columns if each.field in sheet_.identity]


def _column(sheet_: Sheet, name: str) -> Column | None:
    wanted: Callable[[Column], bool] = lambda each: (  # noqa: E731  said once
        each.field.split(".")[-1] == name
    )
    return next(filter(wanted, sheet_.columns), None)
