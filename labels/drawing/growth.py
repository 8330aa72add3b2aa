"""How large a label's print can grow in one cut of the typeface."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from inventory.typefaces import Face
from inventory.words import say
from labels.drawing.arrangements import (
    INFORMATION_INSET_MM,
    Arrangement,
    arrangements,
)
from labels.drawing.blocks import Block, CodeBlock, PictureBlock, Stack, TextBlock
from labels.drawing.designs import divider
from labels.drawing.front import FrontPanel
from labels.drawing.glyphs import MM_PER_POINT
from labels.drawing.nutrition import NutritionForm
from labels.drawing.panels import Filled, Misfit, columns_of, fill_columns
from labels.drawing.pictures import LEAST_DPI, Picture, PixelPicture
from labels.drawing.pieces import Piece, PieceMaker, resolved_sizes
from labels.drawing.placed import Box, ElementSize, Item
from labels.drawing.request import LabelRequest, LayoutError
from labels.drawing.typesetting import prepare
from labels.sheets import Shape
from labels.statements.label_text import Placement, Role, plain

__all__ = ["Attempt", "Setting"]

GROWTHS = tuple(step / 20 for step in range(20, -1, -1))
BRAND_PT = 8.0
SMALLEST_BRAND_PT = 6.0
LOGO_SHARE = 0.22
"""Height of a logo as a share of the label's."""

Fill = Callable[[float], Filled]


@dataclass(frozen=True, slots=True, kw_only=True)
class Attempt:
    """One arrangement with the largest print it allows.

    Attributes:
        growths: of each panel: 0 for the least sizes, 1 for the preferred ones.
        items: what was placed.
        sizes: of each statement.
        misfits: what found no room, even at the least sizes.
        bonus: what speaks for the arrangement besides its size.
    """

    growths: tuple[float, ...]
    items: tuple[Item, ...]
    sizes: tuple[ElementSize, ...]
    misfits: tuple[Misfit, ...]
    bonus: float = 0.0

    @property
    def merit(self) -> float:
        """How far the smallest print could grow, then the rest."""
        return (
            min(self.growths)
            + 0.25 * sum(self.growths) / len(self.growths)
            + (self.bonus)
        )


CONDENSED_MALUS = -0.15
STACKED_ON_WIDE_MALUS = -0.2


