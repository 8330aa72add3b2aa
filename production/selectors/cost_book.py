"""Everything a jar's standard cost is made of, read once for all products."""

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from functools import cached_property

from django.db.models import F, Sum

from inventory.models import Business, JarSize, Movement, Product
from inventory.words import say
from production.costing.breakdown import CostingError, JarCost, Part, Source
from production.costing.jar import (
    EnergyUse,
    JarCostInput,
    LabourUse,
    MaterialUse,
    OverheadUse,
    Spread,
    cost_of_jar,
)
from production.costing.overheads import OverheadItem, OverheadKey
from production.models import Batch, Overhead, RecipeStep, RecipeVersion
from production.science.prediction import predict
from production.science.working import ScienceError
from production.selectors.material_prices import (
    NoPriceError,
    PriceList,
    current_prices,
)
from production.selectors.prediction import as_jar_shape, batch_input

__all__ = ["CostBook", "NoRecipeError", "expected_jars", "read_cost_book"]

ZERO = Decimal(0)
YEAR = datetime.timedelta(days=365)


class NoRecipeError(CostingError):
    """A product that nobody said how to make."""

    def __init__(self, product: Product, problem: str) -> None:
        self.product = product
        super().__init__(
            say(
                "{product} cannot be costed: {problem}",
                product=product,
                problem=problem,
            )
        )


@dataclass(frozen=True, kw_only=True)
class CostBook:
    """Prices, recipes and rates of one day.

    Attributes:
        on: the day they hold for.
        business: the seller's rates.
        prices: newest price of each material.
        versions: the version each recipe is cooked by, by recipe number.
        overheads: costs of the year, with what each is spread by.
    """

    on: datetime.date
    business: Business
    prices: PriceList
    versions: Mapping[int, RecipeVersion]
    overheads: tuple[OverheadItem, ...]

    def version_of(self, product: Product) -> RecipeVersion:
        """The version a product is cooked by.

        Raises:
            NoRecipeError: it has no recipe, or the recipe no version yet.
        """
        filling = getattr(product, "filling", None)
        if filling is None:
            raise NoRecipeError(product, say("say which recipe fills its jars"))
        if filling.recipe_id not in self.versions:
            raise NoRecipeError(
                product, say("write {recipe} down first", recipe=filling.recipe)
            )
        return self.versions[filling.recipe_id]

    def standard_cost(self, product: Product) -> JarCost:
        """Cost of a jar by the recipe at today's prices.

        Raises:
            CostingError: a price, a recipe or a yield is missing.
        """
        return cost_of_jar(self.standard_input(product))

    def standard_input(self, product: Product) -> JarCostInput:
        """What the standard cost of a jar is made of."""
        version = self.version_of(product)
        jars = expected_jars(version, product.jar_size, business=self.business)
        if jars <= 0:
            raise NoRecipeError(
                product, say("enter how many jars {version} fills", version=version)
            )
        return JarCostInput(
            jars=jars,
            materials=(
                *self._ingredients(version),
                *self.packaging(product.jar_size),
            ),
            energy=self.energy(version, product.jar_size, jars),
            labour=(self.labour(version),),
            overheads=self.overhead_uses(version, product, jars),
        )

    def _ingredients(self, version: RecipeVersion) -> list[MaterialUse]:
        lines = list(version.lines.all())
        unknown = [
            line.material.name
            for line in lines
            if line.material_id not in self.prices.prices
        ]
        if unknown:
            raise NoPriceError(dict.fromkeys(unknown))
        return [
            MaterialUse(
                name=line.material.name,
                usable_quantity=line.grams,
                unit_price=self.prices.of(line.material).unit_price,
                edible_yield=line.material.edible_yield,
                sources=(self.prices.of(line.material).source,),
            )
            for line in lines
        ]

    def packaging(self, size: JarSize) -> list[MaterialUse]:
        """Jar, lid and label of one jar."""
        uses = [
            MaterialUse(
                name=material.name,
                usable_quantity=Decimal(1),
                unit="pieces",
                unit_price=self.prices.of(material).unit_price,
                part=Part.PACKAGING,
                spread=Spread.JAR,
                sources=(self.prices.of(material).source,),
            )
            for material in (size.jar, size.lid)
            if material is not None
        ]
        label = MaterialUse(
            name="label",
            usable_quantity=Decimal(1),
            unit="pieces",
            unit_price=self.business.label_cost,
            part=Part.PACKAGING,
            spread=Spread.JAR,
            sources=(
                Source(text=say("My business: cost of one label"), key="business"),
            ),
        )
        return [*uses, label]

    def energy(
        self,
        version: RecipeVersion,
        size: JarSize,
        jars: Decimal,
        *,
        burner_min: int | None = None,
        canner_min: int | None = None,
    ) -> tuple[EnergyUse, ...]:
        """Burner and canner of a batch: the minutes given, else the recipe's."""
        loads = (jars / size.per_canner_load).to_integral_value(ROUND_CEILING)
        load_min = version.process_min and (
            self.business.canner_heating_min + version.process_min
        )
        burner = _pot_minutes(version) if burner_min is None else burner_min
        canner = loads * load_min if canner_min is None else canner_min
        return (
            self._energy("burner", Decimal(burner), self.business.burner_kw),
            self._energy("canner", Decimal(canner), self.business.canner_kw),
        )

    def _energy(self, name: str, minutes: Decimal, power_kw: Decimal) -> EnergyUse:
        return EnergyUse(
            name=name,
            minutes=minutes,
            power_kw=power_kw,
            price_per_kwh=self.business.power_tariff,
            sources=(
                Source(text=say("My business: power and tariff"), key="business"),
            ),
        )

    def labour(
        self, version: RecipeVersion, *, minutes: int | None = None
    ) -> LabourUse:
        """The seller's time: the minutes given, else the recipe's steps."""
        steps = [step for step in version.steps.all() if step.hands_on_min]
        asked = sum(step.hands_on_min for step in steps)
        sources = tuple(
            Source(
                text=say(
                    "step {position}: {step}",
                    position=step.position,
                    step=step.text[:60],
                ),
                key=f"version:{version.recipe.slug}:{version.number}",
                quantity=Decimal(step.hands_on_min),
                unit_cost=self.business.labour_rate / 60,
                unit="min",
            )
            for step in steps
        )
        return LabourUse(
            name=say("my time"),
            minutes=Decimal(asked if minutes is None else minutes),
            hourly_rate=self.business.labour_rate,
            sources=sources if minutes is None else (),
        )

    def overhead_uses(
        self, version: RecipeVersion, product: Product, jars: Decimal
    ) -> tuple[OverheadUse, ...]:
        """The batch's share of each cost of the year, by its key."""
        minutes = Decimal(sum(step.hands_on_min for step in version.steps.all()))
        batch = {
            OverheadKey.JARS: jars,
            OverheadKey.BATCHES: Decimal(1),
            OverheadKey.MINUTES: minutes,
            OverheadKey.TAKINGS: jars * self.mean_price(product),
        }
        return tuple(
            OverheadUse(
                name=item.name,
                yearly_cost=item.yearly_cost,
                key=item.key.value,
                batch_amount=batch[item.key],
                year_amount=self.year_amounts[item.key],
                sources=(
                    Source(
                        text=say("spread by {key}", key=item.key.value), key="overheads"
                    ),
                ),
            )
            for item in self.overheads
        )

    def mean_price(self, product: Product) -> Decimal:
        """Mean of the prices in force, as a stand-in for what a jar brings."""
        prices = {}
        for price in product.prices.all():
            if price.valid_from <= self.on and price.outlet_kind not in prices:
                prices[price.outlet_kind] = price.price
        if not prices:
            return ZERO
        return sum(prices.values(), ZERO) / len(prices)

    @cached_property
    def year_amounts(self) -> dict[OverheadKey, Decimal]:
        """How much of each key a year has: jars as expected, the rest as recorded.

        A book younger than a year that has recorded nothing counts as one, so that
        nothing is divided by nought.
        """
        first = self.on - YEAR
        batches = Batch.objects.filter(made_on__gt=first, made_on__lte=self.on)
        minutes = batches.aggregate(total=Sum("hands_on_min"))["total"]
        sold = Movement.objects.filter(
            reason=Movement.Reason.SOLD, on__gt=first, on__lte=self.on
        ).aggregate(total=Sum(F("quantity") * F("unit_price")))["total"]
        return {
            OverheadKey.JARS: Decimal(self.business.jars_per_year),
            OverheadKey.BATCHES: Decimal(max(batches.count(), 1)),
            OverheadKey.MINUTES: Decimal(max(minutes or 0, 1)),
            OverheadKey.TAKINGS: max(-Decimal(sold or 0), Decimal(1)),
        }


