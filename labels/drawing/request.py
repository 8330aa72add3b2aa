"""What a label's layout is asked for, and how it refuses."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum

from inventory.words import say
from labels.codes import Code
from labels.drawing.designs import Design
from labels.drawing.nutrition import NutritionForm
from labels.drawing.panels import Misfit
from labels.drawing.pictures import Picture
from labels.drawing.surface import JarSurface
from labels.sheets import Shape
from labels.statements.label_text import (
    LabelElement,
    LabelText,
    Panel,
    Placement,
    Role,
)

__all__ = ["LabelDoesNotFitError", "LabelKind", "LabelRequest", "LayoutError"]

BOTTOM_ZONE_FREE_CM2 = Decimal("32.258")
"""5 in2: at or below it the bottom zone is not asked (21 CFR 101.7(f))."""


LINEAR_UP_TO_CM2 = Decimal("258.06")
"""40 in2."""


class LabelKind(StrEnum):
    """Which of a jar's labels is drawn."""

    WRAP = "wrap"
    FRONT = "front"
    BACK = "back"
    LID = "lid"


LID_ROLES = (Role.IDENTITY, Role.BEST_BY, Role.MADE_ON, Role.BATCH_CODE)


class LayoutError(ValueError):
    """A label cannot be laid out as asked."""


class LabelDoesNotFitError(LayoutError):
    """A label is too small for what it must say at its least sizes.

    Attributes:
        misfits: everything that finds no room.
        width_mm: of the label.
        height_mm: of the label.
    """

    def __init__(
        self, *, misfits: Sequence[Misfit], width_mm: float, height_mm: float
    ) -> None:
        self.misfits = tuple(misfits)
        self.width_mm = width_mm
        self.height_mm = height_mm
        listed = "; ".join(str(misfit) for misfit in self.misfits)
        super().__init__(
            say(
                "a label of {width_mm:g} x {height_mm:g} mm cannot hold at a "
                "lawful size: {listed}; take a larger label, or split it into a "
                "front and a back label",
                width_mm=width_mm,
                height_mm=height_mm,
                listed=listed,
            )
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelRequest:
    """Everything a label's layout depends on.

    Attributes:
        text: what it says.
        kind: which of the jar's labels.
        width_mm: of the label.
        height_mm: of the label.
        jar: the wall it goes on.
        design: how it looks.
        shape: outline of the label.
        corner_radius_mm: rounding of its corners.
        brand: the seller's name above the name of the food, or "".
        logo: a picture above that.
        codes: QR code and bars, after the information.
    """

    text: LabelText
    kind: LabelKind
    width_mm: float
    height_mm: float
    jar: JarSurface
    design: Design
    shape: Shape = Shape.RECTANGLE
    corner_radius_mm: float = 0.0
    brand: str = ""
    logo: Picture | None = None
    codes: tuple[Code, ...] = field(default=())

    @property
    def front_elements(self) -> tuple[LabelElement, ...]:
        """The statements of the front."""
        if self.kind is LabelKind.BACK:
            return ()
        if self.kind is LabelKind.LID:
            return tuple(
                element for role in LID_ROLES for element in self.text.of(role)
            )
        return tuple(each for each in self.text.elements if _is_of_front(each))

    @property
    def information_elements(self) -> tuple[LabelElement, ...]:
        """The statements of the information panel."""
        if self.kind in {LabelKind.FRONT, LabelKind.LID}:
            return ()
        return tuple(each for each in self.text.elements if not _is_of_front(each))

    @property
    def nutrition_forms(self) -> tuple[NutritionForm, ...]:
        """The forms a nutrition table may take, the fullest first.

        Linear only on packs of at most 40 in2 (21 CFR 101.9(j)(13)(ii)).
        """
        table = self.text.first(Role.NUTRITION)
        if table is None or table.nutrition is None:
            return (NutritionForm.VERTICAL,)
        is_small = self.jar.largest_surface_cm2 <= LINEAR_UP_TO_CM2
        forms = [NutritionForm.VERTICAL]
        if table.nutrition.form in {"us", "ca"}:
            forms.append(NutritionForm.TABULAR)
        if is_small or table.nutrition.form not in {"us", "ca"}:
            forms.append(NutritionForm.LINEAR)
        return tuple(forms)

    @property
    def is_zone_asked(self) -> bool:
        """Whether this jar's panel is large enough for the bottom-zone rule."""
        return self.jar.display_panel_cm2 > BOTTOM_ZONE_FREE_CM2


def _is_of_front(element: LabelElement) -> bool:
    if element.panel is not Panel.ANY:
        return element.panel is Panel.PRINCIPAL_DISPLAY
    return Placement.ONE_FIELD_OF_VISION in element.placement or element.role in {
        Role.IDENTITY,
        Role.NET_QUANTITY,
        Role.CLAIM,
    }
