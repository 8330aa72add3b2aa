"""Three looks of our own: one colour, few lines, good on brown paper.

*plain* sets the name flush left over a short heavy rule; *frame* centres it
inside a double line; *band* sets it paper-coloured on a solid band.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from labels.drawing.placed import Box, Item, PlacedBox, PlacedRule

__all__ = ["DESIGNS", "Align", "Design", "DesignError", "find_design"]

Align = Literal["left", "centre"]

OUTER_LINE_MM = 0.5
INNER_LINE_MM = 0.18
LINE_GAP_MM = 0.55


class DesignError(LookupError):
    """There is no design of this name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Design:
    """How the front of a label looks.

    Attributes:
        name: as stored.
        title: as shown.
        align: how the front's lines stand.
        inset_mm: from the label's edge to the text.
        has_frame: a double line round the front.
        has_band: the name of the food on a solid band.
        has_rule: a short heavy rule under the name.
    """

    name: str
    title: str
    align: Align
    inset_mm: float
    has_frame: bool = False
    has_band: bool = False
    has_rule: bool = False

    def decoration(self, front: Box) -> tuple[Item, ...]:
        """Return the lines round a front panel.

        Args:
            front: the front with its inset.
        """
        if not self.has_frame:
            return ()
        outer = front.shrunk(1.2)
        inner = outer.shrunk(OUTER_LINE_MM / 2 + LINE_GAP_MM + INNER_LINE_MM / 2)
        return (
            PlacedBox(box=outer, line_mm=OUTER_LINE_MM),
            PlacedBox(box=inner, line_mm=INNER_LINE_MM),
        )


def divider(x_mm: float, *, top_mm: float, bottom_mm: float) -> PlacedRule:
    """Return the hairline between front and information."""
    return PlacedRule(
        from_x_mm=x_mm,
        from_y_mm=top_mm,
        to_x_mm=x_mm,
        to_y_mm=bottom_mm,
        line_mm=INNER_LINE_MM,
    )


DESIGNS: Mapping[str, Design] = MappingProxyType(
    {
        design.name: design
        for design in (
            Design(
                name="plain", title="Plain", align="left", inset_mm=2.2, has_rule=True
            ),
            Design(
                name="frame",
                title="Frame",
                align="centre",
                inset_mm=3.6,
                has_frame=True,
            ),
            Design(
                name="band", title="Band", align="centre", inset_mm=2.2, has_band=True
            ),
        )
    }
)


def find_design(name: str) -> Design:
    """Return a design.

    Raises:
        DesignError: there is none of this name.
    """
    if name not in DESIGNS:
        raise DesignError(f'there is no design "{name}"; choose {", ".join(DESIGNS)}')
    return DESIGNS[name]
