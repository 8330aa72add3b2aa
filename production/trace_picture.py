"""The picture of a trace: columns from supplier to place, lines between them.

Every node keeps its two lines of text at a size that can be read, however many
there are: the picture grows downwards instead of shrinking. Within a column nodes
are ordered by the mean place of their neighbours, which keeps most lines short.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from reportlab.graphics.shapes import (  # noqa: TID253 - imported with pictures only
    Drawing,
    Path,
    Rect,
    String,
)
from reportlab.lib.colors import (  # noqa: TID253 - imported with pictures only
    Color,
    HexColor,
    black,
    white,
)
from reportlab.pdfbase.pdfmetrics import (  # noqa: TID253 - imported with pictures only
    stringWidth,
)

from inventory.accents import accent_of
from inventory.pictures import mark
from inventory.words import say
from production.trace_graph import Graph, Node, State

__all__ = ["Spot", "draw_graph", "order_columns", "place_nodes"]

BOX_WIDTH = 190.0
BOX_HEIGHT = 42.0
STRIPE = 5.0
COLUMN_STEP = 245.0
ROW_STEP = 54.0
MARGIN = 8.0
TITLE_SIZE = 14.0
DETAIL_SIZE = 11.5
SWEEPS = 4
LINE = Color(0, 0, 0, 0.45)
FAINT = Color(0, 0, 0, 0.7)
FONT = "Helvetica"


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """Where a node stands: lower left corner, points."""

    left: float
    bottom: float

    @property
    def middle(self) -> float:
        """Height of the lines that meet the box."""
        return self.bottom + BOX_HEIGHT / 2


def order_columns(graph: Graph) -> tuple[tuple[str, ...], ...]:
    """Put the nodes of each column in an order with short lines.

    Args:
        graph: what is drawn.

    Returns:
        Keys from the top, one tuple per column.
    """
    columns: dict[int, list[str]] = defaultdict(list)
    for key, level in graph.levels().items():
        columns[level].append(key)
    ordered = [columns[level] for level in sorted(columns)]
    for sweep in range(SWEEPS):
        forward = sweep % 2 == 0
        neighbours = graph.parents if forward else graph.children
        for column in ordered if forward else reversed(ordered):
            places = _places(ordered)
            column.sort(key=lambda key: _mean_place(key, neighbours, places))
    return tuple(tuple(column) for column in ordered)


def place_nodes(graph: Graph) -> tuple[Mapping[str, Spot], float, float]:
    """Give every node its spot.

    Args:
        graph: what is drawn.

    Returns:
        Spots by key, then width and height of the picture, points.
    """
    columns = order_columns(graph)
    tallest = max((len(column) for column in columns), default=1)
    height = 2 * MARGIN + ROW_STEP * (tallest - 1) + BOX_HEIGHT
    width = 2 * MARGIN + COLUMN_STEP * max(len(columns) - 1, 0) + BOX_WIDTH
    spots = {}
    for at, column in enumerate(columns):
        free = height - 2 * MARGIN - ROW_STEP * (len(column) - 1) - BOX_HEIGHT
        top = height - MARGIN - BOX_HEIGHT - free / 2
        for row, key in enumerate(column):
            left = MARGIN + COLUMN_STEP * at
            spots[key] = Spot(left=left, bottom=top - ROW_STEP * row)
    return spots, width, height


def draw_graph(graph: Graph) -> Drawing:
    """Draw the graph; lines first, so that boxes stay readable.

    Args:
        graph: what is drawn.
    """
    spots, width, height = place_nodes(graph)
    drawing = Drawing(width, height)
    for edge in graph.edges:
        drawing.add(_line(spots[edge.tail], spots[edge.head]))
    for node in graph.nodes:
        for shape in _box(node, spots[node.key]):
            drawing.add(shape)
    return drawing


def _places(columns: Sequence[Sequence[str]]) -> dict[str, float]:
    """Place of each node in its column, as a share, so that columns compare."""
    return {
        key: (row + 0.5) / len(column)
        for column in columns
        for row, key in enumerate(column)
    }


def _mean_place(
    key: str, neighbours: Mapping[str, tuple[str, ...]], places: Mapping[str, float]
) -> float:
    found = [places[other] for other in neighbours.get(key, ())]
    return sum(found) / len(found) if found else places[key]


def _line(tail: Spot, head: Spot) -> Path:
    line = Path(strokeColor=LINE, strokeWidth=1, fillColor=None)
    start, end = tail.left + BOX_WIDTH, head.left
    bend = max((end - start) / 2, 12)
    line.moveTo(start, tail.middle)
    line.curveTo(
        *(start + bend, tail.middle),
        *(end - bend, head.middle),
        *(end, head.middle),
    )
    return line


def _edge_of(node: Node, spot: Spot) -> tuple[Rect, ...]:
    """A stripe in the fruit colour of a batch or its jars."""
    if not node.accent:
        return ()
    stripe = Rect(spot.left, spot.bottom, STRIPE, BOX_HEIGHT)
    stripe.strokeColor = None
    stripe.fillColor = HexColor(accent_of(node.accent).light)
    mark(stripe, css_class=f"fruit-mark fruit-{node.accent}")
    return (stripe,)


def _box(node: Node, spot: Spot) -> tuple[Rect | String, ...]:
    marked = node.state is not State.PLAIN
    box = Rect(spot.left, spot.bottom, BOX_WIDTH, BOX_HEIGHT, rx=3, ry=3)
    box.strokeColor, box.fillColor = black, white
    box.strokeWidth = 2.2 if marked else 0.7
    state = f" ({say(node.state)})" if marked else ""
    full = f"{say(node.kind)}: {node.title}, {node.detail}{state}"
    look = f"node {node.kind} {node.state.replace(' ', '-')}".strip()
    mark(box, link=node.address, name=full, css_class=look)
    detail = f"{say(node.state)}: {node.detail}" if marked else node.detail
    words = (
        _words(node.title, spot, 24, TITLE_SIZE, black),
        _words(detail, spot, 8, DETAIL_SIZE, FAINT),
    )
    return box, *_edge_of(node, spot), *(shape for shape in words if shape.text)


def _words(text: str, spot: Spot, up: float, size: float, color: Color) -> String:
    return String(
        spot.left + 10,
        spot.bottom + up,
        _fitted(text, size),
        fontName=FONT,
        fontSize=size,
        fillColor=color,
    )


def _fitted(text: str, size: float) -> str:
    room = BOX_WIDTH - 18
    if stringWidth(text, FONT, size) <= room:
        return text
    kept = text
    while kept and stringWidth(kept + "…", FONT, size) > room:
        kept = kept[:-1]
    return kept.rstrip() + "…"
