"""What a cup of a material weighs, a form a line: "sliced 166 g".

A weight without a unit is in the seller's; what is kept is grams, to a tenth.
"""

import re
from collections.abc import Mapping
from decimal import Decimal

from inventory.measure_reader import MeasureError, read_measure
from inventory.measures import Measure, scale_text, unit_of
from inventory.words import say

__all__ = ["read_cups", "write_cups"]

TENTH_OF_A_GRAM = Decimal("0.1")
_LINE = re.compile(r"(?P<form>.*?)\s*(?P<weight>[\d.,½¼¾⅓⅔⅛][^a-z]*[a-z]*)")


def read_cups(text: str) -> dict[str, str]:
    """Grams in a cup by form, as text; the plain cup stands under "".

    Raises:
        MeasureError: a line does not end in a weight.
    """
    return dict(_read(line) for line in text.splitlines() if line.strip())


def write_cups(weights: Mapping[str, str]) -> str:
    """The same lines again, in the seller's unit; read back they are the same."""
    unit = unit_of(Measure.WEIGHT)
    return "\n".join(
        f"{form} {_written(Decimal(grams))} {unit}".strip()
        for form, grams in weights.items()
    )


def _written(grams: Decimal) -> str:
    return scale_text(grams, Measure.WEIGHT, places=1)


def _read(line: str) -> tuple[str, str]:
    match = _LINE.fullmatch(line.strip())
    try:
        grams = read_measure(match["weight"], Measure.WEIGHT) if match else None
    except MeasureError:
        grams = None
    if match is None or grams is None or grams <= 0:
        raise MeasureError(
            say('"{line}" does not end in a weight; write: sliced 166 g', line=line)
        )
    return match["form"], f"{grams.quantize(TENTH_OF_A_GRAM).normalize():f}"
