"""The picture of the page of components: every pattern beside its name."""

from collections.abc import Sequence

from reportlab.graphics.shapes import (  # noqa: TID253 - imported with pictures only
    Drawing,
    String,
)
from reportlab.lib.colors import (  # noqa: TID253 - imported with pictures only
    HexColor,
)

from inventory.accents import ACCENTS
from inventory.picture_parts import FONT, Pattern, patterned

__all__ = ["SAMPLE", "draw_sample"]

SAMPLE: Sequence[tuple[Pattern, int]] = tuple(
    zip(Pattern, range(6, 0, -1), strict=True)
)
WIDTH, ROW, NAMES = 480.0, 22.0, 110.0


def draw_sample() -> Drawing:
    """One bar a pattern, as long as its figure."""
    drawing = Drawing(WIDTH, ROW * len(SAMPLE) + 6)
    for row, ((pattern, figure), accent) in enumerate(
        zip(SAMPLE, ACCENTS, strict=False)
    ):
        y = drawing.height - ROW * (row + 1)
        drawing.add(String(0, y + 6, str(pattern), fontName=FONT, fontSize=11))
        for shape in patterned(
            NAMES, y + 2, 55.0 * figure, ROW - 7,
            fill=HexColor(ACCENTS[accent].light), pattern=pattern,
            name=f"{pattern}: {figure}", css_class=f"fruit-mark fruit-{accent}",
        ):  # fmt: skip
            drawing.add(shape)
        x = NAMES + 55.0 * figure + 6
        drawing.add(String(x, y + 6, str(figure), fontName=FONT, fontSize=11))
    return drawing
