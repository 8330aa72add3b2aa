"""Entries of an ingredient list: the tree behind a name, merged and sorted."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal

from labels.statements.allergens import AllergenMark
from labels.statements.ingredients import Nature, Substance

__all__ = [
    "Entry",
    "entry_of",
    "heaviest_first",
    "merged",
    "own_marks",
    "with_sugars_grouped",
]

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One name of the list with what stands behind it.

    Attributes:
        substance: the first substance of that name.
        mass_g: g that decide its place; ``None`` for a part of unknown share.
        marks: allergens of the entry that none of its parts carries.
        parts: the names behind it, in their order.
        group_name: the word of a group the law forms ("Sugars"), or "".
    """

    substance: Substance
    mass_g: Decimal | None
    marks: frozenset[AllergenMark]
    parts: tuple["Entry", ...] = ()
    group_name: str = ""

    @property
    def name(self) -> str:
        """Name of the entry in the first language."""
        return self.group_name or self.substance.name

    @property
    def all_marks(self) -> frozenset[AllergenMark]:
        """Allergens of the entry and of everything behind it."""
        return self.marks.union(*(part.all_marks for part in self.parts))

    @property
    def key(self) -> tuple[object, ...]:
        """What makes two entries the same ingredient."""
        return (
            self.substance.name.casefold(),
            str(self.substance.nature),
            self.substance.additive_class,
            tuple(sorted(map(repr, (part.key for part in self.parts)))),
        )


def own_marks(substance: Substance) -> frozenset[AllergenMark]:
    """Marks of a substance that none of its parts carries."""
    behind: set[AllergenMark] = set()
    for part in substance.parts:
        behind |= part.substance.all_allergens
    return substance.allergens - behind


def entry_of(substance: Substance, mass_g: Decimal | None) -> Entry:
    """Return a substance as an entry, its parts behind it.

    Parts of unknown share keep the order their own label gives them.
    """
    parts = []
    for part in substance.parts:
        part_g = None
        if mass_g is not None and part.share is not None:
            part_g = mass_g * part.share
        parts.append(entry_of(part.substance, part_g))
    return Entry(
        substance=substance,
        mass_g=mass_g,
        marks=own_marks(substance),
        parts=_ordered(merged(parts)),
    )


def _ordered(parts: tuple[Entry, ...]) -> tuple[Entry, ...]:
    if any(part.mass_g is None for part in parts):
        return parts
    return heaviest_first(parts)


def merged(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """Join entries of the same ingredient, in the order first met."""
    found: dict[tuple[object, ...], Entry] = {}
    for entry in entries:
        first = found.get(entry.key)
        found[entry.key] = _joined(first, entry) if first else entry
    return tuple(found.values())


def _joined(first: Entry, second: Entry) -> Entry:
    mass_g = None
    if first.mass_g is not None and second.mass_g is not None:
        mass_g = first.mass_g + second.mass_g
    parts = merged((*first.parts, *second.parts))
    behind = frozenset().union(*(part.all_marks for part in parts))
    return replace(
        first,
        mass_g=mass_g,
        parts=_ordered(parts),
        marks=(first.marks | second.marks) - behind,
    )


def heaviest_first(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """Heaviest first; equal weights by name, whatever order they came in."""
    return tuple(sorted(entries, key=_place))


def _place(entry: Entry) -> tuple[Decimal, str, str]:
    return -(entry.mass_g or ZERO), entry.name.casefold(), repr(entry.key)


def with_sugars_grouped(entries: tuple[Entry, ...], word: str) -> tuple[Entry, ...]:
    """Group sugars-based ingredients under one word, placed by their sum.

    A single one whose name holds "sugar" stays alone.
    Source: Food and Drug Regulations, B.01.008.3(1)-(4).
    """
    sugars = [e for e in entries if e.substance.nature is Nature.SUGAR]
    alone = len(sugars) == 1 and "sugar" in sugars[0].name.casefold()
    if not sugars or alone:
        return entries
    group = Entry(
        substance=Substance(name=word, nature=Nature.SUGAR),
        mass_g=sum((entry.mass_g or ZERO for entry in sugars), ZERO),
        marks=frozenset(),
        parts=heaviest_first(sugars),
        group_name=word,
    )
    return (*(e for e in entries if e.substance.nature is not Nature.SUGAR), group)
