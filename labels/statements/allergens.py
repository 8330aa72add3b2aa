"""Allergens by place: who must be told of which source, and in what word.

A mark on a material is a code of ``allergens.toml``, with the species where the
law asks for it: ``milk``, ``almond``, ``fish:anchovies``, ``egg:duck``. Marks
travel with the material through every compound; no word of a label is ever read
back to find one.
"""

import re
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from functools import cache
from pathlib import Path

from inventory.words import say
from labels.statements.french_names import french_name

__all__ = [
    "Allergen",
    "AllergenMark",
    "AllergenRegime",
    "UnknownAllergenError",
    "all_allergens",
    "allergen",
    "contains_words",
    "declared_in",
    "names_source",
    "source_word",
    "species_missing",
]

_TABLE = Path(__file__).with_name("allergens.toml")

SPECIES_GROUPS = frozenset({"fish", "crustacean", "mollusc"})
"""Groups whose species, not the group, is the name of the source (US, Canada)."""

_US_ORDER = (
    "milk",
    "egg",
    "fish",
    "crustacean",
    "tree_nut",
    "peanut",
    "wheat",
    "soy",
    "sesame",
    "sulphites",
)


class AllergenRegime(StrEnum):
    """The lists of allergens in law; the value is a column of the table."""

    US = "us"
    EU = "eu"
    CA = "ca"
    CA_FR = "ca_fr"
    ANZ = "anz"


class UnknownAllergenError(ValueError):
    """A mark names an allergen that no place lists."""

    def __init__(self, code: str) -> None:
        self.code = code
        known = ", ".join(sorted(all_allergens()))
        super().__init__(
            say(
                'no place lists an allergen "{code}"; use one of: {known}',
                code=code,
                known=known,
            )
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Allergen:
    """One source of allergens and its word in each regime ("" where unlisted)."""

    code: str
    group: str
    us: str
    eu: str
    ca: str
    ca_fr: str
    anz: str
    match: tuple[str, ...]

    def word(self, regime: AllergenRegime) -> str:
        """Return the word of a regime, "" if it does not list this source."""
        return str(getattr(self, regime.value))


@dataclass(frozen=True, slots=True, order=True)
class AllergenMark:
    """An allergen a material carries, with its species where one is named."""

    code: str
    species: str = ""

    def __post_init__(self) -> None:
        if self.code not in all_allergens():
            raise UnknownAllergenError(self.code)

    @classmethod
    def parse(cls, text: str) -> "AllergenMark":
        """Read ``code`` or ``code:species``.

        Raises:
            UnknownAllergenError: no place lists the code.
        """
        code, _, species = text.partition(":")
        return cls(code.strip().lower(), species.strip())

    def __str__(self) -> str:
        return f"{self.code}:{self.species}" if self.species else self.code


@cache
def all_allergens() -> dict[str, Allergen]:
    """Return every allergen by its code.

    Source: see the head of ``allergens.toml``.
    """
    raw = tomllib.loads(_TABLE.read_text("utf-8"), parse_float=Decimal)
    rows = (
        Allergen(**{**row, "match": tuple(row["match"])}) for row in raw["allergen"]
    )
    return {row.code: row for row in rows}


def allergen(mark: AllergenMark) -> Allergen:
    """Return the table row of a mark."""
    return all_allergens()[mark.code]


def declared_in(
    marks: Iterable[AllergenMark], regime: AllergenRegime
) -> tuple[AllergenMark, ...]:
    """Return the marks a regime asks for, in its order, each once."""
    asked = {mark for mark in marks if allergen(mark).word(regime)}
    return tuple(sorted(asked, key=lambda mark: _place(mark, regime)))


def _place(mark: AllergenMark, regime: AllergenRegime) -> tuple[int, str, str]:
    if regime is AllergenRegime.US:
        return _US_ORDER.index(allergen(mark).group), mark.code, mark.species
    return 0, allergen(mark).word(regime).casefold(), mark.species


def source_word(mark: AllergenMark, regime: AllergenRegime) -> str:
    """Return the name of the source as a regime prints it.

    Fish and shellfish show their species where the law asks for it (United
    States, Canada); milk and eggs of another animal show the animal.
    """
    word = allergen(mark).word(regime)
    if not mark.species or regime in (AllergenRegime.EU, AllergenRegime.ANZ):
        return word
    named = mark.species
    if regime is AllergenRegime.CA_FR:
        named = french_name(mark.species) or mark.species
    species = named[:1].upper() + named[1:]
    if mark.code in SPECIES_GROUPS:
        return f"{word} ({mark.species})" if regime is AllergenRegime.US else species
    return f"{species} {word.lower()}"


def contains_words(
    marks: Iterable[AllergenMark], regime: AllergenRegime
) -> tuple[str, ...]:
    """Return the source names of a "Contains" statement, each once, in order.

    In the United States sulphites are no major allergen and stay in the list.
    """
    declared = declared_in(marks, regime)
    if regime is AllergenRegime.US:
        declared = tuple(m for m in declared if allergen(m).group != "sulphites")
    words = (source_word(mark, regime) for mark in declared)
    return tuple(dict.fromkeys(words))


def species_missing(
    marks: Iterable[AllergenMark], regime: AllergenRegime
) -> tuple[AllergenMark, ...]:
    """Return the marks whose species the regime asks for and nobody entered."""
    if regime in (AllergenRegime.EU, AllergenRegime.ANZ):
        return ()
    return tuple(
        mark
        for mark in declared_in(marks, regime)
        if mark.code in SPECIES_GROUPS and not mark.species
    )


def names_source(
    name: str, mark: AllergenMark, regime: AllergenRegime
) -> re.Match[str] | None:
    """Find the word in an ingredient's name that already names the source.

    The longest word wins, so that "pecan nuts" is found whole. A word only
    counts on its own: "buttermilk" does not name milk. Only in the United
    States and the EU does "sulphur dioxide" stand for sulphites (Canada:
    B.01.010.2(6), (8)).
    """
    words = sorted(allergen(mark).match, key=len, reverse=True)
    if regime not in (AllergenRegime.US, AllergenRegime.EU):
        words = [word for word in words if not word.endswith("dioxide")]
    pattern = "|".join(re.escape(word) for word in words)
    return re.search(rf"(?<!\w)(?:{pattern})(?!\w)", name, re.IGNORECASE)
