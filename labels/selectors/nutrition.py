"""Nutrients of a recipe as cooked, from what the pantry or the table says."""

from decimal import Decimal

from inventory.models import Material
from inventory.words import say
from labels.selectors.errors import LabelSelectionError
from labels.selectors.recipes import Cooked
from labels.statements.nutrition import (
    Composition,
    NutrientAmounts,
    NutritionError,
    NutritionLine,
    amounts_per_100_g,
    composition_of,
)

__all__ = ["nutrients_of"]


def nutrients_of(cooked: Cooked) -> NutrientAmounts:
    """Return the nutrients of 100 g finished food.

    Lines taken out again are left out. A material's own figures win over the
    table's.

    Raises:
        LabelSelectionError: a material's composition is unknown.
    """
    lines = []
    for line in cooked.version.lines.all():
        if line.removed_after:
            continue
        lines.append(
            NutritionLine(
                composition=_composition(line.material),
                mass_g=line.grams * cooked.factor,
                is_added_sugar=_sweetens(line.material),
            )
        )
    try:
        return amounts_per_100_g(lines, cooked.finished_mass_g)
    except NutritionError as error:
        raise LabelSelectionError(
            say("no nutrition table: {error}", error=error)
        ) from error


SWEETENERS = ("sugar", "honey", "syrup", "molasses", "dextrose", "glucose")


def _sweetens(material: Material) -> bool:
    """Whether its sugars count as added, even where the flag was forgotten."""
    name = material.printed_name.casefold()
    return material.is_sweetener or any(word in name for word in SWEETENERS)


def _composition(material: Material) -> Composition:
    own = dict(material.nutrition)
    if own:
        source = str(own.pop("source", "") or f"entered for {material}")
        figures = {
            key: Decimal(str(value)) for key, value in own.items() if value != ""
        }
        try:
            return Composition(name=material.name, source=source, **figures)
        except TypeError as error:
            raise LabelSelectionError(
                say(
                    "the composition of {material} names a figure no table has: {error}",
                    material=material,
                    error=error,
                )
            ) from error
    try:
        return composition_of(material.printed_name)
    except NutritionError:
        pass
    try:
        return composition_of(material.name)
    except NutritionError as error:
        raise LabelSelectionError(
            say("no nutrition table: {error}", error=error)
        ) from error
