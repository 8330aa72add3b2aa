"""Reading a label's PDF back with an independent reader: glyphs in mm from the top."""

from dataclasses import dataclass

import pypdfium2

MM = 25.4 / 72


@dataclass(frozen=True, kw_only=True)
class Glyph:
    character: str
    left: float
    top: float
    right: float
    bottom: float

    @property
    def height(self):
        return self.bottom - self.top

    def overlaps(self, other, tolerance=0.05):
        # Letters of one word may reach under each other by the face's design.
        beside = 0.05 * max(self.height, other.height)
        return (
            self.left < other.right - beside
            and other.left < self.right - beside
            and self.top < other.bottom - tolerance
            and other.top < self.bottom - tolerance
        )


def glyphs_of(page):
    """Return every glyph with ink, in the order of the file."""
    height = page.get_height()
    text = page.get_textpage()
    found = []
    for index in range(text.count_chars()):
        left, bottom, right, top = text.get_charbox(index)
        character = text.get_text_range(index, 1)
        if character.strip():
            found.append(
                Glyph(
                    character=character,
                    left=left * MM,
                    top=(height - top) * MM,
                    right=right * MM,
                    bottom=(height - bottom) * MM,
                )
            )
    return found


def read_pages(data):
    return [glyphs_of(page) for page in pypdfium2.PdfDocument(data)]


def squeezed(words):
    """Return words without any white space."""
    return "".join(words.split())


def glyphs_of_words(glyphs, words):
    """Return the glyphs of some words, found by their text alone."""
    everything = "".join(glyph.character for glyph in glyphs)
    start = everything.index(squeezed(words))
    return glyphs[start : start + len(squeezed(words))]


def overlapping_pairs(glyphs):
    """Return glyphs whose ink boxes overlap, by a sweep from left to right."""
    pairs = []
    active = []
    for glyph in sorted(glyphs, key=lambda each: each.left):
        active = [other for other in active if other.right > glyph.left + 0.05]
        pairs += [(other, glyph) for other in active if glyph.overlaps(other)]
        active.append(glyph)
    return pairs


def picture_of(data, *, dpi, page=0):
    return pypdfium2.PdfDocument(data)[page].render(scale=dpi / 72).to_pil()
