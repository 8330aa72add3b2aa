"""The front of a label: the name above, the net quantity in its zone below.

The net quantity stands in the lowest 30 % of the panel, with space round it as
high as its letters above and twice as wide as its "N" at the sides
(21 CFR 101.7(f)); what else the front carries fills the space between.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

from inventory.words import say
from labels.drawing.blocks import BandBlock, Block, RuleBlock, TextBlock
from labels.drawing.designs import Design
from labels.drawing.glyphs import MM_PER_POINT, glyph_heights, n_width_em
from labels.drawing.panels import Filled, Misfit
from labels.drawing.pieces import Piece
from labels.drawing.placed import Box, Item
from labels.statements.label_text import Placement, Role

__all__ = ["FrontPanel", "bottom_zone_mm", "is_below"]

BOTTOM_ZONE_SHARE = 0.30
"""21 CFR 101.7(f)."""

CAPITAL_TOP_EM = 0.71
"""Top of a round capital, overshoot included."""

RULE_LENGTH_MM = 12.0
RULE_LINE_MM = 0.8
GAP_MM = 1.3


def bottom_zone_mm(label_height_mm: float) -> float:
    """Return the height of the zone the net quantity must stand in, mm."""
    return BOTTOM_ZONE_SHARE * label_height_mm


def is_below(piece: Piece) -> bool:
    """Whether a statement belongs to the foot of the front."""
    return (
        piece.role is Role.NET_QUANTITY
        or Placement.BOTTOM_30_PERCENT in piece.element.placement
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class FrontPanel:
    """A front of given sizes, ready to be filled.

    Attributes:
        box: the room for text.
        label_height_mm: of the whole label, the bottom zone's measure.
        to_next_mm: from the box's sides to the nearest other print.
        design: the look.
        is_zone_asked: whether the bottom zone is asked on this jar.
        above: logo and brand, before the name.
        pieces: the statements with their sizes.
        between: further blocks below the name.
    """

    box: Box
    label_height_mm: float
    to_next_mm: float
    design: Design
    is_zone_asked: bool
    pieces: Sequence[tuple[Piece, float]]
    above: Sequence[Block] = field(default=())
    between: Sequence[Block] = field(default=())

    def fill(self) -> Filled:
        """Place everything, or say what finds no room."""
        foot, misfits = self._foot()
        head = [*self._head(), *self.between]
        left = self.box.height_mm
        if foot:
            left -= self._foot_height(foot)
        shown: list[tuple[Block, float]] = []
        for block in head:
            fits, why = self._has_room(block, left - (GAP_MM if shown else 0))
            if not fits:
                misfits.append(why)
                continue
            height = block.height_mm(self.box.width_mm)
            left -= height + (GAP_MM if shown else 0)
            shown.append((block, height))
        items = [*self._place_head(shown, left), *self._place_foot(foot)]
        return Filled(items=tuple(items), misfits=tuple(misfits))

    def _has_room(self, block: Block, left_mm: float) -> tuple[bool, Misfit]:
        width, height = self.box.width_mm, 0.0
        if block.narrowest_mm > width + 0.01:
            return False, Misfit(
                name=block.name,
                reason=say(
                    "needs {narrowest_mm:.1f} mm of width, there are {there:.1f} mm",
                    narrowest_mm=block.narrowest_mm,
                    there=max(0.0, width),
                ),
            )
        height = block.height_mm(width)
        return height <= left_mm + 0.001, Misfit(
            name=block.name,
            reason=say(
                "needs {height:.1f} mm of height, {there:.1f} mm are left",
                height=height,
                there=max(0.0, left_mm),
            ),
        )

    def _head(self) -> list[Block]:
        blocks: list[Block] = list(self.above)
        for piece, size in self.pieces:
            if is_below(piece):
                continue
            blocks += self._dressed(piece, size)
        return blocks

    def _dressed(self, piece: Piece, size_pt: float) -> list[Block]:
        """Return a statement with what the design puts round it."""
        design = self.design
        is_name = piece.role is Role.IDENTITY
        if is_name and design.has_band:
            words = piece.text_block(size_pt, align=design.align, on_band=True)
            return [BandBlock(text=words)]
        block = piece.block(size_pt, align=design.align)
        if is_name and (design.has_rule or design.has_frame):
            length = min(RULE_LENGTH_MM, self.box.width_mm)
            line = RULE_LINE_MM if design.has_rule else RULE_LINE_MM / 3
            return [
                block,
                RuleBlock(length_mm=length, line_mm=line, align=design.align),
            ]
        return [block]

    def _foot(self) -> tuple[list[tuple[TextBlock, Piece, float]], list[Misfit]]:
        foot: list[tuple[TextBlock, Piece, float]] = []
        misfits: list[Misfit] = []
        for piece, size in self.pieces:
            if not is_below(piece):
                continue
            block = piece.text_block(size, align=self.design.align)
            why = self._refuse_in_foot(block, piece, size)
            if why:
                misfits.append(why)
            else:
                foot.append((block, piece, size))
        return foot, misfits

    def _side_mm(self, piece: Piece, size_pt: float) -> float:
        """Space to be kept free inside the box at each side, mm."""
        if Placement.CLEAR_SPACE not in piece.element.placement:
            return 0.0
        wanted = 2 * n_width_em(piece.face) * size_pt * MM_PER_POINT
        return max(0.0, wanted - self.to_next_mm)

    def _foot_width(self, piece: Piece, size_pt: float) -> float:
        """Return the width left for a statement; at the label's edge none is kept."""
        sides = 2 if self.design.align == "centre" else 1
        return self.box.width_mm - sides * self._side_mm(piece, size_pt)

    def _refuse_in_foot(
        self, block: TextBlock, piece: Piece, size_pt: float
    ) -> Misfit | None:
        width = self._foot_width(piece, size_pt)
        if block.narrowest_mm > width:
            return Misfit(
                name=block.name,
                reason=say(
                    "needs {narrowest_mm:.1f} mm of width with clear space, there are "
                    "{there:.1f} mm",
                    narrowest_mm=block.narrowest_mm,
                    there=max(0.0, width),
                ),
            )
        is_zoned = Placement.BOTTOM_30_PERCENT in piece.element.placement
        top = self._foot_top(block, width, size_pt)
        zone = bottom_zone_mm(self.label_height_mm)
        if is_zoned and self.is_zone_asked and top > zone + 0.001:
            return Misfit(
                name=block.name,
                reason=say(
                    "its letters reach {top:.1f} mm above the lower edge, the lowest "
                    "30 % is {zone:.1f} mm",
                    top=top,
                    zone=zone,
                ),
            )
        return None

    def _foot_top(self, block: TextBlock, width_mm: float, size_pt: float) -> float:
        """Return how far the letters of the foot reach above the label's edge, mm."""
        unused = (block.paragraph.ascent_em - CAPITAL_TOP_EM) * size_pt * MM_PER_POINT
        below = self.label_height_mm - self.box.bottom_mm
        return below + block.height_mm(width_mm) - unused

    def _foot_height(self, foot: Sequence[tuple[TextBlock, Piece, float]]) -> float:
        """Return the height of the foot with the clear space above it, mm."""
        clear = max(
            glyph_heights(piece.face).capital * size * MM_PER_POINT
            for _block, piece, size in foot
        )
        return clear + sum(
            block.height_mm(self._foot_width(piece, size))
            for block, piece, size in foot
        )

    def _place_head(
        self, shown: Sequence[tuple[Block, float]], spare_mm: float
    ) -> list[Item]:
        top = self.box.top_mm + self.design.lift * max(0.0, spare_mm)
        items: list[Item] = []
        for block, height in shown:
            items += block.place(
                left_mm=self.box.left_mm, top_mm=top, width_mm=self.box.width_mm
            )
            top += height + GAP_MM
        return items

    def _place_foot(self, foot: Sequence[tuple[TextBlock, Piece, float]]) -> list[Item]:
        bottom = self.box.bottom_mm
        items: list[Item] = []
        for block, piece, size in reversed(foot):
            width = self._foot_width(piece, size)
            top = bottom - block.height_mm(width)
            is_centred = self.design.align == "centre"
            start = self.box.left_mm + (
                (self.box.width_mm - width) / 2 if is_centred else 0
            )
            placed = block.place(left_mm=start, top_mm=top, width_mm=width)
            items = [*placed, *items]
            bottom = top
        return items
