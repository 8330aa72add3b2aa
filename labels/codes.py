"""Codes a scanner reads: QR, trade item bars and GS1-128, as squares in mm.

A code is a list of black rectangles with the quiet zone it needs round it.
Numbers are checked before bars are made of them; none is ever invented.

Source: ISO/IEC 18004 (QR: quiet zone of four modules); GS1 General
Specifications (bar widths of 0.264 to 0.66 mm for trade items, 0.25 mm and more
for GS1-128, quiet zones of 11 and 7, 9 and 9, 7 and 7, 10 and 10 modules), all
from memory: tests decode what is drawn.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from inventory.words import say
from production.gs1 import (
    SEPARATOR,
    Element,
    bracketed,
    check_associations,
    element_string,
    read_gtin,
)

__all__ = ["Bar", "Code", "CodeError", "lot_bars", "qr_code", "trade_item_bars"]

QR_MODULE_MM = 0.42
QR_QUIET_MODULES = 4
LONGEST_QR_TEXT = 300

TRADE_ITEM_BAR_MM = 0.264
LOT_BAR_MM = 0.25
TRADE_ITEM_HEIGHT_MM = 18.3
LOT_HEIGHT_MM = 12.7
CAPTION_MM = 2.6
FUNCTION_CHARACTER = "\xf1"
"""How the bar code writer is told of FNC1."""

QUIET_MODULES = {"EAN13": (11, 7), "UPCA": (9, 9), "EAN8": (7, 7), "Code128": (10, 10)}


class CodeError(ValueError):
    """A code cannot be drawn."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """One black rectangle, mm from the code's top left corner."""

    left_mm: float
    top_mm: float
    width_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Code:
    """A code with its quiet zone.

    Attributes:
        kind: "qr", "trade item" or "lot".
        content: what a scanner reports.
        caption: what people read below it, or "".
        width_mm: with the quiet zone.
        height_mm: with the quiet zone and the caption's line.
        bars: the black parts.
    """

    kind: str
    content: str
    caption: str
    width_mm: float
    height_mm: float
    bars: tuple[Bar, ...]


def qr_code(text: str, *, module_mm: float = QR_MODULE_MM) -> Code:
    """Return a QR code that survives 15 % damage.

    Args:
        text: an address or free text.
        module_mm: side of one square, mm.

    Raises:
        CodeError: the text is empty or too long to scan at label size.
    """
    import segno

    if not text.strip():
        raise CodeError(say("a QR code needs an address or a text"))
    if len(text) > LONGEST_QR_TEXT:
        raise CodeError(
            say(
                "the QR text has {text} characters; at most {longest_qr_text} scan "
                "well on a label",
                text=len(text),
                longest_qr_text=LONGEST_QR_TEXT,
            )
        )
    rows = list(segno.make(text, error="m", micro=False, boost_error=False).matrix)
    side_mm = (len(rows) + 2 * QR_QUIET_MODULES) * module_mm
    quiet_mm = QR_QUIET_MODULES * module_mm
    bars = tuple(
        Bar(
            left_mm=quiet_mm + start * module_mm,
            top_mm=quiet_mm + down * module_mm,
            width_mm=length * module_mm,
            height_mm=module_mm,
        )
        for down, row in enumerate(rows)
        for start, length in _stretches(row)
    )
    return Code(
        kind="qr",
        content=text,
        caption="",
        width_mm=side_mm,
        height_mm=side_mm,
        bars=bars,
    )


def _stretches(row: Sequence[int]) -> Iterator[tuple[int, int]]:
    """Yield start and length of each run of black squares."""
    start = None
    for place, value in enumerate([*row, 0]):
        if value and start is None:
            start = place
        elif not value and start is not None:
            yield start, place - start
            start = None


def trade_item_bars(number: str) -> Code:
    """Return the bars of a GTIN of 8, 12 or 13 digits.

    Args:
        number: as licensed, check digit included.

    Raises:
        GtinError: it is no trade item number.
        CodeError: it has 14 digits, which no till reads.
    """
    digits = read_gtin(number).digits
    if not digits.startswith("0"):
        raise CodeError(
            say(
                "{digits} is a number for cases; a jar carries one of 8, 12 or 13 "
                "digits",
                digits=digits,
            )
        )
    if digits.startswith("000000"):
        kind, shown = "EAN8", digits[6:]
    elif digits.startswith("00"):
        kind, shown = "UPCA", digits[2:]
    else:
        kind, shown = "EAN13", digits[1:]
    bars, width_mm = _bars(kind, shown[:-1], bar_mm=TRADE_ITEM_BAR_MM)
    return Code(
        kind="trade item",
        content=shown,
        caption=shown,
        width_mm=width_mm,
        height_mm=TRADE_ITEM_HEIGHT_MM + CAPTION_MM,
        bars=_as_high(bars, TRADE_ITEM_HEIGHT_MM),
    )


def lot_bars(*, number: str, lot: str) -> Code:
    """Return GS1-128 bars of a trade item number with a batch code.

    Args:
        number: GTIN as licensed.
        lot: batch code.

    Raises:
        GtinError: the number is none.
        ElementStringError: the lot is too long or has other characters.
    """
    elements = (
        Element(ai="01", value=read_gtin(number).digits),
        Element(ai="10", value=lot),
    )
    check_associations(elements)
    plain = element_string(elements)
    value = FUNCTION_CHARACTER + plain.replace(SEPARATOR, FUNCTION_CHARACTER)
    bars, width_mm = _bars("Code128", value, bar_mm=LOT_BAR_MM)
    return Code(
        kind="lot",
        content=plain,
        caption=bracketed(elements),
        width_mm=width_mm,
        height_mm=LOT_HEIGHT_MM + CAPTION_MM,
        bars=_as_high(bars, LOT_HEIGHT_MM),
    )


def _bars(
    symbology: str, value: str, *, bar_mm: float
) -> tuple[list[tuple[float, float]], float]:
    """Return left and width of each bar, and the width with the quiet zones, mm."""
    edges = sorted(_bar_edges(symbology, value))
    first, last = edges[0][0], max(right for _left, right in edges)
    scale = bar_mm / min(right - left for left, right in edges)
    before, after = QUIET_MODULES[symbology]
    bars = [
        (before * bar_mm + (left - first) * scale, (right - left) * scale)
        for left, right in edges
    ]
    return bars, (last - first) * scale + (before + after) * bar_mm


def _as_high(bars: list[tuple[float, float]], height_mm: float) -> tuple[Bar, ...]:
    return tuple(
        Bar(left_mm=left, top_mm=0.0, width_mm=width, height_mm=height_mm)
        for left, width in bars
    )


def _bar_edges(symbology: str, value: str) -> set[tuple[float, float]]:
    """Return left and right of each bar, in the writer's own unit."""
    from reportlab.graphics.barcode import createBarcodeDrawing

    draw: Any = createBarcodeDrawing
    drawing = draw(symbology, value=value, humanReadable=False)
    return {
        (round(shape.x, 4), round(shape.x + shape.width, 4))
        for shape in _shapes(drawing)
        if shape.__class__.__name__ == "Rect" and shape.fillColor is not None
    }


def _shapes(node: Any) -> Iterator[Any]:
    if hasattr(node, "draw") and not hasattr(node, "contents"):
        node = node.draw()
    contents = getattr(node, "contents", None)
    if contents is None:
        yield node
        return
    for child in contents:
        yield from _shapes(child)
