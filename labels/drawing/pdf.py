"""Labels as a PDF: one drawn form for each label, placed on as many sheets.

The form is written once into the file and placed by reference, so that thousands
of labels stay small. Bytes are equal for equal input: no clock is read.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import Final

from reportlab.lib.colors import (  # noqa: TID253 - imported with papers only
    Color,
    black,
    white,
)
from reportlab.lib.units import mm  # noqa: TID253 - imported with papers only
from reportlab.lib.utils import (  # noqa: TID253 - imported with papers only
    ImageReader,
)
from reportlab.pdfgen.canvas import Canvas  # noqa: TID253 - imported with papers only

from inventory.paper import register_fonts
from inventory.typefaces import Face
from inventory.words import say
from labels.drawing.pictures import PixelPicture
from labels.drawing.placed import (
    LabelDrawing,
    PlacedBox,
    PlacedCode,
    PlacedPicture,
    PlacedRule,
    PlacedText,
)
from labels.drawing.vector import Step, VectorPicture
from labels.sheets import Placement, Shape, Sheet, placements

__all__ = [
    "FORM",
    "PrintJob",
    "define_form",
    "label_pdf",
    "open_canvas",
    "outline",
    "sheets_pdf",
]

DRAFT_FILL = Color(0.84, 0.84, 0.84)
DRAFT_EDGE = Color(0.35, 0.35, 0.35)
DRAFT_EDGE_MM = 0.3
OUTLINE_GREY = Color(0.6, 0.6, 0.6)
OUTLINE_MM = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintJob:
    """What to print on which places of a sheet.

    Attributes:
        drawing: the label.
        sheet: where it goes.
        count: how many.
        start_at: first free place of the first sheet.
        has_outlines: whether the labels' edges are drawn, to print on plain paper.
        title: title in the file's properties.
    """

    drawing: LabelDrawing
    sheet: Sheet
    count: int
    start_at: int = 1
    has_outlines: bool = False
    title: str = "Labels"


def open_canvas(
    into: BytesIO, *, width_mm: float, height_mm: float, title: str, language: str
) -> Canvas:
    """Return an empty PDF of a page size, with its properties set."""
    register_fonts()
    canvas = Canvas(
        into,
        pagesize=(width_mm * mm, height_mm * mm),
        pageCompression=1,
        invariant=1,
        lang=language,
        initialFontName=Face.REGULAR.value,  # type: ignore[arg-type] # wrong in the stubs
    )
    canvas.setTitle(title)
    canvas.setCreator("Setting Point")
    canvas.setAuthor("Setting Point")
    return canvas


def sheets_pdf(job: PrintJob) -> bytes:
    """Return the sheets of a print job.

    Args:
        job: label, sheet, count and first place.

    Raises:
        SheetError: the sheet has no such place.
        ValueError: the label was laid out for another size.
    """
    _check_size(job.drawing, job.sheet)
    places = tuple(placements(job.sheet, count=job.count, start_at=job.start_at))
    into = BytesIO()
    page_height_mm = float(job.sheet.page_height_mm)
    canvas = open_canvas(
        into,
        width_mm=float(job.sheet.page_width_mm),
        height_mm=page_height_mm,
        title=job.title,
        language=job.drawing.language,
    )
    define_form(canvas, job.drawing, has_outline=job.has_outlines)
    page = 1
    for place in places:
        if place.page != page:
            canvas.showPage()
            page = place.page
        _do_form(canvas, place, page_height_mm)
    canvas.showPage()
    canvas.save()
    return into.getvalue()


def label_pdf(drawing: LabelDrawing, *, has_outline: bool = True) -> bytes:
    """Return one label on a page of its own size."""
    into = BytesIO()
    canvas = open_canvas(
        into,
        width_mm=drawing.width_mm,
        height_mm=drawing.height_mm,
        title="Label",
        language=drawing.language,
    )
    define_form(canvas, drawing, has_outline=has_outline)
    canvas.doForm(FORM)
    canvas.showPage()
    canvas.save()
    return into.getvalue()


FORM = "label"
FILL_MODE: Final = 0
OUTLINE_MODE: Final = 1
"""Text rendering modes of PDF (ISO 32000, 9.3.6)."""

SIZE_TOLERANCE_MM = 0.05


def _check_size(drawing: LabelDrawing, sheet: Sheet) -> None:
    wide = abs(drawing.width_mm - float(sheet.label_width_mm))
    high = abs(drawing.height_mm - float(sheet.label_height_mm))
    if max(wide, high) > SIZE_TOLERANCE_MM:
        raise ValueError(
            say(
                "a label of {width_mm:g} x {height_mm:g} mm does not go on the "
                "sheet {sheet}, whose labels are {label_width_mm} x "
                "{label_height_mm} mm",
                width_mm=drawing.width_mm,
                height_mm=drawing.height_mm,
                sheet=sheet.name,
                label_width_mm=sheet.label_width_mm,
                label_height_mm=sheet.label_height_mm,
            )
        )


def _do_form(canvas: Canvas, place: Placement, page_height_mm: float) -> None:
    canvas.saveState()
    canvas.translate(
        float(place.cell.left_mm) * mm,
        (page_height_mm - float(place.cell.bottom_mm)) * mm,
    )
    canvas.doForm(FORM)
    canvas.restoreState()


def define_form(canvas: Canvas, drawing: LabelDrawing, *, has_outline: bool) -> None:
    """Write a label into the file once, to be placed by ``FORM``."""
    canvas.beginForm(
        FORM,
        lowerx=0,
        lowery=0,
        upperx=drawing.width_mm * mm,
        uppery=drawing.height_mm * mm,
    )
    writer = _FormWriter(canvas, drawing)
    writer.draw()
    if has_outline:
        outline(canvas, drawing)
    canvas.endForm()


def outline(canvas: Canvas, drawing: LabelDrawing) -> None:
    """Draw the edge of a label, just inside it."""
    canvas.saveState()
    canvas.setStrokeColor(OUTLINE_GREY)
    canvas.setLineWidth(OUTLINE_MM * mm)
    inset = OUTLINE_MM / 2 * mm
    width, height = drawing.width_mm * mm, drawing.height_mm * mm
    if drawing.shape is Shape.ROUND:
        canvas.circle(width / 2, height / 2, width / 2 - inset)
    else:
        canvas.roundRect(
            inset,
            inset,
            width - 2 * inset,
            height - 2 * inset,
            max(0.0, drawing.corner_radius_mm * mm - inset),
        )
    canvas.restoreState()


class _FormWriter:
    """Draws the items of one label with its lower left corner at the origin."""

    def __init__(self, canvas: Canvas, drawing: LabelDrawing) -> None:
        self.canvas = canvas
        self.drawing = drawing

    def draw(self) -> None:
        """Draw every item in order, within the draft mark if it has one."""
        writers: dict[type, Callable[..., None]] = {
            PlacedText: self._text,
            PlacedRule: self._rule,
            PlacedBox: self._box,
            PlacedCode: self._code,
            PlacedPicture: self._picture,
        }
        self._draft(is_edge=False)
        self.canvas.setFillColor(black)
        self.canvas.setStrokeColor(black)
        for item in self.drawing.items:
            writers[type(item)](item)
        self._draft(is_edge=True)

    def _up(self, y_mm: float) -> float:
        """Turn a distance from the top into points from the bottom."""
        return (self.drawing.height_mm - y_mm) * mm

    def _text(self, item: PlacedText) -> None:
        self.canvas.setFillColor(white if item.on_band else black)
        self.canvas.setFont(item.face.value, item.size_pt)
        self.canvas.drawString(item.left_mm * mm, self._up(item.baseline_mm), item.text)
        self.canvas.setFillColor(black)

    def _rule(self, item: PlacedRule) -> None:
        self.canvas.setLineWidth(item.line_mm * mm)
        self.canvas.line(
            item.from_x_mm * mm,
            self._up(item.from_y_mm),
            item.to_x_mm * mm,
            self._up(item.to_y_mm),
        )

    def _box(self, item: PlacedBox) -> None:
        is_filled = item.line_mm == 0
        self.canvas.setLineWidth(item.line_mm * mm)
        self.canvas.roundRect(
            item.box.left_mm * mm,
            self._up(item.box.bottom_mm),
            item.box.width_mm * mm,
            item.box.height_mm * mm,
            item.radius_mm * mm,
            stroke=0 if is_filled else 1,
            fill=1 if is_filled else 0,
        )

    def _code(self, item: PlacedCode) -> None:
        path = self.canvas.beginPath()
        for bar in item.code.bars:
            path.rect(
                (item.left_mm + bar.left_mm) * mm,
                self._up(item.top_mm + bar.top_mm + bar.height_mm),
                bar.width_mm * mm,
                bar.height_mm * mm,
            )
        self.canvas.drawPath(path, stroke=0, fill=1)

    def _picture(self, item: PlacedPicture) -> None:
        if isinstance(item.picture, PixelPicture):
            self.canvas.drawImage(
                ImageReader(BytesIO(item.picture.data)),
                item.box.left_mm * mm,
                self._up(item.box.bottom_mm),
                item.box.width_mm * mm,
                item.box.height_mm * mm,
                mask="auto",
            )
        else:
            self._vector(item, item.picture)

    def _vector(self, item: PlacedPicture, picture: VectorPicture) -> None:
        scale = item.box.width_mm / picture.width

        def point(x: float, y: float) -> tuple[float, float]:
            return (
                (item.box.left_mm + (x - picture.left) * scale) * mm,
                self._up(item.box.top_mm + (y - picture.top) * scale),
            )

        for steps in picture.paths:
            path = self.canvas.beginPath()
            for step in steps:
                _add_step(path, step, point)
            self.canvas.drawPath(path, stroke=0, fill=1, fillMode=0)

    def _draft(self, *, is_edge: bool) -> None:
        """Draw the draft mark: pale below the words, its edge above them."""
        canvas, drawing, words = self.canvas, self.drawing, self.drawing.draft
        if not words:
            return
        length = canvas.stringWidth(words, Face.BOLD.value, 1.0)
        diagonal = (drawing.width_mm**2 + drawing.height_mm**2) ** 0.5 * mm
        size = min(0.7 * diagonal / length, 0.5 * drawing.height_mm * mm)
        canvas.saveState()
        canvas.setFillColor(DRAFT_FILL)
        canvas.setStrokeColor(DRAFT_EDGE)
        canvas.setLineWidth(DRAFT_EDGE_MM * mm)
        canvas.translate(drawing.width_mm * mm / 2, drawing.height_mm * mm / 2)
        canvas.rotate(min(20.0, 45.0 * drawing.height_mm / drawing.width_mm))
        canvas.setFont(Face.BOLD.value, size)
        canvas.drawCentredString(
            0, -0.35 * size, words, mode=OUTLINE_MODE if is_edge else FILL_MODE
        )
        canvas.restoreState()


def _add_step(
    path: object, step: Step, point: Callable[[float, float], tuple[float, float]]
) -> None:
    pairs: Sequence[float] = [
        each
        for x, y in zip(step.points[::2], step.points[1::2], strict=True)
        for each in point(x, y)
    ]
    names = {"M": "moveTo", "L": "lineTo", "C": "curveTo", "Z": "close"}
    getattr(path, names[step.kind])(*pairs)
