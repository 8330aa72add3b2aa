"""What stands where on one label: the result of the layout, ready to be drawn.

Positions in mm from the label's top left corner, to the right and downwards.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from inventory.typefaces import Face
from labels.codes import Code
from labels.drawing.pictures import Picture
from labels.sheets import Shape

__all__ = [
    "Box",
    "ElementSize",
    "Item",
    "LabelDrawing",
    "PlacedBox",
    "PlacedCode",
    "PlacedPicture",
    "PlacedRule",
    "PlacedText",
    "bounds",
    "moved",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A rectangle on the label, mm."""

    left_mm: float
    top_mm: float
    right_mm: float
    bottom_mm: float

    @property
    def width_mm(self) -> float:
        """From left to right."""
        return self.right_mm - self.left_mm

    @property
    def height_mm(self) -> float:
        """From top to bottom."""
        return self.bottom_mm - self.top_mm

    def shrunk(self, by_mm: float) -> "Box":
        """Return the rectangle with each side moved inwards."""
        return Box(
            left_mm=self.left_mm + by_mm,
            top_mm=self.top_mm + by_mm,
            right_mm=self.right_mm - by_mm,
            bottom_mm=self.bottom_mm - by_mm,
        )

    def moved(self, right_mm: float, down_mm: float) -> "Box":
        """Return the rectangle at another place."""
        return Box(
            left_mm=self.left_mm + right_mm,
            top_mm=self.top_mm + down_mm,
            right_mm=self.right_mm + right_mm,
            bottom_mm=self.bottom_mm + down_mm,
        )

    def overlaps(self, other: "Box", *, tolerance_mm: float = 0.01) -> bool:
        """Whether the two share area beyond a tolerance."""
        return (
            self.left_mm < other.right_mm - tolerance_mm
            and other.left_mm < self.right_mm - tolerance_mm
            and self.top_mm < other.bottom_mm - tolerance_mm
            and other.top_mm < self.bottom_mm - tolerance_mm
        )

    def contains(self, other: "Box", *, tolerance_mm: float = 0.01) -> bool:
        """Whether the other lies within this one."""
        return (
            other.left_mm >= self.left_mm - tolerance_mm
            and other.top_mm >= self.top_mm - tolerance_mm
            and other.right_mm <= self.right_mm + tolerance_mm
            and other.bottom_mm <= self.bottom_mm + tolerance_mm
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedText:
    """Text in one face on one base line.

    Attributes:
        of: what it belongs to: the role of a statement, or "brand".
        left_mm: start of the text.
        baseline_mm: the line it stands on.
        face: typeface.
        size_pt: type size.
        text: the characters.
        width_mm: how long it is.
        on_band: whether it stands, paper-coloured, on a solid band.
    """

    of: str
    left_mm: float
    baseline_mm: float
    face: Face
    size_pt: float
    text: str
    width_mm: float
    on_band: bool = False

    @property
    def box(self) -> Box:
        """From the top of the capitals to the tails."""
        em_mm = self.size_pt * 25.4 / 72
        return Box(
            left_mm=self.left_mm,
            top_mm=self.baseline_mm - 0.79 * em_mm,
            right_mm=self.left_mm + self.width_mm,
            bottom_mm=self.baseline_mm + 0.21 * em_mm,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedRule:
    """A straight line."""

    from_x_mm: float
    from_y_mm: float
    to_x_mm: float
    to_y_mm: float
    line_mm: float

    @property
    def box(self) -> Box:
        """The ink of the line."""
        half = self.line_mm / 2
        is_level = self.from_y_mm == self.to_y_mm
        return Box(
            left_mm=self.from_x_mm - (0 if is_level else half),
            top_mm=self.from_y_mm - (half if is_level else 0),
            right_mm=self.to_x_mm + (0 if is_level else half),
            bottom_mm=self.to_y_mm + (half if is_level else 0),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedBox:
    """A rectangle: filled where ``line_mm`` is 0, else drawn as a frame."""

    box: Box
    line_mm: float = 0.0
    radius_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedCode:
    """A QR code or bar code with its quiet zone."""

    left_mm: float
    top_mm: float
    code: Code

    @property
    def box(self) -> Box:
        """The code with its quiet zone."""
        return Box(
            left_mm=self.left_mm,
            top_mm=self.top_mm,
            right_mm=self.left_mm + self.code.width_mm,
            bottom_mm=self.top_mm + self.code.height_mm,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedPicture:
    """A logo."""

    box: Box
    picture: Picture


Item = PlacedText | PlacedRule | PlacedBox | PlacedCode | PlacedPicture


def moved(item: Item, *, right_mm: float, down_mm: float) -> Item:
    """Return an item at another place."""
    match item:
        case PlacedText():
            return replace(
                item,
                left_mm=item.left_mm + right_mm,
                baseline_mm=item.baseline_mm + down_mm,
            )
        case PlacedRule():
            return replace(
                item,
                from_x_mm=item.from_x_mm + right_mm,
                to_x_mm=item.to_x_mm + right_mm,
                from_y_mm=item.from_y_mm + down_mm,
                to_y_mm=item.to_y_mm + down_mm,
            )
        case PlacedCode():
            return replace(
                item,
                left_mm=item.left_mm + right_mm,
                top_mm=item.top_mm + down_mm,
            )
        case PlacedBox() | PlacedPicture():
            return replace(item, box=item.box.moved(right_mm, down_mm))


def bounds(items: Iterable[Item]) -> Box:
    """Return the smallest rectangle round some items."""
    boxes = [item.box for item in items]
    return Box(
        left_mm=min(box.left_mm for box in boxes),
        top_mm=min(box.top_mm for box in boxes),
        right_mm=max(box.right_mm for box in boxes),
        bottom_mm=max(box.bottom_mm for box in boxes),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class ElementSize:
    """How large one statement is drawn, and what was asked.

    Attributes:
        of: its role.
        size_pt: type size chosen.
        least_pt: the smallest that the law, or legibility, allows.
        drawn_mm: height of the letter the law measures.
        citation: where the size is asked, or "" where no law asks.
    """

    of: str
    size_pt: float
    least_pt: float
    drawn_mm: float
    citation: str

    @property
    def title(self) -> str:
        """What a person calls the statement."""
        return self.of.replace("_", " ")


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelDrawing:
    """One label, ready to be drawn.

    Attributes:
        width_mm: of the label.
        height_mm: of the label.
        shape: its outline.
        corner_radius_mm: rounding of the corners.
        items: in reading order.
        sizes: type size of each statement.
        language: BCP 47 tag of the words.
        draft: words to print across it, or "" when it may be used.
    """

    width_mm: float
    height_mm: float
    shape: Shape
    corner_radius_mm: float
    items: tuple[Item, ...]
    sizes: tuple[ElementSize, ...]
    language: str = "en"
    draft: str = ""

    @property
    def box(self) -> Box:
        """The whole label."""
        return Box(
            left_mm=0, top_mm=0, right_mm=self.width_mm, bottom_mm=self.height_mm
        )

    @property
    def texts(self) -> tuple[PlacedText, ...]:
        """The text items in reading order."""
        return tuple(item for item in self.items if isinstance(item, PlacedText))

    def box_of(self, name: str) -> Box:
        """Return the rectangle round one statement's text."""
        return bounds(item for item in self.texts if item.of == name)

    def as_draft(self, words: str) -> "LabelDrawing":
        """Return the label with a mark across it."""
        return replace(self, draft=words)
