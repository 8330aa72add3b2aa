"""Papers of every room: one page frame, one set of styles, one table.

A room builds a list of parts with the functions below and hands it to
``pdf``; header, footer, page numbers, typefaces and the escaping of what
people typed are taken care of here. Black on white, made for a plain printer
and for being written on with a wet hand.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import Any, Literal
from xml.sax.saxutils import escape

from reportlab.lib import (  # noqa: TID253 - imported with papers only
    colors,
    pagesizes,
    units,
)
from reportlab.lib.styles import (  # noqa: TID253 - imported with papers only
    ParagraphStyle,
)
from reportlab.platypus import (  # noqa: TID253 - imported with papers only
    BaseDocTemplate,
    Flowable,
    Frame,
    KeepTogether,
    PageBreak,
    PageTemplate,
    Paragraph,
    Spacer,
    Table,
    TableStyle,
)

from inventory.paper_canvas import GREY, MARGIN_MM, RULE, NumberedCanvas
from inventory.typefaces import Face, in_faces, register_fonts
from inventory.words import spoken

__all__ = [
    "A4",
    "LETTER",
    "Column",
    "bullet_list",
    "caution",
    "check_box",
    "facts",
    "gap",
    "heading",
    "note",
    "pdf",
    "register_fonts",
    "table",
    "text",
    "title",
    "together",
    "turn_page",
    "write_in",
]

A4 = pagesizes.A4
LETTER = pagesizes.LETTER

BAND = colors.Color(0.93, 0.93, 0.93)
Alignment = Literal["left", "right", "centre"]
ALIGNMENTS: dict[Alignment, Literal[0, 1, 2]] = {"left": 0, "centre": 1, "right": 2}


def _style(name: str, face: Face, size_pt: float, **more: Any) -> ParagraphStyle:
    return ParagraphStyle(
        name,
        fontName=face.value,
        fontSize=size_pt,
        leading=more.pop("leading", size_pt * 1.3),
        splitLongWords=1,
        **more,
    )


STYLES = {
    "title": _style("title", Face.BOLD, 20, leading=24, spaceAfter=6),
    "heading": _style(
        "heading", Face.SEMIBOLD, 13, spaceBefore=10, spaceAfter=4, keepWithNext=1
    ),
    "text": _style("text", Face.REGULAR, 10.5, spaceAfter=4),
    "note": _style("note", Face.REGULAR, 8.5, textColor=GREY, spaceAfter=3),
    "cell": _style("cell", Face.REGULAR, 9.5, leading=12),
    "column": _style("column", Face.SEMIBOLD, 8.5, leading=10.5),
    "caution": _style("caution", Face.SEMIBOLD, 10.5, leading=13.5),
    "bullet": _style("bullet", Face.REGULAR, 10.5, leftIndent=12, spaceAfter=2),
}


def _marked_up(words: str, face: Face) -> str:
    """Escape what was typed and name the face of each stretch that needs one."""
    return "".join(
        part if takes is face else f'<font name="{takes.value}">{part}</font>'
        for takes, part in (
            (takes, escape(stretch).replace("\n", "<br/>"))
            for takes, stretch in in_faces(words, face)
        )
    )


def _paragraph(words: str, style: str, *, align: Alignment = "left") -> Paragraph:
    base = STYLES[style]
    if align != "left":
        base = ParagraphStyle(
            f"{style}-{align}", parent=base, alignment=ALIGNMENTS[align]
        )
    return Paragraph(_marked_up(words, Face(base.fontName)), base)


def title(words: str) -> Paragraph:
    """Return the title of a paper."""
    return _paragraph(words, "title")


def heading(words: str) -> Paragraph:
    """Return a heading, kept on the page of what follows it."""
    return _paragraph(words, "heading")


def text(words: str, *, align: Alignment = "left") -> Paragraph:
    """Return a paragraph of running text; a line break in it is kept."""
    return _paragraph(words, "text", align=align)


def note(words: str) -> Paragraph:
    """Return a paragraph of small grey text: sources, remarks."""
    return _paragraph(words, "note")


def bullet_list(lines: Sequence[str]) -> list[Flowable]:
    """Return a list with a dot before each line."""
    style = STYLES["bullet"]
    return [
        Paragraph(_marked_up(line, Face.REGULAR), style, bulletText="•")
        for line in lines
    ]


def gap(height_mm: float = 4.0) -> Spacer:
    """Return empty space of a height in mm."""
    return Spacer(1, height_mm * units.mm)


def turn_page() -> PageBreak:
    """Return a page break."""
    return PageBreak()


def together(parts: Sequence[Flowable]) -> KeepTogether:
    """Return parts that stay on one page."""
    return KeepTogether(list(parts))


def caution(words: str) -> Table:
    """Return a warning in a heavy frame."""
    return Table(
        [[_paragraph(words, "caution")]],
        colWidths=["100%"],
        style=TableStyle(
            [
                ("BOX", (0, 0), (-1, -1), 1.5, colors.black),
                ("LEFTPADDING", (0, 0), (-1, -1), 8),
                ("RIGHTPADDING", (0, 0), (-1, -1), 8),
                ("TOPPADDING", (0, 0), (-1, -1), 5),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 7),
            ]
        ),
        spaceBefore=6,
        spaceAfter=6,
    )


class check_box(Flowable):  # noqa: N801 - used like the functions beside it
    """A square to tick by hand.

    Attributes:
        side_mm: length of a side, mm.
    """

    def __init__(self, side_mm: float = 4.0) -> None:
        super().__init__()
        self.width = self.height = side_mm * units.mm

    def wrap(self, *_available: float) -> tuple[float, float]:
        """Return the size taken, points."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw the square."""
        self.canv.setLineWidth(0.8)
        self.canv.rect(0, 0, self.width, self.height)


