"""What the jars of one batch cost, and why that differs from the standard.

The actual cost takes the lots the batch drew and the minutes that were recorded;
where nothing was recorded (a label, an hour nobody stopped) the standard figure
stands in, and ``assumed`` names it.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from inventory.models import Material
from inventory.words import say
from production.costing.breakdown import CostingError, JarCost, Part, Source
from production.costing.jar import (
    EnergyUse,
    JarCostInput,
    MaterialUse,
    OverheadUse,
    cost_of_jar,
)
from production.costing.lot_costs import LotFact
from production.costing.lot_sources import source_of
from production.costing.variance import ComparedLine, Comparison, Jars, compare
from production.models import Batch, BatchOutput, RecipeLine
from production.selectors.cost_book import CostBook
from production.selectors.costed_outputs import main_outputs
from production.selectors.selling_prices import PricedProduct
from production.selectors.written_versions import WrittenVersion

__all__ = ["BatchCost", "batch_cost", "output_cost"]

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


def batch_cost(batch: Batch, *, book: CostBook) -> BatchCost:
    """Actual cost of a batch's jars against the standard of the book's day.

    Args:
        batch: finished, with at least one good jar.
        book: prices and rates of the day the standard holds for.

    Raises:
        CostingError: no jars, or a price that nobody knows.
    """
    output = main_outputs().filter(batch=batch).first()
    if output is None:
        raise CostingError(
            say("nothing is made of {batch} yet: finish it first", batch=batch)
        )
    return output_cost(output, book=book)


def output_cost(
    output: BatchOutput, *, book: CostBook, priced: PricedProduct | None = None
) -> BatchCost:
    """Actual cost of the jars a batch was meant for, as `costed_outputs` finds them.

    Args:
        output: the jars.
        book: prices and rates of the day the standard holds for.
        priced: a product with its prices; most often the one in the jars.

    Raises:
        CostingError: no jars, or a price that nobody knows.
    """
    batch = output.batch
    product = output.lot.product or batch.product
    size = output.jar_size or product.jar_size  # type: ignore[union-attr] # jars have a product
    share = book.costs.lots[output.lot_id].share
    version = book.written(batch.version)
    expected = batch.expected_jars or (book.expected_jars(version, size) * batch.factor)
    jars = _jars(output, expected * share)
    if priced is None or priced.product != product:
        priced = book.with_prices(product)  # type: ignore[arg-type] # as above
    reader = _BatchReader(
        batch=batch, version=version, book=book, jars=jars, share=share
    )
    standard = book.energy(version, size, expected)
    packaging = book.packaging(size)
    materials = [*reader.ingredients(), *reader.packaging(packaging)]
    overheads = [
        replace(use, batch_amount=use.batch_amount * share)
        for use in book.overhead_uses(version, priced, expected)
    ]
    return reader.result(
        output=output,
        materials=materials,
        energy=standard,
        overheads=overheads,
    )


def _jars(output: BatchOutput, expected: Decimal) -> Jars:
    """Expected, filled and good jars of one output.

    Raises:
        NoJarsError: not one jar is good.
    """
    failed: Decimal = output.failed or ZERO  # type: ignore[attr-defined] # annotated
    good = output.filled + failed
    return Jars(expected=expected, filled=output.filled, good=good)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pair:
    """One thing the batch took: as it should be, and as it was."""

    standard: MaterialUse
    actual: MaterialUse
    is_assumed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stuff:
    """A material, as a recipe asks for it or as a lot of it was drawn."""

    number: int
    name: str
    edible_yield: Decimal
    kind: str

    @classmethod
    def of_line(cls, line: RecipeLine) -> "_Stuff":
        material = line.material
        return cls(
            number=material.pk,
            name=material.name,
            edible_yield=material.edible_yield,
            kind=material.kind,
        )

    @classmethod
    def of_lot(cls, lot: LotFact) -> "_Stuff":
        return cls(
            number=lot.material or 0,
            name=lot.name,
            edible_yield=lot.edible_yield,
            kind=lot.kind,
        )


@dataclass(slots=True, kw_only=True)
class _BatchReader:
    batch: Batch
    version: WrittenVersion
    book: CostBook
    jars: Jars
    share: Decimal
    drawn: dict[_Stuff, list[Source]] = field(init=False)

    def __post_init__(self) -> None:
        self.drawn = self._drawn()

    def ingredients(self) -> list[_Pair]:
        """What the recipe asks against what was drawn, material by material."""
        asked: defaultdict[_Stuff, Decimal] = defaultdict(lambda: ZERO)
        for line in self.version.lines:
            asked[_Stuff.of_line(line)] += line.grams * self.batch.factor
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

    def _pair(self, material: _Stuff, asked: Decimal, sources: list[Source]) -> _Pair:
        taken = sum((s.quantity for s in sources), ZERO) * self.share
        price = _mean_price(sources)
        known = self.book.prices.prices.get(material.number)
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

    def _drawn(self) -> dict[_Stuff, list[Source]]:
        costs = self.book.costs
        found: defaultdict[_Stuff, list[Source]] = defaultdict(list)
        for draw in costs.draws.get(self.batch.pk, ()):
            lot = costs.lots[draw.lot]
            if lot.material is not None:
                source = source_of(draw.lot, draw.quantity, costs)
                found[_Stuff.of_lot(lot)].append(source)
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
        batch, version = self.batch, self.version
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
        made: int = output.made  # type: ignore[attr-defined] # annotated
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
