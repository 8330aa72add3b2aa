"""The outside of a jar, as far as label law asks for it.

Source: 21 CFR 101.1 (area of the principal display panel: the whole side of a
flat pack, 40 % of height times circumference of a cylinder; shoulder, neck, top
and bottom left out); SFCR (Canada) section 1, principal display surface (c).
"""

import math
from abc import ABC, abstractmethod
from dataclasses import dataclass
from decimal import Decimal

from inventory.sourced import Kind, Sourced
from inventory.words import say
from labels.statements.label_text import AreaOf

__all__ = [
    "DISPLAY_SHARE",
    "FlatSidedJar",
    "JarSurface",
    "RoundJar",
    "SurfaceError",
]

DISPLAY_SHARE = Sourced(
    value=Decimal("0.40"),
    unit="1",
    kind=Kind.LEGAL,
    source="21 CFR 101.1",
    section="(b), (c)",
    edition="read 2026",
)
"""Share of a round wall that counts as its principal display panel."""

MM2_PER_CM2 = 100


class SurfaceError(ValueError):
    """A jar without a wall to put a label on."""


class JarSurface(ABC):
    """A jar's wall."""

    @property
    @abstractmethod
    def display_panel_cm2(self) -> Decimal:
        """Area of the principal display panel, cm2."""

    @property
    @abstractmethod
    def largest_surface_cm2(self) -> Decimal:
        """Area of the largest surface, cm2."""

    @property
    @abstractmethod
    def display_width_mm(self) -> Decimal:
        """Greatest width of what must stand on the principal display panel, mm."""

    def area_cm2(self, area_of: AreaOf) -> Decimal:
        """Return the area a type size rule asks for, cm2."""
        if area_of is AreaOf.LARGEST_SURFACE:
            return self.largest_surface_cm2
        return self.display_panel_cm2


def _check(**measures_mm: Decimal) -> None:
    for name, length_mm in measures_mm.items():
        if length_mm <= 0:
            raise SurfaceError(
                say(
                    "the {name} of the jar is {length_mm} mm; measure the straight "
                    "part of the wall",
                    name=name.removesuffix("_mm").replace("_", " "),
                    length_mm=length_mm,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundJar(JarSurface):
    """A cylinder or nearly one.

    Attributes:
        wall_height_mm: height of the straight wall, without shoulder and neck.
        diameter_mm: outside diameter of the wall.
    """

    wall_height_mm: Decimal
    diameter_mm: Decimal

    def __post_init__(self) -> None:
        _check(wall_height_mm=self.wall_height_mm, diameter_mm=self.diameter_mm)

    @property
    def circumference_mm(self) -> Decimal:
        """Once round the wall, mm."""
        return self.diameter_mm * Decimal(repr(math.pi))

    @property
    def largest_surface_cm2(self) -> Decimal:
        """The whole side wall (Commission notice 2018/C 196/01, from memory)."""
        return self.wall_height_mm * self.circumference_mm / MM2_PER_CM2

    @property
    def display_panel_cm2(self) -> Decimal:
        """40 % of the side wall."""
        return DISPLAY_SHARE.value * self.largest_surface_cm2

    @property
    def display_width_mm(self) -> Decimal:
        """40 % of the circumference."""
        return DISPLAY_SHARE.value * self.circumference_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class FlatSidedJar(JarSurface):
    """A jar with equal flat faces.

    A wrap round several faces makes it nearly a cylinder; a label on one face
    makes that face the panel. The larger of the two areas decides (common
    practice: it asks for the larger print).

    Attributes:
        wall_height_mm: height of the flat face.
        face_width_mm: width of one face.
        faces: how many there are.
    """

    wall_height_mm: Decimal
    face_width_mm: Decimal
    faces: int = 4

    def __post_init__(self) -> None:
        _check(wall_height_mm=self.wall_height_mm, face_width_mm=self.face_width_mm)
        if self.faces < 2:
            raise SurfaceError(
                say("a jar with {faces} flat faces is a round jar", faces=self.faces)
            )

    @property
    def largest_surface_cm2(self) -> Decimal:
        """One face."""
        return self.wall_height_mm * self.face_width_mm / MM2_PER_CM2

    @property
    def display_panel_cm2(self) -> Decimal:
        """One face or 40 % of all of them, whichever is more."""
        return self.largest_surface_cm2 * max(
            Decimal(1), DISPLAY_SHARE.value * self.faces
        )

    @property
    def display_width_mm(self) -> Decimal:
        """Width of one face or 40 % of all of them, whichever is more."""
        return self.face_width_mm * max(Decimal(1), DISPLAY_SHARE.value * self.faces)
