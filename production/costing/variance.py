"""Why a batch's jars cost more or less than they should: four reasons that add up.

The difference per jar is taken apart in a fixed order: the amounts used, the prices
paid, the jars filled, the seals that failed. Each step changes one thing and keeps
the rest, so the parts sum to the whole difference by construction. What belongs to
each jar (its glass, its lid) does not change with the number of jars filled.

The order is a stated convention: amounts are judged at standard prices, prices at
the amounts used, as in common cost-accounting practice.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from inventory.words import say, to_say
from production.costing.breakdown import CostingError, Part, round_together
from production.costing.jar import NoJarsError, Spread

__all__ = ["ComparedLine", "Comparison", "Jars", "LineDifference", "compare"]

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Jars:
    """How many jars: the recipe's, those filled, and those that sealed."""

    expected: Decimal
    filled: Decimal
    good: Decimal

    def __post_init__(self) -> None:
        if self.good <= 0 or self.expected <= 0:
            raise NoJarsError(min(self.good, self.expected))
        if self.good > self.filled:
            raise CostingError(
                say(
                    "{good} good jars are more than the {filled} filled: check the "
                    "seal check",
                    good=self.good,
                    filled=self.filled,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedLine:
    """One thing the batch took, as it should be and as it was.

    Attributes:
        standard_quantity: of the batch as the recipe has it; of one jar when the
            line is spread over jars.
        standard_price: money per unit of it.
        actual_quantity: of the whole batch, always.
        actual_price: money per unit paid.
    """

    part: Part
    name: str
    standard_quantity: Decimal
    standard_price: Decimal
    actual_quantity: Decimal
    actual_price: Decimal
    spread: Spread = Spread.BATCH


@dataclass(frozen=True, slots=True, kw_only=True)
class LineDifference:
    """What one line adds to the difference per jar, by reason, unrounded."""

    line: ComparedLine
    standard_cost: Decimal
    amount: Decimal
    price: Decimal
    jars_filled: Decimal
    failed_seals: Decimal

    @property
    def actual_cost(self) -> Decimal:
        """Cost per good jar as it was."""
        return self.standard_cost + self.difference

    @property
    def difference(self) -> Decimal:
        """All four reasons together."""
        return self.amount + self.price + self.jars_filled + self.failed_seals


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Standard and actual cost of a jar, and what lies between them."""

    jars: Jars
    lines: tuple[LineDifference, ...]

    @property
    def standard_cost(self) -> Decimal:
        """Cost per jar as it should be, unrounded."""
        return sum((line.standard_cost for line in self.lines), ZERO)

    @property
    def actual_cost(self) -> Decimal:
        """Cost per good jar as it was, unrounded."""
        return sum((line.actual_cost for line in self.lines), ZERO)

    @property
    def difference(self) -> Decimal:
        """Actual less standard, unrounded."""
        return sum((line.difference for line in self.lines), ZERO)

    def by_reason(self) -> dict[str, Decimal]:
        """The difference per jar by reason, unrounded."""
        return {
            to_say("amount used"): sum((line.amount for line in self.lines), ZERO),
            to_say("price"): sum((line.price for line in self.lines), ZERO),
            to_say("jars filled"): sum((line.jars_filled for line in self.lines), ZERO),
            to_say("failed seals"): sum(
                (line.failed_seals for line in self.lines), ZERO
            ),
        }

    def shown_by_reason(self, *, currency: str = "USD") -> dict[str, Decimal]:
        """The difference by reason, rounded so that the parts add to the whole."""
        reasons = self.by_reason()
        shown = round_together(list(reasons.values()), currency=currency)
        return dict(zip(reasons, shown, strict=True))

    def by_part(self) -> dict[Part, Decimal]:
        """The difference per jar by part of the cost, unrounded."""
        sums: dict[Part, Decimal] = {}
        for line in self.lines:
            part = line.line.part
            sums[part] = sums.get(part, ZERO) + line.difference
        return sums


def compare(lines: Sequence[ComparedLine], *, jars: Jars) -> Comparison:
    """Explain the difference between the standard and the actual cost of a jar.

    Args:
        lines: everything either of them counts.
        jars: expected, filled and good jars of the batch.

    Returns:
        The difference per good jar by line and by reason.
    """
    return Comparison(jars=jars, lines=tuple(_difference(line, jars) for line in lines))


def _difference(line: ComparedLine, jars: Jars) -> LineDifference:
    carried_by = jars.expected if line.spread is Spread.BATCH else Decimal(1)
    used = line.actual_quantity
    if line.spread is Spread.JAR:
        used = line.actual_quantity / jars.filled
    at_standard = line.standard_quantity * line.standard_price / carried_by
    at_amount = used * line.standard_price / carried_by
    at_price = used * line.actual_price / carried_by
    spent = line.actual_quantity * line.actual_price
    at_filled = spent / jars.filled
    at_good = spent / jars.good
    return LineDifference(
        line=line,
        standard_cost=at_standard,
        amount=at_amount - at_standard,
        price=at_price - at_amount,
        jars_filled=at_filled - at_price,
        failed_seals=at_good - at_filled,
    )
