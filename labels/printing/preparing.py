"""From a batch, a sheet and a look to a label that is drawn, or a refusal."""

import datetime
from copy import copy
from dataclasses import dataclass
from decimal import Decimal

from inventory.models import Business, Product
from inventory.typefaces import TypefaceError
from inventory.words import say
from labels import selectors
from labels.codes import Code, CodeError, lot_bars, qr_code, trade_item_bars
from labels.drawing.designs import find_design
from labels.drawing.layout import (
    LabelDoesNotFitError,
    LabelKind,
    LabelRequest,
    LayoutError,
    lay_out,
)
from labels.drawing.pictures import Picture, PictureError, read_picture
from labels.drawing.placed import LabelDrawing
from labels.drawing.surface import (
    FlatSidedJar,
    JarSurface,
    RoundJar,
    SurfaceError,
)
from labels.models import LabelSheet, ProductLabel
from labels.printing.errors import PrintingError
from labels.sheets import Shape, SheetError
from labels.statements.build import BuiltLabel
from production.batch_codes import BatchCodeError, read_code
from production.gs1 import ElementStringError, GtinError
from production.models import Batch

__all__ = [
    "Prepared",
    "Wish",
    "find_batch",
    "find_sheet",
    "look_of",
    "prepare",
]

HELD_WORDS = "HELD · DRAFT"
DRAFT_WORDS = "DRAFT"
REFUSED = {Batch.Status.REJECTED, Batch.Status.RECALLED}


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What is to be drawn.

    Attributes:
        batch: whose label; ``None`` shows the label of the look's product.
        sheet: on which sheet.
        look: how it looks; what is stored for the product if left out.
        on: the day, for the age of a place profile.
        arrangement: which of the jar's labels; the look's own if left out.
        book: what the label needs, where it is read already; never for what is
            printed under a lock.
    """

    batch: Batch | None
    sheet: LabelSheet
    on: datetime.date
    look: ProductLabel | None = None
    arrangement: str = ""
    book: selectors.LabelBook | None = None

    @property
    def product(self) -> Product:
        """What the label is for.

        Raises:
            PrintingError: the batch fills no jars.
        """
        if self.batch is None and self.look is not None:
            return self.look.product
        if self.batch is not None and self.batch.product is not None:
            return self.batch.product
        code = self.batch.code if self.batch else ""
        raise PrintingError(
            say("batch {code} fills no jars, so it has no label", code=code)
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Prepared:
    """A label ready to be printed.

    Attributes:
        wish: what was asked.
        look: how it looks.
        built: its words with what is behind them.
        drawing: where everything stands, draft mark included.
        draft_reasons: why it may be used only as a draft; empty if for good.
    """

    wish: Wish
    look: ProductLabel
    built: BuiltLabel
    drawing: LabelDrawing
    draft_reasons: tuple[str, ...]

    @property
    def is_draft(self) -> bool:
        """Whether a mark lies across it."""
        return bool(self.draft_reasons)

    @property
    def words(self) -> dict[str, object]:
        """The words as they are kept with a print run."""
        text = self.built.text
        return {
            "jurisdiction": text.jurisdiction,
            "language": text.language,
            "elements": [[each.role.value, each.text] for each in text.elements],
        }


def find_batch(code: str) -> Batch:
    """Return the batch of a code, however it is typed.

    Raises:
        PrintingError: the code has a typing mistake, or there is no such batch.
    """
    try:
        read = str(read_code(code))
    except BatchCodeError as error:
        raise PrintingError(str(error)) from error
    batch = selectors.one_batch(Batch.objects.filter(code=read))
    if batch is None:
        raise PrintingError(say("there is no batch {read} in this book", read=read))
    return batch


def find_sheet(name: str) -> LabelSheet:
    """Return the sheet of a name.

    Raises:
        PrintingError: there is none.
    """
    sheet = LabelSheet.objects.filter(name=name).first()
    if sheet is None:
        known = ", ".join(LabelSheet.objects.values_list("name", flat=True))
        raise PrintingError(
            say('there is no sheet "{name}"; ', name=name)
            + (
                say("choose one of {known}", known=known)
                if known
                else say("measure one on the Sheets page")
            )
        )
    return sheet


def prepare(wish: Wish) -> Prepared:
    """Write and lay out the label of a batch.

    Args:
        wish: batch, sheet, look and day.

    Raises:
        PrintingError: the batch's labels may not be printed, or the label does
            not fit; the sentence lists everything that does not.
    """
    product = wish.product
    book = wish.book or selectors.book_for(product, wish.batch)
    _check_batch(wish.batch, book)
    look = copy(wish.look or look_of(product))
    look.arrangement = wish.arrangement or look.arrangement
    try:
        built = selectors.built_label(
            batch=wish.batch, look=look, on=wish.on, book=book
        )
        drawing = lay_out(_request(wish, product, look, built))
    except LabelDoesNotFitError as error:
        raise PrintingError(
            str(error), items=[str(each) for each in error.misfits]
        ) from error
    except (
        LayoutError,
        SheetError,
        SurfaceError,
        TypefaceError,
        PictureError,
        CodeError,
        GtinError,
        ElementStringError,
        selectors.LabelSelectionError,
    ) as error:
        raise PrintingError(str(error)) from error
    reasons = (*_batch_reasons(wish.batch), *built.text.draft_reasons)
    if reasons:
        is_held = wish.batch and wish.batch.status == Batch.Status.HELD
        drawing = drawing.as_draft(HELD_WORDS if is_held else DRAFT_WORDS)
    return Prepared(
        wish=wish, look=look, built=built, drawing=drawing, draft_reasons=reasons
    )


def look_of(product: Product) -> ProductLabel:
    """Return how a product's label looks, the standard look if none is stored."""
    return copy(selectors.label_of(product))


