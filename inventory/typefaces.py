"""The typefaces of every paper: which there are, what they can write.

IBM Plex Sans writes Latin, Greek and Cyrillic; its condensed cut writes Latin
only, so other scripts on a condensed line fall back to the normal cut. A
character no face can write is an error, never an empty box.
"""

from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from reportlab.pdfbase.ttfonts import TTFont

__all__ = [
    "FONT_FOLDER",
    "Face",
    "MissingGlyphError",
    "TypefaceError",
    "in_faces",
    "missing_from",
    "register_fonts",
    "width_pt",
]

FONT_FOLDER = Path(__file__).parent / "static" / "site" / "fonts"


class Face(StrEnum):
    """A typeface by the name the PDF writer knows it under."""

    REGULAR = "PlexSans"
    SEMIBOLD = "PlexSans-SemiBold"
    BOLD = "PlexSans-Bold"
    CONDENSED = "PlexSansCondensed"
    CONDENSED_SEMIBOLD = "PlexSansCondensed-SemiBold"
    CONDENSED_BOLD = "PlexSansCondensed-Bold"

    @property
    def path(self) -> Path:
        """The TrueType file of the face."""
        family, _, weight = self.value.partition("-")
        return FONT_FOLDER / f"IBM{family}-{weight or 'Regular'}.ttf"

    @property
    def is_condensed(self) -> bool:
        """Whether the face is of the narrow cut."""
        return "Condensed" in self.value

    @property
    def uncondensed(self) -> "Face":
        """The normal cut of the same weight."""
        return Face(self.value.replace("Condensed", ""))

    @property
    def condensed(self) -> "Face":
        """The narrow cut of the same weight."""
        return Face(self.uncondensed.value.replace("PlexSans", "PlexSansCondensed"))


class TypefaceError(Exception):
    """Text cannot be set in our typefaces."""


class MissingGlyphError(TypefaceError, ValueError):
    """A text holds characters none of our typefaces can write.

    Attributes:
        text: the text as given.
        characters: the characters that are missing, each once.
    """

    def __init__(self, *, text: str, characters: str) -> None:
        self.text = text
        self.characters = characters
        named = ", ".join(f"{each} (U+{ord(each):04X})" for each in characters)
        super().__init__(
            f'"{text}" cannot be printed: the typeface has no {named}; '
            "write it with other characters"
        )


@cache
def _fonts() -> "dict[Face, TTFont]":
    """Load all faces and tell the PDF writer their names and bold pairs."""
    # The PDF writer is slow to load: only when something is set.
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    fonts = {face: TTFont(face.value, str(face.path)) for face in Face}
    for font in fonts.values():
        pdfmetrics.registerFont(font)
    for plain, bold in (
        (Face.REGULAR, Face.BOLD),
        (Face.SEMIBOLD, Face.BOLD),
        (Face.CONDENSED, Face.CONDENSED_BOLD),
        (Face.CONDENSED_SEMIBOLD, Face.CONDENSED_BOLD),
    ):
        # We ship no italics: slanted text is set upright.
        pdfmetrics.registerFontFamily(
            plain.value,
            normal=plain.value,
            bold=bold.value,
            italic=plain.value,
            boldItalic=bold.value,
        )
    return fonts


def register_fonts() -> None:
    """Make the faces known to the PDF writer; safe to call again and again."""
    _fonts()


def missing_from(text: str, face: Face = Face.REGULAR) -> str:
    """Return the characters of a text that a face cannot write, each once."""
    known = _fonts()[face].face.charToGlyph
    return "".join(
        dict.fromkeys(each for each in text if ord(each) not in known and each != "\n")
    )


def in_faces(text: str, face: Face) -> tuple[tuple[Face, str], ...]:
    """Split a text into stretches, each with a face that can write it.

    Args:
        text: any text.
        face: the face wanted.

    Returns:
        (face, stretch) pairs which joined give the text: the face wanted where
        it can, its normal cut for what the condensed cut lacks.

    Raises:
        MissingGlyphError: a character is in neither.
    """
    lacking = set(missing_from(text, face))
    gone = missing_from("".join(sorted(lacking)), face.uncondensed)
    if gone:
        raise MissingGlyphError(text=text, characters=gone)
    stretches: list[tuple[Face, str]] = []
    for each in text:
        takes = face.uncondensed if each in lacking else face
        if stretches and stretches[-1][0] is takes:
            stretches[-1] = (takes, stretches[-1][1] + each)
        else:
            stretches.append((takes, each))
    return tuple(stretches)


def width_pt(text: str, face: Face, size_pt: float) -> float:
    """Return how long a text is when set on one line, points.

    Args:
        text: one line.
        face: the face wanted; fallback as in ``in_faces``.
        size_pt: type size, points.

    Raises:
        MissingGlyphError: a character cannot be written.
    """
    return sum(
        _fonts()[takes].stringWidth(part, size_pt)
        for takes, part in in_faces(text, face)
    )
