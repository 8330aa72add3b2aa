"""Costs of a year, and of things that last several, brought down to a jar.

The quotient stays unrounded on its way down: rounding every line first moves the
total (a published example shows 0.26 a jar where 0.2546 is true).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from inventory.words import say, to_say
from production.costing.breakdown import CostingError

__all__ = ["OverheadItem", "OverheadKey", "yearly_overhead"]

ZERO = Decimal(0)


class OverheadKey(StrEnum):
    """What a cost of the year is spread by."""

    JARS = to_say("jars")
    BATCHES = to_say("batches")
    MINUTES = to_say("minutes")
    TAKINGS = to_say("takings")


@dataclass(frozen=True, slots=True, kw_only=True)
class OverheadItem:
    """A cost that belongs to no single jar.

    Attributes:
        name: insurance, permit, a canner.
        amount: what was paid for it.
        years: how many years it serves, 1 for what is paid every year.
        product_lines: over how many product lines it is spread first.
        key: what it is spread by.
    """

    name: str
    amount: Decimal
    years: Decimal = Decimal(1)
    product_lines: int = 1
    key: OverheadKey = OverheadKey.JARS

    def __post_init__(self) -> None:
        if self.amount < 0 or self.years <= 0 or self.product_lines < 1:
            raise CostingError(
                say(
                    "{name} needs an amount of nought or more, years above nought and "
                    "at least one product line",
                    name=self.name,
                )
            )

    @property
    def yearly_cost(self) -> Decimal:
        """Cost of one year, unrounded."""
        return self.amount / self.years

    @property
    def yearly_cost_per_line(self) -> Decimal:
        """Cost of one year for one product line, unrounded."""
        return self.yearly_cost / self.product_lines

    def cost_per(self, year_amount: Decimal) -> Decimal:
        """Cost per jar, batch, minute or coin of takings, unrounded."""
        if year_amount <= 0:
            raise CostingError(
                say(
                    "{name} is spread by {key}, of which the year has {year_amount}: "
                    "enter how many a year has",
                    name=self.name,
                    key=self.key,
                    year_amount=year_amount,
                )
            )
        return self.yearly_cost_per_line / year_amount


def yearly_overhead(items: Sequence[OverheadItem]) -> Decimal:
    """Cost of one year of all of them, unrounded."""
    return sum((item.yearly_cost for item in items), ZERO)
