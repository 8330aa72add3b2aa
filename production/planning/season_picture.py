"""Pictures of a season: seasons as bands, batches as marks, jars in store as an area."""

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import Any

from reportlab.graphics.shapes import (  # noqa: TID253  imported with pictures only
    Drawing,
    Line,
    Polygon,
    Rect,
    String,
)
from reportlab.lib.colors import (  # noqa: TID253  as above
    Color,
    HexColor,
    black,
)

from inventory.accents import accent_of
from inventory.picture_parts import Pattern, patterned
from inventory.pictures import mark
from inventory.words import say

__all__ = ["draw_season"]

FONT, BOLD = "Helvetica", "Helvetica-Bold"
WIDTH, NAMES, ROW = 800.0, 226.0, 20.0
AREA, HEAD, GAP = 110.0, 24.0, 18.0
LABEL = 30.0
FAINT = Color(0, 0, 0, 0.18)
BAND = HexColor(accent_of("quince").light)
MARK = HexColor("#8a2b3c")
STORE = HexColor("#b9a58c")


def draw_season(answer: Mapping[str, Any]) -> Drawing:
    """Draw a season's answer.

    Args:
        answer: as kept: starts_on, weeks, seasons, batches, books.
    """
    bands: Sequence[Mapping[str, Any]] = answer["seasons"]
    products = list(dict.fromkeys(each["name"] for each in answer["batches"]))
    weeks = int(answer["weeks"])
    rows = len(bands) + len(products)
    height = HEAD + ROW * rows + 2 * GAP + AREA
    drawing = Drawing(WIDTH, height)
    scale = (WIDTH - NAMES - 10) / max(weeks, 1)
    top = height - HEAD
    _months(drawing, answer, scale, top)
    for number, band in enumerate(bands):
        _band(drawing, band, top - ROW * (number + 1), scale)
    under = top - ROW * len(bands) - GAP
    for number, name in enumerate(products):
        mine = [each for each in answer["batches"] if each["name"] == name]
        _marks(drawing, name, mine, under - ROW * (number + 1), scale)
    _area(drawing, answer["books"], scale)
    return drawing


def _months(
    drawing: Drawing, answer: Mapping[str, Any], scale: float, top: float
) -> None:
    first = dt.date.fromisoformat(answer["starts_on"])
    known, labelled = None, -LABEL
    every = 1 if int(answer["weeks"]) <= 60 else 2
    for week in range(int(answer["weeks"])):
        day = first + dt.timedelta(days=7 * week)
        if day.month == known:
            continue
        known = day.month
        x = NAMES + week * scale
        drawing.add(Line(x, 4, x, top, strokeColor=FAINT, strokeWidth=0.6))
        ends_soon = (day + dt.timedelta(days=14)).month != day.month
        if (
            day.month % every == 0
            and x - labelled >= LABEL
            and not (week == 0 and ends_soon)
        ):
            labelled = x
            words = f"{day:%b}" if day.month > 1 else f"{day:%b %Y}"
            drawing.add(String(x + 2, top + 8, words, fontName=FONT, fontSize=10))


def _band(drawing: Drawing, band: Mapping[str, Any], base: float, scale: float) -> None:
    drawing.add(
        String(0, base + 6, str(band["material"])[:40], fontName=FONT, fontSize=11)
    )
    for first, last in band["runs"]:
        x, width = NAMES + first * scale, (last - first + 1) * scale
        for shape in patterned(
            x,
            base + 4,
            width,
            ROW - 8,
            fill=BAND,
            pattern=Pattern.LEVEL,
            name=say("{material} in season", material=band["material"]),
            css_class="fruit-mark fruit-quince",
        ):
            drawing.add(shape)


def _marks(
    drawing: Drawing,
    name: str,
    batches: Sequence[Mapping[str, Any]],
    base: float,
    scale: float,
) -> None:
    drawing.add(String(0, base + 6, name[:40], fontName=FONT, fontSize=11))
    for each in batches:
        x = NAMES + each["week"] * scale + 0.5
        size = max(scale - 1.5, 4.0)
        block = Rect(x, base + 3, size, ROW - 6)
        block.fillColor, block.strokeColor = MARK, None
        mark(
            block,
            css_class="accent-mark",
            name=say(
                "{name}: {batches} in the week of {week_of}",
                name=name,
                batches=each["batches"],
                week_of=each["week_of"],
            ),
        )
        drawing.add(block)
        if each["batches"] > 1:
            drawing.add(_number_on(x + size / 2, base + 6, each["batches"]))


def _number_on(x: float, y: float, number: int) -> String:
    """A number in the colour of the page, on a mark."""
    words = String(
        x,
        y,
        str(number),
        fontName=BOLD,
        fontSize=9,
        fillColor=HexColor("#ffffff"),
        textAnchor="middle",
    )
    mark(words, css_class="page-ink")
    return words


def _area(drawing: Drawing, books: Sequence[Mapping[str, Any]], scale: float) -> None:
    stock = [float(week["stock_jars"]) for week in books]
    most = max([*stock, 1.0])
    floor, height = 6.0, AREA - 18
    points = [NAMES, floor]
    for number, jars in enumerate(stock):
        points += [NAMES + (number + 0.5) * scale, floor + jars / most * height]
    points += [NAMES + len(stock) * scale, floor]
    area = Polygon(points, fillColor=STORE, strokeColor=black, strokeWidth=0.6)
    mark(area, name=say("jars in store at the end of each week"))
    drawing.add(area)
    drawing.add(String(0, floor + height / 2, say("Jars in store"), fontName=FONT, fontSize=11))  # fmt: skip
    drawing.add(String(0, floor + height / 2 - 14, say("most: {most:.0f}", most=most), fontName=FONT, fontSize=10))  # fmt: skip
