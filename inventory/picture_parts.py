"""What the pictures of pages share: type, patterned blocks, the edge of a block.

Colour is never alone in telling kinds apart: each kind also has a pattern, drawn in
the colour of the page, so that a picture reads the same printed in black. A block
takes its colour from the style sheet (``site/site.css``) by its class, and keeps a
colour of its own for papers, which have no style sheet.
"""

from collections.abc import Iterator
from enum import StrEnum

from reportlab.graphics.shapes import (  # noqa: TID253 - imported with pictures only
    Rect,
)
from reportlab.lib.colors import (  # noqa: TID253 - imported with pictures only
    Color,
    black,
    white,
)

from inventory.pictures import mark

__all__ = ["BOLD", "FONT", "Pattern", "block", "patterned"]

FONT, BOLD = "Helvetica", "Helvetica-Bold"
"""The page's own text family takes their place (``.picture text``)."""
GAP, STRIPE = 4.0, 1.3


class Pattern(StrEnum):
    """How a block is filled besides its colour."""

    FULL = "full"
    UPRIGHT = "upright"
    LEVEL = "level"
    CHECK = "check"
    DOTTED = "dotted"
    HOLLOW = "hollow"


def block(  # noqa: PLR0913 - place, size and look of one shape
    x: float,
    y: float,
    width: float,
    height: float,
    *,
    fill: Color | None,
    name: str = "",
    css_class: str = "",
    is_edged: bool = False,
) -> Rect:
    """Return a rectangle, edged in ink or not at all."""
    shape = Rect(x, y, width, height)
    shape.fillColor = fill
    shape.strokeColor = black if is_edged else None
    shape.strokeWidth = 0.6
    mark(shape, name=name, css_class=css_class)
    return shape


def patterned(  # noqa: PLR0913 - as above
    x: float,
    y: float,
    width: float,
    height: float,
    *,
    fill: Color,
    pattern: Pattern,
    name: str = "",
    css_class: str = "",
) -> Iterator[Rect]:
    """Yield a block and its pattern, kept inside the block.

    Args:
        x: left, points.
        y: bottom, points.
        width: points.
        height: points.
        fill: its colour where there is no style sheet.
        pattern: what tells it apart without colour.
        name: tool tip, also read aloud.
        css_class: class of the style sheet.
    """
    is_hollow = pattern is Pattern.HOLLOW
    yield block(
        x, y, width, height,
        fill=white if is_hollow else fill, name=name, is_edged=is_hollow,
        css_class="page" if is_hollow else css_class,
    )  # fmt: skip
    for left, low, wide, high in _stripes(width, height, pattern):
        yield block(x + left, y + low, wide, high, fill=white, css_class="page")


def _stripes(
    width: float, height: float, pattern: Pattern
) -> Iterator[tuple[float, float, float, float]]:
    """Left, bottom, width and height of each mark of a pattern."""
    across, up = _places(width), _places(height)
    if pattern in {Pattern.UPRIGHT, Pattern.CHECK}:
        yield from ((x, 0, STRIPE, height) for x in across)
    if pattern in {Pattern.LEVEL, Pattern.CHECK}:
        yield from ((0, y, width, STRIPE) for y in up)
    if pattern is Pattern.DOTTED:
        yield from ((x, y, STRIPE * 1.4, STRIPE * 1.4) for x in across for y in up)


def _places(length: float) -> list[float]:
    """Where the marks of a pattern lie along a side, all of them inside it."""
    many = int((length - STRIPE * 1.4) // GAP)
    return [GAP / 2 + GAP * number for number in range(many)]
