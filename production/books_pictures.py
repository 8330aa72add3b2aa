"""The pictures of the books: cost bars, margin map, prices, season, cap gauge.

Each is drawn from plain values and stands beside its table; none needs a script.
Colours keep apart in black and white by the figures printed on them.
"""

import datetime
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from reportlab.graphics.shapes import (  # noqa: TID253 - imported with pictures only
    Drawing,
    Line,
    PolyLine,
    Rect,
    String,
)
from reportlab.lib.colors import (  # noqa: TID253 - imported with pictures only
    Color,
    HexColor,
    black,
)

from inventory.pictures import mark
from production.costing.breakdown import Part

__all__ = [
    "Bar",
    "PricePoint",
    "draw_cap",
    "draw_cost_bars",
    "draw_margin_map",
    "draw_prices",
    "draw_season",
]

Anchor = Literal["start", "middle", "end"]
FONT, BOLD = "Helvetica", "Helvetica-Bold"
TEXT = 10.0
SMALL = 8.5
ROW = 26.0
NAME_WIDTH = 190.0
DARK = HexColor("#241f1c")
GRID = Color(0, 0, 0, 0.25)
PART_COLOURS = {
    Part.INGREDIENTS: HexColor("#b5485a"),
    Part.PACKAGING: HexColor("#6d8fb3"),
    Part.ENERGY: HexColor("#c9a13b"),
    Part.LABOUR: HexColor("#7a9a62"),
    Part.OVERHEAD: HexColor("#9a86a8"),
    Part.FEES: HexColor("#8c8279"),
}
LINE_COLOURS = [
    HexColor(code)
    for code in ("#b5485a", "#5b82ad", "#b98a1e", "#64884c", "#8a72a0", "#a0643c")
]
LOSS, GAIN = HexColor("#f2aaa2"), HexColor("#8fc48a")
PALE = HexColor("#f4efe2")
MONTHS = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split()  # noqa: SIM905


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """One product's cost by part, with the total as it is printed."""

    name: str
    parts: Mapping[Part, Decimal]
    total_text: str
    link: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PricePoint:
    """What a kilogram of a fruit cost on a day."""

    on: datetime.date
    price: Decimal


def _box(x: float, y: float, width: float, height: float, fill: Color) -> Rect:
    """A filled rectangle without an outline."""
    box = Rect(x, y, width, height)
    box.fillColor, box.strokeColor = fill, None
    return box


def _text(
    x: float, y: float, words: str, *, size: float = TEXT, anchor: Anchor = "start"
) -> String:
    return String(x, y, words, fontName=FONT, fontSize=size, textAnchor=anchor)


def _dark(x: float, y: float, words: str, *, size: float = TEXT) -> String:
    """Text that stays dark because what is under it is always light."""
    return String(
        x,
        y,
        words,
        fontName=FONT,
        fontSize=size,
        textAnchor="middle",
        fillColor=DARK,
    )


def _cut(words: str, letters: int = 30) -> str:
    return words if len(words) <= letters else f"{words[: letters - 1]}…"


def draw_cost_bars(bars: Sequence[Bar]) -> Drawing:
    """Cost of a jar of each product as one bar, part after part."""
    width, top = 720.0, 34.0
    drawing = Drawing(width, top + ROW * len(bars) + 6)
    most = max(
        (sum(bar.parts.values(), Decimal(0)) for bar in bars), default=Decimal(1)
    )
    scale = (width - NAME_WIDTH - 70) / float(most or 1)
    _legend(drawing, [part for part in Part if any(part in b.parts for b in bars)])
    for number, bar in enumerate(bars):
        y = drawing.height - top - ROW * (number + 1)
        name = _text(0, y + 7, _cut(bar.name))
        mark(name, link=bar.link)
        drawing.add(name)
        x = NAME_WIDTH
        for part, amount in bar.parts.items():
            length = max(float(amount), 0.0) * scale
            piece = _box(x, y + 2, length, ROW - 8, PART_COLOURS[part])
            mark(piece, name=f"{bar.name}: {part.value} {amount:.2f}")
            drawing.add(piece)
            x += length
        drawing.add(_text(x + 6, y + 7, bar.total_text))
    return drawing


