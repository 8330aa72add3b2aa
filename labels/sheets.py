"""Where labels sit on a sheet: pure geometry in millimetres.

A sheet is described by what a ruler tells: the page, the size of one label,
how many there are and the distance from one to the next. Positions run from
the top left corner of the page to the right and downwards. How a label is
drawn, and the printer, are elsewhere.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from enum import StrEnum

from inventory.measures import Measure, format_measure
from inventory.words import say

__all__ = [
    "Cell",
    "Placement",
    "Shape",
    "Sheet",
    "SheetError",
    "measured_name",
    "page_name",
    "placements",
    "sheets_needed",
]

PAGES_MM = {
    "letter": (Decimal("215.9"), Decimal("279.4")),
    "a4": (Decimal(210), Decimal(297)),
    "a5": (Decimal(148), Decimal(210)),
    "legal": (Decimal("215.9"), Decimal("355.6")),
}
"""Paper sizes: ISO 216 (A4, A5); ANSI Y14.1 A and 14 in (letter, legal)."""


class SheetError(ValueError):
    """A sheet whose measures cannot be true, or a place it does not have."""


class Shape(StrEnum):
    """The outline of one label."""

    RECTANGLE = "rectangle"
    ROUND = "round"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One label's place on the page.

    Attributes:
        number: 1 at the top left, counted along the rows.
        left_mm: from the left edge of the page to the label.
        top_mm: from the top edge of the page to the label.
        width_mm: of the label.
        height_mm: of the label.
    """

    number: int
    left_mm: Decimal
    top_mm: Decimal
    width_mm: Decimal
    height_mm: Decimal

    @property
    def right_mm(self) -> Decimal:
        """From the left edge of the page to the label's right side."""
        return self.left_mm + self.width_mm

    @property
    def bottom_mm(self) -> Decimal:
        """From the top edge of the page to the label's lower side."""
        return self.top_mm + self.height_mm

    def is_apart_from(self, other: "Cell") -> bool:
        """Whether the two share no area."""
        return (
            self.right_mm <= other.left_mm
            or other.right_mm <= self.left_mm
            or self.bottom_mm <= other.top_mm
            or other.bottom_mm <= self.top_mm
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A page of equal labels.

    Attributes:
        name: what the seller calls it; by its measures unless named otherwise.
        page_width_mm: width of the page as it runs through the printer.
        page_height_mm: height of the page.
        rows: labels from top to bottom.
        columns: labels from left to right.
        label_width_mm: width of one label; the diameter of a round one.
        label_height_mm: height of one label.
        left_margin_mm: from the page's left edge to the first label.
        top_margin_mm: from the page's top edge to the first label.
        column_pitch_mm: from the left side of a label to that of the next.
        row_pitch_mm: from the top of a label to that of the next below.
        shape: rectangle or round.
        corner_radius_mm: rounding of the corners.
        offset_x_mm: what the printer must be moved to the right.
        offset_y_mm: what the printer must be moved down.

    Raises:
        SheetError: labels would overlap or leave the page.
    """

    name: str
    page_width_mm: Decimal
    page_height_mm: Decimal
    rows: int
    columns: int
    label_width_mm: Decimal
    label_height_mm: Decimal
    left_margin_mm: Decimal
    top_margin_mm: Decimal
    column_pitch_mm: Decimal
    row_pitch_mm: Decimal
    shape: Shape = Shape.RECTANGLE
    corner_radius_mm: Decimal = Decimal(0)
    offset_x_mm: Decimal = Decimal(0)
    offset_y_mm: Decimal = Decimal(0)

    def __post_init__(self) -> None:
        self._check_counts()
        self._check_label()
        self._check_direction(
            say("width"),
            page_mm=self.page_width_mm,
            margin_mm=self.left_margin_mm,
            pitch_mm=self.column_pitch_mm,
            count=self.columns,
            label_mm=self.label_width_mm,
        )
        self._check_direction(
            say("height"),
            page_mm=self.page_height_mm,
            margin_mm=self.top_margin_mm,
            pitch_mm=self.row_pitch_mm,
            count=self.rows,
            label_mm=self.label_height_mm,
        )
        self._check_offset()

    def _check_counts(self) -> None:
        if self.rows < 1 or self.columns < 1:
            raise SheetError(
                say(
                    "a sheet has at least one row and one column, not {rows} and "
                    "{columns}",
                    rows=self.rows,
                    columns=self.columns,
                )
            )

    def _check_label(self) -> None:
        if self.label_width_mm <= 0 or self.label_height_mm <= 0:
            raise SheetError(
                say(
                    "a label of {label_width} x {label_height} has no area; "
                    "measure one label with a ruler",
                    label_width=_length(self.label_width_mm),
                    label_height=_length(self.label_height_mm),
                )
            )
        if self.shape is Shape.ROUND and self.label_width_mm != self.label_height_mm:
            raise SheetError(
                say(
                    "a round label is as wide as high, not {label_width} x "
                    "{label_height}; give the diameter twice",
                    label_width=_length(self.label_width_mm),
                    label_height=_length(self.label_height_mm),
                )
            )
        if (
            not 0
            <= self.corner_radius_mm * 2
            <= min(self.label_width_mm, self.label_height_mm)
        ):
            raise SheetError(
                say(
                    "corners rounded by {corner_radius} do not go with a label "
                    "of {label_width} x {label_height}",
                    corner_radius=_length(self.corner_radius_mm),
                    label_width=_length(self.label_width_mm),
                    label_height=_length(self.label_height_mm),
                )
            )

    def _check_direction(
        self,
        direction: str,
        *,
        page_mm: Decimal,
        margin_mm: Decimal,
        pitch_mm: Decimal,
        count: int,
        label_mm: Decimal,
    ) -> None:
        if margin_mm < 0:
            raise SheetError(
                say(
                    "a margin of {margin} lies outside the page",
                    margin=_length(margin_mm),
                )
            )
        if count > 1 and pitch_mm < label_mm:
            raise SheetError(
                say(
                    "labels with a {direction} of {label} that repeat every {pitch} "
                    "would overlap; measure from one label's edge to the same edge "
                    "of the next",
                    label=_length(label_mm),
                    direction=direction,
                    pitch=_length(pitch_mm),
                )
            )
        end_mm = margin_mm + (count - 1) * pitch_mm + label_mm
        if end_mm > page_mm:
            raise SheetError(
                say(
                    "the labels end at {end}, but the {direction} of the page is "
                    "{page}; check the margin, the number of labels and the pitch",
                    end=_length(end_mm),
                    page=_length(page_mm),
                    direction=direction,
                )
            )

    def _check_offset(self) -> None:
        first, last = self._cell(1), self._cell(self.places)
        if (
            first.left_mm < 0
            or first.top_mm < 0
            or last.right_mm > self.page_width_mm
            or last.bottom_mm > self.page_height_mm
        ):
            raise SheetError(
                say(
                    "a printer offset of {offset_x} right and {offset_y} "
                    "down would push labels off the page",
                    offset_x=_length(self.offset_x_mm),
                    offset_y=_length(self.offset_y_mm),
                )
            )

    @property
    def places(self) -> int:
        """Labels on one sheet."""
        return self.rows * self.columns

    def _cell(self, number: int) -> Cell:
        row, column = divmod(number - 1, self.columns)
        return Cell(
            number=number,
            left_mm=self.left_margin_mm
            + column * self.column_pitch_mm
            + self.offset_x_mm,
            top_mm=self.top_margin_mm + row * self.row_pitch_mm + self.offset_y_mm,
            width_mm=self.label_width_mm,
            height_mm=self.label_height_mm,
        )

    def cell(self, number: int) -> Cell:
        """Return a place of the sheet, the printer's offset included.

        Args:
            number: 1 to ``places``, along the rows.

        Raises:
            SheetError: the sheet has no such place.
        """
        if not 1 <= number <= self.places:
            raise SheetError(
                say(
                    "this sheet has places 1 to {places}; {number} is not one of them",
                    places=self.places,
                    number=number,
                )
            )
        return self._cell(number)

    def cells(self) -> tuple[Cell, ...]:
        """Return all places, along the rows."""
        return tuple(self._cell(number) for number in range(1, self.places + 1))

    def with_label_scaled(self, factor: Decimal) -> "Sheet":
        """Return the sheet with smaller labels at the same places."""
        return replace(
            self,
            label_width_mm=self.label_width_mm * factor,
            label_height_mm=self.label_height_mm * factor,
            corner_radius_mm=self.corner_radius_mm * factor,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """One label to print: on which page of the print, at which place."""

    page: int
    cell: Cell


def sheets_needed(sheet: Sheet, *, count: int, start_at: int = 1) -> int:
    """Return how many pages a number of labels takes.

    Args:
        sheet: the sheet.
        count: labels wanted.
        start_at: first free place of the first, half-used sheet.

    Raises:
        SheetError: the sheet has no such place, or nothing is wanted.
    """
    sheet.cell(start_at)
    if count < 1:
        raise SheetError(say("print at least one label, not {count}", count=count))
    return -(-(count + start_at - 1) // sheet.places)


def placements(sheet: Sheet, *, count: int, start_at: int = 1) -> Iterator[Placement]:
    """Return where each label goes, in the order they are printed.

    Args:
        sheet: the sheet.
        count: labels wanted.
        start_at: first free place of the first, half-used sheet.

    Raises:
        SheetError: the sheet has no such place, or nothing is wanted.
    """
    sheets_needed(sheet, count=count, start_at=start_at)
    cells = sheet.cells()
    return (
        Placement(page=1 + index // sheet.places, cell=cells[index % sheet.places])
        for index in range(start_at - 1, start_at - 1 + count)
    )


def page_name(width_mm: Decimal, height_mm: Decimal) -> str:
    """Return a page's common name, or its measures where it has none."""
    for name, size in PAGES_MM.items():
        if (width_mm, height_mm) == size:
            return name
        if (height_mm, width_mm) == size:
            return f"{name}-landscape"
    return f"{_whole(width_mm)}x{_whole(height_mm)}"


def measured_name(sheet: Sheet) -> str:
    """Return a sheet's name made of its measures.

    Label size in whole millimetres, labels across and down, and the page:
    "102x51mm-2x5-letter", "round-50mm-4x5-a4".
    """
    size = (
        f"round-{_whole(sheet.label_width_mm)}mm"
        if sheet.shape is Shape.ROUND
        else f"{_whole(sheet.label_width_mm)}x{_whole(sheet.label_height_mm)}mm"
    )
    page = page_name(sheet.page_width_mm, sheet.page_height_mm)
    return f"{size}-{sheet.columns}x{sheet.rows}-{page}"


def _length(side_mm: Decimal) -> str:
    return format_measure(side_mm, Measure.LENGTH)


def _whole(length_mm: Decimal) -> Decimal:
    return length_mm.quantize(Decimal(1), ROUND_HALF_UP)
