"""The canvas behind every paper: it counts pages and writes their footer."""

from typing import Any

from reportlab.lib import colors, units  # noqa: TID253 - imported with papers only
from reportlab.pdfgen.canvas import Canvas  # noqa: TID253 - imported with papers only

from inventory.typefaces import Face, in_faces
from inventory.words import say

__all__ = ["GREY", "MARGIN_MM", "RULE", "NumberedCanvas"]

MARGIN_MM = 16.0
FOOTER_MM = 10.0
GREY = colors.Color(0.35, 0.35, 0.35)
RULE = colors.Color(0.6, 0.6, 0.6)


class NumberedCanvas(Canvas):
    """A canvas that knows, when it writes the footer, how many pages there are."""

    footer = ""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._pages: list[dict[str, Any]] = []

    def showPage(self) -> None:  # noqa: N802 - the PDF writer's name
        """Keep the page until the count is known."""
        self._pages.append(dict(self.__dict__))
        self._startPage()  # type: ignore[attr-defined] # missing in the stubs

    def save(self) -> None:
        """Write the footer of every page, then the file."""
        for number, page in enumerate(self._pages, 1):
            self.__dict__.update(page)
            self._draw_footer(
                say("Page {number} of {pages}", number=number, pages=len(self._pages))
            )
            super().showPage()
        super().save()

    def _draw_footer(self, count: str) -> None:
        width = float(self._pagesize[0])  # type: ignore[attr-defined] # as above
        self.setStrokeColor(RULE)
        self.setLineWidth(0.4)
        left, base = MARGIN_MM * units.mm, FOOTER_MM * units.mm
        self.line(left, base + 10, width - left, base + 10)
        self.setFillColor(GREY)
        along = left
        for face, part in in_faces(self.footer, Face.REGULAR):
            self.setFont(face.value, 8)
            self.drawString(along, base, part)
            along += self.stringWidth(part, face.value, 8)
        self.setFont(Face.REGULAR.value, 8)
        self.drawRightString(width - left, base, count)
