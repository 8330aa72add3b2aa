"""The whole text of one label as a value: what is said, where, and how large.

The statement builders make a ``LabelText``; the rules read it; the drawing
room sets it. Nothing here knows fonts, sheets or the shape of the jar: what
depends on the jar (an area, the largest print) is left as a rule to be asked
with that figure.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from inventory.words import say

__all__ = [
    "AreaOf",
    "LabelElement",
    "LabelText",
    "LabelTextError",
    "MeasuredOn",
    "NutritionPanel",
    "NutritionRow",
    "Panel",
    "Placement",
    "Role",
    "Run",
    "SizeStep",
    "TypeSize",
    "TypeSizeRule",
    "emphasised",
    "plain",
]


class LabelTextError(ValueError):
    """A label text was put together wrongly."""


class Role(StrEnum):
    """What an element of a label is there for."""

    IDENTITY = "identity"
    NET_QUANTITY = "net_quantity"
    INGREDIENTS = "ingredients"
    ALLERGENS = "allergens"
    CROSS_CONTACT = "cross_contact"
    FRUIT_CONTENT = "fruit_content"
    SUGAR_CONTENT = "sugar_content"
    PRODUCER = "producer"
    ORIGIN = "origin"
    PLACE_STATEMENT = "place_statement"
    REGISTRATION = "registration"
    BEST_BY = "best_by"
    MADE_ON = "made_on"
    STORAGE = "storage"
    BATCH_CODE = "batch_code"
    NUTRITION = "nutrition"
    CLAIM = "claim"
    MAKER_NOTE = "maker_note"


class Panel(StrEnum):
    """Where an element must stand."""

    PRINCIPAL_DISPLAY = "principal_display"
    INFORMATION = "information"
    ANY = "any"


class MeasuredOn(StrEnum):
    """The glyph whose drawn height is the type size the law means."""

    LOWER_CASE_O = "lower_case_o"
    X_HEIGHT = "x_height"
    CAPITAL = "capital"
    NUMERAL = "numeral"
    POINT = "point"


class AreaOf(StrEnum):
    """The area that decides between the steps of a type size rule."""

    PRINCIPAL_DISPLAY_PANEL = "principal_display_panel"
    LARGEST_SURFACE = "largest_surface"


class Placement(StrEnum):
    """Demands on position beyond the panel."""

    BOTTOM_30_PERCENT = "bottom_30_percent"
    CLEAR_SPACE = "clear_space"
    ONE_FIELD_OF_VISION = "one_field_of_vision"
    NEXT_TO_INGREDIENTS = "next_to_ingredients"
    IN_A_BOX = "in_a_box"
    BOLD = "bold"


@dataclass(frozen=True, slots=True, kw_only=True)
class TypeSize:
    """A least type size, measured as the law measures it.

    Attributes:
        minimum_mm: least height of the measured glyph, mm. With
            ``MeasuredOn.POINT`` the nominal size in mm (1 pt = 25.4/72 mm).
        measured_on: the glyph; ``LOWER_CASE_O`` means capitals where the text
            has no lower case.
        citation: the provision.
    """

    minimum_mm: Decimal
    measured_on: MeasuredOn
    citation: str

    def __post_init__(self) -> None:
        if self.minimum_mm < 0:
            raise LabelTextError(
                say(
                    "a type size of {minimum_mm} mm is below zero",
                    minimum_mm=self.minimum_mm,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeStep:
    """The size that holds up to and including an area (``None``: without end)."""

    up_to_cm2: Decimal | None
    size: TypeSize


@dataclass(frozen=True, slots=True, kw_only=True)
class TypeSizeRule:
    """The least type size of one element.

    Attributes:
        steps: by rising area, the last without an end. One step without an
            end where no area matters.
        area_of: the area the steps ask for.
        share_of_largest: least share of the tallest print on the panel.
        share_of_identity: least share of the height of the name of the food.
        not_below: no smaller than the text of this role.
        also: a second law's size, to be met as well.
    """

    steps: tuple[SizeStep, ...]
    area_of: AreaOf = AreaOf.PRINCIPAL_DISPLAY_PANEL
    share_of_largest: Decimal | None = None
    share_of_identity: Decimal | None = None
    not_below: Role | None = None
    also: TypeSize | None = None

    def __post_init__(self) -> None:
        if not self.steps or self.steps[-1].up_to_cm2 is not None:
            raise LabelTextError(say("the last step of a type size rule has no end"))
        ends = [step.up_to_cm2 for step in self.steps[:-1]]
        if None in ends or ends != sorted(ends, key=lambda end: end or Decimal(0)):
            raise LabelTextError(say("the steps of a type size rule rise by area"))

    @classmethod
    def fixed(cls, size: TypeSize) -> "TypeSizeRule":
        """Return a rule that asks one size whatever the area."""
        return cls(steps=(SizeStep(up_to_cm2=None, size=size),))

    def at(self, area_cm2: Decimal | None = None) -> TypeSize:
        """Return the size asked at an area.

        Args:
            area_cm2: the area ``area_of`` names, cm2. Unknown takes the
                smallest step; a drawn label always knows its area.
        """
        if area_cm2 is None:
            return self.steps[0].size
        for step in self.steps:
            if step.up_to_cm2 is None or area_cm2 <= step.up_to_cm2:
                return step.size
        raise AssertionError("the last step has no end")


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A piece of text in one emphasis."""

    text: str
    emphasis: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class NutritionRow:
    """One line of a nutrition table, figures already rounded as the law asks.

    Attributes:
        label: nutrient as printed ("Total Fat", "of which sugars").
        amount: with its unit ("0g", "12 g", "less than 1g").
        percent: share of the daily or reference value with its sign, or "".
        indent: 0 main nutrient, 1 part of it, 2 part of that.
        bold: printed in heavier type.
        rule_above: thickness class of the line above: "", "hair", "medium",
            "heavy".
    """

    label: str
    amount: str
    percent: str = ""
    indent: int = 0
    bold: bool = False
    rule_above: str = "hair"


