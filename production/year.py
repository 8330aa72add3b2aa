"""The year's figures: sales against the cap, cost of goods, the months.

Figures for the seller and their preparer, never tax advice. The line numbers are
those of Schedule C (Form 1040), Part III, "Cost of Goods Sold".

Sources: IRS Publication 334, chapter 6, lines 35 to 42 (2002 edition, read); line 33
from a small-business page on Schedule C (secondary) and from memory; line 34 from
memory; line 42 carried to Part I, line 4: Schedule C 2024.
"""

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from inventory.words import say

__all__ = [
    "CapProjection",
    "CapProjectionInput",
    "CostOfGoods",
    "FormLine",
    "SalesCap",
    "YearError",
    "project_cap",
]

ZERO = Decimal(0)
WARN_FRACTION = Decimal("0.8")


class YearError(ValueError):
    """A figure of the year that cannot be worked out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SalesCap:
    """What a place allows to be sold in a year, as it was read.

    Attributes:
        amount: money a year.
        currency: ISO 4217 code.
        place: the place whose law says so.
        citation: the law.
        read_on: day it was read.
        words: whether it may be reached, of what, in what period, by whom.
        notes: what else was found, to be asked about.
    """

    amount: Decimal
    currency: str
    place: str
    citation: str
    read_on: datetime.date
    words: str
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CapProjectionInput:
    """Sales of a year so far, against what the place allows.

    Attributes:
        sales: gross sales by day, refunds below nought, gifts left out.
        as_of: last day the sales are known for.
        cap: most that may be sold in the calendar year; None when there is none.
        last_year: last year's sales by day, if it was a whole year; the forecast
            then follows its seasons instead of a straight line.
    """

    sales: Mapping[datetime.date, Decimal]
    as_of: datetime.date
    cap: Decimal | None
    last_year: Mapping[datetime.date, Decimal] | None = None

    def __post_init__(self) -> None:
        if self.cap is not None and self.cap <= 0:
            raise YearError(
                say("a sales cap of {cap}: leave it empty if none holds", cap=self.cap)
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class CapProjection:
    """How far the year has come towards the cap, and when it would be reached.

    Attributes:
        sold: gross sales from 1 January to ``as_of``.
        rate_per_day: mean sales of a day so far.
        year_end_estimate: sales of the whole year if it goes on like this; an
            estimate, no more.
        reached_on: day the cap was or would be reached; None if not this year.
        follows_last_year: whether last year's seasons shaped the estimate.
    """

    given: CapProjectionInput
    sold: Decimal
    rate_per_day: Decimal
    year_end_estimate: Decimal
    reached_on: datetime.date | None
    follows_last_year: bool

    @property
    def fraction(self) -> Decimal | None:
        """Share of the cap already sold; None without a cap."""
        return self.sold / self.given.cap if self.given.cap else None

    @property
    def left(self) -> Decimal | None:
        """What may still be sold; below nought when the cap is passed."""
        return None if self.given.cap is None else self.given.cap - self.sold

    @property
    def days_left(self) -> int:
        """Days of the year still to come."""
        return (datetime.date(self.given.as_of.year, 12, 31) - self.given.as_of).days

    @property
    def last_year_so_far(self) -> Decimal:
        """Last year's sales up to the same day."""
        return _last_year_to_date(self.given)

    @property
    def last_year_after(self) -> Decimal:
        """Last year's sales after that day."""
        total = sum((self.given.last_year or {}).values(), ZERO)
        return total - self.last_year_so_far

    @property
    def is_near(self) -> bool:
        """Whether at least 80 % of the cap is sold."""
        return self.fraction is not None and self.fraction >= WARN_FRACTION

    @property
    def is_reached(self) -> bool:
        """Whether the cap is reached or passed."""
        return self.left is not None and self.left <= 0


def project_cap(given: CapProjectionInput) -> CapProjection:
    """Forecast the year's sales and the day the cap would be reached.

    Without last year's sales each coming day is taken to sell like the mean day so
    far. With them, each coming day is taken to sell what the same day did last
    year, times how this year compares with last year to date.
    """
    start = datetime.date(given.as_of.year, 1, 1)
    days = (given.as_of - start).days + 1
    this_year = {
        on: amount for on, amount in given.sales.items() if start <= on <= given.as_of
    }
    sold = sum(this_year.values(), ZERO)
    rate = sold / days
    ahead = _coming_days(given, sold=sold, rate=rate)
    return CapProjection(
        given=given,
        sold=sold,
        rate_per_day=rate,
        year_end_estimate=sold + sum(ahead.values(), ZERO),
        reached_on=_reached_on(given, this_year, ahead),
        follows_last_year=_last_year_to_date(given) > 0,
    )


