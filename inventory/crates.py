"""Jars into crates: how a packing list fills them, one after the other."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from inventory.words import say

__all__ = ["Crate", "CrateRow", "fill_crates"]

JARS_PER_CRATE = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class CrateRow:
    """So many jars of one thing."""

    name: str
    mark: str
    jars: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Crate:
    """One crate and what goes into it, in packing order."""

    number: int
    rows: tuple[CrateRow, ...]

    @property
    def jars(self) -> int:
        """Jars in the crate."""
        return sum(row.jars for row in self.rows)


def fill_crates(
    rows: Iterable[CrateRow], *, size: int = JARS_PER_CRATE
) -> Sequence[Crate]:
    """Fill crates in the order of the rows, breaking a row where a crate is full.

    Args:
        rows: what to pack; rows of no jars are left out.
        size: jars in a full crate, at least one.

    Returns:
        The crates; every one but the last is full.

    Raises:
        ValueError: a crate of no jars.
    """
    if size < 1:
        raise ValueError(
            say("a crate of {size} jars holds nothing; enter at least 1", size=size)
        )
    crates: list[list[CrateRow]] = []
    free = 0
    for row in rows:
        left = row.jars
        while left > 0:
            if free == 0:
                crates.append([])
                free = size
            jars = min(left, free)
            crates[-1].append(CrateRow(name=row.name, mark=row.mark, jars=jars))
            free -= jars
            left -= jars
    return [
        Crate(number=number, rows=tuple(filled))
        for number, filled in enumerate(crates, 1)
    ]
