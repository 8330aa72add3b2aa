"""The safe part of SVG: filled shapes in one colour, read into line and curve steps."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from defusedxml import ElementTree
from defusedxml.common import DefusedXmlException

from inventory.words import say

__all__ = ["Step", "VectorError", "VectorPicture", "read_svg"]

SVG = "{http://www.w3.org/2000/svg}"
IGNORED = {"title", "desc", "metadata"}
LARGEST_STEPS = 20_000


class VectorError(ValueError):
    """An SVG file holds more than the safe part we draw."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of a path: "M" move, "L" line, "C" curve or "Z" close.

    Attributes:
        kind: which.
        points: x and y in turn, picture units, downwards.
    """

    kind: str
    points: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class VectorPicture:
    """Filled paths within a frame.

    Attributes:
        left: left edge of the frame, picture units.
        top: upper edge.
        width: of the frame.
        height: of the frame.
        paths: each filled by itself.
    """

    left: float
    top: float
    width: float
    height: float
    paths: tuple[tuple[Step, ...], ...]

    @property
    def ratio(self) -> float:
        """Width divided by height."""
        return self.width / self.height

    @property
    def largest_width_mm(self) -> float:
        """Lines stay sharp at any size."""
        return float("inf")


def read_svg(data: bytes) -> VectorPicture:
    """Read an SVG file.

    Args:
        data: the file.

    Raises:
        VectorError: it is broken or holds more than filled shapes.
    """
    try:
        root = ElementTree.fromstring(data, forbid_dtd=True)
    except (ElementTree.ParseError, DefusedXmlException, ValueError) as error:
        raise VectorError(
            say("the SVG file cannot be read; export it again as plain SVG")
        ) from error
    left, top, width, height = _frame(root.attrib)
    paths = tuple(_paths(root))
    if not paths:
        raise VectorError(
            say("the SVG file holds no filled shape; draw it as filled paths")
        )
    if sum(len(path) for path in paths) > LARGEST_STEPS:
        raise VectorError(
            say("the SVG file has too many points for a label; simplify its paths")
        )
    return VectorPicture(left=left, top=top, width=width, height=height, paths=paths)


def _frame(attributes: dict[str, str]) -> tuple[float, float, float, float]:
    numbers = _numbers(attributes.get("viewBox", ""))
    if len(numbers) != 4:
        sizes = _numbers(
            f"{attributes.get('width', '')} {attributes.get('height', '')}"
        )
        numbers = [0.0, 0.0, *sizes]
    if len(numbers) != 4 or numbers[2] <= 0 or numbers[3] <= 0:
        raise VectorError(say("the SVG file has no viewBox; export it with one"))
    return numbers[0], numbers[1], numbers[2], numbers[3]


def _paths(parent: object) -> Iterator[tuple[Step, ...]]:
    for node in parent:  # type: ignore[attr-defined] # an XML element
        name = str(node.tag).removeprefix(SVG)
        if name in IGNORED:
            continue
        _refuse_unsafe(name, node.attrib)
        if name == "g":
            yield from _paths(node)
        elif name in SHAPES and node.attrib.get("fill") != "none":
            yield SHAPES[name](node.attrib)
        elif name not in SHAPES:
            raise VectorError(
                say(
                    'the SVG file holds "{name}"; only filled paths, rectangles, '
                    "circles, ellipses and polygons are drawn, so turn the rest into "
                    "paths",
                    name=name,
                )
            )


def _refuse_unsafe(name: str, attributes: dict[str, str]) -> None:
    for attribute in attributes:
        short = attribute.rpartition("}")[2]
        if short in {"href", "style", "transform", "class", "filter", "mask"}:
            raise VectorError(
                say(
                    'the SVG file uses "{short}" on "{name}"; export it as plain paths '
                    "without styles, links and transformations",
                    short=short,
                    name=name,
                )
            )
        if short.startswith("on"):
            raise VectorError(say("the SVG file holds a script; export it without"))
    stroke = attributes.get("stroke", "none")
    if stroke != "none":
        raise VectorError(
            say("the SVG file has drawn outlines; turn its strokes into filled paths")
        )


NUMBER = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")


def _numbers(text: str) -> list[float]:
    return [float(each) for each in NUMBER.findall(text)]


def _number(attributes: dict[str, str], name: str) -> float:
    numbers = _numbers(attributes.get(name, "0"))
    if len(numbers) != 1:
        raise VectorError(say('the SVG file gives no number for "{name}"', name=name))
    return numbers[0]


def _rectangle(attributes: dict[str, str]) -> tuple[Step, ...]:
    x, y = _number(attributes, "x"), _number(attributes, "y")
    width, height = _number(attributes, "width"), _number(attributes, "height")
    corners = ((x, y), (x + width, y), (x + width, y + height), (x, y + height))
    return _polygon_of(corners)


def _polygon_of(corners: tuple[tuple[float, float], ...]) -> tuple[Step, ...]:
    return (
        Step(kind="M", points=corners[0]),
        *(Step(kind="L", points=corner) for corner in corners[1:]),
        Step(kind="Z"),
    )


def _polygon(attributes: dict[str, str]) -> tuple[Step, ...]:
    numbers = _numbers(attributes.get("points", ""))
    if len(numbers) < 6 or len(numbers) % 2:
        raise VectorError(say("the SVG file holds a polygon without its points"))
    return _polygon_of(tuple(zip(numbers[::2], numbers[1::2], strict=True)))


CIRCLE_HANDLE = 0.5522847498
"""Length of a Bezier handle for a quarter circle of radius one."""


def _ellipse(attributes: dict[str, str]) -> tuple[Step, ...]:
    x, y = _number(attributes, "cx"), _number(attributes, "cy")
    rx = _number(attributes, "r" if "r" in attributes else "rx")
    ry = _number(attributes, "r" if "r" in attributes else "ry")
    hx, hy = rx * CIRCLE_HANDLE, ry * CIRCLE_HANDLE
    return (
        Step(kind="M", points=(x + rx, y)),
        Step(kind="C", points=(x + rx, y + hy, x + hx, y + ry, x, y + ry)),
        Step(kind="C", points=(x - hx, y + ry, x - rx, y + hy, x - rx, y)),
        Step(kind="C", points=(x - rx, y - hy, x - hx, y - ry, x, y - ry)),
        Step(kind="C", points=(x + hx, y - ry, x + rx, y - hy, x + rx, y)),
        Step(kind="Z"),
    )


COUNTS = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "Z": 0}


def _path(attributes: dict[str, str]) -> tuple[Step, ...]:
    return tuple(_PathReader().read(attributes.get("d", "")))


class _PathReader:
    """Turns the letters of a path into absolute moves, lines and curves."""

    def __init__(self) -> None:
        self.x = self.y = 0.0
        self.start = (0.0, 0.0)
        self.handle: tuple[float, float] | None = None
        self.last = ""

    def read(self, text: str) -> Iterator[Step]:
        for letter, rest in re.findall(
            r"([A-Za-z])([^A-Za-z]*(?:e[-+]?\d+[^A-Za-z]*)*)", text
        ):
            kind = letter.upper()
            if kind not in COUNTS:
                raise VectorError(
                    say(
                        'the SVG file uses the path letter "{letter}"; turn its arcs into '
                        "curves",
                        letter=letter,
                    )
                )
            yield from self._each(letter, _numbers(rest))

    def _each(self, letter: str, numbers: list[float]) -> Iterator[Step]:
        kind, count = letter.upper(), COUNTS[letter.upper()]
        if count == 0:
            self.x, self.y = self.start
            yield Step(kind="Z")
            return
        if not numbers or len(numbers) % count:
            raise VectorError(say("the SVG file holds a path with missing numbers"))
        for index in range(0, len(numbers), count):
            values = numbers[index : index + count]
            yield self._step("L" if kind == "M" and index else kind, letter, values)

    def _step(self, kind: str, letter: str, values: list[float]) -> Step:
        points = self._absolute(kind, values, is_relative=letter.islower())
        step = self._drawn(kind, points)
        self.handle = _handle(kind, points, step)
        self.last = kind
        self.x, self.y = step.points[-2:]
        if kind == "M":
            self.start = (self.x, self.y)
        return step

    def _absolute(
        self, kind: str, values: list[float], *, is_relative: bool
    ) -> list[float]:
        dx, dy = (self.x, self.y) if is_relative else (0.0, 0.0)
        if kind == "H":
            return [values[0] + dx, self.y]
        if kind == "V":
            return [self.x, values[0] + dy]
        return [each + (dy if place % 2 else dx) for place, each in enumerate(values)]

    def _drawn(self, kind: str, points: list[float]) -> Step:
        if kind in "MLHV":
            return Step(kind="M" if kind == "M" else "L", points=tuple(points))
        if kind == "S":
            points = [*self._mirrored("CS"), *points]
        elif kind == "T":
            points = [*self._mirrored("QT"), *points]
        if kind in "QT":
            points = self._raised(points)
        return Step(kind="C", points=tuple(points))

    def _mirrored(self, after: str) -> tuple[float, float]:
        if self.handle is None or self.last not in after:
            return self.x, self.y
        return 2 * self.x - self.handle[0], 2 * self.y - self.handle[1]

    def _raised(self, points: list[float]) -> list[float]:
        """Write a curve of one handle with two."""
        qx, qy, x, y = points
        self.handle = (qx, qy)
        return [
            self.x + 2 / 3 * (qx - self.x),
            self.y + 2 / 3 * (qy - self.y),
            x + 2 / 3 * (qx - x),
            y + 2 / 3 * (qy - y),
            x,
            y,
        ]


def _handle(kind: str, points: list[float], step: Step) -> tuple[float, float] | None:
    if kind in "CS":
        return step.points[2], step.points[3]
    if kind == "Q":
        return points[0], points[1]
    if kind == "T":
        # The raised curve's second handle lies two thirds of the way to the first.
        x, y = step.points[4:]
        return x + 1.5 * (step.points[2] - x), y + 1.5 * (step.points[3] - y)
    return None


SHAPES = {
    "path": _path,
    "rect": _rectangle,
    "circle": _ellipse,
    "ellipse": _ellipse,
    "polygon": _polygon,
}
