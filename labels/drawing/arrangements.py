"""The ways to divide a label between its front and its information."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from labels.drawing.panels import columns_of
from labels.drawing.placed import Box
from labels.drawing.request import LabelRequest
from labels.sheets import Shape

__all__ = ["INFORMATION_INSET_MM", "Arrangement", "arrangements"]

FRONT_SHARES = (0.34, 0.38, 0.42, 0.46, 0.5, 0.54, 0.58)
NARROWEST_PANEL_MM = 18.0
EVEN_SHARE = 0.46
UNEVEN_MALUS = 0.6
"""Where the print is as large either way, the front takes a little under half."""

INFORMATION_INSET_MM = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrangement:
    """Where the panels lie.

    Attributes:
        front: room for the front's text, or ``None``.
        front_frame: the front with its inset, for lines round it.
        information: room for the information, or ``None`` when it stands on the
            front.
        columns: columns of the information.
        to_next_mm: from the front's text to the nearest other print.
        bonus: what speaks for it besides the size of the print.
    """

    front: Box | None
    front_frame: Box | None
    information: Box | None
    columns: int = 1
    to_next_mm: float = 0.0
    bonus: float = 0.0


def arrangements(request: LabelRequest) -> Iterator[Arrangement]:
    """Yield every way to divide the label that is worth trying."""
    if request.shape is Shape.ROUND:
        yield from _round_arrangements(request)
        return
    label = Box(
        left_mm=0, top_mm=0, right_mm=request.width_mm, bottom_mm=request.height_mm
    )
    if not request.front_elements:
        inside = label.shrunk(INFORMATION_INSET_MM)
        for columns in (1, 2, 3):
            if columns_of(inside, columns):
                yield Arrangement(
                    front=None, front_frame=None, information=inside, columns=columns
                )
        return
    yield _stacked(request, label)
    if request.information_elements:
        yield from _side_by_side(request, label)


def _stacked(request: LabelRequest, label: Box) -> Arrangement:
    inset = request.design.inset_mm
    inside = label.shrunk(inset)
    narrower = max(0.0, inside.width_mm - float(request.jar.display_width_mm)) / 2
    front = Box(
        left_mm=inside.left_mm + narrower,
        top_mm=inside.top_mm,
        right_mm=inside.right_mm - narrower,
        bottom_mm=inside.bottom_mm,
    )
    return Arrangement(
        front=front, front_frame=label, information=None, to_next_mm=math.inf
    )


def _side_by_side(request: LabelRequest, label: Box) -> Iterator[Arrangement]:
    inset = request.design.inset_mm
    widest = float(request.jar.display_width_mm) + inset
    shares = {min(share * label.width_mm, widest) for share in FRONT_SHARES}
    for width in sorted(shares):
        frame = Box(left_mm=0, top_mm=0, right_mm=width, bottom_mm=label.bottom_mm)
        information = Box(
            left_mm=width + INFORMATION_INSET_MM,
            top_mm=INFORMATION_INSET_MM,
            right_mm=label.right_mm - INFORMATION_INSET_MM,
            bottom_mm=label.bottom_mm - INFORMATION_INSET_MM,
        )
        if min(frame.width_mm, information.width_mm) < NARROWEST_PANEL_MM:
            continue
        for columns in (1, 2, 3):
            if columns_of(information, columns):
                yield Arrangement(
                    front=frame.shrunk(inset),
                    front_frame=frame,
                    information=information,
                    columns=columns,
                    to_next_mm=inset + INFORMATION_INSET_MM,
                    bonus=-UNEVEN_MALUS * abs(width / label.width_mm - EVEN_SHARE),
                )


def _round_arrangements(request: LabelRequest) -> Iterator[Arrangement]:
    """Yield rectangles of various proportions within the circle."""
    diameter = request.width_mm
    label = Box(left_mm=0, top_mm=0, right_mm=diameter, bottom_mm=diameter)
    for degrees in (30, 36, 42, 48, 54):
        reach = diameter / 2 - request.design.inset_mm + 0.6
        half_width = reach * math.cos(math.radians(degrees))
        half_height = reach * math.sin(math.radians(degrees))
        inside = Box(
            left_mm=diameter / 2 - half_width,
            top_mm=diameter / 2 - half_height,
            right_mm=diameter / 2 + half_width,
            bottom_mm=diameter / 2 + half_height,
        )
        has_front = bool(request.front_elements)
        yield Arrangement(
            front=inside if has_front else None,
            front_frame=label if has_front else None,
            information=None if has_front else inside,
            to_next_mm=math.inf,
        )
