"""Pictures and papers of a label before it is printed."""

import base64
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from io import BytesIO

from labels.drawing.placed import ElementSize, LabelDrawing
from labels.models import LabelSheet
from labels.printing.errors import PrintingError
from labels.printing.preparing import Prepared, Wish, prepare
from labels.sheets import Cell

__all__ = [
    "PlaceShown",
    "Preview",
    "calibration_file",
    "picture_png",
    "places_shown",
    "preview",
    "proof_file",
]

PIXELS_PER_MM = 96 / 25.4
"""A page's pixel is 1/96 in, so that the picture stands about real size."""

SHARPNESS = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Preview:
    """A label on the screen.

    Attributes:
        address: the picture as a data address.
        width_px: width for real size.
        height_px: height for real size.
        alternative: the words, for readers who cannot see the picture.
        draft_reasons: why a mark lies across it.
        sizes: type size of each statement.
        refusal: why there is no picture, or "".
        misfits: everything that does not fit.
    """

    address: str = ""
    width_px: int = 0
    height_px: int = 0
    alternative: str = ""
    draft_reasons: tuple[str, ...] = ()
    sizes: tuple[ElementSize, ...] = ()
    refusal: str = ""
    misfits: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceShown:
    """One place in the picture of a sheet."""

    cell: Cell
    is_printed: bool

    @property
    def half_width(self) -> Decimal:
        """Radius of a round label, mm."""
        return self.cell.width_mm / 2

    @property
    def middle_x(self) -> Decimal:
        """From the page's left edge to the label's middle, mm."""
        return self.cell.left_mm + self.cell.width_mm / 2

    @property
    def middle_y(self) -> Decimal:
        """From the page's top edge to the label's middle, mm."""
        return self.cell.top_mm + self.cell.height_mm / 2


def picture_png(drawing: LabelDrawing) -> bytes:
    """Return a picture of one label, sharp on a dense screen."""
    # Both are slow to load: only when something is shown.
    import pypdfium2

    from labels.drawing.pdf import label_pdf  # noqa: PLC0415

    page = pypdfium2.PdfDocument(label_pdf(drawing))[0]
    image = page.render(scale=SHARPNESS * 96 / 72).to_pil().convert("L")
    into = BytesIO()
    image.save(into, format="PNG")
    return into.getvalue()


def proof_file(prepared: Prepared) -> bytes:
    """Return the proof sheet of a prepared label."""
    from labels.drawing.proofs import proof_pdf  # noqa: PLC0415

    wish = prepared.wish
    return proof_pdf(
        prepared.drawing, wish.sheet.as_sheet(), accent=wish.product.accent
    )


def calibration_file(sheet: LabelSheet) -> bytes:
    """Return the calibration page of a sheet."""
    from labels.drawing.proofs import calibration_pdf  # noqa: PLC0415

    return calibration_pdf(sheet.as_sheet())


def preview(wish: Wish) -> Preview:
    """Return a label on the screen, or the reason there is none."""
    try:
        prepared = prepare(wish)
    except PrintingError as error:
        return Preview(refusal=str(error), misfits=error.items)
    return shown(prepared)


def shown(prepared: Prepared) -> Preview:
    """Return a prepared label on the screen."""
    drawing = prepared.drawing
    picture = base64.b64encode(picture_png(drawing)).decode("ascii")
    return Preview(
        address=f"data:image/png;base64,{picture}",
        width_px=round(drawing.width_mm * PIXELS_PER_MM),
        height_px=round(drawing.height_mm * PIXELS_PER_MM),
        alternative=". ".join(item.text.strip(" .") for item in drawing.texts),
        draft_reasons=prepared.draft_reasons,
        sizes=drawing.sizes,
    )


def places_shown(
    sheet: LabelSheet, *, count: int = 0, start_at: int = 1
) -> Sequence[PlaceShown]:
    """Return the places of the first sheet, those to be printed marked."""
    last = start_at + count - 1
    return [
        PlaceShown(cell=cell, is_printed=start_at <= cell.number <= last)
        for cell in sheet.as_sheet().cells()
    ]
