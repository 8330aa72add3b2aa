"""Whether a kitchen scale is fine enough for a net-contents check."""

from decimal import Decimal
from enum import StrEnum

from inventory.words import say
from production.net_contents import NetContentsError, tables

__all__ = [
    "LEAST_DIVISIONS",
    "ScaleClass",
    "acceptance_divisions",
    "largest_division_g",
    "scale_class",
]

LEAST_DIVISIONS = 100
"""A scale has at least this many divisions: NIST Handbook 133 (2026), 2.2.1."""
MAV_SHARE = 6
"""A division is at most this part of the MAV: the same, 2.2.1."""


class ScaleClass(StrEnum):
    """Accuracy class of an unmarked scale."""

    II = "class_ii"
    III = "class_iii"


def largest_division_g(mav_g: Decimal) -> Decimal:
    """Return the coarsest step of 1, 2 or 5 a scale may have for a size of jar, g."""
    allowed = mav_g / MAV_SHARE
    power = Decimal(1).scaleb(allowed.adjusted())
    return max(m * power for m in (1, 2, 5) if m * power <= allowed)


def scale_class(*, capacity_g: Decimal, division_g: Decimal) -> ScaleClass:
    """Return the class of an unmarked scale by its division and capacity.

    Raises:
        NetContentsError: fewer than 100 divisions.

    Source: NIST Handbook 133 (2026), table 2-1; 0.1 g or coarser with 5,001 to
    10,000 divisions counts as III.
    """
    divisions = capacity_g / division_g
    if divisions < LEAST_DIVISIONS:
        raise NetContentsError(
            say(
                "a scale of {capacity_g} g in steps of {division_g} g has "
                "{divisions} steps; a check needs at least {least_divisions}",
                capacity_g=capacity_g,
                division_g=division_g,
                divisions=int(divisions),
                least_divisions=LEAST_DIVISIONS,
            )
        )
    if division_g >= Decimal("0.1"):
        return ScaleClass.II if divisions > 10_000 else ScaleClass.III
    return ScaleClass.II


def acceptance_divisions(kind: ScaleClass, load_divisions: Decimal) -> Decimal:
    """Return how many divisions a scale may be off at a load.

    Source: NIST Handbook 133 (2026), 2.2.3, table 2-2.
    """
    rows = tables()["scale_tolerance"][kind.value]
    reached = next(
        row
        for row in rows
        if load_divisions <= row["load_at_most"] or not row["load_at_most"]
    )
    return Decimal(reached["divisions"])
