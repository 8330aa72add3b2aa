"""The cost of a jar as a sum that can be opened: parts, lines, factors, sources.

Every line is a product of named factors and is worth exactly what they come to, so
a page can show the working of any figure. Nothing is rounded before it is shown;
what is shown is rounded together, so that the lines add to the total to the cent.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import ROUND_FLOOR, Decimal
from enum import StrEnum

from inventory.money import round_money, smallest_coin
from inventory.words import say, to_say

__all__ = [
    "CostingError",
    "Factor",
    "JarCost",
    "Line",
    "Part",
    "ShownLine",
    "Source",
    "round_together",
]

ZERO = Decimal(0)


class CostingError(ValueError):
    """A cost that cannot be worked out."""


class Part(StrEnum):
    """What a part of the cost is for, in the order pages show it."""

    INGREDIENTS = to_say("ingredients")
    PACKAGING = to_say("packaging")
    ENERGY = to_say("energy")
    LABOUR = to_say("labour")
    OVERHEAD = to_say("overhead")
    FEES = to_say("fees")

    @property
    def is_stock(self) -> bool:
        """Whether the cost stands in the books as part of the stock's value."""
        return self in {Part.INGREDIENTS, Part.PACKAGING}


@dataclass(frozen=True, slots=True, kw_only=True)
class Factor:
    """One number of a line's working.

    Attributes:
        name: what it is ("usable weight", "price").
        value: the number.
        unit: its unit ("g", "per kWh"); empty for a plain ratio.
        divides: whether the line is divided by it.
    """

    name: str
    value: Decimal
    unit: str = ""
    divides: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Where a line's figures come from: a lot, a purchase, a recorded minute.

    Attributes:
        text: as shown ("lot 24-07, 3.2 kg").
        key: what it is, for the page to link to ("lot:24-07").
        quantity: g, pieces or minutes it gave.
        unit_cost: money per unit.
        unit: unit of the quantity.
        parts: what it was itself made of.
    """

    text: str
    key: str = ""
    quantity: Decimal = ZERO
    unit_cost: Decimal = ZERO
    unit: str = ""
    parts: tuple["Source", ...] = ()

    @property
    def cost(self) -> Decimal:
        """What this source adds to the batch, unrounded."""
        return self.quantity * self.unit_cost


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of a jar's cost.

    Attributes:
        part: the part it belongs to.
        name: the material, step or fee.
        factors: what is multiplied and divided to give it.
        sources: what the figures were taken from.
        is_own_time: whether it is the seller's own time, which no book counts.
    """

    part: Part
    name: str
    factors: tuple[Factor, ...]
    sources: tuple[Source, ...] = ()
    is_own_time: bool = False

    def __post_init__(self) -> None:
        for factor in self.factors:
            if factor.divides and factor.value == 0:
                raise CostingError(
                    say(
                        "{name} cannot be shared by a {factor} of nought",
                        name=self.name,
                        factor=factor.name,
                    )
                )

    @property
    def cost(self) -> Decimal:
        """Cost per jar, unrounded."""
        above = below = Decimal(1)
        for factor in self.factors:
            if factor.divides:
                below *= factor.value
            else:
                above *= factor.value
        return above / below


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownLine:
    """A line with the figure a page prints for it."""

    line: Line
    shown_cost: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class JarCost:
    """What one jar costs, with the lines that add up to it.

    Attributes:
        lines: in the order of the recipe; pages group them by part.
        jars: how many jars carry the batch.
    """

    lines: tuple[Line, ...]
    jars: Decimal

    @property
    def total_cost(self) -> Decimal:
        """Cost per jar with my time, unrounded."""
        return _sum(line.cost for line in self.lines)

    @property
    def cost_without_my_time(self) -> Decimal:
        """Cost per jar less the seller's own hours, unrounded."""
        return _sum(line.cost for line in self.lines if not line.is_own_time)

    @property
    def my_time_cost(self) -> Decimal:
        """Cost per jar of the seller's own hours, unrounded."""
        return _sum(line.cost for line in self.lines if line.is_own_time)

    @property
    def cost_for_the_books(self) -> Decimal:
        """What the jar stands at in the stock: ingredients and packaging only.

        The owner's time is never part of it; energy, insurance and the rest are
        expenses of the year, not of the stock.
        Source: IRS Publication 334 (2002), chapter 6, lines 37 to 39.
        """
        return _sum(line.cost for line in self.lines if line.part.is_stock)

    def cost_by_part(self) -> dict[Part, Decimal]:
        """Cost per jar of each part, unrounded, in the order of ``Part``."""
        return {
            part: _sum(line.cost for line in self.lines if line.part is part)
            for part in Part
            if any(line.part is part for line in self.lines)
        }

    def shown_lines(self, *, currency: str = "USD") -> tuple[ShownLine, ...]:
        """Lines grouped by part, rounded so that they add to the rounded total."""
        order = list(Part)
        lines = sorted(self.lines, key=lambda line: order.index(line.part))
        shown = round_together([line.cost for line in lines], currency=currency)
        return tuple(
            ShownLine(line=line, shown_cost=cost)
            for line, cost in zip(lines, shown, strict=True)
        )

    def shown_parts(self, *, currency: str = "USD") -> dict[Part, Decimal]:
        """Rounded cost of each part: the sum of its shown lines."""
        sums: dict[Part, Decimal] = {}
        for shown in self.shown_lines(currency=currency):
            sums[shown.line.part] = sums.get(shown.line.part, ZERO) + shown.shown_cost
        return sums


def _sum(amounts: Iterable[Decimal]) -> Decimal:
    return sum(amounts, ZERO)


def round_together(
    amounts: Sequence[Decimal], *, currency: str = "USD"
) -> list[Decimal]:
    """Round amounts so that they add to their rounded sum, none off by a whole coin.

    Each goes down to the coin below; the coins still missing go to the largest
    remainders, the earlier first. Unlike an allocation it takes either sign.

    Args:
        amounts: unrounded, in money.
        currency: ISO 4217 code.

    Returns:
        As many amounts, whose sum is the half-up rounded sum of the given ones.
    """
    coin = smallest_coin(currency)
    total = round_money(_sum(amounts), currency=currency)
    low = [(a / coin).to_integral_value(ROUND_FLOOR) * coin for a in amounts]
    missing = int((total - _sum(low)) / coin)
    by_remainder = sorted(range(len(amounts)), key=lambda i: low[i] - amounts[i])
    raised = set(by_remainder[:missing])
    return [value + coin if i in raised else value for i, value in enumerate(low)]
