"""One panel of a label: whether its blocks fit, where they go, what does not."""

from collections.abc import Sequence
from dataclasses import dataclass

from inventory.words import say
from labels.drawing.blocks import Block
from labels.drawing.placed import Box, Item

__all__ = ["Column", "Filled", "Misfit", "fill_columns"]

COLUMN_GAP_MM = 3.0
NARROWEST_COLUMN_MM = 26.0
LARGEST_EXTRA_GAP_MM = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Misfit:
    """Something a label cannot hold.

    Attributes:
        name: what it is.
        reason: what it needs and what there is.
    """

    name: str
    reason: str

    def __str__(self) -> str:
        return f"{self.name.replace('_', ' ')} ({self.reason})"


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A strip of the panel that blocks are stacked in."""

    left_mm: float
    top_mm: float
    width_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Filled:
    """The outcome of filling a panel.

    Attributes:
        items: what was placed, in reading order.
        misfits: what was not.
    """

    items: tuple[Item, ...]
    misfits: tuple[Misfit, ...] = ()


def columns_of(panel: Box, count: int) -> tuple[Column, ...]:
    """Return a panel in columns; none where they would be too narrow."""
    width = (panel.width_mm - (count - 1) * COLUMN_GAP_MM) / count
    if width <= 0 or (count > 1 and width < NARROWEST_COLUMN_MM):
        return ()
    return tuple(
        Column(
            left_mm=panel.left_mm + number * (width + COLUMN_GAP_MM),
            top_mm=panel.top_mm,
            width_mm=width,
            height_mm=panel.height_mm,
        )
        for number in range(count)
    )


def fill_columns(
    blocks: Sequence[Block], columns: Sequence[Column], *, gap_mm: float
) -> Filled:
    """Stack blocks in columns, in order, whole blocks only.

    Args:
        blocks: in reading order.
        columns: from left to right, at least one.
        gap_mm: least space between two blocks.

    Returns:
        What was placed and what found no room. A block that does not fit is left
        out and the next is tried, so that the list of misfits is complete.
    """
    shares: list[list[tuple[Block, float]]] = [[] for _ in columns]
    used = [0.0 for _ in columns]
    current = 0
    misfits = []
    for block in blocks:
        width = columns[current].width_mm
        if block.narrowest_mm > width + 0.01:
            misfits.append(_too_wide(block, width))
            continue
        height = block.height_mm(width)
        place = _column_with_room(used, columns, current, height, gap_mm)
        if place is None:
            left = columns[current].height_mm - used[current] - gap_mm
            misfits.append(_too_high(block, height, left))
            continue
        current = place
        shares[current].append((block, height))
        used[current] += height + (gap_mm if used[current] else 0)
    items = [
        item
        for column, share, height in zip(columns, shares, used, strict=True)
        for item in _stacked(share, column, gap_mm, height)
    ]
    return Filled(items=tuple(items), misfits=tuple(misfits))


def _column_with_room(
    used: Sequence[float],
    columns: Sequence[Column],
    current: int,
    height_mm: float,
    gap_mm: float,
) -> int | None:
    for place in range(current, len(columns)):
        gap = gap_mm if used[place] else 0
        if used[place] + gap + height_mm <= columns[place].height_mm + 0.001:
            return place
    return None


def _stacked(
    share: Sequence[tuple[Block, float]], column: Column, gap_mm: float, used_mm: float
) -> list[Item]:
    if len(share) > 1:
        spare = (column.height_mm - used_mm) / (len(share) - 1)
        gap_mm += min(LARGEST_EXTRA_GAP_MM, max(0.0, spare))
    items: list[Item] = []
    top = column.top_mm
    for block, height in share:
        items += block.place(
            left_mm=column.left_mm, top_mm=top, width_mm=column.width_mm
        )
        top += height + gap_mm
    return items


def _too_wide(block: Block, width_mm: float) -> Misfit:
    return Misfit(
        name=block.name,
        reason=say(
            "needs {narrowest_mm:.1f} mm of width, there are {there:.1f} mm",
            narrowest_mm=block.narrowest_mm,
            there=max(0.0, width_mm),
        ),
    )


def _too_high(block: Block, height_mm: float, left_mm: float) -> Misfit:
    return Misfit(
        name=block.name,
        reason=say(
            "needs {height_mm:.1f} mm of height, {there:.1f} mm are left",
            height_mm=height_mm,
            there=max(0.0, left_mm),
        ),
    )
