"""How high our typefaces draw the letters that label law measures.

The law means the drawn letter, not the point size on a menu: the lower-case
"o", the x-height, a capital or a numeral. The shares below are of the point
size (the em), read from the font files we ship; a test reads them again, and
another measures the letters drawn in a PDF.
"""

import math
from dataclasses import dataclass
from decimal import Decimal

from inventory.typefaces import Face
from labels.statements.label_text import MeasuredOn, TypeSize

__all__ = [
    "MM_PER_POINT",
    "GlyphHeights",
    "drawn_height_mm",
    "glyph_heights",
    "least_size_pt",
    "n_width_em",
]

MM_PER_POINT = 25.4 / 72
"""The point of PDF and of 21 CFR: 1/72 in; FDR B.01.001 (Canada) agrees."""

STEP_PT = 0.1
"""Sizes are chosen on this grid, rounded up from a legal minimum."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GlyphHeights:
    """Heights of one weight, as shares of the em.

    Attributes:
        lower_case_o: ink of "o", overshoot included.
        x_height: top of "x".
        capital: top of "H".
        numeral: the lowest of the ten numerals.
    """

    lower_case_o: float
    x_height: float
    capital: float
    numeral: float


_REGULAR = GlyphHeights(
    lower_case_o=0.539, x_height=0.515, capital=0.697, numeral=0.697
)
_SEMIBOLD = GlyphHeights(
    lower_case_o=0.545, x_height=0.521, capital=0.697, numeral=0.697
)
_BOLD = GlyphHeights(lower_case_o=0.548, x_height=0.524, capital=0.697, numeral=0.697)

_N_WIDTH_EM = {
    Face.REGULAR: 0.521,
    Face.SEMIBOLD: 0.555,
    Face.BOLD: 0.570,
    Face.CONDENSED: 0.472,
    Face.CONDENSED_SEMIBOLD: 0.505,
    Face.CONDENSED_BOLD: 0.518,
}


def glyph_heights(face: Face) -> GlyphHeights:
    """Return the measured heights of a face; both cuts of a weight agree."""
    if face.value.endswith("SemiBold"):
        return _SEMIBOLD
    return _BOLD if face.value.endswith("Bold") else _REGULAR


def n_width_em(face: Face) -> float:
    """Return the ink width of the capital "N" as a share of the em."""
    return _N_WIDTH_EM[face]


def _share(measured_on: MeasuredOn, face: Face, text: str) -> float:
    heights = glyph_heights(face)
    has_lower_case = any(each.islower() for each in text)
    match measured_on:
        case MeasuredOn.LOWER_CASE_O:
            return heights.lower_case_o if has_lower_case else heights.capital
        case MeasuredOn.X_HEIGHT:
            return heights.x_height if has_lower_case else heights.capital
        case MeasuredOn.CAPITAL:
            return heights.capital
        case MeasuredOn.NUMERAL:
            return heights.numeral
        case MeasuredOn.POINT:
            return 1.0


def drawn_height_mm(
    measured_on: MeasuredOn, *, face: Face, text: str, size_pt: float
) -> float:
    """Return how high the measured letter is drawn, mm.

    Args:
        measured_on: which letter.
        face: the face the text is set in.
        text: the words; those without lower case are measured on capitals.
        size_pt: type size, points.
    """
    return _share(measured_on, face, text) * size_pt * MM_PER_POINT


def least_size_pt(
    size: TypeSize, *, face: Face, text: str, minimum_mm: Decimal | None = None
) -> float:
    """Return the smallest type size that meets a rule, points, rounded up.

    Args:
        size: what the law asks.
        face: the face the text is set in.
        text: the words.
        minimum_mm: a greater height to be met instead of the rule's own.
    """
    asked_mm = float(size.minimum_mm if minimum_mm is None else minimum_mm)
    exact = asked_mm / (_share(size.measured_on, face, text) * MM_PER_POINT)
    return math.ceil(exact / STEP_PT - 1e-9) * STEP_PT
