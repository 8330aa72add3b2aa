"""What went into the pot, as a tree: the input of every ingredient statement.

A ``Substance`` is what a label may have to name; its ``parts`` are what it is
itself made of. An ``Ingredient`` is a substance with the grams that were used.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum

from inventory.words import say, to_say
from labels.statements.allergens import AllergenMark

__all__ = [
    "Incidental",
    "Ingredient",
    "IngredientError",
    "Nature",
    "Part",
    "Substance",
    "opened",
    "total_mass_g",
    "with_parts",
]

ZERO = Decimal(0)


class IngredientError(ValueError):
    """A recipe as used cannot be turned into an ingredient statement."""


class MissingShareError(IngredientError):
    """A preparation made in house does not say how much of each part it takes."""

    def __init__(self, whole: str, part: str) -> None:
        self.whole = whole
        self.part = part
        super().__init__(
            say(
                '"{whole}" is made in the kitchen but does not say how much '
                '"{part}" it takes; enter the grams of that part in its recipe',
                whole=whole,
                part=part,
            )
        )


class Nature(StrEnum):
    """What kind of thing a substance is, as far as label law cares."""

    FRUIT = "fruit"
    SUGAR = "sugar"
    WATER = "water"
    ALCOHOL = "alcohol"
    SPICE = "spice"
    FLAVOURING = "flavouring"
    ADDITIVE = "additive"
    SALT = "salt"
    NUT = "nut"
    OTHER = "other"


class Incidental(StrEnum):
    """Why a substance need not be named in the list."""

    PROCESSING_AID = to_say("processing aid")
    CARRIER = "carrier"
    CARRY_OVER = to_say("carried over without effect")


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One part of a substance.

    Attributes:
        substance: what it is.
        share: grams of it for one gram of the whole. ``None`` for a bought
            compound whose maker only gives the order. May be above one in a
            preparation that lost water in the kitchen.
    """

    substance: "Substance"
    share: Decimal | None = None

    def __post_init__(self) -> None:
        if self.share is not None and self.share <= 0:
            raise IngredientError(
                say(
                    'the share of "{substance}" must be above 0, not {share}',
                    substance=self.substance.name,
                    share=self.share,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Substance:
    """Something a label may have to name.

    Attributes:
        name: common or usual name, as the maker's first language prints it.
        names: (language, name) for other languages.
        nature: what kind of thing it is.
        allergens: marks the substance itself carries; those of its parts are
            added by ``all_allergens``.
        parts: what it is made of, in its own list's order.
        additive_class: "gelling agent", "preservative", "acid" ...; "" if none.
        sulphite_ppm: sulphur dioxide in the substance, mg/kg; ``None`` unknown
            or none.
        incidental: why it may stay off the list, if it may.
        made_in_house: a preparation of this kitchen: opened up into its parts.
    """

    name: str
    names: tuple[tuple[str, str], ...] = ()
    nature: Nature = Nature.OTHER
    allergens: frozenset[AllergenMark] = frozenset()
    parts: tuple[Part, ...] = ()
    additive_class: str = ""
    sulphite_ppm: Decimal | None = None
    incidental: Incidental | None = None
    made_in_house: bool = False

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise IngredientError(say("an ingredient needs a label name; enter one"))
        if self.sulphite_ppm is not None and self.sulphite_ppm < 0:
            raise IngredientError(
                say('the sulphites of "{name}" are below zero', name=self.name)
            )

    def name_in(self, language: str) -> str | None:
        """Return the name in a language; the first name where none is asked."""
        return dict(self.names).get(language)

    @property
    def all_allergens(self) -> frozenset[AllergenMark]:
        """Marks of the substance and of all its parts, to any depth."""
        marks = set(self.allergens)
        for part in self.parts:
            marks |= part.substance.all_allergens
        return frozenset(marks)

    def walk(self) -> Iterator["Substance"]:
        """Yield the substance and everything it is made of, to any depth."""
        yield self
        for part in self.parts:
            yield from part.substance.walk()


@dataclass(frozen=True, slots=True, kw_only=True)
class Ingredient:
    """A substance with the grams of it that were used.

    Attributes:
        substance: what it is.
        mass_g: grams at the moment it was added, ready to use (pitted, peeled).
        remaining_g: grams left in the finished food, for spirits and the like;
            ``None`` where unknown or not volatile.
    """

    substance: Substance
    mass_g: Decimal
    remaining_g: Decimal | None = None

    def __post_init__(self) -> None:
        if self.mass_g <= 0:
            raise IngredientError(
                say(
                    'the weight of "{substance}" must be above 0 g, not {mass_g} g',
                    substance=self.substance.name,
                    mass_g=self.mass_g,
                )
            )


def opened(ingredients: Iterable[Ingredient]) -> tuple[Ingredient, ...]:
    """Open preparations made in house up into what went into them.

    Args:
        ingredients: lines as used.

    Returns:
        Lines of bought substances only, each with the grams that were used for
        the amount drawn. A bought compound stays whole.

    Raises:
        MissingShareError: a preparation does not say how much of a part it takes.
    """
    lines: list[Ingredient] = []
    for line in ingredients:
        if line.substance.made_in_house and line.substance.parts:
            lines += opened(_parts_of(line))
        else:
            lines.append(line)
    return tuple(lines)


def _parts_of(line: Ingredient) -> Iterator[Ingredient]:
    whole = line.substance
    inherited = whole.allergens
    for part in whole.parts:
        if part.share is None:
            raise MissingShareError(whole.name, part.substance.name)
        yield Ingredient(substance=part.substance, mass_g=line.mass_g * part.share)
    covered = frozenset().union(*(part.substance.all_allergens for part in whole.parts))
    if inherited - covered:
        raise IngredientError(
            say(
                '"{whole}" is marked with allergens that none of its parts has '
                "({marks}); mark the part that carries them",
                whole=whole.name,
                marks=", ".join(sorted(map(str, inherited - covered))),
            )
        )


def total_mass_g(ingredients: Iterable[Ingredient]) -> Decimal:
    """Return the grams of all lines together, as used."""
    return sum((line.mass_g for line in ingredients), ZERO)


def with_parts(whole: Substance, parts: Iterable[Part]) -> Substance:
    """Return a compound of which only some parts are named.

    Where a single part is left, the compound stands alone under its own name
    and carries that part's allergens.
    """
    kept = tuple(parts)
    if len(kept) == len(whole.parts) or len(kept) > 1:
        return replace(whole, parts=kept)
    marks = whole.allergens.union(*(part.substance.all_allergens for part in kept))
    return replace(whole, parts=(), allergens=marks)
