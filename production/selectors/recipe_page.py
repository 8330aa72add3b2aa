"""What a recipe's page shows: scaled lines, yields learnt, trimmings weighed here."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db.models import (
    Count,
    OuterRef,
    Prefetch,
    QuerySet,
    Subquery,
    prefetch_related_objects,
)
from django.db.models.functions import Coalesce

from inventory.models import Material
from production.models import (
    Batch,
    BatchOutput,
    Recipe,
    RecipeLine,
    RecipeVersion,
)
from production.scaling import cook_text
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
    "lines_of",
    "recipe_list",
    "scaled_lines",
    "trims_of",
    "yields_of",
]


def recipe_list() -> QuerySet[Recipe]:
    """Recipes with how many versions and batches each has."""
    versions = RecipeVersion.objects.filter(recipe=OuterRef("pk")).order_by()
    batches = Batch.objects.filter(version__recipe=OuterRef("pk")).order_by()
    return Recipe.objects.annotate(
        version_count=_number(versions, "recipe"),
        batch_count=_number(batches, "version__recipe"),
    )


def _number(rows: QuerySet[Any], of: str) -> Coalesce:
    """How many of some rows belong to the row beside which the number stands."""
    counted = rows.values(of).annotate(number=Count("pk")).values("number")
    return Coalesce(Subquery(counted), 0)


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
        for line in lines_of(version)
    ]


def lines_of(version: RecipeVersion) -> list[RecipeLine]:
    """The lines of a version in order, with their materials; read once."""
    lines = RecipeLine.objects.select_related("material").order_by("position")
    prefetch_related_objects([version], Prefetch("lines", lines))
    return list(version.lines.all())


def yields_of(recipe: Recipe) -> YieldHistory:
    """Filled against expected of every finished batch, newest first.

    Jars of another size count as the part of a usual jar that they hold.
    """
    finished = (
        Batch.objects.filter(
            version__recipe=recipe,
            parent=None,
            finished_at__isnull=False,
            expected_jars__gt=0,
            product__isnull=False,
        )
        .select_related("product__jar_size")
        .prefetch_related(
            Prefetch("outputs", BatchOutput.objects.select_related("jar_size"))
        )
        .order_by("-finished_at", "-pk")
    )
    return yield_history([_yield_of(batch) for batch in finished])


def _yield_of(batch: Batch) -> BatchYield:
    usual_ml = batch.product.jar_size.brim_ml if batch.product else Decimal(1)
    filled_ml = sum(
        (
            each.filled * each.jar_size.brim_ml
            for each in batch.outputs.all()
            if each.jar_size
        ),
        Decimal(0),
    )
    return BatchYield(
        code=batch.code or "",
        filled=filled_ml / usual_ml,
        expected=batch.expected_jars or Decimal(0),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimOnPage:
    """A fruit of the recipe with its edible share, weighed here and by the book."""

    material: Material
    trim: TrimYield


def trims_of(version: RecipeVersion) -> list[TrimOnPage]:
    """The fruit of a version with their trim yields."""
    lines = lines_of(version)
    named = {line.material_id: line.material for line in lines}
    fruit = [each for each in named.values() if each.kind == Material.Kind.FRUIT]
    fruit.sort(key=lambda material: material.name)
    prefetch_related_objects(fruit, "trim_weighings")
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
