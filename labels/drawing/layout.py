"""The layout of a label: everything it must say, as large as it will go.

Several arrangements are tried: front and information side by side in various
shares and columns, or one below the other; each in the normal cut and, where
that is too tight, in the condensed one. The arrangement that lets the smallest
print grow most is taken. Where none holds the text at its least sizes the label
is refused with the list of what finds no room. Nothing is left out, shrunk
below its least size, hyphenated or overlapped.
"""

from inventory.words import say
from labels.drawing.growth import Attempt, Setting
from labels.drawing.nutrition import NutritionForm
from labels.drawing.placed import LabelDrawing
from labels.drawing.request import (
    LabelDoesNotFitError,
    LabelKind,
    LabelRequest,
    LayoutError,
)

__all__ = [
    "LabelDoesNotFitError",
    "LabelKind",
    "LabelRequest",
    "LayoutError",
    "lay_out",
]

GOOD_GROWTH = 0.3
"""Growth of the smallest print at which the condensed cut is not tried."""


def lay_out(request: LabelRequest) -> LabelDrawing:
    """Lay a label out.

    Args:
        request: text, label, jar and design.

    Returns:
        Every line, rule, code and picture with its place.

    Raises:
        LabelDoesNotFitError: it cannot hold its text at the least sizes.
        LayoutError: the label has nothing to say, or a picture is too coarse.
        MissingGlyphError: a character no typeface can write.
    """
    if not request.front_elements and not request.information_elements:
        raise LayoutError(
            say("this label has nothing to say; choose another arrangement")
        )
    refused: list[Attempt] = []
    for form in request.nutrition_forms:
        whole, others = _attempts(request, form)
        if whole:
            return _drawing(request, max(whole, key=_merit))
        refused += others
    fewest = min(refused, key=lambda attempt: len(attempt.misfits))
    raise LabelDoesNotFitError(
        misfits=fewest.misfits,
        width_mm=request.width_mm,
        height_mm=request.height_mm,
    )


def _attempts(
    request: LabelRequest, form: NutritionForm
) -> tuple[list[Attempt], list[Attempt]]:
    """Return the arrangements that hold everything, and those that do not."""
    whole: list[Attempt] = []
    refused: list[Attempt] = []
    for is_condensed in (False, True):
        setting = Setting(request=request, is_condensed=is_condensed, form=form)
        for attempt in setting.attempts():
            (refused if attempt.misfits else whole).append(attempt)
        if whole and min(max(whole, key=_merit).growths) >= GOOD_GROWTH:
            break
    return whole, refused


def _merit(attempt: Attempt) -> float:
    return attempt.merit


def _drawing(request: LabelRequest, attempt: Attempt) -> LabelDrawing:
    return LabelDrawing(
        width_mm=request.width_mm,
        height_mm=request.height_mm,
        shape=request.shape,
        corner_radius_mm=request.corner_radius_mm,
        items=attempt.items,
        sizes=attempt.sizes,
        language=request.text.language,
    )
