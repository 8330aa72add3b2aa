"""The verbs of a recipe: write it, write a new version, retire it.

A version that a batch was made from is frozen: the next change writes a new one
and leaves the old as it was cooked.
"""

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.utils.text import slugify

from inventory.models import Material, Product
from inventory.quantities import read_quantity, to_grams
from inventory.words import say
from production.models import Filling, Recipe, RecipeLine, RecipeStep, RecipeVersion
from production.science.working import ScienceError
from production.selectors import kitchen

__all__ = [
    "LineDraft",
    "RecipeError",
    "StepDraft",
    "fill_with",
    "grams_of",
    "retire",
    "write_recipe",
    "write_version",
]

HUNDREDTH = Decimal("0.01")


class RecipeError(ValueError):
    """A recipe that cannot be written as asked."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LineDraft:
    """An ingredient as the cook writes it.

    Attributes:
        material: what it is.
        as_typed: quantity as a cook says it ("5 cups").
        form: how it is measured ("crushed"), where a cup of it depends on that.
        step: number of the step it goes in at.
        removed_after: taken out again (spice bag, pips).
    """

    material: Material
    as_typed: str
    form: str = ""
    step: int = 1
    removed_after: bool = False

    @property
    def grams(self) -> Decimal:
        """Edible grams, to 0.01."""
        return grams_of(self.material, self.as_typed, self.form)


@dataclass(frozen=True, slots=True, kw_only=True)
class StepDraft:
    """A step as the cook writes it; fields as those of `RecipeStep`."""

    text: str
    kind: str = RecipeStep.Kind.PREPARE
    caution: str = ""
    day: int = 0
    hands_on_min: int = 0
    unattended_min: int = 0
    stand_min_hours: int = 0
    stand_max_hours: int = 0
    needs: str = RecipeStep.Needs.NOTHING


def grams_of(material: Material, as_typed: str, form: str = "") -> Decimal:
    """Edible grams of a quantity, by the material's own cups and pieces.

    Args:
        material: what is measured.
        as_typed: "5 cups", "1 3/4 lb", "4 each".
        form: "crushed", "packed"; used where the material knows such a cup.

    Raises:
        QuantityError: unreadable, or the material does not know that measure.
    """
    measures = material.as_measures()
    words = f"{as_typed} {form}".strip()
    spoken = read_quantity(as_typed)
    if form and any(f"{part.unit} {form}" in measures.named_g for part in spoken.parts):
        spoken = read_quantity(words)
    return to_grams(spoken, measures=measures).quantize(HUNDREDTH)


@transaction.atomic
def write_recipe(*, name: str, kind: str, identity: str, **fields: Any) -> Recipe:
    """Write a new recipe; its first version follows by `write_version`.

    Args:
        name: what the kitchen calls it.
        kind: one of `Recipe.Kind`.
        identity: name of the food on the label.
        **fields: other fields of `Recipe`.
    """
    slug = fields.pop("slug", "") or slugify(name)[:80]
    recipe = Recipe(name=name, kind=kind, identity=identity, slug=slug, **fields)
    recipe.full_clean()
    recipe.save()
    return recipe


@transaction.atomic
def write_version(
    *,
    recipe: Recipe,
    on: datetime.date,
    fields: Mapping[str, Any],
    lines: Sequence[LineDraft],
    steps: Sequence[StepDraft],
) -> RecipeVersion:
    """Write a recipe's wording: into its open version, or as a new one.

    Args:
        recipe: which.
        on: the day it was written.
        fields: of `RecipeVersion` (finish, headspace, processing, source, pH).
        lines: ingredients in order.
        steps: steps in order.

    Returns:
        The version written; every earlier one is frozen.

    Raises:
        RecipeError: no ingredient, no step, a line for a step that is not there, or
            a finish outside the tables.
        QuantityError: a quantity the material cannot weigh.
    """
    _check_draft(lines, steps)
    recipe = Recipe.objects.select_for_update().get(pk=recipe.pk)
    latest = recipe.versions.order_by("-number").first()
    if latest is not None and latest.frozen_at is None and not latest.batches.exists():
        version = latest
        version.lines.all().delete()
        version.steps.all().delete()
    else:
        number = latest.number + 1 if latest else 1
        version = RecipeVersion(recipe=recipe, number=number)
    version.written_on = on
    for name, value in fields.items():
        setattr(version, name, value)
    version.full_clean()
    _check_finish(version)
    version.save()
    _write_lines(version, lines)
    _write_steps(version, steps)
    return version


def _check_draft(lines: Sequence[LineDraft], steps: Sequence[StepDraft]) -> None:
    if not lines:
        raise RecipeError(say("a recipe needs at least one ingredient"))
    if not steps:
        raise RecipeError(say("a recipe needs at least one step"))
    for line in lines:
        if not 1 <= line.step <= len(steps):
            raise RecipeError(
                say(
                    "{material} goes in at step {step}, but there are {steps} steps",
                    material=line.material,
                    step=line.step,
                    steps=len(steps),
                )
            )
        if not line.material.is_edible:
            raise RecipeError(
                say(
                    "{material} is packaging; jars and lids belong to the jar size",
                    material=line.material,
                )
            )
    days = [step.day for step in steps]
    if days != sorted(days):
        raise RecipeError(say("the steps run back in time: put their days in order"))


def _check_finish(version: RecipeVersion) -> None:
    """Refuse a finish that no kitchen can reach or read."""
    try:
        kitchen.finish_of(version, kitchen.boiling_here())
    except ScienceError as error:
        raise RecipeError(str(error)) from error


def _write_lines(version: RecipeVersion, lines: Sequence[LineDraft]) -> None:
    for position, draft in enumerate(lines, 1):
        line = RecipeLine(
            version=version,
            position=position,
            material=draft.material,
            as_typed=draft.as_typed,
            form=draft.form,
            grams=draft.grams,
            step_position=draft.step,
            removed_after=draft.removed_after,
        )
        line.full_clean()
        line.save()


def _write_steps(version: RecipeVersion, steps: Sequence[StepDraft]) -> None:
    for position, draft in enumerate(steps, 1):
        step = RecipeStep(
            version=version,
            position=position,
            kind=draft.kind,
            text=draft.text,
            caution=draft.caution,
            day_offset=draft.day,
            hands_on_min=draft.hands_on_min,
            unattended_min=draft.unattended_min,
            stand_min_hours=draft.stand_min_hours,
            stand_max_hours=draft.stand_max_hours,
            needs=draft.needs,
        )
        step.full_clean()
        step.save()


@transaction.atomic
def fill_with(*, product: Product, recipe: Recipe) -> Filling:
    """Say which recipe fills the jars of a product.

    Raises:
        RecipeError: batches of another recipe were made for it.
    """
    filling = Filling.objects.filter(product=product).first()
    if filling and filling.recipe_id != recipe.pk and product.batches.exists():
        raise RecipeError(
            say(
                "{product} was filled with {recipe} before; make a new product",
                product=product,
                recipe=filling.recipe,
            )
        )
    if filling is None:
        filling = Filling(product=product)
    filling.recipe = recipe
    filling.full_clean()
    filling.save()
    return filling


@transaction.atomic
def retire(*, recipe: Recipe, on: datetime.date | None) -> Recipe:
    """Take a recipe out of the plan from a day on, or (None) back into it."""
    recipe.retired_on = on
    recipe.full_clean()
    recipe.save(update_fields=["retired_on"])
    return recipe
