"""Nutrients of a finished food from what went into it.

Nothing but water leaves the pot: the nutrients of 100 g finished food are those
of all ingredients over the finished weight. No loss of vitamins is computed, so
no vitamin but D is declared from here. Rounding and words are each place's own.
"""

import tomllib
from collections.abc import Iterable
from dataclasses import dataclass, fields
from decimal import Decimal
from functools import cache
from pathlib import Path

from inventory.words import say

__all__ = [
    "Composition",
    "NutrientAmounts",
    "NutritionError",
    "NutritionLine",
    "amounts_per_100_g",
    "composition_of",
    "known_foods",
    "us_energy_kcal",
]

ZERO = Decimal(0)
_TABLE = Path(__file__).parents[1] / "composition.toml"

NUTRIENTS = (
    "protein_g",
    "fat_g",
    "saturated_g",
    "trans_g",
    "carbohydrate_g",
    "fibre_g",
    "sugars_g",
    "cholesterol_mg",
    "sodium_mg",
    "vitamin_d_mcg",
    "calcium_mg",
    "iron_mg",
    "potassium_mg",
)


class NutritionError(ValueError):
    """A nutrition table cannot be computed from what is known."""


class UnknownFoodError(NutritionError, LookupError):
    """The composition table holds no food of that name."""

    def __init__(self, name: str) -> None:
        self.name = name
        super().__init__(
            say(
                'the composition table has no "{name}"; choose one of its names or '
                "enter the figures from the supplier",
                name=name,
            )
        )


