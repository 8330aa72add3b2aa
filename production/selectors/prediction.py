"""Predictions of recipes in the book: rows become the values that science takes."""

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from django.db.models import prefetch_related_objects

from inventory.measures import format_volume
from inventory.models import Business, JarSize, Material, Product
from inventory.words import say
from production.models import Batch, Recipe, RecipeLine, RecipeVersion
from production.science.atmosphere import METRES_PER_FOOT
from production.science.balance import Finish, FinishKind, Role
from production.science.batch_lines import BatchLine, line_of_grams, sets_by_itself
from production.science.boiling import Kitchen
from production.science.finish_rules import finish_above, finish_at_solids, usual_finish
from production.science.jars import JarShape
from production.science.kinds import ProductKind, read_kind
from production.science.prediction import (
    DEFAULT_JARS,
    BatchInput,
    JarPrediction,
    Prediction,
    ProcessChoice,
    predict,
)
from production.science.processing import Canner, row_for_kind
from production.science.processing import rows as process_rows
from production.science.published import PublishedYield
from production.science.working import plain

__all__ = [
    "RecipeNotFoundError",
    "as_jar_shape",
    "batch_input",
    "find_recipe",
    "jars_expected",
    "predict_version",
]


class RecipeNotFoundError(ValueError):
    """No recipe in the book answers to a name."""

    def __init__(self, name: str, near: list[str]) -> None:
        self.name = name
        hint = say("; did you mean {near}?", near=" or ".join(near)) if near else ""
        super().__init__(
            say('no recipe in the book is called "{name}"{hint}', name=name, hint=hint)
        )


def find_recipe(name: str) -> Recipe:
    """The recipe of a name, a slug, or the only one that holds the words.

    Raises:
        RecipeNotFoundError: none answers, or several do.
    """
    wanted = name.strip()
    exact = Recipe.objects.filter(name__iexact=wanted) | Recipe.objects.filter(
        slug__iexact=wanted
    )
    holding = Recipe.objects.filter(name__icontains=wanted) if wanted else exact
    found = list(exact[:2]) or list(holding[:4])
    if len(found) == 1:
        return found[0]
    raise RecipeNotFoundError(wanted, [f'"{recipe.name}"' for recipe in found])


def as_jar_shape(size: JarSize) -> JarShape:
    """A jar size of the book; its capacity counts as measured by the maker."""
    return JarShape(
        name=size.name,
        brim_ml=size.brim_ml,
        neck_area_cm2=size.neck_area_cm2,
        measured=True,
    )


def batch_input(
    version: RecipeVersion,
    *,
    business: Business,
    factor: Decimal = Decimal(1),
    jars: tuple[JarShape, ...] | None = None,
    written: Sequence[RecipeLine] | None = None,
) -> BatchInput:
    """What science is asked about a version of a recipe, in this kitchen.

    Args:
        version: lines and materials are read in two queries unless prefetched.
        business: altitude and canner.
        factor: share of the tested batch.
        jars: jar sizes to count; those of the recipe's products where None.
        written: its lines with their materials, if the caller has read them.
    """
    recipe = version.recipe
    kind = _kind(recipe)
    if written is None:
        prefetch_related_objects([version], "lines__material")
        written = list(version.lines.all())
    press = kind is ProductKind.JELLY
    lines = tuple(
        _line(line, press=press) for line in written if not line.removed_after
    )
    return BatchInput(
        name=recipe.name,
        kind=kind,
        lines=lines,
        finish=_finish(version, kind, lines),
        kitchen=Kitchen(altitude_ft=business.altitude_m / METRES_PER_FOOT.value),
        jars=_jars(recipe) if jars is None else jars,
        headspace_mm=version.headspace_mm,
        process=ProcessChoice(
            canner=Canner(business.canner),
            row=_process_row(version, kind),
            recipe_min=version.process_min or None,
        ),
        factor=factor,
        correction=version.yield_correction,
        published=_published(version),
    )


def predict_version(
    version: RecipeVersion,
    *,
    business: Business | None = None,
    factor: Decimal = Decimal(1),
) -> Prediction:
    """Predict a version in this kitchen, in the jars its products are filled into.

    Raises:
        ScienceError: the recipe asks for something physically impossible.
        ScalingError: more than the tested batch.
    """
    seller = business or Business.current()
    return predict(batch_input(version, business=seller, factor=factor))


def jars_expected(batch: Batch) -> tuple[Decimal, JarPrediction]:
    """Finished grams and jars of a batch before any learnt correction.

    Raises:
        ScienceError: the recipe asks for something physically impossible.
    """
    size = batch.product.jar_size if batch.product is not None else None
    asked = batch_input(
        batch.version,
        business=Business.current(),
        factor=batch.factor,
        jars=(as_jar_shape(size),) if size else DEFAULT_JARS,
    )
    prediction = predict(replace(asked, correction=Decimal(1)))
    return prediction.finished_g.likely, prediction.jars[0]


def _kind(recipe: Recipe) -> ProductKind:
    """The book's kind; a preserve is told from a jam by its name."""
    kind = ProductKind(recipe.kind)
    if kind is ProductKind.JAM and read_kind(recipe.identity) is ProductKind.PRESERVES:
        return ProductKind.PRESERVES
    return kind


def _line(line: RecipeLine, *, press: bool) -> BatchLine:
    material = line.material
    role = Role.SWEETENER if material.is_sweetener else None
    found = line_of_grams(
        material.name,
        line.grams,
        form=line.form,
        solids=material.solids_fraction,
        role=role,
        press=press,
    )
    if found.material is None and material.kind == Material.Kind.FRUIT:
        return replace(found, pot=replace(found.pot, role=Role.FRUIT))
    return found


def _finish(
    version: RecipeVersion, kind: ProductKind, lines: tuple[BatchLine, ...]
) -> Finish:
    said = RecipeVersion.Finish(version.finish)
    if said is RecipeVersion.Finish.SOLIDS and version.finish_solids:
        return finish_at_solids(version.finish_solids)
    if said is RecipeVersion.Finish.ABOVE_BOILING and version.finish_above_c:
        return finish_above(version.finish_above_c)
    if said is RecipeVersion.Finish.TIME:
        return Finish(kind=FinishKind.TIME)
    if said is RecipeVersion.Finish.NONE:
        return Finish(kind=FinishKind.NONE)
    return usual_finish(kind, pectin_added=sets_by_itself(lines))


def _process_row(version: RecipeVersion, kind: ProductKind) -> str:
    named = version.process_kind
    if any(row.key == named for row in process_rows()):
        return named
    return row_for_kind(kind)


def _jars(recipe: Recipe) -> tuple[JarShape, ...]:
    """Jar sizes of the products that the recipe fills; the usual ones without any."""
    products = Product.objects.filter(filling__recipe=recipe).select_related("jar_size")
    sizes = {product.jar_size.pk: product.jar_size for product in products}
    shapes = sorted(map(as_jar_shape, sizes.values()), key=lambda jar: jar.brim_ml)
    return tuple(shapes) or DEFAULT_JARS


def _published(version: RecipeVersion) -> PublishedYield | None:
    """What the recipe promises, as millilitres of product."""
    if not version.published_jars or not version.published_jar_ml:
        return None
    total_ml = version.published_jars * version.published_jar_ml
    return PublishedYield(
        low_ml=total_ml,
        high_ml=total_ml,
        text=(
            say(
                "{jars} jars of {size}",
                jars=plain(version.published_jars),
                size=format_volume(version.published_jar_ml),
            )
        ),
    )
