"""Things that stack: a text, a code, a picture, a rule; each knows its height."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from inventory.typefaces import Face, width_pt
from labels.codes import CAPTION_MM, Code
from labels.drawing.designs import Align
from labels.drawing.glyphs import MM_PER_POINT
from labels.drawing.pictures import Picture
from labels.drawing.placed import (
    Box,
    Item,
    PlacedBox,
    PlacedCode,
    PlacedPicture,
    PlacedRule,
    PlacedText,
)
from labels.drawing.typesetting import LEADING, Line, Paragraph

__all__ = [
    "BandBlock",
    "Block",
    "BoxedBlock",
    "CodeBlock",
    "PictureBlock",
    "RuleBlock",
    "Stack",
    "TextBlock",
]


class Block(Protocol):
    """Something of a known height for a given width."""

    @property
    def name(self) -> str:
        """What a person calls it."""

    @property
    def narrowest_mm(self) -> float:
        """Least width it can stand in."""

    def height_mm(self, width_mm: float) -> float:
        """Height it takes in a column of a width."""

    def place(self, *, left_mm: float, top_mm: float, width_mm: float) -> list[Item]:
        """Return its items with its top left corner at a point."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TextBlock:
    """A paragraph in one size."""

    name: str
    paragraph: Paragraph
    size_pt: float
    align: Align = "left"
    is_balanced: bool = False
    on_band: bool = False
    is_display: bool = False

    @property
    def leading(self) -> float:
        """Line to line as a multiple of the size."""
        return self.paragraph.display_leading if self.is_display else LEADING

    @property
    def narrowest_mm(self) -> float:
        """Its longest word."""
        return self.paragraph.widest_word_em * self.size_pt * MM_PER_POINT

    def lines(self, width_mm: float) -> tuple[Line, ...]:
        """Its lines in a column of a width."""
        breaks = (
            self.paragraph.balanced_lines if self.is_balanced else self.paragraph.lines
        )
        return breaks(width_mm=width_mm, size_pt=self.size_pt)

    def height_mm(self, width_mm: float) -> float:
        """From the top of the first line to the tails of the last."""
        return self.paragraph.height_mm(
            lines=self.paragraph.count_lines(width_mm=width_mm, size_pt=self.size_pt),
            size_pt=self.size_pt,
            leading=self.leading,
        )

    def place(self, *, left_mm: float, top_mm: float, width_mm: float) -> list[Item]:
        """Its stretches, line by line."""
        em_mm = self.size_pt * MM_PER_POINT
        items: list[Item] = []
        for number, line in enumerate(self.lines(width_mm)):
            down_em = self.paragraph.ascent_em + number * self.leading
            baseline = top_mm + down_em * em_mm
            spare = width_mm - line.width_em * em_mm
            along = left_mm + (spare / 2 if self.align == "centre" else 0)
            for stretch in line.stretches:
                length = stretch.width_em * em_mm
                items.append(
                    PlacedText(
                        of=self.name,
                        left_mm=along,
                        baseline_mm=baseline,
                        face=stretch.face,
                        size_pt=self.size_pt,
                        text=stretch.text,
                        width_mm=length,
                        on_band=self.on_band,
                    )
                )
                along += length
        return items


@dataclass(frozen=True, slots=True, kw_only=True)
class BandBlock:
    """A paragraph, paper-coloured on a solid band across the panel."""

    text: TextBlock
    padding_mm: float = 1.6

    @property
    def name(self) -> str:
        """What the paragraph is."""
        return self.text.name

    @property
    def narrowest_mm(self) -> float:
        """The longest word and the padding."""
        return self.text.narrowest_mm + 2 * self.padding_mm

    def height_mm(self, width_mm: float) -> float:
        """The paragraph and the padding."""
        return self.text.height_mm(width_mm - 2 * self.padding_mm) + 2 * self.padding_mm

    def place(self, *, left_mm: float, top_mm: float, width_mm: float) -> list[Item]:
        """The band, then the text on it."""
        band = Box(
            left_mm=left_mm,
            top_mm=top_mm,
            right_mm=left_mm + width_mm,
            bottom_mm=top_mm + self.height_mm(width_mm),
        )
        return [
            PlacedBox(box=band),
            *self.text.place(
                left_mm=left_mm + self.padding_mm,
                top_mm=top_mm + self.padding_mm,
                width_mm=width_mm - 2 * self.padding_mm,
            ),
        ]


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxedBlock:
    """Another block in a frame of its own."""

    inner: Block
    padding_mm: float = 0.9
    line_mm: float = 0.25

    @property
    def name(self) -> str:
        """What the inner block is."""
        return self.inner.name

    @property
    def narrowest_mm(self) -> float:
        """The inner block and the padding."""
        return self.inner.narrowest_mm + 2 * self.padding_mm

    def height_mm(self, width_mm: float) -> float:
        """The inner block and the padding."""
        return (
            self.inner.height_mm(width_mm - 2 * self.padding_mm) + 2 * self.padding_mm
        )

    def place(self, *, left_mm: float, top_mm: float, width_mm: float) -> list[Item]:
        """The frame, then what is in it."""
        frame = Box(
            left_mm=left_mm,
            top_mm=top_mm,
            right_mm=left_mm + width_mm,
            bottom_mm=top_mm + self.height_mm(width_mm),
        )
        return [
            PlacedBox(box=frame.shrunk(self.line_mm / 2), line_mm=self.line_mm),
            *self.inner.place(
                left_mm=left_mm + self.padding_mm,
                top_mm=top_mm + self.padding_mm,
                width_mm=width_mm - 2 * self.padding_mm,
            ),
        ]


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleBlock:
    """A short level line."""

    length_mm: float
    line_mm: float
    align: Align = "left"
    name: str = "rule"

    @property
    def narrowest_mm(self) -> float:
        """Its length."""
        return self.length_mm

    def height_mm(self, width_mm: float) -> float:
        """Its thickness."""
        return self.line_mm

    def place(self, *, left_mm: float, top_mm: float, width_mm: float) -> list[Item]:
        """The line."""
        spare = width_mm - self.length_mm
        start = left_mm + (spare / 2 if self.align == "centre" else 0)
        middle = top_mm + self.line_mm / 2
        return [
            PlacedRule(
                from_x_mm=start,
                from_y_mm=middle,
                to_x_mm=start + self.length_mm,
                to_y_mm=middle,
                line_mm=self.line_mm,
            )
        ]