class MissingFigureError(NutritionError):
    """A figure needed for a declaration is unknown."""

    def __init__(self, food: str, nutrient: str) -> None:
        self.food = food
        self.nutrient = nutrient
        readable = nutrient.rpartition("_")[0].replace("_", " ")
        super().__init__(
            say(
                'the {readable} content of "{food}" is unknown; enter it from the '
                "supplier or a published table",
                readable=readable,
                food=food,
            )
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Composition:
    """Nutrients of 100 g of a material; ``None`` is unknown, never zero.

    Attributes:
        name: material.
        source: where the figures were read, with item number.
        added_sugars_g: of a compound that was itself sweetened.
    """

    name: str
    source: str
    water_g: Decimal | None = None
    energy_kcal: Decimal | None = None
    protein_g: Decimal | None = None
    fat_g: Decimal | None = None
    saturated_g: Decimal | None = None
    trans_g: Decimal | None = None
    carbohydrate_g: Decimal | None = None
    fibre_g: Decimal | None = None
    sugars_g: Decimal | None = None
    added_sugars_g: Decimal | None = None
    cholesterol_mg: Decimal | None = None
    sodium_mg: Decimal | None = None
    vitamin_d_mcg: Decimal | None = None
    calcium_mg: Decimal | None = None
    iron_mg: Decimal | None = None
    potassium_mg: Decimal | None = None

    def __post_init__(self) -> None:
        if not self.source.strip():
            raise NutritionError(
                say('the composition of "{name}" names no source', name=self.name)
            )

    def figure(self, nutrient: str) -> Decimal:
        """Return one figure, g or mg or mcg per 100 g.

        A food with less than 1 g of fat is taken to hold no *trans* fat.

        Raises:
            MissingFigureError: it is unknown.
        """
        value: Decimal | None = getattr(self, nutrient)
        if value is None and nutrient == "trans_g" and (self.fat_g or ZERO) < 1:
            return ZERO
        if value is None:
            raise MissingFigureError(self.name, nutrient)
        return value


@dataclass(frozen=True, slots=True, kw_only=True)
class NutritionLine:
    """An ingredient of the nutrition sum.

    Attributes:
        composition: its nutrients.
        mass_g: g as used.
        is_added_sugar: sugar, honey, syrup: its sugars count as added.
    """

    composition: Composition
    mass_g: Decimal
    is_added_sugar: bool = False

    @property
    def added_sugars_g(self) -> Decimal:
        """Sugars that count as added, g in 100 g of the ingredient."""
        own = self.composition.added_sugars_g
        if own is not None:
            return own
        return self.composition.figure("sugars_g") if self.is_added_sugar else ZERO


@dataclass(frozen=True, slots=True, kw_only=True)
class NutrientAmounts:
    """Nutrients of a stated mass of finished food, unrounded.

    Attributes:
        mass_g: g of food the amounts belong to.
        polyols_g, alcohol_g, organic_acid_g: for the European energy only.
        sources: where the figures came from.
    """

    mass_g: Decimal = Decimal(100)
    protein_g: Decimal = ZERO
    fat_g: Decimal = ZERO
    saturated_g: Decimal = ZERO
    trans_g: Decimal = ZERO
    carbohydrate_g: Decimal = ZERO
    fibre_g: Decimal = ZERO
    sugars_g: Decimal = ZERO
    added_sugars_g: Decimal = ZERO
    polyols_g: Decimal = ZERO
    alcohol_g: Decimal = ZERO
    organic_acid_g: Decimal = ZERO
    cholesterol_mg: Decimal = ZERO
    sodium_mg: Decimal = ZERO
    vitamin_d_mcg: Decimal = ZERO
    calcium_mg: Decimal = ZERO
    iron_mg: Decimal = ZERO
    potassium_mg: Decimal = ZERO
    sources: tuple[str, ...] = ()

    def for_mass(self, mass_g: Decimal) -> "NutrientAmounts":
        """Return the amounts of another mass of the same food."""
        scaled = {
            field.name: getattr(self, field.name) * mass_g / self.mass_g
            for field in fields(self)
            if field.name not in ("mass_g", "sources")
        }
        return NutrientAmounts(mass_g=mass_g, sources=self.sources, **scaled)


def amounts_per_100_g(
    lines: Iterable[NutritionLine], finished_mass_g: Decimal
) -> NutrientAmounts:
    """Return the nutrients of 100 g finished food.

    Args:
        lines: every ingredient as used, g.
        finished_mass_g: g of finished food that came of them.

    Returns:
        Unrounded amounts with their sources.

    Raises:
        MissingFigureError: a figure of an ingredient is unknown.
    """
    lines = tuple(lines)
    if finished_mass_g <= 0:
        raise NutritionError(say("the finished weight must be above 0 g; enter it"))
    per_100 = {
        nutrient: sum(
            (line.mass_g * line.composition.figure(nutrient) for line in lines), ZERO
        )
        / finished_mass_g
        for nutrient in NUTRIENTS
    }
    added = sum((line.mass_g * line.added_sugars_g for line in lines), ZERO)
    sources = dict.fromkeys(line.composition.source for line in lines)
    return NutrientAmounts(
        added_sugars_g=added / finished_mass_g, sources=tuple(sources), **per_100
    )


@cache
def known_foods() -> dict[str, Composition]:
    """Return the composition table by material name (see ``composition.toml``)."""
    raw = tomllib.loads(_TABLE.read_text("utf-8"), parse_float=Decimal)
    head = f"{raw['source']['title']}, {raw['source']['edition']}"
    foods = {}
    for row in raw["food"]:
        item, name = row.pop("item"), row.pop("name")
        figures = {key: Decimal(value) for key, value in row.items()}
        foods[name] = Composition(name=name, source=f"{head}, item {item}", **figures)
    return foods


def composition_of(name: str) -> Composition:
    """Return the composition of a material of the table.

    Raises:
        UnknownFoodError: the table has no such name.
    """
    food = known_foods().get(name.casefold().strip())
    if food is None:
        raise UnknownFoodError(name)
    return food


def us_energy_kcal(amounts: NutrientAmounts) -> Decimal:
    """Return kcal by 4-4-9 on protein, total carbohydrate and fat, unrounded.

    Source: 21 CFR 101.9(c)(1)(i)(B).
    """
    return 4 * amounts.protein_g + 4 * amounts.carbohydrate_g + 9 * amounts.fat_g
