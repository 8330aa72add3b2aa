"""Materials of the pantry as substances of a label.

The pantry keeps allergens as (kind, species) and a bought compound as a nested
list of parts, in the order of its own label. Words that only a label needs (a
preservative's function, a sulphite's mark) are read from the names here, always
on the careful side.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from labels.statements.allergens import (
    AllergenMark,
    UnknownAllergenError,
    all_allergens,
)
from labels.statements.french_names import french_name
from labels.statements.ingredients import Incidental, Nature, Part, Substance

__all__ = ["MaterialFacts", "mark_of", "substance_of"]

FUNCTION = re.compile(
    r"^(?P<name>.+?)\s*\((?P<function>preservative)\)$", re.IGNORECASE
)
SULPHITE_WORDS = re.compile(
    r"sul(?:f|ph)ites?\b|bisul(?:f|ph)ite|sul(?:f|ph)ur dioxide", re.IGNORECASE
)
INCIDENTAL_CLASSES = {
    "processing aid": Incidental.PROCESSING_AID,
    "carrier": Incidental.CARRIER,
    "carry-over": Incidental.CARRY_OVER,
}
NATURE_CLASSES = {
    "spice": Nature.SPICE,
    "herb": Nature.SPICE,
    "flavouring": Nature.FLAVOURING,
    "flavoring": Nature.FLAVOURING,
    "alcohol": Nature.ALCOHOL,
    "spirit": Nature.ALCOHOL,
    "wine": Nature.ALCOHOL,
    "salt": Nature.SALT,
    "sugar": Nature.SUGAR,
}


def mark_of(kind: str, species: str = "") -> AllergenMark:
    """Return the mark of a pantry's allergen.

    A tree nut is marked by its own kind ("almond"); the species of fish,
    shellfish, milk and eggs stays beside the mark.

    Raises:
        UnknownAllergenError: no place lists it.
    """
    code = kind.casefold().strip()
    if code != "tree_nut":
        return AllergenMark(code, species.strip())
    wanted = species.casefold().replace("_", " ").strip()
    for row in all_allergens().values():
        names = {row.code.replace("_", " "), *row.match}
        if row.group == "tree_nut" and wanted in names:
            return AllergenMark(row.code)
    raise UnknownAllergenError(species or kind)


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialFacts:
    """What the pantry knows of a material, as far as a label asks.

    Attributes:
        name: label name.
        is_fruit: counts as fruit in jam law.
        is_sweetener: sugar, honey, syrup.
        allergens: (kind, species) pairs as mappings.
        parts: nested mappings of name, share, allergens, parts.
        label_class: class on the label, "" for none.
        sulphite_ppm: mg/kg, or ``None``.
        is_taken_out: taken out again before filling (a spice bag, pips).
    """

    name: str
    is_fruit: bool = False
    is_sweetener: bool = False
    allergens: tuple[Mapping[str, Any], ...] = ()
    parts: tuple[Mapping[str, Any], ...] = ()
    label_class: str = ""
    sulphite_ppm: Decimal | None = None
    is_taken_out: bool = False


def substance_of(facts: MaterialFacts) -> Substance:
    """Return a material as a substance.

    Raises:
        UnknownAllergenError: an allergen no place lists.
    """
    marks = _marks(facts.allergens)
    nature = _nature(facts, marks)
    label_class = facts.label_class.casefold().strip()
    plain = label_class in NATURE_CLASSES or label_class in INCIDENTAL_CLASSES
    incidental = INCIDENTAL_CLASSES.get(label_class)
    if facts.is_taken_out:
        incidental = Incidental.PROCESSING_AID
    return Substance(
        name=facts.name,
        names=_names(facts.name),
        nature=nature,
        allergens=marks,
        parts=tuple(_part(row) for row in facts.parts),
        additive_class="" if plain else label_class,
        sulphite_ppm=facts.sulphite_ppm,
        incidental=incidental,
    )


def _nature(facts: MaterialFacts, marks: frozenset[AllergenMark]) -> Nature:
    name, label_class = facts.name.casefold(), facts.label_class.casefold().strip()
    groups = {all_allergens()[mark.code].group for mark in marks}
    tests = (
        (name in ("water", "tap water"), Nature.WATER),
        (label_class in NATURE_CLASSES, NATURE_CLASSES.get(label_class)),
        (bool(label_class), Nature.ADDITIVE),
        (facts.is_sweetener, Nature.SUGAR),
        (facts.is_fruit, Nature.FRUIT),
        ("tree_nut" in groups, Nature.NUT),
    )
    return next((nature for holds, nature in tests if holds and nature), Nature.OTHER)


def _marks(rows: Iterable[Mapping[str, Any]]) -> frozenset[AllergenMark]:
    return frozenset(
        mark_of(str(row["kind"]), str(row.get("species") or "")) for row in rows
    )


def _names(name: str) -> tuple[tuple[str, str], ...]:
    french = french_name(name)
    return (("fr", french),) if french else ()


def _part(row: Mapping[str, Any]) -> Part:
    """Return one part of a bought compound, careful about sulphites."""
    name, additive_class = str(row["name"]), ""
    if found := FUNCTION.fullmatch(name):
        name, additive_class = found["name"], found["function"].casefold()
    marks = _marks(row.get("allergens") or ())
    nature = Nature.ADDITIVE if additive_class else Nature.OTHER
    if SULPHITE_WORDS.search(name):
        marks |= {AllergenMark("sulphites")}
        nature, additive_class = Nature.ADDITIVE, additive_class or "preservative"
    share = row.get("share")
    return Part(
        substance=Substance(
            name=name,
            names=_names(name),
            nature=nature,
            allergens=marks,
            additive_class=additive_class,
            parts=tuple(_part(inner) for inner in row.get("parts") or ()),
        ),
        share=Decimal(str(share)) if share else None,
    )