@dataclass(frozen=True, slots=True, kw_only=True)
class NutritionPanel:
    """A nutrition table, ready to be drawn in any of its lawful forms.

    Attributes:
        form: "us" (vertical, tabular or linear as the space decides), "eu",
            "ca", "anz".
        title: heading ("Nutrition Facts").
        servings: "about 14 servings per container", or "".
        serving_size: "1 tbsp (20g)", or "per 100 g".
        calories: the figure of the large line, or "".
        percent_heading: "% Daily Value*", or "".
        rows: in the order prescribed.
        vitamins: rows below the second heavy line.
        footnotes: in order.
        linear: the whole table as one running text.
        columns: headings of the figures where there is more than one.
    """

    form: str
    title: str
    servings: str
    serving_size: str
    calories: str
    percent_heading: str
    rows: tuple[NutritionRow, ...]
    vitamins: tuple[NutritionRow, ...] = ()
    footnotes: tuple[str, ...] = ()
    linear: str = ""
    columns: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelElement:
    """One statement of the label.

    Attributes:
        role: what it is there for.
        runs: its text. Joined without spaces between.
        size: least type size, or ``None`` where no law sets one.
        panel: where it must stand.
        mandatory: the law of this jurisdiction or place asks for it.
        citation: the provision that asks for it.
        placement: demands on position.
        nutrition: the table of a nutrition element; its ``runs`` then hold the
            running (linear) text of the same figures.
        verbatim: prescribed words: not to be reworded, hyphenated or recased.
    """

    role: Role
    runs: tuple[Run, ...]
    size: TypeSizeRule | None = None
    panel: Panel = Panel.ANY
    mandatory: bool = True
    citation: str = ""
    placement: frozenset[Placement] = frozenset()
    nutrition: NutritionPanel | None = None
    verbatim: bool = False

    def __post_init__(self) -> None:
        if not self.text.strip():
            raise LabelTextError(say("the {role} element has no text", role=self.role))

    @property
    def text(self) -> str:
        """The element's words without their emphasis."""
        return "".join(run.text for run in self.runs)


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelText:
    """All that one label says, in reading order.

    Attributes:
        jurisdiction: "US", "EU", "UK", "CA", "AU", "NZ" or "CODEX".
        language: BCP 47 tag of the text ("en", "fr-CA").
        elements: the statements, most important first.
        place_code: code of the place profile, or "" for none.
        draft_reasons: why this text may only be drawn as a marked draft
            (an unfinished place profile, a question open); empty when it may
            be printed.
    """

    jurisdiction: str
    language: str
    elements: tuple[LabelElement, ...]
    place_code: str = ""
    draft_reasons: tuple[str, ...] = ()

    def of(self, role: Role) -> tuple[LabelElement, ...]:
        """Return the elements of one role, in order."""
        return tuple(element for element in self.elements if element.role is role)

    def first(self, role: Role) -> LabelElement | None:
        """Return the first element of a role, or ``None``."""
        return next(iter(self.of(role)), None)

    def on(self, *panels: Panel) -> tuple[LabelElement, ...]:
        """Return the elements that must stand on one of these panels."""
        return tuple(element for element in self.elements if element.panel in panels)

    @property
    def text(self) -> str:
        """All words of the label, one element a line."""
        return "\n".join(element.text for element in self.elements)


def plain(*texts: str) -> tuple[Run, ...]:
    """Return texts as runs without emphasis."""
    return tuple(Run(text=text) for text in texts)


def emphasised(pairs: Iterable[tuple[str, bool]]) -> tuple[Run, ...]:
    """Return (text, emphasis) pairs as runs, neighbours of one kind joined."""
    runs: list[Run] = []
    for text, emphasis in pairs:
        if not text:
            continue
        if runs and runs[-1].emphasis is emphasis:
            runs[-1] = Run(text=runs[-1].text + text, emphasis=emphasis)
        else:
            runs.append(Run(text=text, emphasis=emphasis))
    return tuple(runs)
