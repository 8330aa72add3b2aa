"""Pictures of a week: a day's timetable, and a demand with its past days."""

from collections.abc import Mapping, Sequence

from reportlab.graphics.shapes import (  # noqa: TID253  imported with pictures only
    Circle,
    Drawing,
    Line,
    Rect,
    String,
)
from reportlab.lib.colors import (  # noqa: TID253  imported with pictures only
    Color,
    HexColor,
    black,
)

from inventory.accents import accent_of
from inventory.picture_parts import Pattern, patterned
from inventory.pictures import mark
from inventory.words import say
from production.planning.day_sheet import DayLine, DaySheet, clock
from production.planning.demand import Basis, Estimate, PastDay

__all__ = ["draw_day", "draw_demand"]

FONT, BOLD = "Helvetica", "Helvetica-Bold"
WIDTH, NAMES, ROW, HEAD = 720.0, 190.0, 26.0, 22.0
FAINT = Color(0, 0, 0, 0.18)
HANDS = HexColor(accent_of("strawberry").light)
STATIONS = {
    "pot": ("lemon", Pattern.LEVEL),
    "canner": ("blueberry", Pattern.UPRIGHT),
    "": ("spice", Pattern.DOTTED),
}


def draw_day(sheet: DaySheet, names: Mapping[str, str]) -> Drawing:
    """Return a day's timetable: a row a batch, hands solid, by itself pale.

    Args:
        sheet: the day's lines.
        names: what a candidate is called.
    """
    batches = list(dict.fromkeys((x.candidate, x.batch) for x in sheet.lines))
    first = min(x.begins_min for x in sheet.lines) // 60 * 60
    last = -(-max(x.ends_min for x in sheet.lines) // 60) * 60
    scale = (WIDTH - NAMES - 26) / max(last - first, 60)
    drawing = Drawing(WIDTH, HEAD + ROW * len(batches) + 8)
    floor = 4.0
    top = floor + ROW * len(batches)
    step = 60 if last - first <= 480 else 120
    for minute in range(first, last + 1, step):
        x = NAMES + (minute - first) * scale
        drawing.add(Line(x, floor, x, top, strokeColor=FAINT, strokeWidth=0.7))
        words = f"{clock(minute):%H:%M}"
        drawing.add(
            String(x, top + 7, words, fontName=FONT, fontSize=10, textAnchor="middle")
        )
    for row, key in enumerate(batches):
        base = top - ROW * (row + 1)
        title = names.get(key[0], key[0])[:30]
        if sum(k[0] == key[0] for k in batches) > 1:
            title = f"{title[:28]} ({key[1]})"
        drawing.add(String(0, base + 9, title, fontName=FONT, fontSize=11))
        for line in sheet.lines:
            if (line.candidate, line.batch) == key:
                _bar(drawing, line, base, NAMES - first * scale, scale)
    return drawing


def _bar(
    drawing: Drawing, line: DayLine, base: float, left: float, scale: float
) -> None:
    """Draw one line: the hands' part full, the rest at half height."""
    x = left + line.begins_min * scale
    mid = left + line.hands_until_min * scale
    name = say(
        "{begins_at:%H:%M} to {ends_at:%H:%M} {label}",
        begins_at=line.begins_at,
        ends_at=line.ends_at,
        label=line.label,
    )
    if line.idle_min:
        wide = line.idle_min * scale
        accent, pattern = STATIONS[line.station]
        for shape in patterned(
            mid,
            base + 7,
            wide,
            12,
            fill=HexColor(accent_of(accent).light),
            pattern=pattern,
            name=name,
            css_class=f"fruit-mark fruit-{accent}",
        ):
            drawing.add(shape)
    if line.hands_min:
        work = _block(x, base + 4, line.hands_min * scale, 18, fill=HANDS)
        work.strokeColor, work.strokeWidth = black, 0.4
        mark(work, name=name, css_class="fruit-mark fruit-strawberry")
        drawing.add(work)


def _block(x: float, y: float, width: float, height: float, *, fill: Color) -> Rect:
    """Return a filled rectangle without an edge."""
    block = Rect(x, y, width, height)
    block.fillColor, block.strokeColor = fill, None
    return block


def draw_demand(estimate: Estimate, past: Sequence[PastDay]) -> Drawing:
    """Return a demand: past days as dots, the expected day as a band.

    A ring is a day that sold out: demand was at least that.
    """
    days = list(past)
    low, high = estimate.demand.quantile(0.1), estimate.demand.quantile(0.9)
    top = max([high, *(day.offered for day in days), 4])
    width, height, left = 260.0, 84.0, 24.0
    drawing = Drawing(width, height)
    unit = (height - 16) / top

    def level(jars: float) -> float:
        return 8 + jars * unit

    drawing.add(
        Line(left, level(0), width, level(0), strokeColor=black, strokeWidth=0.7)
    )
    for jars in (0, top):
        drawing.add(
            String(
                left - 4, level(jars) - 3, str(jars), fontName=FONT, fontSize=9,
                textAnchor="end",
            )
        )  # fmt: skip
    drawing.add(String(left + 2, height - 8, say("jars"), fontName=FONT, fontSize=9))
    step = (width - left - 60) / max(len(days), 1)
    for n, day in enumerate(days):
        fill = None if day.sold_out else black
        x = left + step * (n + 0.5)
        dot = Circle(x, level(day.sold), 3, fillColor=fill, strokeColor=black)
        drawing.add(dot)
    if estimate.basis is Basis.UNKNOWN:
        return drawing
    x = width - 46
    tall = max(level(high) - level(low), 1)
    drawing.add(_block(x, level(low), 20, tall, fill=FAINT))
    middle = estimate.floor if estimate.mean is None else estimate.mean
    y = level(middle or 0)
    drawing.add(Line(x - 4, y, x + 24, y, strokeColor=black, strokeWidth=3))
    return drawing