class write_in(Flowable):  # noqa: N801 - used like the functions beside it
    """A line to write a reading or a signature on, with what belongs there.

    Attributes:
        label: the words before the line.
        width_mm: length of label and line together, mm.
    """

    def __init__(self, label: str, width_mm: float = 80.0) -> None:
        super().__init__()
        self.label = label
        self.width = width_mm * units.mm
        self.height = 9.0 * units.mm

    def wrap(self, *_available: float) -> tuple[float, float]:
        """Return the size taken, points."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw the label and the line after it."""
        register_fonts()
        along = 0.0
        for face, part in in_faces(self.label, Face.REGULAR):
            self.canv.setFont(face.value, 10.5)
            self.canv.drawString(along, 2 * units.mm, part)
            along += self.canv.stringWidth(part, face.value, 10.5)
        self.canv.setLineWidth(0.6)
        self.canv.line(along + 6, 1.6 * units.mm, self.width, 1.6 * units.mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column of a table.

    Attributes:
        heading: words above it, with the unit.
        share: its part of the page width, in relation to the other columns.
        align: where the words stand; "right" for numbers.
    """

    heading: str
    share: float = 1.0
    align: Alignment = "left"


def table(
    columns: Sequence[Column],
    rows: Sequence[Sequence[str | Flowable]],
    *,
    total: bool = False,
    empty: str = "Nothing to show.",
) -> Flowable:
    """Return a table whose headings repeat on every page.

    Args:
        columns: from left to right.
        rows: one entry per column; text is escaped, a part is placed as is.
        total: whether the last row is a sum, set off by a rule.
        empty: what to say when there are no rows.
    """
    if not rows:
        return text(empty)
    whole = sum(column.share for column in columns)
    head = [_paragraph(each.heading, "column", align=each.align) for each in columns]
    body = [
        [
            _paragraph(cell, "cell", align=column.align)
            if isinstance(cell, str)
            else cell
            for cell, column in zip(row, columns, strict=True)
        ]
        for row in rows
    ]
    lines: list[tuple[Any, ...]] = [
        ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
        ("VALIGN", (0, 1), (-1, -1), "TOP"),
        ("BACKGROUND", (0, 0), (-1, 0), BAND),
        ("LINEBELOW", (0, 0), (-1, 0), 0.8, colors.black),
        ("LINEBELOW", (0, 1), (-1, -1), 0.3, RULE),
        ("LEFTPADDING", (0, 0), (-1, -1), 4),
        ("RIGHTPADDING", (0, 0), (-1, -1), 4),
        ("TOPPADDING", (0, 0), (-1, -1), 3),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 4),
    ]
    lines += [
        ("ALIGN", (index, 1), (index, -1), "CENTRE")
        for index, column in enumerate(columns)
        if column.align == "centre"
    ]
    if total:
        lines.append(("LINEABOVE", (0, -1), (-1, -1), 0.8, colors.black))
    return Table(
        [head, *body],
        colWidths=[f"{100 * each.share / whole}%" for each in columns],
        repeatRows=1,
        style=TableStyle(lines),
        spaceBefore=3,
        spaceAfter=6,
    )


def facts(pairs: Sequence[tuple[str, str]], *, label_share: float = 0.3) -> Table:
    """Return name and value pairs, one a line."""
    return Table(
        [
            [_paragraph(name, "column"), _paragraph(value, "cell")]
            for name, value in pairs
        ],
        colWidths=[f"{100 * label_share}%", f"{100 * (1 - label_share)}%"],
        style=TableStyle(
            [
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LEFTPADDING", (0, 0), (-1, -1), 0),
                ("TOPPADDING", (0, 0), (-1, -1), 1.5),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 1.5),
            ]
        ),
        spaceAfter=6,
    )


def pdf(
    parts: Sequence[Flowable],
    *,
    name: str,
    footer: str = "",
    page_size: tuple[float, float] = LETTER,
    landscape: bool = False,
) -> bytes:
    """Return a paper as a PDF file.

    Equal parts give equal bytes: no clock is read.

    Args:
        parts: what the functions of this module return, from top to bottom.
        name: title in the file's properties.
        footer: words at the foot of every page, before the page number.
        page_size: ``A4`` or ``LETTER``, points.
        landscape: whether the page lies on its side.

    Raises:
        MissingGlyphError: a text holds a character no typeface can write.
    """
    register_fonts()
    size = pagesizes.landscape(page_size) if landscape else page_size
    margin = MARGIN_MM * units.mm
    into = BytesIO()
    document = BaseDocTemplate(
        into,
        pagesize=size,
        title=name,
        subject=footer,
        creator="Setting Point",
        author="Setting Point",
        lang=spoken(),
        invariant=1,
    )
    frame = Frame(
        margin,
        margin + 4 * units.mm,
        size[0] - 2 * margin,
        size[1] - 2 * margin - 4 * units.mm,
        leftPadding=0,
        rightPadding=0,
        topPadding=0,
        bottomPadding=0,
    )
    document.addPageTemplates([PageTemplate(id="page", frames=[frame])])

    class PaperCanvas(NumberedCanvas):
        pass

    PaperCanvas.footer = footer
    document.build(list(parts), canvasmaker=PaperCanvas)
    return into.getvalue()
