"""The pictures of the books: cost bars, margin map, prices, season, cap gauge.

Each is drawn from plain values and stands beside its table; none needs a script.
Without colour its kinds are told apart by pattern, by the figures printed on them
and, where money is lost, by a thick edge.
"""

import datetime
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from typing import Literal

from reportlab.graphics.shapes import (  # noqa: TID253 - imported with pictures only
    Drawing,
    Line,
    Rect,
    String,
)
from reportlab.lib.colors import (  # noqa: TID253 - imported with pictures only
    Color,
    HexColor,
    black,
)

from inventory.accents import accent_of
from inventory.measures import Measure, unit_of
from inventory.picture_parts import Pattern, block, patterned
from inventory.pictures import mark
from inventory.words import say
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
PART_ACCENTS = {
    Part.INGREDIENTS: "strawberry",
    Part.PACKAGING: "blueberry",
    Part.ENERGY: "lemon",
    Part.LABOUR: "lime",
    Part.OVERHEAD: "currant",
    Part.FEES: "spice",
}
PART_COLOURS = {
    part: HexColor(accent_of(accent).light) for part, accent in PART_ACCENTS.items()
}
PART_PATTERNS = {
    Part.INGREDIENTS: Pattern.FULL,
    Part.PACKAGING: Pattern.UPRIGHT,
    Part.ENERGY: Pattern.HOLLOW,
    Part.LABOUR: Pattern.LEVEL,
    Part.OVERHEAD: Pattern.CHECK,
    Part.FEES: Pattern.DOTTED,
}
LOSS, GAIN = HexColor("#f2aaa2"), HexColor("#8fc48a")
PALE = HexColor("#f4efe2")


def _months() -> list[str]:
    """Short names of the months, for the reader."""
    days = [datetime.date(2000, month, 1) for month in range(1, 13)]
    return [say("{month:%b}", month=day) for day in days]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """One product's cost by part, with the total as it is printed."""

    name: str
    parts: Mapping[Part, Decimal]
    total_text: str
    accent: str = ""


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


def _two_lines(words: str, letters: int = 22) -> list[str]:
    """A heading broken once, at a space, and cut if it is still too long."""
    if len(words) <= letters or " " not in words:
        return [_cut(words, letters)]
    spaces = [place for place, letter in enumerate(words) if letter == " "]
    middle = min(spaces, key=lambda place: abs(place - len(words) / 2))
    return [_cut(words[:middle], letters), _cut(words[middle + 1 :], letters)]


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
        drawing.add(_text(12 if bar.accent else 0, y + 7, _cut(bar.name)))
        if bar.accent:
            drawing.add(_fruit(0, y + 3, bar.accent))
        x = NAME_WIDTH
        for part, amount in bar.parts.items():
            length = max(float(amount), 0.0) * scale
            words = say(
                "{bar}: {part} {amount:.2f}",
                bar=bar.name,
                part=say(part.value),
                amount=amount,
            )
            for shape in _part(part, x, y + 2, length, ROW - 8, name=words):
                drawing.add(shape)
            x += length
        drawing.add(_text(x + 6, y + 7, bar.total_text))
    return drawing


def _fruit(x: float, y: float, accent: str) -> Rect:
    """A small mark in the fruit colour of a product."""
    fill = HexColor(accent_of(accent).light)
    return block(x, y, 6, ROW - 10, fill=fill, css_class=f"fruit-mark fruit-{accent}")


def _part(
    part: Part, x: float, y: float, width: float, height: float, *, name: str = ""
) -> Iterator[Rect]:
    """One part of a bar, in its colour and its pattern."""
    return patterned(
        x,
        y,
        width,
        height,
        fill=PART_COLOURS[part],
        pattern=PART_PATTERNS[part],
        name=name,
        css_class=f"fruit-mark fruit-{PART_ACCENTS[part]}",
    )


def _legend(drawing: Drawing, parts: Sequence[Part]) -> None:
    x = NAME_WIDTH
    for part in parts:
        words = say(part.value)
        for shape in _part(part, x, drawing.height - 21, 18, 13):
            drawing.add(shape)
        drawing.add(_text(x + 23, drawing.height - 18, words, size=SMALL))
        x += 34 + 5.6 * len(words)