def _legend(drawing: Drawing, parts: Sequence[Part]) -> None:
    x = NAME_WIDTH
    for part in parts:
        drawing.add(_box(x, drawing.height - 20, 11, 11, PART_COLOURS[part]))
        drawing.add(_text(x + 15, drawing.height - 19, part.value, size=SMALL))
        x += 24 + 5.2 * len(part.value)


def draw_margin_map(
    rows: Sequence[str],
    columns: Sequence[str],
    cells: Mapping[tuple[int, int], tuple[Decimal, str]],
) -> Drawing:
    """What is kept by product and outlet: red where it loses, green where it earns.

    Args:
        rows: products.
        columns: outlets.
        cells: kept share of the price and its text, by row and column number.
    """
    column, top = 118.0, 30.0
    drawing = Drawing(NAME_WIDTH + column * len(columns), top + ROW * len(rows))
    for number, words in enumerate(columns):
        x = NAME_WIDTH + column * (number + 0.5)
        drawing.add(_text(x, drawing.height - 18, _cut(words, 21), anchor="middle"))
    for number, words in enumerate(rows):
        y = drawing.height - top - ROW * (number + 1)
        drawing.add(_text(0, y + 8, _cut(words)))
        for place in range(len(columns)):
            if (number, place) not in cells:
                continue
            share, text = cells[number, place]
            x = NAME_WIDTH + column * place
            box = _box(x + 1, y + 1, column - 2, ROW - 2, _shade(share))
            mark(box, name=f"{words}, {columns[place]}: {text}")
            drawing.add(box)
            drawing.add(_dark(x + column / 2, y + 8, text))
    return drawing


def _shade(share: Decimal) -> Color:
    """From pale at nought to full colour at a half of the price."""
    full = LOSS if share < 0 else GAIN
    weight = min(abs(float(share)) * 2, 1.0) if share >= 0 else 1.0
    return Color(
        *(
            light + (strong - light) * weight
            for light, strong in zip(PALE.rgb(), full.rgb(), strict=True)
        )
    )


def draw_prices(series: Mapping[str, Sequence[PricePoint]]) -> Drawing:
    """What a kilogram of each fruit cost over the years."""
    width, height, left, right, bottom = 720.0, 300.0, 44.0, 130.0, 26.0
    drawing = Drawing(width, height)
    points = [point for line in series.values() for point in line]
    if not points:
        return drawing
    first = min(point.on for point in points)
    days = max((max(point.on for point in points) - first).days, 1)
    most = float(max(point.price for point in points)) or 1.0

    def at(point: PricePoint) -> tuple[float, float]:
        x = left + (point.on - first).days / days * (width - left - right)
        return x, bottom + float(point.price) / most * (height - bottom - 16)

    for step in range(5):
        y = bottom + step / 4 * (height - bottom - 16)
        drawing.add(Line(left, y, width - right, y, strokeColor=GRID, strokeWidth=0.6))
        drawing.add(
            _text(left - 6, y - 3, f"{most * step / 4:.2f}", size=SMALL, anchor="end")
        )
    for year in range(first.year + 1, max(p.on for p in points).year + 1):
        x, _ = at(PricePoint(on=datetime.date(year, 1, 1), price=Decimal(0)))
        drawing.add(Line(x, bottom, x, height - 16, strokeColor=GRID, strokeWidth=0.6))
        drawing.add(_text(x, 8, str(year), size=SMALL, anchor="middle"))
    _price_lines(drawing, series, at)
    return drawing


