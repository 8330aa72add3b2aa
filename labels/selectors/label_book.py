"""What the labels of one page need of the book, each table read once.

A page of twelve labels costs the same queries as a page of one: versions and their
lines, what was drawn of preparations made in house, what was filled, the readings, the
ways a product is sold, the place. Nothing here is decided; the modules beside this one
ask it instead of the tables.
"""

import datetime
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

from django.db.models import (
    Count,
    Exists,
    F,
    OuterRef,
    Prefetch,
    Q,
    QuerySet,
    Subquery,
    prefetch_related_objects,
)
from django.db.models.functions import Coalesce

from inventory.models import Business, Product, ProductPrice
from inventory.models.outlets import OutletKind
from labels.models import PlaceProfile
from production.models import (
    Batch,
    BatchInput,
    BatchOutput,
    Filling,
    Reading,
    Recipe,
    RecipeLine,
    RecipeVersion,
)

__all__ = [
    "Draw",
    "LabelBook",
    "one_batch",
    "own_place",
    "with_readings",
    "with_ways",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Draw:
    """So much of one lot, taken for one line of a batch.

    Attributes:
        quantity: grams or pieces.
        maker: the batch that made the lot; ``None`` when it was bought.
    """

    quantity: Decimal
    maker: Batch | None


class LabelBook:
    """The book as the labels of some batches, or of some products, read it."""

    def __init__(
        self, *, batches: Iterable[Batch] = (), products: Iterable[Product] = ()
    ) -> None:
        """Announce what will be asked for; the tables are read at the first question.

        Args:
            batches: quickest from ``with_readings``.
            products: of labels without a batch, and all others whose ways of sale
                are asked; quickest from ``with_ways``.
        """
        self.business = Business.current()
        self._batches = {batch.pk: batch for batch in batches}
        self._products = {product.pk: product for product in products}
        self._recipes: dict[int, Recipe | None] = {}
        self._profiles: dict[str, PlaceProfile | None] = {}

    def version_of(self, batch: Batch) -> RecipeVersion:
        """The version a batch was cooked by, its lines and materials read."""
        return self._versions[batch.version_id]

    def current_version(
        self, recipe: Recipe, *, on: datetime.date
    ) -> RecipeVersion | None:
        """The newest version written by a day, else the first; ``None`` without any."""
        versions = [v for v in self._versions.values() if v.recipe_id == recipe.pk]
        written = [each for each in versions if each.written_on <= on]
        if written:
            return max(written, key=lambda each: each.number)
        return min(versions, key=lambda each: each.number, default=None)

    def recipe_of(self, product: Product) -> Recipe | None:
        """The recipe that fills a product; ``None`` while nobody said which."""
        if product.pk not in self._recipes:
            if Product._meta.get_field("filling").is_cached(product):
                filling: Filling | None = getattr(product, "filling", None)
            else:
                fillings = Filling.objects.filter(product=product)
                filling = fillings.select_related("recipe").first()
            self._recipes[product.pk] = filling.recipe if filling else None
        return self._recipes[product.pk]

    def makers_of(self, line: RecipeLine) -> Sequence[Recipe]:
        """The recipes that make the material of a line in house, by name."""
        known = self._makers.get(line.material_id, {})
        if len(known) == line.makers:  # type: ignore[attr-defined]  # by annotation
            return sorted(known.values(), key=lambda recipe: recipe.name)
        return list(line.material.made_by.all())  # one of them has no version yet

    def draws(self, batch: Batch, line: RecipeLine) -> Sequence[Draw]:
        """What a batch took of a preparation for a line, in the order taken."""
        return self._draws.get((batch.pk, line.pk), ())

    def outputs(self, batch: Batch) -> Sequence[BatchOutput]:
        """What was filled, with lots and jar sizes."""
        return self._outputs.get(batch.pk, ())

    def weighed_g(self, batch: Batch) -> Decimal | None:
        """The newest finished weight of a batch, g."""
        return self._readings[batch.pk, Reading.Kind.FINISHED_MASS]

    def solids(self, batch: Batch) -> Decimal | None:
        """The newest refractometer reading of a batch, share of weight."""
        return self._readings[batch.pk, Reading.Kind.SOLIDS]

    def kinds_of_outlet(self, product: Product) -> frozenset[OutletKind]:
        """The kinds of outlet a product has a price for."""
        if hasattr(product, _way(OutletKind.MARKET)):
            return frozenset(k for k in OutletKind if getattr(product, _way(k)))
        return frozenset(self._priced.get(product.pk, ()))

    def profile(self, code: str) -> PlaceProfile | None:
        """The place profile of a code."""
        if code == self.business.place_code:
            return own_place(self.business)
        if code not in self._profiles:
            found = PlaceProfile.objects.filter(code=code).first()
            self._profiles[code] = found
        return self._profiles[code]

    @cached_property
    def _inputs(self) -> Sequence[BatchInput]:
        """Draws of preparations, by these batches and by the preparations' own."""
        if not self._batches:
            return ()
        made = Recipe.objects.filter(makes_material__isnull=False)
        preparing = Batch.objects.filter(version__recipe__in=made).values("pk")
        drawn = BatchInput.objects.filter(
            Q(batch__in=list(self._batches)) | Q(batch__in=preparing),
            line__material__in=made.values("makes_material"),
        )
        return list(
            drawn.annotate(
                maker_pk=Coalesce(
                    F("movement__lot__batch_output__batch"),
                    F("movement__lot__split_from__batch_output__batch"),
                ),
                **_newest_readings("maker_pk"),
            )
            .select_related(
                "movement__lot__batch_output__batch",
                "movement__lot__split_from__batch_output__batch",
            )
            .order_by("pk")
        )

    @cached_property
    def _draws(self) -> Mapping[tuple[int, int | None], Sequence[Draw]]:
        found: dict[tuple[int, int | None], list[Draw]] = defaultdict(list)
        for row in self._inputs:
            draw = Draw(quantity=row.taken, maker=_maker(row))
            found[row.batch_id, row.line_id].append(draw)
        return found

    @cached_property
    def _prepared(self) -> Mapping[int, Batch]:
        """The batches that made the preparations drawn, with their readings."""
        found = {}
        for row in self._inputs:
            maker = _maker(row)
            if maker is not None:
                for kind in READ:
                    setattr(maker, kind, getattr(row, kind))
                found[maker.pk] = maker
        return found

    @cached_property
    def _everything(self) -> Mapping[int, Batch]:
        return {**self._prepared, **self._batches}

    @cached_property
    def _versions(self) -> Mapping[int, RecipeVersion]:
        """Versions of the batches, of the products' recipes and of all preparations."""
        fillings = Filling.objects.filter(product__in=list(self._products))
        asked = RecipeVersion.objects.filter(
            Q(pk__in={batch.version_id for batch in self._everything.values()})
            | Q(recipe__in=fillings.values("recipe"))
            | Q(recipe__makes_material__isnull=False)
        )
        versions = list(asked.select_related("recipe"))
        makers = (
            Recipe.objects.filter(makes_material=OuterRef("material"))
            .order_by()
            .values("makes_material")
            .annotate(count=Count("pk"))
            .values("count")
        )
        lines = (
            RecipeLine.objects.select_related("material")
            .annotate(makers=Coalesce(Subquery(makers), 0))
            .order_by("position")
        )
        prefetch_related_objects(versions, Prefetch("lines", queryset=lines))
        return {version.pk: version for version in versions}

    @cached_property
    def _makers(self) -> Mapping[int, Mapping[int, Recipe]]:
        found: dict[int, dict[int, Recipe]] = defaultdict(dict)
        for version in self._versions.values():
            recipe = version.recipe
            if recipe.makes_material_id is not None:
                found[recipe.makes_material_id][recipe.pk] = recipe
        return found

    @cached_property
    def _outputs(self) -> Mapping[int, Sequence[BatchOutput]]:
        found: dict[int, list[BatchOutput]] = defaultdict(list)
        if self._everything:
            outputs = BatchOutput.objects.filter(batch__in=list(self._everything))
            for row in outputs.select_related("lot", "jar_size").order_by("pk"):
                found[row.batch_id].append(row)
        return found

    @cached_property
    def _readings(self) -> Mapping[tuple[int, str], Decimal | None]:
        found: dict[tuple[int, str], Decimal | None] = defaultdict(lambda: None)
        unread = []
        for batch in self._everything.values():
            if not hasattr(batch, READ[0]):
                unread.append(batch.pk)
                continue
            for name, kind in zip(READ, KINDS, strict=True):
                found[batch.pk, kind] = getattr(batch, name)
        if unread:
            rows = Reading.objects.filter(
                batch__in=unread, kind__in=KINDS, is_undone=False
            )
            for reading in rows.order_by("at", "pk"):
                found[reading.batch_id, reading.kind] = reading.value
        return found

    @cached_property
    def _priced(self) -> Mapping[int, set[OutletKind]]:
        found: dict[int, set[OutletKind]] = defaultdict(set)
        prices = ProductPrice.objects.filter(product__in=list(self._products))
        for product, kind in prices.order_by().values_list("product", "outlet_kind"):
            found[product].add(OutletKind(kind))
        return found


KINDS = (Reading.Kind.FINISHED_MASS, Reading.Kind.SOLIDS)
READ = ("weighed_g", "solids_read")
"""What a query puts on a batch, in the order of the kinds."""


def with_readings(batches: "QuerySet[Batch]") -> "QuerySet[Batch]":
    """Batches with the readings a label is written from."""
    return batches.annotate(**_newest_readings("pk"))


def with_ways(products: "QuerySet[Product]") -> "QuerySet[Product]":
    """Products with the kinds of outlet they have a price for."""
    prices = ProductPrice.objects.filter(product=OuterRef("pk"))
    return products.annotate(
        **{_way(kind): Exists(prices.filter(outlet_kind=kind)) for kind in OutletKind}
    )


def one_batch(batches: "QuerySet[Batch]") -> Batch | None:
    """The first of some batches with what its label is written from, in one query."""
    prices = ProductPrice.objects.filter(product=OuterRef("product"))
    ways = {_way(kind): Exists(prices.filter(outlet_kind=kind)) for kind in OutletKind}
    batch = (
        with_readings(batches)
        .annotate(**ways)
        .select_related(
            "product__jar_size", "product__label__sheet", "product__filling__recipe"
        )
        .first()
    )
    if batch is not None and batch.product is not None:
        for name in ways:
            setattr(batch.product, name, getattr(batch, name))
    return batch


def own_place(business: Business) -> PlaceProfile | None:
    """The profile of the seller's own place, kept on the seller's row."""
    kept: tuple[str, PlaceProfile | None] | None = getattr(business, KEPT_PLACE, None)
    if kept is None or kept[0] != business.place_code:
        code = business.place_code
        profile = PlaceProfile.objects.filter(code=code).first() if code else None
        kept = (code, profile)
        setattr(business, KEPT_PLACE, kept)
    return kept[1]


KEPT_PLACE = "_place_profile"


def _way(kind: OutletKind) -> str:
    return f"is_sold_at_{kind.value}"


def _newest_readings(batch: str) -> dict[str, Subquery]:
    rows = Reading.objects.filter(batch=OuterRef(batch), is_undone=False)
    newest = rows.order_by("-at", "-pk").values("value")
    return {
        name: Subquery(newest.filter(kind=kind)[:1])
        for name, kind in zip(READ, KINDS, strict=True)
    }


def _maker(row: BatchInput) -> Batch | None:
    lot = row.movement.lot
    output: BatchOutput | None = getattr(lot, "batch_output", None)
    if output is None and lot.split_from is not None:
        output = getattr(lot.split_from, "batch_output", None)
    return output.batch if output else None