def draw_margin_map(
    rows: Sequence[str],
    columns: Sequence[str],
    cells: Mapping[tuple[int, int], tuple[Decimal, str]],
) -> Drawing:
    """What is kept by product and outlet: red and edged where it loses, else green.

    Args:
        rows: products.
        columns: outlets.
        cells: kept share of the price and its text, by row and column number.
    """
    column, top = 118.0, 40.0
    drawing = Drawing(NAME_WIDTH + column * len(columns), top + ROW * len(rows))
    for number, words in enumerate(columns):
        x = NAME_WIDTH + column * (number + 0.5)
        for line, part in enumerate(_two_lines(words)):
            y = drawing.height - 14 - 13 * line
            drawing.add(_text(x, y, part, size=SMALL, anchor="middle"))
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
    """What a pound or kilogram of each fruit cost over the years, one strip a fruit.

    Every strip has the same days and its own scale from nought to its dearest
    price; the newest price and the span stand at its end.
    """
    left, width, right, row, top = NAME_WIDTH, 360.0, 170.0, 40.0, 24.0
    drawing = Drawing(left + width + right, top + row * len(series) + 4)
    points = [point for line in series.values() for point in line]
    if not points:
        return drawing
    first, last = min(p.on for p in points), max(p.on for p in points)
    days = max((last - first).days, 1)

    def across(on: datetime.date) -> float:
        return left + (on - first).days / days * width

    for year in range(first.year + 1, last.year + 1):
        x = across(datetime.date(year, 1, 1))
        drawing.add(
            Line(x, 0, x, drawing.height - 16, strokeColor=GRID, strokeWidth=0.6)
        )
        drawing.add(
            _text(x, drawing.height - 12, str(year), size=SMALL, anchor="middle")
        )
    for number, (name, line) in enumerate(series.items()):
        y = drawing.height - top - row * (number + 1)
        drawing.add(Line(left, y, left + width, y, strokeColor=GRID, strokeWidth=0.6))
        drawing.add(_text(0, y + 12, _cut(name)))
        _price_strip(drawing, name, line, across, y=y, height=row - 12)
    return drawing


def _price_strip(
    drawing: Drawing,
    name: str,
    line: Sequence[PricePoint],
    across: Callable[[datetime.date], float],
    *,
    y: float,
    height: float,
) -> None:
    ordered = sorted(line, key=lambda point: point.on)
    dearest = max(point.price for point in ordered) or Decimal(1)
    spots = [
        (across(point.on), y + float(point.price / dearest) * height)
        for point in ordered
    ]
    colour = PART_COLOURS[Part.INGREDIENTS]
    for (x1, y1), (x2, y2) in pairwise(spots):
        drawing.add(Line(x1, y1, x2, y2, strokeColor=colour, strokeWidth=1.2))
    for (x, level), point in zip(spots, ordered, strict=True):
        dot = _box(x - 2.5, level - 2.5, 5, 5, colour)
        mark(
            dot,
            name=say(
                "{name}, {on:%d %b %Y}: {price:.2f} a {unit}",
                name=name,
                on=point.on,
                price=point.price,
                unit=unit_of(Measure.GOODS),
            ),
        )
        drawing.add(dot)
    cheapest = min(point.price for point in ordered)
    end = say(
        "{price:.2f} now; {cheapest:.2f} to {dearest:.2f}",
        price=ordered[-1].price,
        cheapest=cheapest,
        dearest=dearest,
    )
    drawing.add(_text(drawing.width - 158, y + 12, end, size=SMALL))


def draw_season(rows: Mapping[str, Sequence[int]]) -> Drawing:
    """Jars of each product sold in each month: the darker the more."""
    column, top = 42.0, 24.0
    drawing = Drawing(NAME_WIDTH + column * 12 + 50, top + ROW * len(rows))
    most = max((max(jars) for jars in rows.values()), default=0) or 1
    for number, word in enumerate(_months()):
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
            mark(
                box,
                name=say(
                    "{name}, {month}: {sold} jars",
                    name=name,
                    month=_months()[month],
                    sold=sold,
                ),
            )
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
        say("estimate for 31 December"),
        size=SMALL,
        anchor="end" if ends_late else "start",
    )
    drawing.add(note)
    drawing.add(Line(scale, 14, scale, 54, strokeColor=black, strokeWidth=2))
    drawing.add(String(8, 30, text, fontName=BOLD, fontSize=TEXT, fillColor=DARK))
    return drawing