CAPTION_PT = 6.5


@dataclass(frozen=True, slots=True, kw_only=True)
class CodeBlock:
    """A QR code or bar code with its caption."""

    code: Code
    align: Align = "left"

    @property
    def name(self) -> str:
        """Which code."""
        return f"{self.code.kind} code"

    @property
    def narrowest_mm(self) -> float:
        """The code with its quiet zone."""
        return self.code.width_mm

    def height_mm(self, width_mm: float) -> float:
        """The code with its caption."""
        return self.code.height_mm

    def place(self, *, left_mm: float, top_mm: float, width_mm: float) -> list[Item]:
        """The code, then the caption below it."""
        spare = width_mm - self.code.width_mm
        start = left_mm + (spare / 2 if self.align == "centre" else 0)
        items: list[Item] = [PlacedCode(left_mm=start, top_mm=top_mm, code=self.code)]
        if self.code.caption:
            items.append(self._caption(start, top_mm + self.code.height_mm))
        return items

    def _caption(self, start_mm: float, bottom_mm: float) -> PlacedText:
        face = Face.CONDENSED
        length_pt = width_pt(self.code.caption, face, CAPTION_PT)
        size_pt = CAPTION_PT * min(1.0, self.code.width_mm / (length_pt * MM_PER_POINT))
        length_mm = width_pt(self.code.caption, face, size_pt) * MM_PER_POINT
        return PlacedText(
            of=self.name,
            left_mm=start_mm + (self.code.width_mm - length_mm) / 2,
            baseline_mm=bottom_mm - CAPTION_MM * 0.2,
            face=face,
            size_pt=size_pt,
            text=self.code.caption,
            width_mm=length_mm,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureBlock:
    """A logo of a given height."""

    picture: Picture
    printed_height_mm: float
    align: Align = "left"
    name: str = "logo"

    @property
    def narrowest_mm(self) -> float:
        """Its width."""
        return self.printed_height_mm * self.picture.ratio

    def height_mm(self, width_mm: float) -> float:
        """Its height."""
        return self.printed_height_mm

    def place(self, *, left_mm: float, top_mm: float, width_mm: float) -> list[Item]:
        """The picture."""
        spare = width_mm - self.narrowest_mm
        start = left_mm + (spare / 2 if self.align == "centre" else 0)
        box = Box(
            left_mm=start,
            top_mm=top_mm,
            right_mm=start + self.narrowest_mm,
            bottom_mm=top_mm + self.printed_height_mm,
        )
        return [PlacedPicture(box=box, picture=self.picture)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """Blocks below one another that stay together."""

    blocks: Sequence[Block]
    gap_mm: float
    name: str = "group"

    @property
    def narrowest_mm(self) -> float:
        """The widest of them."""
        return max((block.narrowest_mm for block in self.blocks), default=0.0)

    def height_mm(self, width_mm: float) -> float:
        """All of them and the gaps."""
        heights = [block.height_mm(width_mm) for block in self.blocks]
        return sum(heights) + self.gap_mm * max(0, len(heights) - 1)

    def place(self, *, left_mm: float, top_mm: float, width_mm: float) -> list[Item]:
        """Each below the one before."""
        items: list[Item] = []
        for block in self.blocks:
            items += block.place(left_mm=left_mm, top_mm=top_mm, width_mm=width_mm)
            top_mm += block.height_mm(width_mm) + self.gap_mm
        return items
