"""What the jars of one batch cost, and why that differs from the standard.

The actual cost takes the lots the batch drew and the minutes that were recorded;
where nothing was recorded (a label, an hour nobody stopped) the standard figure
stands in, and ``assumed`` names it.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from inventory.models import Material, Movement
from inventory.words import say
from production.costing.breakdown import JarCost, Part, Source
from production.costing.jar import (
    EnergyUse,
    JarCostInput,
    MaterialUse,
    OverheadUse,
    cost_of_jar,
)
from production.costing.lot_costs import LotCosts
from production.costing.variance import ComparedLine, Comparison, Jars, compare
from production.models import Batch, BatchOutput
from production.selectors.cost_book import CostBook, expected_jars
from production.selectors.lot_sources import source_of
from production.selectors.stock_value import lot_costs, output_shares

__all__ = ["BatchCost", "batch_cost", "batch_jars", "costed_batches"]

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchCost:
    """A batch's jars: actual cost, standard cost, and what lies between.

    Attributes:
        batch: the batch.
        output: the jars the figures are for.
        actual: cost of a good jar as it was.
        comparison: the difference taken apart.
        assumed: figures nobody recorded, taken from the standard.
        sharing: how the batch's cost was shared, when it made more than one lot.
    """

    batch: Batch
    output: BatchOutput
    actual: JarCost
    comparison: Comparison
    assumed: tuple[str, ...]
    sharing: str = ""


def costed_batches(*, product_id: int, limit: int = 5) -> list[Batch]:
    """The newest batches of a product that have good jars."""
    return list(
        Batch.objects.filter(
            outputs__lot__product_id=product_id, finished_at__isnull=False
        )
        .exclude(status=Batch.Status.REJECTED)
        .select_related("version__recipe", "product")
        .distinct()
        .order_by("-made_on", "-pk")[:limit]
    )


def batch_jars(output: BatchOutput, expected: Decimal) -> Jars:
    """Expected, filled and good jars of one output.

    Raises:
        NoJarsError: not one jar is good.
    """
    failed = Movement.objects.filter(lot_id=output.lot_id, reason=Movement.Reason.SEAL)
    good = output.filled + failed.total()
    return Jars(expected=expected, filled=output.filled, good=good)


def batch_cost(
    batch: Batch, *, book: CostBook, costs: LotCosts | None = None
) -> BatchCost:
    """Actual cost of a batch's jars against the standard of the book's day.

    Args:
        batch: finished, with at least one good jar.
        book: prices and rates of the day the standard holds for.
        costs: unit costs of lots, if the caller has read them already.

    Raises:
        CostingError: no jars, or a price that nobody knows.
    """
    output = _main_output(batch)
    product = output.lot.product or batch.product
    size = output.jar_size or product.jar_size  # type: ignore[union-attr] # jars have a product
    share = output_shares()[output.lot_id][1]
    expected = batch.expected_jars or (
        expected_jars(batch.version, size, business=book.business) * batch.factor
    )
    jars = batch_jars(output, expected * share)
    reader = _BatchReader(
        batch=batch,
        book=book,
        costs=costs or lot_costs(),
        jars=jars,
        share=share,
    )
    standard = book.energy(batch.version, size, expected)
    packaging = book.packaging(size)
    materials = [*reader.ingredients(), *reader.packaging(packaging)]
    overheads = [
        replace(use, batch_amount=use.batch_amount * share)
        for use in book.overhead_uses(batch.version, product, expected)  # type: ignore[arg-type] # as above
    ]
    return reader.result(
        output=output,
        materials=materials,
        energy=standard,
        overheads=overheads,
    )


def _main_output(batch: Batch) -> BatchOutput:
    outputs = list(
        batch.outputs.select_related("lot__product__jar_size", "jar_size").order_by(
            "pk"
        )
    )
    own = [o for o in outputs if o.lot.product_id == batch.product_id]
    return (own or outputs)[0]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pair:
    """One thing the batch took: as it should be, and as it was."""

    standard: MaterialUse
    actual: MaterialUse
    is_assumed: bool = False


@dataclass(slots=True, kw_only=True)
class _BatchReader:
    batch: Batch
    book: CostBook
    costs: LotCosts
    jars: Jars
    share: Decimal
    drawn: dict[Material, list[Source]] = field(init=False)

    def __post_init__(self) -> None:
        self.drawn = self._drawn()

    def ingredients(self) -> list[_Pair]:
        """What the recipe asks against what was drawn, material by material."""
        asked: defaultdict[Material, Decimal] = defaultdict(lambda: ZERO)
        for line in self.batch.version.lines.select_related("material"):
            asked[line.material] += line.grams * self.batch.factor
        drawn = self.drawn
        pairs = []
        for material in [*asked, *(m for m in drawn if m not in asked)]:
            if material.kind == Material.Kind.PACKAGING:
                continue
            pairs.append(self._pair(material, asked[material], drawn.get(material, [])))
        return pairs

    def packaging(self, standard: Sequence[MaterialUse]) -> list[_Pair]:
        """Jars, lids and labels: of the drawn lots where there are any."""
        drawn = {
            material.name: sources
            for material, sources in self.drawn.items()
            if material.kind == Material.Kind.PACKAGING
        }
        pairs = []
        for use in standard:
            sources = drawn.get(use.name, [])
            price = _mean_price(sources) if sources else use.unit_price
            quantity = sum((s.quantity for s in sources), ZERO)
            if not sources or self.share < 1:
                quantity = self.jars.filled
            actual = MaterialUse(
                name=use.name,
                part=Part.PACKAGING,
                usable_quantity=quantity,
                unit="pieces",
                unit_price=price,
                sources=tuple(sources) or use.sources,
            )
            is_assumed = use.name not in drawn
            pairs.append(_Pair(standard=use, actual=actual, is_assumed=is_assumed))
        return pairs

    def _pair(self, material: Material, asked: Decimal, sources: list[Source]) -> _Pair:
        taken = sum((s.quantity for s in sources), ZERO) * self.share
        price = _mean_price(sources)
        known = self.book.prices.prices.get(material.pk)
        standard = MaterialUse(
            name=material.name,
            usable_quantity=asked * self.share,
            edible_yield=material.edible_yield,
            unit_price=known.unit_price if known else price,
            sources=(known.source,) if known else (),
        )
        actual = MaterialUse(
            name=material.name,
            usable_quantity=taken * material.edible_yield,
            edible_yield=material.edible_yield,
            unit_price=price,
            sources=tuple(sources),
        )
        return _Pair(standard=standard, actual=actual)

    def _drawn(self) -> dict[Material, list[Source]]:
        found: defaultdict[Material, list[Source]] = defaultdict(list)
        inputs = self.batch.inputs.select_related(
            "movement__lot__material",
            "movement__lot__product__jar_size",
            "movement__lot__purchase__supplier",
            "movement__lot__split_from__material",
            "movement__lot__split_from__purchase__supplier",
        )
        lots = {each.movement.lot_id: each.movement.lot for each in inputs}
        for draw in self.costs.draws.get(self.batch.pk, ()):
            lot = lots[draw.lot]
            if lot.material is not None:
                source = source_of(lot, draw.quantity, self.costs)
                found[lot.material].append(source)
        return dict(found)

    def result(
        self,
        *,
        output: BatchOutput,
        materials: Sequence[_Pair],
        energy: Sequence[EnergyUse],
        overheads: Sequence[OverheadUse],
    ) -> BatchCost:
        """Cost and comparison, with what had to be assumed."""
        batch, version = self.batch, self.batch.version
        recorded = {"burner": batch.burner_min, "canner": batch.canner_min}
        labour = self.book.labour(version)
        worked = batch.hands_on_min
        actual_labour = (
            labour if worked is None else self.book.labour(version, minutes=worked)
        )
        actual_energy = [_recorded(use, recorded[use.name]) for use in energy]
        assumed = [pair.actual.name for pair in materials if pair.is_assumed]
        assumed += [
            say("{number} minutes", number=n)
            for n, minutes in recorded.items()
            if minutes is None
        ]
        assumed += [say("hands-on minutes")] if worked is None else []
        given = JarCostInput(
            jars=self.jars.good,
            materials=tuple(pair.actual for pair in materials),
            energy=tuple(
                replace(use, minutes=use.minutes * self.share) for use in actual_energy
            ),
            labour=(
                replace(actual_labour, minutes=actual_labour.minutes * self.share),
            ),
            overheads=tuple(overheads),
        )
        lines = [
            *(_compared(pair) for pair in materials),
            *(
                self._compared_minutes(
                    Part.ENERGY,
                    use.name,
                    use.minutes,
                    done.minutes,
                    use.power_kw * use.price_per_kwh,
                )
                for use, done in zip(energy, actual_energy, strict=True)
            ),
            self._compared_minutes(
                Part.LABOUR,
                say("my time"),
                labour.minutes,
                actual_labour.minutes,
                labour.hourly_rate,
            ),
            *(self._compared_overhead(use) for use in overheads),
        ]
        made = batch.outputs.count()
        return BatchCost(
            batch=batch,
            output=output,
            actual=cost_of_jar(given),
            comparison=compare(lines, jars=self.jars),
            assumed=tuple(assumed),
            sharing=say("shared by the volume of the jars") if made > 1 else "",
        )

    def _compared_minutes(
        self, part: Part, name: str, asked: Decimal, done: Decimal, hourly: Decimal
    ) -> ComparedLine:
        return ComparedLine(
            part=part,
            name=name,
            standard_quantity=asked * self.share,
            standard_price=hourly / 60,
            actual_quantity=done * self.share,
            actual_price=hourly / 60,
        )

    def _compared_overhead(self, use: OverheadUse) -> ComparedLine:
        whole = use.yearly_cost * use.batch_amount / use.year_amount
        return ComparedLine(
            part=Part.OVERHEAD,
            name=use.name,
            standard_quantity=Decimal(1),
            standard_price=whole,
            actual_quantity=Decimal(1),
            actual_price=whole,
        )


def _recorded(use: EnergyUse, minutes: int | None) -> EnergyUse:
    return use if minutes is None else replace(use, minutes=Decimal(minutes))


def _compared(pair: _Pair) -> ComparedLine:
    standard, actual = pair.standard, pair.actual
    return ComparedLine(
        part=standard.part,
        name=standard.name,
        standard_quantity=standard.bought_quantity,
        standard_price=standard.unit_price,
        actual_quantity=actual.bought_quantity,
        actual_price=actual.unit_price,
        spread=standard.spread,
    )


def _mean_price(sources: Sequence[Source]) -> Decimal:
    quantity = sum((source.quantity for source in sources), ZERO)
    if not quantity:
        return ZERO
    return sum((source.cost for source in sources), ZERO) / quantity