class Setting:
    """One label in one cut of the typeface."""

    def __init__(
        self,
        *,
        request: LabelRequest,
        is_condensed: bool,
        form: NutritionForm = NutritionForm.VERTICAL,
    ) -> None:
        self.request = request
        self.is_condensed = is_condensed
        maker = PieceMaker(
            jar=request.jar,
            label_height_mm=request.height_mm,
            is_condensed=is_condensed,
            form=form,
        )
        self.front = [maker.make(each) for each in request.front_elements]
        self.information = [maker.make(each) for each in request.information_elements]

    def attempts(self) -> list[Attempt]:
        """Return the outcome of every arrangement."""
        return [self._attempt(each) for each in arrangements(self.request)]

    def _attempt(self, arrangement: Arrangement) -> Attempt:
        front_box, information_box = arrangement.front, arrangement.information
        if front_box is None and information_box is not None:
            growth, filled = self._grow_information(arrangement, information_box, {})
            return self._one_panel(arrangement, self.information, growth, filled)
        if front_box is not None and information_box is None:
            growth, filled = self._grow_front(
                arrangement, front_box, self.information, codes=self._codes()
            )
            pieces = [*self.front, *self.information]
            return self._one_panel(arrangement, pieces, growth, filled)
        if front_box is not None and information_box is not None:
            return self._two_panels(arrangement, front_box, information_box)
        raise AssertionError("an arrangement has a panel")

    def _two_panels(
        self, arrangement: Arrangement, front_box: Box, information_box: Box
    ) -> Attempt:
        front_growth, front = self._grow_front(arrangement, front_box, [], codes=[])
        heights = {
            piece.role: piece.height_mm(size)
            for piece, size in self._sized(self.front, front_growth, {})
        }
        growth, filled = self._grow_information(arrangement, information_box, heights)
        sized = [
            *self._sized(self.front, front_growth, {}),
            *self._sized(self.information, growth, heights),
        ]
        line = divider(
            (front_box.right_mm + information_box.left_mm) / 2,
            top_mm=INFORMATION_INSET_MM,
            bottom_mm=self.request.height_mm - INFORMATION_INSET_MM,
        )
        lines = () if self.request.design.has_frame else (line,)
        return Attempt(
            growths=(front_growth, growth),
            items=(*self._frame(arrangement), *front.items, *lines, *filled.items),
            sizes=tuple(piece.size(size) for piece, size in sized),
            misfits=(*front.misfits, *filled.misfits),
            bonus=arrangement.bonus + self._cut_bonus,
        )

    @property
    def _cut_bonus(self) -> float:
        return CONDENSED_MALUS if self.is_condensed else 0.0

    def _one_panel(
        self,
        arrangement: Arrangement,
        pieces: Sequence[Piece],
        growth: float,
        filled: Filled,
    ) -> Attempt:
        is_wide = self.request.width_mm > 1.7 * self.request.height_mm
        bonus = arrangement.bonus + self._cut_bonus
        if is_wide and self.front and self.information:
            bonus += STACKED_ON_WIDE_MALUS
        return Attempt(
            growths=(growth,),
            items=(*self._frame(arrangement), *filled.items),
            sizes=tuple(
                piece.size(size) for piece, size in self._sized(pieces, growth, {})
            ),
            misfits=filled.misfits,
            bonus=bonus,
        )

    def _frame(self, arrangement: Arrangement) -> tuple[Item, ...]:
        if arrangement.front_frame is None:
            return ()
        radius = self.request.width_mm / 2 if self.request.shape is Shape.ROUND else 0.0
        return self.request.design.decoration(arrangement.front_frame, radius_mm=radius)

    def _sized(
        self, pieces: Sequence[Piece], growth: float, beside: dict[Role, float]
    ) -> list[tuple[Piece, float]]:
        sizes = resolved_sizes(pieces, growth=growth, beside=beside)
        return list(zip(pieces, sizes, strict=True))

    def _grow_front(
        self,
        arrangement: Arrangement,
        box: Box,
        below: Sequence[Piece],
        *,
        codes: Sequence[Block],
    ) -> tuple[float, Filled]:
        own = len(self.front)
        above = self._above(box.width_mm)

        def fill(growth: float) -> Filled:
            sized = self._sized([*self.front, *below], growth, {})
            return FrontPanel(
                box=box,
                label_height_mm=self.request.height_mm,
                to_next_mm=arrangement.to_next_mm,
                design=self.request.design,
                is_zone_asked=self.request.is_zone_asked,
                above=above,
                pieces=sized[:own],
                between=[*_grouped(sized[own:]), *codes],
            ).fill()

        return _largest(fill)

    def _grow_information(
        self, arrangement: Arrangement, box: Box, beside: dict[Role, float]
    ) -> tuple[float, Filled]:
        columns = columns_of(box, arrangement.columns)

        def fill(growth: float) -> Filled:
            sized = self._sized(self.information, growth, beside)
            gap = 0.45 * max((size for _piece, size in sized), default=6.0)
            return fill_columns(
                [*_grouped(sized), *self._codes()],
                columns,
                gap_mm=gap * MM_PER_POINT,
            )

        return _largest(fill)

    def _codes(self) -> list[Block]:
        return [CodeBlock(code=code) for code in self.request.codes]

    def _above(self, width_mm: float) -> list[Block]:
        request = self.request
        blocks: list[Block] = []
        if request.logo is not None:
            blocks.append(_logo_block(request, request.logo, width_mm))
        if request.brand:
            face = Face.SEMIBOLD.condensed if self.is_condensed else Face.SEMIBOLD
            words = prepare(plain(request.brand), face=face, emphasis=face)
            size = max(SMALLEST_BRAND_PT, min(BRAND_PT, 0.16 * request.height_mm))
            blocks.append(
                TextBlock(
                    name="brand",
                    paragraph=words,
                    size_pt=size,
                    align=request.design.align,
                    is_balanced=True,
                )
            )
        return blocks


def _largest(fill: Fill) -> tuple[float, Filled]:
    """Return the greatest growth at which a panel holds its text."""
    low, high = 0, len(GROWTHS) - 1
    best = fill(GROWTHS[high])
    if best.misfits:
        return GROWTHS[high], best
    while low < high:
        middle = (low + high) // 2
        filled = fill(GROWTHS[middle])
        if filled.misfits:
            low = middle + 1
        else:
            high, best = middle, filled
    return GROWTHS[high], best


def _grouped(sized: Sequence[tuple[Piece, float]]) -> list[Block]:
    """Return statements as blocks, those that belong together in one stack."""
    blocks: list[Block] = []
    for piece, size in sized:
        block = piece.block(size, align="left")
        if blocks and Placement.NEXT_TO_INGREDIENTS in piece.element.placement:
            before = blocks.pop()
            block = Stack(
                blocks=(before, block),
                gap_mm=0.25 * size * MM_PER_POINT,
                name=f"{before.name} with {block.name}",
            )
        blocks.append(block)
    return blocks


def _logo_block(request: LabelRequest, logo: Picture, width_mm: float) -> PictureBlock:
    height = min(LOGO_SHARE * request.height_mm, width_mm / logo.ratio)
    printed_width = height * logo.ratio
    if isinstance(logo, PixelPicture) and printed_width > logo.largest_width_mm + 0.05:
        needed = math.ceil(printed_width / 25.4 * LEAST_DPI)
        raise LayoutError(
            say(
                "the picture has {width_px} pixels across; printed "
                "{printed_width:.0f} mm wide it needs {needed} to be sharp",
                width_px=logo.width_px,
                printed_width=printed_width,
                needed=needed,
            )
        )
    return PictureBlock(
        picture=logo, printed_height_mm=height, align=request.design.align
    )