def _pot_minutes(version: RecipeVersion) -> int:
    return sum(
        step.hands_on_min + step.unattended_min
        for step in version.steps.all()
        if step.needs == RecipeStep.Needs.POT
    )


def expected_jars(
    version: RecipeVersion, size: JarSize, *, business: Business
) -> Decimal:
    """Jars of a size that a full batch should fill; 0 when nobody can tell.

    As the soluble-solids balance predicts them, times what this kitchen has learnt;
    where it cannot, the recipe's own promise, scaled by the volume of the jars.
    """
    try:
        predicted = predict(
            batch_input(version, business=business, jars=(as_jar_shape(size),))
        )
    except ScienceError:
        return _promised_jars(version, size)
    jars = predicted.jars[0].count.likely if predicted.jars else ZERO
    return jars if jars > 0 else _promised_jars(version, size)


def _promised_jars(version: RecipeVersion, size: JarSize) -> Decimal:
    if version.published_jars is None:
        return ZERO
    jars = version.published_jars * version.yield_correction
    if version.published_jar_ml:
        jars = jars * version.published_jar_ml / size.brim_ml
    return jars


def read_cost_book(*, on: datetime.date) -> CostBook:
    """Read prices, recipes and rates of a day, in a fixed number of queries."""
    business = Business.current()
    versions = (
        RecipeVersion.objects.current(on=on)
        .select_related("recipe")
        .prefetch_related("lines__material", "steps")
    )
    overheads = tuple(row.as_item() for row in Overhead.objects.in_force(on=on))
    if not overheads and business.overhead_per_year:
        overheads = (OverheadItem(name="overheads", amount=business.overhead_per_year),)
    return CostBook(
        on=on,
        business=business,
        prices=current_prices(on=on),
        versions={version.recipe_id: version for version in versions},
        overheads=overheads,
    )
