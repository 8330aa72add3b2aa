"""Papers that come before the labels: calibration page and proof sheet.

Both are printed at full size on plain paper. The calibration page shows how far
a printer is off, the proof sheet whether the measures of a sheet are right and
the words legible.
"""

from collections.abc import Iterator
from decimal import Decimal
from io import BytesIO

from reportlab.lib.colors import (  # noqa: TID253 - imported with papers only
    Color,
    HexColor,
)
from reportlab.lib.units import mm  # noqa: TID253 - imported with papers only
from reportlab.pdfgen.canvas import Canvas  # noqa: TID253 - imported with papers only

from inventory.accents import accent_of
from inventory.measure_setting import setting
from inventory.measures import MM_PER_INCH, Measure, format_measure, unit_of
from inventory.typefaces import Face, in_faces
from inventory.words import say
from labels.drawing.pdf import FORM, define_form, open_canvas
from labels.drawing.placed import LabelDrawing
from labels.sheets import Cell, Shape, Sheet

__all__ = ["calibration_pdf", "proof_pdf"]

GREY = Color(0.45, 0.45, 0.45)
FINE_MM = 0.1
ACCENT_MM = 0.8
RULER_INSET_MM = Decimal(4)
RULER_MM = Decimal(3)
CROSS_MM = 8.0
SIXTEENTH_MM = MM_PER_INCH.value / 16
INCH_MARKS_MM = {16: 3.0, 8: 2.4, 4: 1.8, 2: 1.2, 1: 0.8}
"""Length of a mark by the sixteenths of an inch it stands at a multiple of."""


def calibration_pdf(sheet: Sheet) -> bytes:
    """Return a page with every label's outline, crosses and rulers.

    It is drawn without the printer's offset, which it serves to find: printed
    and held with a label sheet against a window, it shows how far off the
    printer is.

    Args:
        sheet: the sheet to be lined up.
    """
    into = BytesIO()
    page = _Page(
        _open(into, sheet, say("Calibration of {sheet}", sheet=sheet.name)), sheet
    )
    for cell in sheet.cells():
        page.edge(_without_offset(cell, sheet))
    first = _without_offset(sheet.cell(1), sheet)
    last = _without_offset(sheet.cell(sheet.places), sheet)
    for cell in {first.number: first, last.number: last}.values():
        page.cross(cell)
    page.rulers()
    page.words(
        first,
        (
            say("Calibration of {sheet}", sheet=sheet.name),
            say("Print at full size (100 %, no fitting to the page) on plain paper."),
            say("Hold it with a label sheet against a window. Measure from the drawn"),
            say(
                "edge to the label's edge, right and down, and enter both in {unit}.",
                unit=unit_of(Measure.LENGTH),
            ),
            say("Check: the rulers at the page's edges must be true."),
        ),
    )
    return page.finish(into)


def proof_pdf(drawing: LabelDrawing, sheet: Sheet, *, accent: str = "") -> bytes:
    """Return a page with one label at its place, all outlines and rulers.

    Args:
        drawing: the label.
        sheet: the sheet it will go on; the printer's offset is applied.
        accent: fruit colour of the product, drawn around the first label, so that
            proofs of several products are told apart on the table.
    """
    into = BytesIO()
    canvas = _open(into, sheet, say("Proof on {sheet}", sheet=sheet.name))
    define_form(canvas, drawing, has_outline=False)
    page = _Page(canvas, sheet)
    for cell in sheet.cells():
        page.edge(cell)
    first = sheet.cell(1)
    if accent:
        page.edge(first, colour=HexColor(accent_of(accent).light), line_mm=ACCENT_MM)
    canvas.saveState()
    canvas.translate(float(first.left_mm) * mm, page.up(first.bottom_mm))
    canvas.doForm(FORM)
    canvas.restoreState()
    page.rulers()
    if sheet.places > 1:
        page.words(sheet.cell(sheet.places), _proof_words(drawing))
    return page.finish(into)


def _proof_words(drawing: LabelDrawing) -> tuple[str, ...]:
    smallest = min(drawing.sizes, key=lambda size: size.size_pt)
    return (
        say(
            "Proof, {width} x {height}",
            width=_length(drawing.width_mm),
            height=_length(drawing.height_mm),
        ),
        say("Print at full size on plain paper."),
        say(
            "Smallest type {size_pt:.1f} pt: {of}",
            size_pt=smallest.size_pt,
            of=smallest.of.replace("_", " "),
        ),
        say("The rulers at the page's edges must be true."),
    )


def _length(side_mm: float) -> str:
    return format_measure(Decimal(repr(side_mm)), Measure.LENGTH)


def _open(into: BytesIO, sheet: Sheet, title: str) -> Canvas:
    return open_canvas(
        into,
        width_mm=float(sheet.page_width_mm),
        height_mm=float(sheet.page_height_mm),
        title=title,
        language="en",
    )


def _without_offset(cell: Cell, sheet: Sheet) -> Cell:
    return Cell(
        number=cell.number,
        left_mm=cell.left_mm - sheet.offset_x_mm,
        top_mm=cell.top_mm - sheet.offset_y_mm,
        width_mm=cell.width_mm,
        height_mm=cell.height_mm,
    )