def _price_lines(
    drawing: Drawing,
    series: Mapping[str, Sequence[PricePoint]],
    at: Callable[[PricePoint], tuple[float, float]],
) -> None:
    taken: list[float] = []
    for number, (name, line) in enumerate(series.items()):
        colour = LINE_COLOURS[number % len(LINE_COLOURS)]
        spots = [at(point) for point in sorted(line, key=lambda p: p.on)]
        flat = [value for spot in spots for value in spot]
        if len(spots) > 1:
            drawing.add(PolyLine(flat, strokeColor=colour, strokeWidth=1.6))
        for spot, point in zip(spots, sorted(line, key=lambda p: p.on), strict=True):
            dot = _box(spot[0] - 2.5, spot[1] - 2.5, 5, 5, colour)
            mark(dot, name=f"{name}, {point.on:%d %b %Y}: {point.price:.2f} a kg")
            drawing.add(dot)
        x, y = drawing.width - 124, spots[-1][1]
        while any(abs(y - other) < SMALL + 1 for other in taken):
            y += 2
        taken.append(y)
        drawing.add(_box(x - 4, y - 1, 8, 8, colour))
        drawing.add(_text(x + 8, y - 1, _cut(name, 22), size=SMALL))


def draw_season(rows: Mapping[str, Sequence[int]]) -> Drawing:
    """Jars of each product sold in each month: the darker the more."""
    column, top = 42.0, 24.0
    drawing = Drawing(NAME_WIDTH + column * 12 + 50, top + ROW * len(rows))
    most = max((max(jars) for jars in rows.values()), default=0) or 1
    for number, word in enumerate(MONTHS):
        x = NAME_WIDTH + column * (number + 0.5)
        drawing.add(_text(x, drawing.height - 16, word, size=SMALL, anchor="middle"))
    for number, (name, jars) in enumerate(rows.items()):
        y = drawing.height - top - ROW * (number + 1)
        drawing.add(_text(0, y + 8, _cut(name)))
        for month, sold in enumerate(jars):
            if not sold:
                continue
            x = NAME_WIDTH + column * month
            shade = _shade(Decimal(sold) / most / 2)
            box = _box(x + 1, y + 1, column - 2, ROW - 2, shade)
            mark(box, name=f"{name}, {MONTHS[month]}: {sold} jars")
            drawing.add(box)
            drawing.add(_dark(x + column / 2, y + 8, str(sold)))
        total = drawing.width - 4
        drawing.add(_text(total, y + 8, str(sum(jars)), anchor="end"))
    return drawing


def draw_cap(fraction: Decimal, estimate_fraction: Decimal, *, text: str) -> Drawing:
    """Sales of the year against the cap, with the year's end as it would be.

    Args:
        fraction: share of the cap already sold.
        estimate_fraction: share of the cap sold by 31 December if it goes on so.
        text: the figure printed on the bar.
    """
    width, height = 720.0, 58.0
    drawing = Drawing(width, height)
    scale = (width - 20) / max(1.1, float(fraction), float(estimate_fraction))
    track = _box(0, 22, scale, 24, PALE)
    track.strokeColor, track.strokeWidth = black, 0.6
    drawing.add(track)
    near = fraction >= Decimal("0.8")
    sold = _box(0, 22, float(fraction) * scale, 24, LOSS if near else GAIN)
    mark(sold, name=text)
    drawing.add(sold)
    x = float(estimate_fraction) * scale
    drawing.add(Line(x, 16, x, 52, strokeColor=black, strokeDashArray=[4, 3]))
    ends_late = x > width * 0.7
    note = _text(
        x + (-6 if ends_late else 6),
        4,
        "estimate for 31 December",
        size=SMALL,
        anchor="end" if ends_late else "start",
    )
    drawing.add(note)
    drawing.add(Line(scale, 14, scale, 54, strokeColor=black, strokeWidth=2))
    drawing.add(String(8, 30, text, fontName=BOLD, fontSize=TEXT, fillColor=DARK))
    return drawing
