"""The statements of a label as pieces of type: face, least and preferred size."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from inventory.typefaces import Face
from labels.drawing.blocks import Block, BoxedBlock, TextBlock
from labels.drawing.designs import Align
from labels.drawing.glyphs import drawn_height_mm, least_size_pt
from labels.drawing.nutrition import NutritionBlock, NutritionForm
from labels.drawing.placed import ElementSize
from labels.drawing.surface import JarSurface
from labels.drawing.typesetting import Paragraph, prepare
from labels.statements.label_text import (
    LabelElement,
    MeasuredOn,
    Placement,
    Role,
    TypeSize,
)

__all__ = ["Piece", "PieceMaker", "resolved_sizes"]

LEGIBLE = TypeSize(
    minimum_mm=Decimal("0.95"),
    measured_on=MeasuredOn.X_HEIGHT,
    citation="",
)
"""Least size of words no law sets a size for (common practice)."""

DISPLAY_ROLES = {Role.IDENTITY, Role.NET_QUANTITY}
FIXED_ROLES = {Role.NET_QUANTITY, Role.NUTRITION}
SEMIBOLD_ROLES = {Role.ALLERGENS, Role.CLAIM}
GRID_PT = 0.1
LANGUAGE_STROKE = "/"


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One statement with everything its setting depends on.

    Attributes:
        element: the statement.
        paragraph: its words, measured.
        face: the face of its plain text.
        asked: the type size asked at this jar.
        least_pt: the smallest size allowed by itself.
        preferred_pt: the size it is given where there is room.
        form: how a nutrition table is drawn.
    """

    element: LabelElement
    paragraph: Paragraph
    face: Face
    asked: TypeSize
    least_pt: float
    preferred_pt: float
    form: NutritionForm = NutritionForm.VERTICAL

    @property
    def role(self) -> Role:
        """What the statement is there for."""
        return self.element.role

    def height_mm(self, size_pt: float, measured_on: MeasuredOn | None = None) -> float:
        """Return the drawn height of the letter the law measures, mm."""
        return drawn_height_mm(
            measured_on or self.asked.measured_on,
            face=self.face,
            text=self.element.text,
            size_pt=size_pt,
        )

    def size_for_pt(self, height_mm: float) -> float:
        """Return the type size whose measured letter has a height, points."""
        return least_size_pt(
            self.asked,
            face=self.face,
            text=self.element.text,
            minimum_mm=Decimal(repr(height_mm)),
        )

    def text_block(
        self, size_pt: float, *, align: Align, on_band: bool = False
    ) -> TextBlock:
        """Return the statement's words as a block of a size."""
        return TextBlock(
            name=self.role.value,
            paragraph=self.paragraph,
            size_pt=size_pt,
            align=align,
            is_balanced=align == "centre" or self.role in DISPLAY_ROLES,
            on_band=on_band,
            is_display=self.role in DISPLAY_ROLES,
        )

    def block(self, size_pt: float, *, align: Align) -> Block:
        """Return the statement as a block of a size, in its box if it has one."""
        if self.element.nutrition is not None:
            return NutritionBlock(
                panel=self.element.nutrition,
                form=self.form,
                size_pt=size_pt,
                is_condensed=self.face.is_condensed,
            )
        text = self.text_block(size_pt, align=align)
        if Placement.IN_A_BOX in self.element.placement:
            return BoxedBlock(inner=text)
        return text

    def size(self, size_pt: float) -> ElementSize:
        """Return what was asked and what was chosen."""
        return ElementSize(
            of=self.role.value,
            size_pt=size_pt,
            least_pt=self.least_pt,
            drawn_mm=self.height_mm(size_pt),
            citation=self.asked.citation,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceMaker:
    """Makes pieces of statements for one jar, label and cut of the typeface."""

    jar: JarSurface
    label_height_mm: float
    is_condensed: bool
    form: NutritionForm = NutritionForm.VERTICAL

    def make(self, element: LabelElement) -> Piece:
        """Return a statement as a piece of type."""
        face = self._face(element)
        asked = LEGIBLE
        if element.size is not None:
            asked = element.size.at(self.jar.area_cm2(element.size.area_of))
        least = max(
            least_size_pt(asked, face=face, text=element.text),
            least_size_pt(LEGIBLE, face=face, text=element.text),
        )
        if element.size is not None and element.size.also is not None:
            also = least_size_pt(element.size.also, face=face, text=element.text)
            least = max(least, also)
        return Piece(
            element=element,
            paragraph=prepare(
                element.runs,
                face=face,
                emphasis=self._cut(Face.BOLD),
                ends_at=LANGUAGE_STROKE if element.role is Role.IDENTITY else "",
            ),
            face=face,
            asked=asked,
            least_pt=least,
            preferred_pt=self._preferred_pt(element.role, least),
            form=self.form,
        )

    def _cut(self, face: Face) -> Face:
        return face.condensed if self.is_condensed else face

    def _face(self, element: LabelElement) -> Face:
        is_bold = Placement.BOLD in element.placement
        if element.role in DISPLAY_ROLES or is_bold:
            return self._cut(Face.BOLD)
        if element.role in SEMIBOLD_ROLES:
            return self._cut(Face.SEMIBOLD)
        return self._cut(Face.REGULAR)

    def _preferred_pt(self, role: Role, least_pt: float) -> float:
        if role is Role.IDENTITY:
            return max(least_pt, min(40.0, max(14.0, 0.6 * self.label_height_mm)))
        if role in FIXED_ROLES:
            return least_pt
        return max(least_pt * 1.3, 8.5)


def resolved_sizes(
    pieces: Sequence[Piece], *, growth: float, beside: Mapping[Role, float]
) -> list[float]:
    """Return the size of each piece, rules that compare them included.

    Args:
        pieces: those of one panel.
        growth: 0 for the least sizes, 1 for the preferred ones.
        beside: drawn heights of statements on other panels, mm by role.

    Returns:
        Sizes in points, in the order of the pieces, never below the least.
    """
    sizes = [_grown(piece, growth) for piece in pieces]
    for _ in range(3):
        heights = dict(beside)
        heights.update(
            (piece.role, piece.height_mm(size))
            for piece, size in zip(pieces, sizes, strict=True)
        )
        raised = [
            max(size, _compared_pt(piece, heights))
            for piece, size in zip(pieces, sizes, strict=True)
        ]
        if raised == sizes:
            break
        sizes = raised
    return sizes


def _grown(piece: Piece, growth: float) -> float:
    if not piece.asked.citation:
        # Words no law sizes keep up with the others sooner.
        growth = min(1.0, 2 * growth)
    size = piece.least_pt + growth * (piece.preferred_pt - piece.least_pt)
    return max(piece.least_pt, int(size / GRID_PT + 1e-6) * GRID_PT)


def _compared_pt(piece: Piece, heights: Mapping[Role, float]) -> float:
    """Return the size that other statements' heights ask of this one, points."""
    rule = piece.element.size
    if rule is None:
        return 0.0
    asked = [0.0]
    if rule.share_of_largest is not None:
        asked.append(float(rule.share_of_largest) * max(heights.values(), default=0))
    if rule.share_of_identity is not None:
        asked.append(float(rule.share_of_identity) * heights.get(Role.IDENTITY, 0))
    if rule.not_below is not None:
        asked.append(heights.get(rule.not_below, 0.0))
    return piece.size_for_pt(max(asked)) if max(asked) > 0 else 0.0
