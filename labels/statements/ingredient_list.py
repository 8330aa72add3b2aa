"""The order of an ingredient list: merged, sorted, and what may stay off it.

One computation serves every place; a ``ListLaw`` says how that place treats
water, sulphites, sugars and small amounts. The words are set by
``ingredient_text``.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum

from inventory.words import say
from labels.statements import sulphites
from labels.statements.allergens import AllergenMark, AllergenRegime, declared_in
from labels.statements.entries import (
    Entry,
    entry_of,
    heaviest_first,
    merged,
    own_marks,
    with_sugars_grouped,
)
from labels.statements.ingredients import (
    Ingredient,
    IngredientError,
    Nature,
    Part,
    Substance,
    opened,
    total_mass_g,
    with_parts,
)

__all__ = [
    "CompoundStyle",
    "Entry",
    "IngredientList",
    "LeftOut",
    "ListLaw",
    "RecipeAsUsed",
    "Retained",
    "compose",
]

ZERO = Decimal(0)
US_THRESHOLDS = (Decimal("0.5"), Decimal("1.0"), Decimal("1.5"), Decimal(2))
"""Percentages a quantifying phrase may name (21 CFR 101.4(a)(2))."""


class CompoundStyle(StrEnum):
    """How a bought compound appears: with its parts behind it, or dissolved."""

    NESTED = "nested"
    SPREAD = "spread"


@dataclass(frozen=True, slots=True, kw_only=True)
class RecipeAsUsed:
    """What a batch took and what it gave.

    Attributes:
        ingredients: lines as used.
        finished_mass_g: g of finished food that came of them.
        style: how compounds appear, where the law leaves the choice.
        measured_sulphite_ppm: mg/kg found in the finished food.
        list_removed_water: the maker lists water even where it boiled away.
        minor_threshold: percentage of the closing phrase (US), 0 for none.
    """

    ingredients: tuple[Ingredient, ...]
    finished_mass_g: Decimal
    style: CompoundStyle = CompoundStyle.NESTED
    measured_sulphite_ppm: Decimal | None = None
    list_removed_water: bool = False
    minor_threshold: Decimal = Decimal(2)

    def __post_init__(self) -> None:
        if not self.ingredients:
            raise IngredientError(say("a recipe without ingredients has no statement"))
        if self.finished_mass_g <= 0:
            raise IngredientError(
                say("the finished weight must be above 0 g; enter it")
            )
        if self.minor_threshold and self.minor_threshold not in US_THRESHOLDS:
            raise IngredientError(
                say(
                    "a closing phrase may name 2, 1.5, 1 or 0.5 percent, not "
                    "{minor_threshold}",
                    minor_threshold=self.minor_threshold,
                )
            )

    @property
    def used_mass_g(self) -> Decimal:
        """Grams of all ingredients together."""
        return total_mass_g(self.ingredients)

    @property
    def evaporated_g(self) -> Decimal:
        """Grams lost in the kitchen, never below zero."""
        return max(ZERO, total_mass_g(opened(self.ingredients)) - self.finished_mass_g)


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """Something used that the list does not name, and why not.

    Attributes:
        mass_g: g used, ``None`` where unknown.
        within: the bought compound it is a part of, or "".
    """

    name: str
    mass_g: Decimal | None
    reason: str
    citation: str
    within: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Retained:
    """How much water counts, or why none does."""

    mass_g: Decimal
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ListLaw:
    """How one place's law orders and shortens the list.

    Attributes:
        regime: whose allergens are declared.
        sulphite_limit: from where sulphites are named.
        water: water that counts, from (water used, other ingredients used,
            recipe).
        water_citation: provision of the water rule.
        incidental_citation: provision that lets aids and carriers stay off.
        volatile_by_remainder: spirits are placed by what is left of them.
        closing_phrase: small amounts close the list after a phrase.
        spread_allowed: a compound may be dissolved into its parts.
        group_sugars: word of the group of sugars ("Sugars"), or "".
        bare_alcohol: wine and spirits need no list of their own.
    """

    regime: AllergenRegime
    sulphite_limit: sulphites.SulphiteLimit
    water: Callable[[Decimal, Decimal, RecipeAsUsed], Retained]
    water_citation: str
    incidental_citation: str
    volatile_by_remainder: bool = False
    closing_phrase: bool = False
    spread_allowed: bool = True
    group_sugars: str = ""
    bare_alcohol: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class IngredientList:
    """The list in its order, with what was left off and why.

    Attributes:
        entries: main list, heaviest first.
        minor: entries after the closing phrase, heaviest first.
        left_out: what was used and is not named.
        sulphite: the estimate behind the decision on sulphites.
        notes: what the maker should know about the result.
        threshold: percentage of the closing phrase.
    """

    entries: tuple[Entry, ...]
    minor: tuple[Entry, ...]
    left_out: tuple[LeftOut, ...]
    sulphite: sulphites.SulphiteEstimate
    notes: tuple[str, ...]
    threshold: Decimal

    @property
    def everything(self) -> tuple[Entry, ...]:
        """Main and minor entries."""
        return self.entries + self.minor

    @property
    def marks(self) -> frozenset[AllergenMark]:
        """Every allergen of the list."""
        return frozenset().union(*(entry.all_marks for entry in self.everything))


def compose(recipe: RecipeAsUsed, law: ListLaw) -> IngredientList:
    """Order a recipe as used into the ingredient list of a place.

    Args:
        recipe: lines as used and the finished weight.
        law: how the place orders and shortens.

    Returns:
        The list with what was left off. Equal weights stand by name.

    Raises:
        IngredientError: a preparation made in house lacks the share of a part.
    """
    lines = opened(recipe.ingredients)
    estimate = sulphites.estimate(
        lines, recipe.finished_mass_g, recipe.measured_sulphite_ppm
    )
    left_out: list[LeftOut] = []
    lines = _with_sulphites(lines, estimate, law, left_out)
    lines = _without_incidentals(lines, law, left_out)
    notes: list[str] = []
    if recipe.style is CompoundStyle.SPREAD and law.spread_allowed:
        lines = _spread(lines, notes)
    lines = _with_water_retained(lines, recipe, law, left_out)
    entries = heaviest_first(merged(_entry(line, law) for line in lines))
    if law.group_sugars:
        entries = heaviest_first(with_sugars_grouped(entries, law.group_sugars))
    main, minor = _split(entries, recipe, law)
    return IngredientList(
        entries=main,
        minor=minor,
        left_out=tuple(left_out),
        sulphite=estimate,
        notes=tuple(notes),
        threshold=recipe.minor_threshold,
    )


def _with_sulphites(
    lines: tuple[Ingredient, ...],
    estimate: sulphites.SulphiteEstimate,
    law: ListLaw,
    left_out: list[LeftOut],
) -> tuple[Ingredient, ...]:
    """Mark sulphites that must be named, or take away those that need not."""
    if estimate.must_be_named(law.sulphite_limit):
        return tuple(
            replace(line, substance=sulphites.marked(line.substance)) for line in lines
        )
    kept = []
    for line in lines:
        if sulphites.SULPHITE_MARK in line.substance.all_allergens:
            left_out.append(
                LeftOut(
                    name=f"sulphites of {line.substance.name}",
                    mass_g=None,
                    reason=say(
                        "{ppm:.1f} mg/kg in the finished food", ppm=estimate.ppm
                    ),
                    citation=law.sulphite_limit.ppm.citation,
                )
            )
        if not sulphites.is_sulphite_additive(line.substance):
            kept.append(replace(line, substance=sulphites.unmarked(line.substance)))
    return tuple(kept)


def _may_stay_off(substance: Substance, law: ListLaw) -> bool:
    """An aid may stay off the list unless it carries a declared allergen."""
    if substance.incidental is None:
        return False
    return not declared_in(substance.all_allergens, law.regime)


def _without_incidentals(
    lines: Iterable[Ingredient], law: ListLaw, left_out: list[LeftOut]
) -> tuple[Ingredient, ...]:
    kept = []
    for line in lines:
        if _may_stay_off(line.substance, law):
            left_out.append(_left_out(line.substance, line.mass_g, law))
        else:
            trimmed = _trimmed(line.substance, line.mass_g, law, left_out)
            kept.append(replace(line, substance=trimmed))
    return tuple(kept)


def _trimmed(
    whole: Substance, mass_g: Decimal | None, law: ListLaw, left_out: list[LeftOut]
) -> Substance:
    """Return a compound without the parts that may stay off the list."""
    parts = []
    for part in whole.parts:
        known = mass_g is not None and part.share is not None
        part_g = mass_g * part.share if known else None  # type: ignore[operator]
        if _may_stay_off(part.substance, law):
            left = _left_out(part.substance, part_g, law)
            left_out.append(replace(left, within=whole.name))
        else:
            trimmed = _trimmed(part.substance, part_g, law, left_out)
            parts.append(Part(substance=trimmed, share=part.share))
    return with_parts(whole, parts)


def _left_out(substance: Substance, mass_g: Decimal | None, law: ListLaw) -> LeftOut:
    return LeftOut(
        name=substance.name,
        mass_g=mass_g,
        reason=str(substance.incidental),
        citation=law.incidental_citation,
    )


def _spread(lines: Iterable[Ingredient], notes: list[str]) -> tuple[Ingredient, ...]:
    """Dissolve compounds into their parts where every share is known."""
    result: list[Ingredient] = []
    for line in lines:
        whole = line.substance
        shares = [part.share for part in whole.parts]
        known = [share for share in shares if share is not None]
        if not whole.parts:
            result.append(line)
        elif len(known) < len(shares) or own_marks(whole) or sum(known) > 1:
            notes.append(
                say(
                    '"{whole}" stays in one piece: the grams of its parts are not '
                    "known well enough to place each by weight",
                    whole=whole.name,
                )
            )
            result.append(line)
        else:
            inner = (
                Ingredient(substance=part.substance, mass_g=line.mass_g * share)
                for part, share in zip(whole.parts, known, strict=True)
            )
            result += _spread(inner, notes)
    return tuple(result)


def _with_water_retained(
    lines: Iterable[Ingredient],
    recipe: RecipeAsUsed,
    law: ListLaw,
    left_out: list[LeftOut],
) -> tuple[Ingredient, ...]:
    lines = tuple(lines)
    water = [line for line in lines if _is_mere_water(line.substance, law)]
    others = tuple(line for line in lines if not _is_mere_water(line.substance, law))
    if not water:
        return lines
    used_g = total_mass_g(water)
    retained = law.water(used_g, total_mass_g(others), recipe)
    if recipe.list_removed_water:
        retained = Retained(mass_g=used_g)
    first = water[0].substance.name
    if retained.mass_g > 0:
        left_out += [_counted_with(first, line, law) for line in water[1:]]
        return (*others, replace(water[0], mass_g=retained.mass_g))
    left_out += [
        LeftOut(
            name=line.substance.name,
            mass_g=line.mass_g,
            reason=retained.reason,
            citation=law.water_citation,
        )
        for line in water
    ]
    return others


def _counted_with(first: str, line: Ingredient, law: ListLaw) -> LeftOut:
    """Water under a second name is counted, and named, with the first."""
    return LeftOut(
        name=line.substance.name,
        mass_g=line.mass_g,
        reason=say("counted with {first}", first=first),
        citation=law.water_citation,
        within=first,
    )


def _is_mere_water(substance: Substance, law: ListLaw) -> bool:
    if substance.nature is not Nature.WATER:
        return False
    return not declared_in(substance.all_allergens, law.regime)


def _entry(line: Ingredient, law: ListLaw) -> Entry:
    mass_g = line.mass_g
    if law.volatile_by_remainder and line.remaining_g is not None:
        mass_g = line.remaining_g
    substance = line.substance
    if law.bare_alcohol and substance.nature is Nature.ALCOHOL:
        return Entry(substance=substance, mass_g=mass_g, marks=substance.all_allergens)
    return entry_of(substance, mass_g)


def _split(
    entries: tuple[Entry, ...], recipe: RecipeAsUsed, law: ListLaw
) -> tuple[tuple[Entry, ...], tuple[Entry, ...]]:
    """Part the list at the closing phrase, by share of the finished weight."""
    if not law.closing_phrase or not recipe.minor_threshold:
        return entries, ()
    limit_g = recipe.minor_threshold / 100 * recipe.finished_mass_g
    main = tuple(entry for entry in entries if (entry.mass_g or ZERO) > limit_g)
    minor = tuple(entry for entry in entries if (entry.mass_g or ZERO) <= limit_g)
    return (main, minor) if main else (entries, ())
