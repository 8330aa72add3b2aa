"""The recipe as used: a version's lines as substances, preparations opened up."""

import datetime
from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal

from inventory.models import Material
from inventory.words import say
from labels.selectors.errors import LabelSelectionError
from labels.selectors.label_book import LabelBook
from labels.statements.allergens import UnknownAllergenError
from labels.statements.ingredient_list import RecipeAsUsed
from labels.statements.ingredients import Ingredient, Part, Substance
from labels.statements.materials import MaterialFacts, substance_of
from production.models import Batch, Recipe, RecipeLine, RecipeVersion
from production.scaling import ScalingError
from production.science.identity import fruits
from production.science.prediction import DEFAULT_JARS, Prediction, predict
from production.science.working import ScienceError
from production.selectors.net_check import fill_of
from production.selectors.prediction import batch_input

__all__ = [
    "Cooked",
    "cooked_batch",
    "cooked_version",
    "finished_mass_g",
    "predict_cooked",
    "recipe_as_used",
    "singular",
]

JUICY_KINDS = (Recipe.Kind.JELLY, Recipe.Kind.MARMALADE)
"""Kinds whose fruit is its juice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cooked:
    """A version as it was or would be cooked.

    Attributes:
        version: its lines.
        factor: share of the tested batch.
        finished_mass_g: g that came or would come of it.
        batch: the batch, or ``None`` for a recipe without one.
        on: the day, for the version of a preparation made in house.
        book: where everything else about it is asked.
    """

    version: RecipeVersion
    factor: Decimal
    finished_mass_g: Decimal
    on: datetime.date
    book: LabelBook
    batch: Batch | None = None

    @property
    def solids(self) -> Decimal | None:
        """The newest refractometer reading of the batch, share of weight."""
        return None if self.batch is None else self.book.solids(self.batch)


def cooked_batch(book: LabelBook, batch: Batch, *, on: datetime.date) -> Cooked:
    """Return a batch as it was cooked."""
    return Cooked(
        version=book.version_of(batch),
        factor=batch.factor,
        finished_mass_g=finished_mass_g(book, batch),
        on=batch.made_on or on,
        book=book,
        batch=batch,
    )


def cooked_version(book: LabelBook, recipe: Recipe, *, on: datetime.date) -> Cooked:
    """Return a recipe as it would be cooked on a day.

    Raises:
        LabelSelectionError: the recipe has no version yet.
    """
    version = book.current_version(recipe, on=on)
    if version is None:
        raise LabelSelectionError(
            say('the recipe "{recipe}" has no lines yet; enter them', recipe=recipe)
        )
    return Cooked(
        version=version,
        factor=Decimal(1),
        finished_mass_g=_predicted_g(book, version, Decimal(1)),
        on=on,
        book=book,
    )


def finished_mass_g(book: LabelBook, batch: Batch) -> Decimal:
    """Return the finished weight of a batch, g: weighed, filled, or expected."""
    weighed = book.weighed_g(batch)
    if weighed is not None and weighed > 0:
        return weighed
    filled = _filled_g(book, batch)
    if filled > 0:
        return filled
    if batch.expected_mass_g:
        return batch.expected_mass_g
    return _predicted_g(book, book.version_of(batch), batch.factor)


def _filled_g(book: LabelBook, batch: Batch) -> Decimal:
    total = Decimal(0)
    for output in book.outputs(batch):
        if output.jar_size is None:
            total += output.filled
            continue
        fill = fill_of(output.jar_size, book.version_of(batch))
        if fill is not None:
            total += output.filled * fill.fill_g
    return total


def predict_cooked(
    book: LabelBook, version: RecipeVersion, factor: Decimal
) -> Prediction:
    """Predict a version for its label: what it is and weighs, whatever the jar.

    Raises:
        ScienceError: the recipe asks for something physically impossible.
        ScalingError: more than the tested batch.
    """
    asked = batch_input(
        version, business=book.business, factor=factor, jars=DEFAULT_JARS
    )
    return predict(asked)


def _predicted_g(book: LabelBook, version: RecipeVersion, factor: Decimal) -> Decimal:
    try:
        return predict_cooked(book, version, factor).finished_g.likely
    except (ScienceError, ScalingError):
        used = sum((line.grams for line in version.lines.all()), Decimal(0))
        return used * factor


def recipe_as_used(cooked: Cooked) -> RecipeAsUsed:
    """Return what a batch or recipe took, preparations made in house opened up.

    Raises:
        LabelSelectionError: the recipe has no lines, or an allergen or a weight
            cannot be read.
    """
    lines = tuple(_ingredients(cooked, frozenset({cooked.version.recipe_id})))
    if not lines:
        raise LabelSelectionError(
            say(
                'the recipe "{recipe}" has no ingredients; enter its lines',
                recipe=cooked.version.recipe,
            )
        )
    return RecipeAsUsed(ingredients=lines, finished_mass_g=cooked.finished_mass_g)


def _ingredients(cooked: Cooked, opened: frozenset[int]) -> Iterator[Ingredient]:
    for line in cooked.version.lines.all():
        grams = line.grams * cooked.factor
        for substance, share in _substances(cooked, line, opened):
            yield Ingredient(substance=substance, mass_g=grams * share)


def _substances(
    cooked: Cooked, line: RecipeLine, opened: frozenset[int]
) -> Iterator[tuple[Substance, Decimal]]:
    """Yield what a line is, in shares of it: a preparation may come of two lots."""
    bought = _bought(cooked.version.recipe, line)
    makers = _makers(cooked, line, opened)
    if not makers:
        yield bought, Decimal(1)
        return
    whole = sum((share for _, share in makers), Decimal(0))
    for maker, share in makers:
        made = bought if maker is None else _prepared(bought, maker, opened)
        yield made, share / whole


def _makers(
    cooked: Cooked, line: RecipeLine, opened: frozenset[int]
) -> list[tuple[Cooked | None, Decimal]]:
    """Return what made the material of a line, with the quantities drawn."""
    makers = [each for each in cooked.book.makers_of(line) if each.pk not in opened]
    if not makers:
        return []
    drawn = list(_drawn(cooked, line))
    if drawn:
        return drawn
    return [(cooked_version(cooked.book, makers[0], on=cooked.on), Decimal(1))]


def _drawn(cooked: Cooked, line: RecipeLine) -> Iterator[tuple[Cooked | None, Decimal]]:
    if cooked.batch is None:
        return
    for draw in cooked.book.draws(cooked.batch, line):
        if draw.quantity <= 0:
            continue
        if draw.maker is None:
            yield None, draw.quantity
            continue
        yield cooked_batch(cooked.book, draw.maker, on=cooked.on), draw.quantity


def _prepared(bought: Substance, maker: Cooked, opened: frozenset[int]) -> Substance:
    """Return a preparation made in house with what went into it.

    A juice stays a juice: what is pressed out is named, not what was pressed;
    so does a preparation of one ingredient. Their allergens stay with them.
    """
    within = opened | {maker.version.recipe_id}
    lines = tuple(_ingredients(maker, within))
    marks = frozenset().union(*(line.substance.all_allergens for line in lines))
    if len(lines) < 2 or "juice" in bought.name.casefold():
        return replace(bought, allergens=bought.allergens | marks)
    parts = tuple(
        Part(substance=line.substance, share=line.mass_g / maker.finished_mass_g)
        for line in lines
    )
    return replace(bought, parts=parts, allergens=marks, made_in_house=True)


def _bought(recipe: Recipe, line: RecipeLine) -> Substance:
    """Return the material of a line as a substance, in the form it was used."""
    material = line.material
    try:
        return substance_of(
            MaterialFacts(
                name=_used_name(material, line.form),
                is_fruit=_is_fruit(recipe, material, line.form),
                is_sweetener=material.is_sweetener,
                allergens=tuple(material.allergens),
                parts=tuple(material.parts),
                label_class=material.label_class,
                sulphite_ppm=material.sulphite_mg_per_kg,
                is_taken_out=line.removed_after,
            )
        )
    except UnknownAllergenError as error:
        raise LabelSelectionError(f"{material}: {error}") from error


def _used_name(material: Material, form: str) -> str:
    """Return "lemon juice" for lemons used as juice, else the label name."""
    name = material.printed_name
    used = form.casefold()
    if used not in ("juice", "peel", "zest") or used in name.casefold():
        return name
    return f"{singular(name)} {'peel' if used == 'zest' else used}"


def singular(name: str) -> str:
    """Return "strawberry" for "strawberries": the usual English plurals only."""
    if name.endswith("ies"):
        return f"{name[:-3]}y"
    if name.endswith("oes"):
        return name[:-2]
    return name.removesuffix("s")


def _is_fruit(recipe: Recipe, material: Material, form: str) -> bool:
    """Whether it counts as fruit; juice against a lack of acid does not."""
    name = singular(material.printed_name.casefold())
    is_juice = form.casefold() == "juice" or "juice" in material.printed_name.casefold()
    if is_juice:
        return recipe.kind in JUICY_KINDS
    known = name in fruits() or name.split()[-1] in fruits()
    return material.kind == Material.Kind.FRUIT or known
