"""The cost of one jar, from what a batch takes and how many jars it fills.

The same sum serves the standard cost (the recipe at today's prices) and the actual
cost (the lots and minutes of one batch): only the figures put in differ. Fees that
depend on where a jar is sold are not here; see ``production.margins``.
"""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from inventory.words import say
from production.costing.breakdown import (
    CostingError,
    Factor,
    JarCost,
    Line,
    Part,
    Source,
)

__all__ = [
    "EnergyUse",
    "JarCostInput",
    "JarFee",
    "LabourUse",
    "MaterialUse",
    "NoJarsError",
    "OverheadUse",
    "Spread",
    "cost_of_jar",
]

ZERO = Decimal(0)
MINUTES_PER_HOUR = Decimal(60)


class NoJarsError(CostingError):
    """A batch without a good jar: its cost is a loss, not a cost per jar."""

    def __init__(self, jars: Decimal) -> None:
        self.jars = jars
        super().__init__(
            say(
                "{jars} jars cannot carry a cost: a batch without a good jar is a "
                "write-off, shown on its own line",
                jars=jars,
            )
        )


class Spread(StrEnum):
    """Whether a quantity is of the whole batch or of each jar."""

    BATCH = "batch"
    JAR = "jar"


def _refuse_below_nought(name: str, **figures: Decimal) -> None:
    for figure, value in figures.items():
        if value < 0:
            words = figure.replace("_", " ")
            raise CostingError(
                say(
                    "{name} has a {words} of {value}: enter nought or more",
                    name=name,
                    words=words,
                    value=value,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialUse:
    """One material a batch or a jar takes.

    Attributes:
        name: the material.
        part: ingredients or packaging.
        usable_quantity: grams or pieces as used, after trimming.
        unit: "g" or "pieces".
        unit_price: money per gram or piece as bought.
        edible_yield: share of the bought weight that is used, above 0 to 1.
        salvage_value: worth of what trimming leaves, taken off the batch's cost.
        spread: of the batch, or of each jar.
        sources: lots or purchases behind the price.
    """

    name: str
    usable_quantity: Decimal
    unit_price: Decimal
    part: Part = Part.INGREDIENTS
    unit: str = "g"
    edible_yield: Decimal = Decimal(1)
    salvage_value: Decimal = ZERO
    spread: Spread = Spread.BATCH
    sources: tuple[Source, ...] = ()

    def __post_init__(self) -> None:
        _refuse_below_nought(
            self.name,
            quantity=self.usable_quantity,
            price=self.unit_price,
            salvage_value=self.salvage_value,
        )
        if not 0 < self.edible_yield <= 1:
            raise CostingError(
                say(
                    "{name} has an edible yield of {edible_yield}: it lies above 0 and "
                    "is at most 1",
                    name=self.name,
                    edible_yield=self.edible_yield,
                )
            )

    @property
    def bought_quantity(self) -> Decimal:
        """What must be bought to have the usable quantity."""
        return self.usable_quantity / self.edible_yield


@dataclass(frozen=True, slots=True, kw_only=True)
class EnergyUse:
    """Minutes of a burner or the canner, for the whole batch."""

    name: str
    minutes: Decimal
    power_kw: Decimal
    price_per_kwh: Decimal
    sources: tuple[Source, ...] = ()

    def __post_init__(self) -> None:
        _refuse_below_nought(
            self.name,
            time=self.minutes,
            power=self.power_kw,
            tariff=self.price_per_kwh,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class LabourUse:
    """Hands-on minutes for the whole batch.

    Attributes:
        is_own_time: the seller's own hours; False for a helper who is paid.
    """

    name: str
    minutes: Decimal
    hourly_rate: Decimal
    is_own_time: bool = True
    sources: tuple[Source, ...] = ()

    def __post_init__(self) -> None:
        _refuse_below_nought(self.name, time=self.minutes, rate=self.hourly_rate)


@dataclass(frozen=True, slots=True, kw_only=True)
class OverheadUse:
    """A batch's share of a cost of the whole year.

    Attributes:
        yearly_cost: money a year.
        key: what the cost is spread by ("jars", "batches", "hands-on minutes").
        batch_amount: how much of the key this batch has.
        year_amount: how much of it the year has.
    """

    name: str
    yearly_cost: Decimal
    key: str
    batch_amount: Decimal
    year_amount: Decimal
    sources: tuple[Source, ...] = ()

    def __post_init__(self) -> None:
        _refuse_below_nought(
            self.name, yearly_cost=self.yearly_cost, share=self.batch_amount
        )
        if self.year_amount <= 0:
            raise CostingError(
                say(
                    "{name} is spread by {key}, of which the year has {year_amount}: "
                    "enter how many a year has",
                    name=self.name,
                    key=self.key,
                    year_amount=self.year_amount,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class JarFee:
    """Money that falls due with every jar made, wherever it is sold."""

    name: str
    amount: Decimal

    def __post_init__(self) -> None:
        _refuse_below_nought(self.name, fee=self.amount)


@dataclass(frozen=True, slots=True, kw_only=True)
class JarCostInput:
    """Everything the cost of a jar is made of.

    Attributes:
        jars: jars that carry the batch: expected ones, or the good ones.
        batch_share: part of the batch's shared costs these jars carry, when it
            also made something else; see ``production.costing.joint``.
    """

    jars: Decimal
    materials: tuple[MaterialUse, ...] = ()
    energy: tuple[EnergyUse, ...] = ()
    labour: tuple[LabourUse, ...] = ()
    overheads: tuple[OverheadUse, ...] = ()
    fees: tuple[JarFee, ...] = ()
    batch_share: Decimal = Decimal(1)

    def __post_init__(self) -> None:
        if self.jars <= 0:
            raise NoJarsError(self.jars)
        if not 0 < self.batch_share <= 1:
            raise CostingError(
                say(
                    "a share of {batch_share} of the batch cannot be costed: it lies "
                    "above 0 and is at most 1",
                    batch_share=self.batch_share,
                )
            )


def cost_of_jar(given: JarCostInput) -> JarCost:
    """Work out what one jar costs.

    Args:
        given: what the batch takes and how many jars carry it.

    Returns:
        The cost per jar, unrounded, with every line that adds to it.

    Source: usable weight and yield, after BC Cook Articulation Committee, Basic
    Kitchen and Food Service Management, "Yield Testing".
    """
    lines = (
        *(line for use in given.materials for line in _material_lines(use, given)),
        *(_energy_line(use, given) for use in given.energy),
        *(_labour_line(use, given) for use in given.labour),
        *(_overhead_line(use, given) for use in given.overheads),
        *(_fee_line(fee) for fee in given.fees),
    )
    return JarCost(lines=lines, jars=given.jars)


def _per_jar(given: JarCostInput) -> tuple[Factor, ...]:
    jars = Factor(name=say("jars"), value=given.jars, unit="jars", divides=True)
    if given.batch_share == 1:
        return (jars,)
    return (Factor(name=say("share of the batch"), value=given.batch_share), jars)


def _material_lines(use: MaterialUse, given: JarCostInput) -> list[Line]:
    factors = [
        Factor(name=say("usable quantity"), value=use.usable_quantity, unit=use.unit),
        Factor(
            name=say("price"),
            value=use.unit_price,
            unit=say("per {unit}", unit=say(use.unit)),
        ),
    ]
    if use.edible_yield != 1:
        factors.insert(
            1, Factor(name=say("edible yield"), value=use.edible_yield, divides=True)
        )
    is_shared = use.spread is Spread.BATCH
    per_jar = _per_jar(given) if is_shared else ()
    lines = [
        Line(
            part=use.part,
            name=use.name,
            factors=(*factors, *per_jar),
            sources=use.sources,
        )
    ]
    if use.salvage_value:
        saved = Factor(name=say("worth of what is left"), value=-use.salvage_value)
        lines.append(
            Line(
                part=use.part,
                name=say("{use}, what trimming leaves", use=use.name),
                factors=(saved, *per_jar),
            )
        )
    return lines


def _energy_line(use: EnergyUse, given: JarCostInput) -> Line:
    return Line(
        part=Part.ENERGY,
        name=use.name,
        factors=(
            Factor(name=say("time"), value=use.minutes, unit="min"),
            Factor(
                name=say("minutes an hour"),
                value=MINUTES_PER_HOUR,
                unit="min/h",
                divides=True,
            ),
            Factor(name=say("power"), value=use.power_kw, unit="kW"),
            Factor(name=say("tariff"), value=use.price_per_kwh, unit=say("per kWh")),
            *_per_jar(given),
        ),
        sources=use.sources,
    )


def _labour_line(use: LabourUse, given: JarCostInput) -> Line:
    return Line(
        part=Part.LABOUR,
        name=use.name,
        factors=(
            Factor(name=say("time"), value=use.minutes, unit="min"),
            Factor(
                name=say("minutes an hour"),
                value=MINUTES_PER_HOUR,
                unit="min/h",
                divides=True,
            ),
            Factor(name=say("rate"), value=use.hourly_rate, unit=say("per hour")),
            *_per_jar(given),
        ),
        sources=use.sources,
        is_own_time=use.is_own_time,
    )


def _overhead_line(use: OverheadUse, given: JarCostInput) -> Line:
    return Line(
        part=Part.OVERHEAD,
        name=use.name,
        factors=(
            Factor(name=say("cost of a year"), value=use.yearly_cost),
            Factor(
                name=say("{key} of this batch", key=use.key), value=use.batch_amount
            ),
            Factor(
                name=say("{key} of the year", key=use.key),
                value=use.year_amount,
                divides=True,
            ),
            *_per_jar(given),
        ),
        sources=use.sources,
    )


def _fee_line(fee: JarFee) -> Line:
    return Line(
        part=Part.FEES,
        name=fee.name,
        factors=(Factor(name=say("fee"), value=fee.amount, unit=say("per jar")),),
    )
