"""The ledger of a year: as it stood when the year began and as it stands at its end.

Read once, valued at both ends by the method chosen for the year.
"""

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from inventory.models import ValuationYear
from inventory.valuation import Method, Valuation
from production.models import Expense
from production.selectors.stock_value import Ledger, PotTimes, pot_times, read_ledger

__all__ = [
    "IN_BATCHES",
    "Choices",
    "YearLedger",
    "in_pots_cost",
    "read_choices",
    "read_year",
]

ZERO = Decimal(0)
IN_BATCHES = "in_batches"


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """What was chosen for each year: the method, the opening value, the way driven."""

    years: Mapping[int, ValuationYear]

    def of(self, year: int) -> ValuationYear | None:
        """What was chosen for a year itself."""
        return self.years.get(year)

    def method(self, year: int) -> Method:
        """How a year's stock is valued: as chosen, else as the last year that chose."""
        chosen = [number for number in self.years if number <= year]
        return Method(self.years[max(chosen)].method) if chosen else Method.FIFO


def read_choices() -> Choices:
    """Read what was chosen for every year."""
    return Choices(years={row.year: row for row in ValuationYear.objects.all()})


def in_pots_cost(value: Valuation, pots: PotTimes, *, on: datetime.date) -> Decimal:
    """Cost of what is in the pot at the end of a day."""
    cooking = pots.cooking(on=on)
    return sum((v for key, v in value.in_work.items() if key in cooking), ZERO)


def _lost_in_batches(value: Valuation, pots: PotTimes, on: datetime.date) -> Decimal:
    return sum(value.in_work.values(), ZERO) - in_pots_cost(value, pots, on=on)


@dataclass(frozen=True, slots=True, kw_only=True)
class YearLedger:
    """The ledger as it stood when a year began and as it stands at its end.

    Attributes:
        before: valued at the end of the year before.
        after: valued at ``as_of``.
        as_of: last day taken in.
        expenses: money paid out in the year that is no purchase of stock.
    """

    year: int
    as_of: datetime.date
    ledger: Ledger
    pots: PotTimes
    choices: Choices
    before: Valuation
    after: Valuation
    expenses: tuple[Expense, ...]

    @property
    def eve(self) -> datetime.date:
        """The day before the year began, whose closing is its opening."""
        return datetime.date(self.year - 1, 12, 31)

    @property
    def method(self) -> Method:
        """How the year's stock is valued."""
        return self.choices.method(self.year)

    @property
    def in_pots_cost(self) -> Decimal:
        """Cost of what is in the pot at the end."""
        return in_pots_cost(self.after, self.pots, on=self.as_of)

    def opening(self) -> tuple[Decimal, Decimal]:
        """What the year opens with, and what it would by its own method.

        It opens as entered, else with last year's closing by last year's method.
        """
        began = self.before.on_hand_cost
        began += in_pots_cost(self.before, self.pots, on=self.eve)
        chosen, last = self.choices.of(self.year), self.choices.method(self.year - 1)
        if chosen is not None and chosen.opening_value is not None:
            return chosen.opening_value, began
        if last is self.method:
            return began, began
        closed = self.ledger.value(method=last, until=self.eve)
        in_pots = in_pots_cost(closed, self.pots, on=self.eve)
        return closed.on_hand_cost + in_pots, began

    def left(self) -> dict[str, Decimal]:
        """What left for good in the year by reason, unrounded."""
        then, now = (value.left_cost_by_reason() for value in (self.before, self.after))
        left = {key: now[key] - then.get(key, ZERO) for key in now}
        left[IN_BATCHES] = _lost_in_batches(
            self.after, self.pots, self.as_of
        ) - _lost_in_batches(self.before, self.pots, self.eve)
        return {key: amount for key, amount in left.items() if amount != 0}


def read_year(year: int, *, as_of: datetime.date) -> YearLedger:
    """Read the ledger of a year, its choices and its expenses.

    Raises:
        ValuationError: the ledger cannot be valued; its sentence says where.
    """
    choices, ledger = read_choices(), read_ledger(until=as_of)
    method, first = choices.method(year), datetime.date(year, 1, 1)
    eve = first - datetime.timedelta(days=1)
    return YearLedger(
        year=year,
        as_of=as_of,
        ledger=ledger,
        pots=pot_times(),
        choices=choices,
        before=ledger.value(method=method, until=eve),
        after=ledger.value(method=method, until=as_of),
        expenses=tuple(Expense.objects.filter(on__gte=first, on__lte=as_of)),
    )
