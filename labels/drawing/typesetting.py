"""Words into lines: breaks at spaces only, in faces that can write them.

Nothing is hyphenated and no word is cut. A figure stays with its unit. Widths
are kept per em, so that trying another size costs no new measuring.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from inventory.typefaces import Face, in_faces, width_pt
from labels.drawing.glyphs import MM_PER_POINT
from labels.statements.label_text import Run

__all__ = ["LEADING", "Line", "Paragraph", "Stretch", "prepare"]

LEADING = 1.2
"""Line to line as a share of the size: descenders never touch accents."""

ASCENT = 0.79
ACCENTED_ASCENT = 1.01
DESCENT = 0.21
DISPLAY_CLEARANCE = 0.06

NO_BREAK_SPACE = "\N{NO-BREAK SPACE}"

_UNITS = r"(?:oz|lb|lbs|fl|g|kg|mg|ml|mL|l|L|cl|kJ|kcal|cm|mm|%|°C|°F)"
_FIGURE_AND_UNIT = re.compile(rf"(?<=\d) (?={_UNITS}(?![^\W\d_]))")
_CAPITAL_ACCENTS = re.compile(r"[À-ÖØ-ÞĀ-Ž]")


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """Text in one face.

    Attributes:
        face: the face.
        text: the characters.
        width_em: length as a multiple of the size.
    """

    face: Face
    text: str
    width_em: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One set line: stretches from left to right.

    Attributes:
        stretches: with the spaces between words.
        width_em: length as a multiple of the size.
    """

    stretches: tuple[Stretch, ...]
    width_em: float

    @property
    def text(self) -> str:
        """The characters of the line."""
        return "".join(stretch.text for stretch in self.stretches)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Word:
    stretches: tuple[Stretch, ...]
    space_em: float
    width_em: float
    ends_line: bool = False


def _joined(words: Sequence[_Word]) -> Line:
    stretches: list[Stretch] = []
    for index, word in enumerate(words):
        for place, stretch in enumerate(word.stretches):
            is_spaced = index > 0 and place == 0
            text = f" {stretch.text}" if is_spaced else stretch.text
            width = stretch.width_em + (word.space_em if is_spaced else 0)
            if stretches and stretches[-1].face is stretch.face:
                last = stretches.pop()
                text, width = last.text + text, last.width_em + width
            stretches.append(Stretch(face=stretch.face, text=text, width_em=width))
    return Line(
        stretches=tuple(stretches),
        width_em=sum(stretch.width_em for stretch in stretches),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Paragraph:
    """Words measured and ready to be broken into lines."""

    words: tuple[_Word, ...]

    @property
    def text(self) -> str:
        """The words with single spaces between."""
        return _joined(self.words).text

    @property
    def widest_word_em(self) -> float:
        """Length of the longest word as a multiple of the size."""
        return max(word.width_em for word in self.words)

    @property
    def ascent_em(self) -> float:
        """How far the first line reaches above its base line."""
        is_accented = _CAPITAL_ACCENTS.search(self.text)
        return ACCENTED_ASCENT if is_accented else ASCENT

    def lines(self, *, width_mm: float, size_pt: float) -> tuple[Line, ...]:
        """Break into lines no longer than a width.

        A word longer than the width stands alone and sticks out; ask
        ``widest_word_em`` first.

        Args:
            width_mm: greatest length of a line, mm.
            size_pt: type size, points.
        """
        ends = self._ends(width_mm / (size_pt * MM_PER_POINT))
        return tuple(
            _joined(self.words[start:end])
            for start, end in zip([0, *ends], ends, strict=False)
        )

    def _ends(self, limit_em: float) -> list[int]:
        """Return for each line the place of the word after its last."""
        ends: list[int] = []
        length = 0.0
        for place, word in enumerate(self.words):
            longer = length + word.space_em + word.width_em
            if length and longer > limit_em + 1e-9:
                ends.append(place)
                length = 0.0
            length = longer if length else word.width_em
            if word.ends_line and place + 1 < len(self.words):
                ends.append(place + 1)
                length = 0.0
        ends.append(len(self.words))
        return ends

    def balanced_lines(self, *, width_mm: float, size_pt: float) -> tuple[Line, ...]:
        """Break into as few lines as a width allows, of like length.

        Args:
            width_mm: greatest length of a line, mm.
            size_pt: type size, points.
        """
        em_mm = size_pt * MM_PER_POINT
        wide_em = width_mm / em_mm
        fewest = len(self._ends(wide_em))
        narrow_em = min(self.widest_word_em, wide_em)
        for _ in range(8):
            middle_em = (narrow_em + wide_em) / 2
            if len(self._ends(middle_em)) > fewest:
                narrow_em = middle_em
            else:
                wide_em = middle_em
        return self.lines(width_mm=wide_em * em_mm, size_pt=size_pt)

    def count_lines(self, *, width_mm: float, size_pt: float) -> int:
        """Return how many lines a width asks for, balanced or not."""
        return len(self._ends(width_mm / (size_pt * MM_PER_POINT)))

    @property
    def display_leading(self) -> float:
        """Line to line of large print, as close as its accents allow."""
        return self.ascent_em + DESCENT + DISPLAY_CLEARANCE

    def height_mm(
        self, *, lines: int, size_pt: float, leading: float = LEADING
    ) -> float:
        """Return the height of a number of lines, accents and tails included, mm."""
        em_mm = size_pt * MM_PER_POINT
        return (self.ascent_em + DESCENT + (lines - 1) * leading) * em_mm


def prepare(
    runs: Sequence[Run], *, face: Face, emphasis: Face, ends_at: str = ""
) -> Paragraph:
    """Measure the words of a text.

    Args:
        runs: the text and which of it is emphasised.
        face: face of plain text.
        emphasis: face of emphasised text.
        ends_at: a word after which a line always ends: the stroke between the
            names of a food in two languages.

    Returns:
        The paragraph; white space of any kind becomes one breakable space,
        except the no-break space.

    Raises:
        MissingGlyphError: a character no face can write.
    """
    pieces: list[list[Stretch]] = [[]]
    for run in _bound(runs, ends_at):
        takes = emphasis if run.emphasis else face
        first, *others = re.split(r"[ \t\n]+", run.text)
        _add(pieces[-1], first, takes)
        for word in others:
            pieces.append([])
            _add(pieces[-1], word, takes)
    space_em = width_pt(" ", face, 1.0)
    return Paragraph(
        words=tuple(
            _Word(
                stretches=tuple(piece),
                space_em=space_em,
                width_em=sum(stretch.width_em for stretch in piece),
                ends_line=bool(ends_at) and piece[-1].text.endswith(f" {ends_at}"),
            )
            for piece in pieces
            if piece
        )
    )


def _bound(runs: Sequence[Run], ends_at: str) -> list[Run]:
    """Join figures to units, and a closing word to the one before it."""
    bound = []
    for run in runs:
        text = _FIGURE_AND_UNIT.sub(NO_BREAK_SPACE, run.text)
        if ends_at:
            text = text.replace(f" {ends_at} ", f"{NO_BREAK_SPACE}{ends_at} ")
        bound.append(Run(text=text, emphasis=run.emphasis))
    return bound


def _add(piece: list[Stretch], text: str, face: Face) -> None:
    for takes, part in in_faces(text.replace(NO_BREAK_SPACE, " "), face):
        piece.append(
            Stretch(face=takes, text=part, width_em=width_pt(part, takes, 1.0))
        )