def _same_day_last_year(on: datetime.date) -> datetime.date:
    day = 28 if (on.month, on.day) == (2, 29) else on.day
    return datetime.date(on.year - 1, on.month, day)


def _last_year_to_date(given: CapProjectionInput) -> Decimal:
    until = _same_day_last_year(given.as_of)
    return sum((a for on, a in (given.last_year or {}).items() if on <= until), ZERO)


def _coming_days(
    given: CapProjectionInput, *, sold: Decimal, rate: Decimal
) -> dict[datetime.date, Decimal]:
    """Estimated sales of each day still to come this year."""
    last_day = datetime.date(given.as_of.year, 12, 31)
    coming = [
        given.as_of + datetime.timedelta(days=n)
        for n in range(1, (last_day - given.as_of).days + 1)
    ]
    to_date = _last_year_to_date(given)
    if to_date <= 0 or given.last_year is None:
        return dict.fromkeys(coming, rate)
    growth = sold / to_date
    return {
        on: given.last_year.get(_same_day_last_year(on), ZERO) * growth for on in coming
    }


def _reached_on(
    given: CapProjectionInput,
    this_year: Mapping[datetime.date, Decimal],
    ahead: Mapping[datetime.date, Decimal],
) -> datetime.date | None:
    if given.cap is None:
        return None
    running = ZERO
    for on, amount in [*sorted(this_year.items()), *sorted(ahead.items())]:
        running += amount
        if running >= given.cap:
            return on
    return None


@dataclass(frozen=True, slots=True, kw_only=True)
class FormLine:
    """One line of the form: its number, what it asks for, the figure."""

    number: str
    text: str
    amount: Decimal | None = None
    answer: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CostOfGoods:
    """What the goods sold in a year cost, line by line.

    Attributes:
        method: how closing stock is valued, in words.
        method_changed: whether anything about counting or valuing changed since
            the opening.
        opening_cost: stock at the beginning of the year: last year's closing.
        purchases_cost: goods bought to make what is sold.
        own_use_cost: what was taken out for the household, at cost.
        labour_cost: paid to others; the owner's own time never counts.
        supplies_cost: materials and supplies (jars, lids, labels).
        other_cost: other costs that belong to the goods.
        closing_cost: stock at the end of the year.
    """

    method: str
    method_changed: bool
    opening_cost: Decimal
    purchases_cost: Decimal
    own_use_cost: Decimal
    labour_cost: Decimal
    supplies_cost: Decimal
    other_cost: Decimal
    closing_cost: Decimal

    @property
    def net_purchases_cost(self) -> Decimal:
        """Line 36: purchases less what was taken out for own use."""
        return self.purchases_cost - self.own_use_cost

    @property
    def available_cost(self) -> Decimal:
        """Line 40: lines 35 to 39 together."""
        return (
            self.opening_cost
            + self.net_purchases_cost
            + self.labour_cost
            + self.supplies_cost
            + self.other_cost
        )

    @property
    def cost_of_goods_sold(self) -> Decimal:
        """Line 42: line 40 less line 41."""
        return self.available_cost - self.closing_cost

    def lines(self) -> tuple[FormLine, ...]:
        """The lines in the form's order."""
        return (
            FormLine(
                number="33",
                text=say("Method used to value closing inventory"),
                answer=self.method,
            ),
            FormLine(
                number="34",
                text=say(
                    "Any change in quantities, costs or valuations since the opening"
                ),
                answer="yes" if self.method_changed else "no",
            ),
            FormLine(
                number="35",
                text=say("Inventory at the beginning of the year"),
                amount=self.opening_cost,
            ),
            FormLine(
                number="36",
                text=say("Purchases less cost of items withdrawn for personal use"),
                amount=self.net_purchases_cost,
            ),
            FormLine(
                number="37",
                text=say("Cost of labor, without amounts paid to yourself"),
                amount=self.labour_cost,
            ),
            FormLine(
                number="38",
                text=say("Materials and supplies"),
                amount=self.supplies_cost,
            ),
            FormLine(number="39", text=say("Other costs"), amount=self.other_cost),
            FormLine(
                number="40", text=say("Add lines 35 to 39"), amount=self.available_cost
            ),
            FormLine(
                number="41",
                text=say("Inventory at the end of the year"),
                amount=self.closing_cost,
            ),
            FormLine(
                number="42",
                text=say(
                    "Cost of goods sold, line 40 less line 41 (to Part I, line 4)"
                ),
                amount=self.cost_of_goods_sold,
            ),
        )
