"""Which common lot explains several complaints best.

Each ancestor lot of the complained batches is asked: if complaints fell on batches
by chance, how likely is it that so many of them would descend from this lot? The
smaller that chance, the more the lot deserves a look. It is a ranking of where to
look first, never a finding; the counts are shown beside it.

Source: Fisher, R. A.: The Design of Experiments, 1935, chapter 2 (exact test for a
two by two table, one-sided; the hypergeometric tail).
"""

from collections.abc import Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from fractions import Fraction
from math import comb

__all__ = ["Suspect", "chance_of_so_many", "rank_suspects"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """One lot with its counts.

    Attributes:
        lot: key of the lot.
        complained: complained batches that descend from it.
        complained_in_all: complained batches altogether.
        descendants: batches that descend from it.
        batches_in_all: batches altogether.
        chance: chance of so many complaints by luck alone, 0 to 1.
    """

    lot: str
    complained: int
    complained_in_all: int
    descendants: int
    batches_in_all: int
    chance: Fraction

    @property
    def one_in(self) -> int:
        """The chance as "one in so many", rounded down."""
        return int(1 / self.chance)

    @property
    def explains_all(self) -> bool:
        """Whether every complained batch descends from the lot."""
        return self.complained == self.complained_in_all


def chance_of_so_many(
    *, complained: int, complained_in_all: int, descendants: int, batches_in_all: int
) -> Fraction:
    """Return the chance that at least so many complaints fall on the descendants.

    Args:
        complained: complained batches among the descendants.
        complained_in_all: complained batches altogether.
        descendants: batches that descend from the lot.
        batches_in_all: batches altogether.

    Returns:
        Exact probability of the hypergeometric tail.
    """
    others = batches_in_all - descendants
    ways = sum(
        comb(descendants, hit) * comb(others, complained_in_all - hit)
        for hit in range(complained, min(descendants, complained_in_all) + 1)
    )
    return Fraction(ways, comb(batches_in_all, complained_in_all))


def rank_suspects(
    descendants_of: Mapping[str, AbstractSet[int]],
    *,
    complained: AbstractSet[int],
    batches_in_all: int,
) -> Sequence[Suspect]:
    """Rank lots by how well they explain the complaints.

    Args:
        descendants_of: for each lot, the batches that descend from it.
        complained: batches somebody complained about.
        batches_in_all: batches made in the time looked at.

    Returns:
        Lots with at least one complained descendant, the most suspect first; of
        equal ones those that explain more, then those with fewer descendants.
    """
    found = []
    for lot, batches in descendants_of.items():
        hit = len(batches & complained)
        if not hit:
            continue
        counts = {
            "complained": hit,
            "complained_in_all": len(complained),
            "descendants": len(batches),
            "batches_in_all": batches_in_all,
        }
        found.append(Suspect(lot=lot, chance=chance_of_so_many(**counts), **counts))
    return sorted(found, key=lambda s: (s.chance, -s.complained, s.descendants, s.lot))
