"""Writes a table from the top down: lines, bars and running text, in mm."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from inventory.typefaces import Face, in_faces, width_pt
from labels.drawing.glyphs import MM_PER_POINT
from labels.drawing.placed import Item, PlacedRule, PlacedText
from labels.drawing.typesetting import prepare
from labels.statements.label_text import NutritionRow, Run

__all__ = ["INDENT_MM", "TableWriter"]

CAPITALS_EM = 0.72
TAILS_EM = 0.22
INDENT_MM = 2.6
"""How far a part of a nutrient stands in."""


@dataclass(slots=True, kw_only=True)
class TableWriter:
    """Writes a table from the top down, its upper left corner at the origin."""

    name: str
    width_mm: float
    is_condensed: bool
    down_mm: float = 0.0
    left_mm: float = 0.0
    items: list[Item] = field(default_factory=list)

    def face(self, *, is_bold: bool = False) -> Face:
        """Return the face of the table's text."""
        face = Face.BOLD if is_bold else Face.REGULAR
        return face.condensed if self.is_condensed else face

    def long(self, text: str, size_pt: float, *, is_bold: bool = False) -> float:
        """Return the length of a text, mm."""
        return width_pt(text, self.face(is_bold=is_bold), size_pt) * MM_PER_POINT

    def write(
        self,
        text: str,
        size_pt: float,
        *,
        at_mm: float,
        is_bold: bool = False,
        beside_pt: float | None = None,
    ) -> float:
        """Write a text whose capitals, or those beside it, hang from this height."""
        baseline = self.down_mm + CAPITALS_EM * (beside_pt or size_pt) * MM_PER_POINT
        for takes, part in in_faces(text, self.face(is_bold=is_bold)):
            length = width_pt(part, takes, size_pt) * MM_PER_POINT
            self.items.append(
                PlacedText(
                    of=self.name,
                    left_mm=self.left_mm + at_mm,
                    baseline_mm=baseline,
                    face=takes,
                    size_pt=size_pt,
                    text=part,
                    width_mm=length,
                )
            )
            at_mm += length
        return at_mm

    def write_right(self, text: str, size_pt: float, *, is_bold: bool = False) -> None:
        """Write a text that ends at the right edge."""
        length = self.long(text, size_pt, is_bold=is_bold)
        self.write(text, size_pt, at_mm=self.width_mm - length, is_bold=is_bold)

    def line_done(self, size_pt: float, *, leading_pt: float = 1.0) -> None:
        """Go down by a line and the space below it."""
        em_mm = size_pt * MM_PER_POINT
        self.down_mm += (CAPITALS_EM + TAILS_EM) * em_mm + leading_pt * MM_PER_POINT

    def bar(self, thick_mm: float, *, below_mm: float = 0.55) -> None:
        """Draw a line across and leave a little space below."""
        middle = self.down_mm + thick_mm / 2
        self.items.append(
            PlacedRule(
                from_x_mm=self.left_mm,
                from_y_mm=middle,
                to_x_mm=self.left_mm + self.width_mm,
                to_y_mm=middle,
                line_mm=thick_mm,
            )
        )
        self.down_mm += thick_mm + below_mm

    def paragraph(self, runs: Sequence[Run], size_pt: float) -> None:
        """Write running text over as many lines as it takes."""
        words = prepare(runs, face=self.face(), emphasis=self.face(is_bold=True))
        em_mm = size_pt * MM_PER_POINT
        for line in words.lines(width_mm=self.width_mm, size_pt=size_pt):
            along = 0.0
            for stretch in line.stretches:
                is_bold = stretch.face.value.endswith("Bold")
                along = self.write(stretch.text, size_pt, at_mm=along, is_bold=is_bold)
            self.down_mm += 1.2 * em_mm

    def nutrient(
        self, row: NutritionRow, size_pt: float, *, percent_is_bold: bool = True
    ) -> None:
        """Write one nutrient: name and amount left, share right."""
        at = self.write(
            row.label, size_pt, at_mm=row.indent * INDENT_MM, is_bold=row.bold
        )
        if row.amount:
            self.write(f" {row.amount}", size_pt, at_mm=at)
        if row.percent:
            self.write_right(row.percent, size_pt, is_bold=percent_is_bold)
