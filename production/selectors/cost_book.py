"""Everything a jar's standard cost is made of, read once for all products."""

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from inventory.models import Business, JarSize, Product
from inventory.words import say, to_say
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
from production.costing.lot_costs import LotCosts
from production.costing.overheads import OverheadKey
from production.models import RecipeLine, RecipeStep, RecipeVersion
from production.science.prediction import predict
from production.science.working import ScienceError
from production.selectors.lot_facts import lot_costs
from production.selectors.material_prices import (
    NoPriceError,
    PriceList,
    current_prices,
)
from production.selectors.overhead_book import OverheadBook, read_overheads
from production.selectors.prediction import as_jar_shape, batch_input
from production.selectors.selling_prices import PricedProduct, priced_products
from production.selectors.written_versions import (
    WrittenVersion,
    WrittenVersions,
    read_versions,
    read_written,
)

__all__ = ["CostBook", "NoRecipeError", "expected_jars", "read_cost_book"]

ZERO = Decimal(0)


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
        costs: what every lot cost, back to what was bought.
        prices: newest price of each material.
        versions: the version each recipe is cooked by, and others asked for.
        overheads: costs of the year, with what each is spread by.
    """

    on: datetime.date
    business: Business
    costs: LotCosts
    prices: PriceList
    versions: WrittenVersions
    overheads: OverheadBook

    def written(self, version: RecipeVersion) -> WrittenVersion:
        """A version with its lines and steps; read now if the book lacks it."""
        return self.versions.all.get(version.pk) or read_written(version)

    def version_of(self, product: Product) -> WrittenVersion:
        """The version a product is cooked by.

        Raises:
            NoRecipeError: it has no recipe, or the recipe no version yet.
        """
        filling = getattr(product, "filling", None)
        if filling is None:
            raise NoRecipeError(product, say("say which recipe fills its jars"))
        if filling.recipe_id not in self.versions.current:
            raise NoRecipeError(
                product, say("write {recipe} down first", recipe=filling.recipe)
            )
        return self.versions.current[filling.recipe_id]

    def standard_cost(self, product: Product | PricedProduct) -> JarCost:
        """Cost of a jar by the recipe at today's prices.

        Args:
            product: with its prices, where they are read already.

        Raises:
            CostingError: a price, a recipe or a yield is missing.
        """
        return cost_of_jar(self.standard_input(product))

    def standard_input(self, product: Product | PricedProduct) -> JarCostInput:
        """What the standard cost of a jar is made of."""
        priced = self.with_prices(product)
        product = priced.product
        version = self.version_of(product)
        jars = self.expected_jars(version, product.jar_size)
        if jars <= 0:
            raise NoRecipeError(
                product,
                say("enter how many jars {version} fills", version=version.version),
            )
        return JarCostInput(
            jars=jars,
            materials=(
                *self._ingredients(version),
                *self.packaging(product.jar_size),
            ),
            energy=self.energy(version, product.jar_size, jars),
            labour=(self.labour(version),),
            overheads=self.overhead_uses(version, priced, jars),
        )

    def with_prices(self, product: Product | PricedProduct) -> PricedProduct:
        """A product with the prices of the book's day; read now if it has none."""
        if isinstance(product, PricedProduct):
            return product
        found = priced_products(Product.objects.filter(pk=product.pk), on=self.on)
        return PricedProduct(product=product, prices=found[0].prices)

    def expected_jars(self, version: WrittenVersion, size: JarSize) -> Decimal:
        """Jars of a size that a full batch should fill; 0 when nobody can tell."""
        return expected_jars(
            version.version, size, business=self.business, lines=version.lines
        )

    def _ingredients(self, version: WrittenVersion) -> list[MaterialUse]:
        lines = version.lines
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
            name=say("label"),
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
        version: WrittenVersion,
        size: JarSize,
        jars: Decimal,
        *,
        burner_min: int | None = None,
        canner_min: int | None = None,
    ) -> tuple[EnergyUse, ...]:
        """Burner and canner of a batch: the minutes given, else the recipe's."""
        loads = (jars / size.per_canner_load).to_integral_value(ROUND_CEILING)
        process_min = version.version.process_min
        load_min = process_min and self.business.canner_heating_min + process_min
        burner = _pot_minutes(version) if burner_min is None else burner_min
        canner = loads * load_min if canner_min is None else canner_min
        return (
            self._energy(to_say("burner"), Decimal(burner), self.business.burner_kw),
            self._energy(to_say("canner"), Decimal(canner), self.business.canner_kw),
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
        self, version: WrittenVersion, *, minutes: int | None = None
    ) -> LabourUse:
        """The seller's time: the minutes given, else the recipe's steps."""
        steps = [step for step in version.steps if step.hands_on_min]
        recipe, number = version.version.recipe, version.version.number
        asked = sum(step.hands_on_min for step in steps)
        sources = tuple(
            Source(
                text=say(
                    "step {position}: {step}",
                    position=step.position,
                    step=step.text[:60],
                ),
                key=f"version:{recipe.slug}:{number}",
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
        self, version: WrittenVersion, product: PricedProduct, jars: Decimal
    ) -> tuple[OverheadUse, ...]:
        """The batch's share of each cost of the year, by its key."""
        minutes = Decimal(sum(step.hands_on_min for step in version.steps))
        batch = {
            OverheadKey.JARS: jars,
            OverheadKey.BATCHES: Decimal(1),
            OverheadKey.MINUTES: minutes,
            OverheadKey.TAKINGS: jars * product.mean_price,
        }
        return tuple(
            OverheadUse(
                name=item.name,
                yearly_cost=item.yearly_cost,
                key=item.key.value,
                batch_amount=batch[item.key],
                year_amount=self.overheads.year_amounts[item.key],
                sources=(
                    Source(
                        text=say("spread by {key}", key=item.key.value), key="overheads"
                    ),
                ),
            )
            for item in self.overheads.items
        )


def _pot_minutes(version: WrittenVersion) -> int:
    return sum(
        step.hands_on_min + step.unattended_min
        for step in version.steps
        if step.needs == RecipeStep.Needs.POT
    )


def expected_jars(
    version: RecipeVersion,
    size: JarSize,
    *,
    business: Business,
    lines: Sequence[RecipeLine] | None = None,
) -> Decimal:
    """Jars of a size that a full batch should fill; 0 when nobody can tell.

    As the soluble-solids balance predicts them, times what this kitchen has learnt;
    where it cannot, the recipe's own promise, scaled by the volume of the jars.
    """
    try:
        predicted = predict(
            batch_input(
                version, business=business, jars=(as_jar_shape(size),), written=lines
            )
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


def read_cost_book(*, on: datetime.date, versions: Iterable[int] = ()) -> CostBook:
    """Read prices, recipes and rates of a day, in five queries.

    Args:
        on: the day.
        versions: numbers of older versions that will be asked for too.
    """
    business, costs = Business.current(), lot_costs()
    return CostBook(
        on=on,
        business=business,
        costs=costs,
        prices=current_prices(on=on, costs=costs),
        versions=read_versions(on=on, also=versions),
        overheads=read_overheads(on=on, business=business),
    )
