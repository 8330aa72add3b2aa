"""What a recipe's page shows: scaled lines, yields learnt, trimmings weighed here."""

from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Count, QuerySet

from inventory.models import Material
from production.models import Batch, BatchOutput, Recipe, RecipeLine, RecipeVersion
from production.scaling import cook_text
from production.science.jars import JarError, fill_volume_ml
from production.selectors.prediction import as_jar_shape
from production.yields import (
    BatchYield,
    TrimYield,
    YieldHistory,
    trim_yield,
    yield_history,
)

__all__ = [
    "ScaledLine",
    "TrimOnPage",
    "recipe_list",
    "scaled_lines",
    "trims_of",
    "yields_of",
]


def recipe_list() -> QuerySet[Recipe]:
    """Recipes with how many versions and batches each has."""
    return Recipe.objects.annotate(
        version_count=Count("versions", distinct=True),
        batch_count=Count("versions__batches", distinct=True),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class ScaledLine:
    """A line at a share of the tested batch.

    Attributes:
        line: of the recipe.
        cook: in the cook's own measures.
        grams: edible grams.
    """

    line: RecipeLine
    cook: str
    grams: Decimal


def scaled_lines(version: RecipeVersion, factor: Decimal) -> list[ScaledLine]:
    """The lines of a version at a share of it."""
    return [
        ScaledLine(
            line=line,
            cook=f"{cook_text(line.as_typed, factor)} {line.form}".strip(),
            grams=line.grams * factor,
        )
        for line in version.lines.select_related("material").order_by("position")
    ]


def yields_of(recipe: Recipe) -> YieldHistory:
    """Filled against expected of every finished batch, newest first.

    A batch filled into several sizes counts in jars of the size it was planned in.
    """
    outputs = (
        BatchOutput.objects.filter(
            batch__version__recipe=recipe,
            batch__expected_jars__gt=0,
            jar_size__isnull=False,
        )
        .select_related("jar_size", "batch__version", "batch__product__jar_size")
        .order_by("-batch__finished_at", "-batch__code", "pk")
    )
    filled: dict[Batch, Decimal] = {}
    for output in outputs:
        batch = output.batch
        filled[batch] = filled.get(batch, Decimal(0)) + _in_planned_jars(output)
    return yield_history(
        [
            BatchYield(
                code=batch.code or "",
                filled=jars,
                expected=batch.expected_jars or Decimal(0),
            )
            for batch, jars in filled.items()
        ]
    )


def _in_planned_jars(output: BatchOutput) -> Decimal:
    """Jars filled, told in jars of the size the batch was planned in, by volume."""
    batch, size = output.batch, output.jar_size
    if size is None or batch.product is None:
        return output.filled
    planned = batch.product.jar_size
    if size == planned:
        return output.filled
    try:
        here, there = (
            fill_volume_ml(as_jar_shape(each), batch.version.headspace_mm)
            for each in (size, planned)
        )
    except JarError:
        here, there = size.brim_ml, planned.brim_ml
    return output.filled * here / there


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimOnPage:
    """A fruit of the recipe with its edible share, weighed here and by the book."""

    material: Material
    trim: TrimYield


def trims_of(version: RecipeVersion) -> list[TrimOnPage]:
    """The fruit of a version with their trim yields."""
    fruit = (
        Material.objects.filter(recipe_lines__version=version, kind=Material.Kind.FRUIT)
        .distinct()
        .prefetch_related("trim_weighings")
    )
    return [
        TrimOnPage(
            material=each,
            trim=trim_yield(
                [(row.bought_g, row.usable_g) for row in each.trim_weighings.all()],
                table=each.edible_yield,
            ),
        )
        for each in fruit
    ]
