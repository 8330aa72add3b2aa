"""Three looks of our own: one colour, few lines, good on brown paper.

*plain* sets the name flush left over a short heavy rule; *frame* centres it
inside a double line; *band* sets it paper-coloured on a solid band.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from inventory.words import say, to_say
from labels.drawing.placed import Box, Item, PlacedBox, PlacedRule

__all__ = ["DESIGNS", "Align", "Design", "DesignError", "divider", "find_design"]

Align = Literal["left", "centre"]

FRAME_OFFSET_MM = 0.9
OUTER_LINE_MM = 0.45
INNER_LINE_MM = 0.18
LINE_GAP_MM = 0.5


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
        lift: share of the spare height that goes above the name.
        has_frame: a double line round the front.
        has_band: the name of the food on a solid band.
        has_rule: a short heavy rule under the name.
    """

    name: str
    title: str
    align: Align
    inset_mm: float
    lift: float = 0.0
    has_frame: bool = False
    has_band: bool = False
    has_rule: bool = False

    def decoration(self, front: Box, *, radius_mm: float = 0.0) -> tuple[Item, ...]:
        """Return the lines round a front panel.

        Args:
            front: the front with its inset.
            radius_mm: of the front's corners; half its width makes a circle.
        """
        if not self.has_frame:
            return ()
        outer = front.shrunk(FRAME_OFFSET_MM)
        inner = outer.shrunk(OUTER_LINE_MM / 2 + LINE_GAP_MM + INNER_LINE_MM / 2)
        return (
            PlacedBox(
                box=outer,
                line_mm=OUTER_LINE_MM,
                radius_mm=max(0.0, radius_mm - FRAME_OFFSET_MM),
            ),
            PlacedBox(
                box=inner,
                line_mm=INNER_LINE_MM,
                radius_mm=max(
                    0.0, min(radius_mm - FRAME_OFFSET_MM, inner.width_mm / 2)
                ),
            ),
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
                name="plain",
                title=to_say("Plain"),
                align="left",
                inset_mm=2.2,
                has_rule=True,
            ),
            Design(
                name="frame",
                title=to_say("Frame"),
                align="centre",
                inset_mm=2.8,
                has_frame=True,
            ),
            Design(
                name="band",
                title=to_say("Band"),
                align="centre",
                inset_mm=2.2,
                lift=0.3,
                has_band=True,
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
        raise DesignError(
            say(
                'there is no design "{name}"; choose {designs}',
                name=name,
                designs=", ".join(DESIGNS),
            )
        )
    return DESIGNS[name]