def _check_batch(batch: Batch | None, book: selectors.LabelBook) -> None:
    """Refuse a batch that no jar may be sold of."""
    if batch is None:
        return
    if batch.status in REFUSED:
        raise PrintingError(
            say(
                "batch {batch} is {status}; no labels are printed for it",
                batch=batch.code,
                status=batch.get_status_display(),
            )
        )
    if any(output.lot.stopped_at for output in book.outputs(batch)):
        raise PrintingError(
            say(
                "the sale of batch {batch} is stopped; no labels are printed until "
                "the stop is lifted",
                batch=batch.code,
            )
        )


def _batch_reasons(batch: Batch | None) -> tuple[str, ...]:
    if batch is None:
        return (say("no batch is made yet, so date and code are missing"),)
    if batch.status == Batch.Status.RELEASED:
        return ()
    return (
        say(
            "batch {batch} is {status}, not released",
            batch=batch.code or "",
            status=batch.get_status_display(),
        ),
    )


def _request(
    wish: Wish, product: Product, look: ProductLabel, built: BuiltLabel
) -> LabelRequest:
    sheet = wish.sheet.as_sheet()
    kind = LabelKind(look.arrangement)
    _check_shape(sheet.shape, kind)
    business = Business.current()
    return LabelRequest(
        text=built.text,
        kind=kind,
        width_mm=float(sheet.label_width_mm),
        height_mm=float(sheet.label_height_mm),
        jar=_jar_of(product),
        design=find_design(look.design),
        shape=sheet.shape,
        corner_radius_mm=float(sheet.corner_radius_mm),
        brand=business.trade_name if look.shows_trade_name else "",
        logo=_logo_of(look),
        codes=_codes_of(wish.batch, product, look) if kind != LabelKind.LID else (),
    )


def _check_shape(shape: Shape, kind: LabelKind) -> None:
    if shape is Shape.ROUND and kind is LabelKind.WRAP:
        raise PrintingError(
            say(
                "a round label does not hold everything; choose the lid, front or "
                "back label, or another sheet"
            )
        )


def _jar_of(product: Product) -> JarSurface:
    jar = product.jar_size
    if jar.flat_sides:
        return FlatSidedJar(
            wall_height_mm=Decimal(jar.label_height_mm),
            face_width_mm=Decimal(jar.diameter_mm),
            faces=jar.flat_sides,
        )
    return RoundJar(
        wall_height_mm=Decimal(jar.label_height_mm),
        diameter_mm=Decimal(jar.diameter_mm),
    )


def _logo_of(look: ProductLabel) -> Picture | None:
    if not look.logo:
        return None
    with look.logo.open("rb") as file:
        return read_picture(file.read())


def _codes_of(
    batch: Batch | None, product: Product, look: ProductLabel
) -> tuple[Code, ...]:
    codes = []
    code = (batch.code if batch else "") or ""
    if look.shows_qr:
        codes.append(qr_code(look.qr_text or code or product.code))
    if look.bars and not product.gtin:
        raise PrintingError(
            say(
                "{product} has no GTIN; enter the number licensed to you, or leave "
                "the bars off",
                product=product,
            )
        )
    if look.bars == ProductLabel.Code.GTIN:
        codes.append(trade_item_bars(product.gtin))
    if look.bars == ProductLabel.Code.LOT:
        codes.append(lot_bars(number=product.gtin, lot=code or "LOT"))
    return tuple(codes)
