"""The batch code as a square of dots, beside its letters."""

from collections.abc import Sequence

from reportlab.lib import (  # noqa: TID253 - imported with papers only
    colors,
    units,
)
from reportlab.platypus import (  # noqa: TID253 - imported with papers only
    Flowable,
    Table,
    TableStyle,
)

from inventory import paper

__all__ = ["blanks", "code_square", "masthead"]


class code_square(Flowable):  # noqa: N801 - used like the functions of a paper
    """A QR code of a batch code.

    Attributes:
        text: what it says.
        side_mm: length of a side with its quiet zone, mm.
    """

    def __init__(self, text: str, side_mm: float = 20.0) -> None:
        super().__init__()
        self.text = text
        self.width = self.height = side_mm * units.mm

    def wrap(self, *_available: float) -> tuple[float, float]:
        """Return the size taken, points."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw the dark dots, a quiet zone of four around them."""
        import segno

        rows = [list(row) for row in segno.make(self.text, error="m").matrix]
        dot = self.width / (len(rows) + 8)
        self.canv.setFillColor(colors.black)
        for down, row in enumerate(rows):
            for along, dark in enumerate(row):
                if dark:
                    self.canv.rect(
                        (along + 4) * dot,
                        self.height - (down + 5) * dot,
                        dot,
                        dot,
                        stroke=0,
                        fill=1,
                    )


def masthead(heading: str, under: str, code: str) -> Flowable:
    """Return the head of a kitchen paper: what, which batch, its code as dots."""
    words: list[Flowable] = [paper.title(f"{heading}, {code}" if code else heading)]
    words.append(paper.text(under))
    if not code:
        return Table([[words]], colWidths=["100%"], style=_STYLE)
    return Table([[words, code_square(code)]], colWidths=["85%", "15%"], style=_STYLE)


def blanks(labels: Sequence[str], *, abreast: int, width_mm: float) -> Flowable:
    """Return lines to write on, so many beside each other."""
    lines: list[str | Flowable] = [
        paper.write_in(label, width_mm=width_mm) for label in labels
    ]
    lines += [""] * (-len(lines) % abreast)
    return Table(
        [lines[start : start + abreast] for start in range(0, len(lines), abreast)],
        colWidths=[f"{100 / abreast}%"] * abreast,
        style=TableStyle(_PLAIN),
        spaceBefore=4,
    )


_PLAIN = [
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ("LEFTPADDING", (0, 0), (-1, -1), 0),
    ("RIGHTPADDING", (0, 0), (-1, -1), 0),
    ("TOPPADDING", (0, 0), (-1, -1), 0),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
]
_STYLE = TableStyle([*_PLAIN, ("ALIGN", (-1, 0), (-1, 0), "RIGHT")])