class _Page:
    """Draws marks on a page by distances from its top left corner, mm."""

    def __init__(self, canvas: Canvas, sheet: Sheet) -> None:
        self.canvas = canvas
        self.sheet = sheet
        canvas.setStrokeColor(GREY)
        canvas.setLineWidth(FINE_MM * mm)

    def up(self, y_mm: Decimal) -> float:
        """Turn a distance from the top into points from the bottom."""
        return float(self.sheet.page_height_mm - y_mm) * mm

    def edge(
        self, cell: Cell, *, colour: Color = GREY, line_mm: float = FINE_MM
    ) -> None:
        """Draw a label's outline."""
        self.canvas.setStrokeColor(colour)
        self.canvas.setLineWidth(line_mm * mm)
        left, bottom = float(cell.left_mm) * mm, self.up(cell.bottom_mm)
        width, height = float(cell.width_mm) * mm, float(cell.height_mm) * mm
        if self.sheet.shape is Shape.ROUND:
            self.canvas.circle(left + width / 2, bottom + height / 2, width / 2)
        else:
            radius = float(self.sheet.corner_radius_mm) * mm
            self.canvas.roundRect(left, bottom, width, height, radius)
        self.canvas.setStrokeColor(GREY)
        self.canvas.setLineWidth(FINE_MM * mm)

    def cross(self, cell: Cell) -> None:
        """Draw a cross in the middle of a label."""
        x = float(cell.left_mm + cell.width_mm / 2) * mm
        y = self.up(cell.top_mm + cell.height_mm / 2)
        half = CROSS_MM / 2 * mm
        self.canvas.line(x - half, y, x + half, y)
        self.canvas.line(x, y - half, x, y + half)

    def rulers(self) -> None:
        """Draw a level and an upright ruler, in mm or inches from the page's edges.

        They stand in a margin or between labels where there is room.
        """
        sheet = self.sheet
        top = _clear_strip(
            sheet.page_height_mm,
            sheet.top_margin_mm,
            sheet.label_height_mm,
            sheet.row_pitch_mm,
            sheet.rows,
        )
        left = _clear_strip(
            sheet.page_width_mm,
            sheet.left_margin_mm,
            sheet.label_width_mm,
            sheet.column_pitch_mm,
            sheet.columns,
        )
        for at, length in _ticks(sheet.page_width_mm):
            start, end = Decimal(repr(top)), Decimal(repr(top + length))
            self.canvas.line(at * mm, self.up(start), at * mm, self.up(end))
        for at, length in _ticks(sheet.page_height_mm):
            y = self.up(Decimal(repr(at)))
            self.canvas.line(left * mm, y, (left + length) * mm, y)

    def words(self, cell: Cell, lines: tuple[str, ...]) -> None:
        """Write some lines inside a label's outline."""
        size = 8.0
        room = float(cell.width_mm) * mm - 4 * mm
        y = self.up(cell.top_mm) - 4 * mm
        for line in lines:
            width = self.canvas.stringWidth(line, Face.REGULAR.value, size)
            fitted = min(size, size * room / width)
            x = float(cell.left_mm) * mm + 2 * mm
            for face, part in in_faces(line, Face.REGULAR):
                self.canvas.setFont(face.value, fitted)
                self.canvas.drawString(x, y, part)
                x += self.canvas.stringWidth(part, face.value, fitted)
            y -= size * 1.25

    def finish(self, into: BytesIO) -> bytes:
        """Close the page and return the file."""
        self.canvas.showPage()
        self.canvas.save()
        return into.getvalue()


def _clear_strip(
    page_mm: Decimal,
    margin_mm: Decimal,
    label_mm: Decimal,
    pitch_mm: Decimal,
    count: int,
) -> float:
    """Return where a ruler covers no label, mm; the page's edge if nowhere."""
    end_mm = margin_mm + (count - 1) * pitch_mm + label_mm
    if margin_mm >= RULER_MM + RULER_INSET_MM:
        return float(RULER_INSET_MM)
    if page_mm - end_mm >= RULER_MM + RULER_INSET_MM:
        return float(page_mm - RULER_INSET_MM - RULER_MM)
    if count > 1 and pitch_mm - label_mm >= RULER_MM + 1:
        return float(margin_mm + label_mm + (pitch_mm - label_mm - RULER_MM) / 2)
    return float(RULER_INSET_MM)


def _ticks(length_mm: Decimal) -> Iterator[tuple[float, float]]:
    """Yield position and length of each mark of the seller's ruler, mm."""
    if not setting().is_metric:
        for sixteenth in range(7, int((length_mm - 4) / SIXTEENTH_MM)):
            longest = next(part for part in (16, 8, 4, 2, 1) if sixteenth % part == 0)
            yield float(sixteenth * SIXTEENTH_MM), INCH_MARKS_MM[longest]
        return
    for at in range(10, int(length_mm) - 4):
        yield at, 3.0 if at % 10 == 0 else 2.0 if at % 5 == 0 else 1.0
