"""A year of the book: stock, sales, purchases, what left and why, the cap.

Everything is read from the ledger twice: as it stood when the year began and as it
stands at its end. What lies between is the year, so the cost of goods always agrees
with the ledger to the cent.
"""

import datetime
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from django.conf import settings
from django.db.models import F, Sum
from django.utils.module_loading import import_string

from inventory.models import Business, Movement, Outlet
from inventory.money import round_money
from inventory.valuation import Method, Valuation
from inventory.words import say
from production.margins import OutletRecord
from production.models import Expense
from production.selectors.attendance import Attendance, read_attendance
from production.selectors.cost_of_goods import (
    REASON_WORDS,
    ItemNames,
    LedgerCheck,
    StockLine,
    cost_of_goods,
    stock_lines,
)
from production.selectors.outlet_records import outlet_records
from production.selectors.stock_value import LedgerRow
from production.selectors.year_ledger import Choices, YearLedger, read_year
from production.year import (
    CapProjection,
    CapProjectionInput,
    CostOfGoods,
    SalesCap,
    project_cap,
)

__all__ = [
    "LedgerCheck",
    "MonthLine",
    "StockLine",
    "YearBooks",
    "cap_of_place",
    "gross_sales",
    "year_books",
]

ZERO = Decimal(0)
Reason = Movement.Reason


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthLine:
    """One month: what came in, what was spent, what left unsold, at cost."""

    month: datetime.date
    sales: Decimal = ZERO
    sales_tax: Decimal = ZERO
    jars_sold: Decimal = ZERO
    purchases: Decimal = ZERO
    supplies: Decimal = ZERO
    expenses: Decimal = ZERO
    written_off: Decimal = ZERO


@dataclass(frozen=True, slots=True, kw_only=True)
class YearBooks:
    """Everything the year page, the workbook and the command show.

    Attributes:
        as_of: last day taken in: 31 December, or today in the running year.
        choices: what was chosen for this year and others.
        stock: what is on hand at ``as_of``.
        cap: what the place allows, where that is known.
    """

    year: int
    as_of: datetime.date
    business: Business
    choices: Choices
    method: Method
    goods: CostOfGoods
    check: LedgerCheck
    stock: tuple[StockLine, ...]
    in_pots_cost: Decimal
    months: tuple[MonthLine, ...]
    outlets: tuple[OutletRecord, ...]
    expenses: tuple[Expense, ...]
    write_offs: tuple["WriteOff", ...]
    cap: SalesCap | None
    projection: CapProjection
    distance_km: Decimal
    market_days: int
    visits: int

    @property
    def eve(self) -> datetime.date:
        """The day before the year began, whose closing is its opening."""
        return datetime.date(self.year - 1, 12, 31)

    @property
    def gross_sales(self) -> Decimal:
        """Sales of the year less refunds, without sales tax."""
        return sum((month.sales for month in self.months), ZERO)

    @property
    def sales_tax(self) -> Decimal:
        """Sales tax taken, kept apart from the sales."""
        return sum((month.sales_tax for month in self.months), ZERO)

    @property
    def gross_profit(self) -> Decimal:
        """Sales less the cost of goods sold."""
        return self.gross_sales - self.goods.cost_of_goods_sold


@dataclass(frozen=True, slots=True, kw_only=True)
class WriteOff:
    """Jars or material that left unsold, at cost."""

    on: datetime.date
    reason: str
    name: str
    lot: str
    quantity: Decimal
    unit: str
    cost: Decimal


def year_books(year: int, *, today: datetime.date) -> YearBooks:
    """Read a year of the book.

    Args:
        year: calendar year.
        today: the running year ends here.

    Raises:
        ValuationError: the ledger cannot be valued; its sentence says where.
    """
    first, last = datetime.date(year, 1, 1), datetime.date(year, 12, 31)
    as_of = min(last, max(today, first))
    business, ledger = Business.current(), read_year(year, as_of=as_of)
    names = ItemNames.of(ledger.ledger, currency=business.currency)
    goods, check = cost_of_goods(ledger, names)
    cap, attended = _cap(business, as_of), read_attendance(first=first, last=as_of)
    outlets = list(Outlet.objects.all())
    return YearBooks(
        year=year,
        as_of=as_of,
        business=business,
        choices=ledger.choices,
        method=ledger.method,
        goods=goods,
        check=check,
        stock=stock_lines(ledger.after, names),
        in_pots_cost=round_money(ledger.in_pots_cost, currency=business.currency),
        months=_months(ledger, names),
        outlets=tuple(
            outlet_records(
                ledger.ledger.between(first, as_of),
                costs=ledger.ledger.lots,
                outlets=outlets,
                attended=attended,
                business=business,
            )
        ),
        expenses=ledger.expenses,
        write_offs=_write_offs(ledger.after, first, names, business),
        cap=cap,
        projection=_projection(ledger.ledger.rows, as_of, cap),
        distance_km=_distance(ledger, attended, outlets),
        market_days=attended.market_days,
        visits=sum(attended.visits.values()),
    )


def _months(ledger: YearLedger, names: ItemNames) -> tuple[MonthLine, ...]:
    sums: defaultdict[datetime.date, defaultdict[str, Decimal]] = defaultdict(
        lambda: defaultdict(lambda: ZERO)
    )
    first, as_of = ledger.eve + datetime.timedelta(days=1), ledger.as_of
    for row in _sales(ledger.ledger.between(first, as_of)):
        month = sums[row.on.replace(day=1)]
        month["sales"] -= row.quantity * (row.unit_price or ZERO)
        month["jars_sold"] -= row.quantity
        month["sales_tax"] += row.sales_tax
    for expense in ledger.expenses:
        sums[expense.on.replace(day=1)]["expenses"] += expense.amount
    for entry in ledger.after.entries:
        on = entry.movement.on
        if on is None or on < first:
            continue
        column = _month_column(entry.movement.reason, entry.movement.cost)
        if column == "purchases" and names.is_packaging(entry.movement.item):
            column = "supplies"
        if column:
            sign = 1 if entry.movement.quantity < 0 or column != "written_off" else -1
            sums[on.replace(day=1)][column] += sign * entry.cost
    months = [first.replace(month=number) for number in range(1, as_of.month + 1)]
    return tuple(
        MonthLine(
            month=month,
            **{
                column: round(amount, 3)
                if column == "jars_sold"
                else round_money(amount, currency=names.currency)
                for column, amount in sums[month].items()
            },
        )
        for month in months
    )


def _sales(rows: Iterable[LedgerRow]) -> list[LedgerRow]:
    """Jars sold for money, and those taken back for it."""
    return [
        row
        for row in rows
        if row.reason in {Reason.SOLD, Reason.RETURNED} and row.unit_price is not None
    ]


def _month_column(reason: str, cost: Decimal | None) -> str:
    if reason == Reason.RECEIVED and cost is not None:
        return "purchases"
    if reason in WRITTEN_OFF:
        return "written_off"
    return ""


WRITTEN_OFF = {
    Reason.SAMPLED,
    Reason.GIVEN,
    Reason.OWN_USE,
    Reason.BROKEN,
    Reason.SEAL,
    Reason.SPOILED,
    Reason.EXPIRED,
    Reason.REJECTED,
    Reason.MISSING,
    Reason.RECALLED,
    Reason.TRIMMED,
    Reason.COUNTED,
}


def _write_offs(
    value: Valuation, first: datetime.date, names: ItemNames, business: Business
) -> tuple[WriteOff, ...]:
    found = []
    for entry in value.entries:
        step = entry.movement
        if step.reason not in WRITTEN_OFF or step.on is None or step.on < first:
            continue
        line = names.line(step.item, -step.quantity, entry.cost)
        sign = 1 if step.quantity < 0 else -1
        found.append(
            WriteOff(
                on=step.on,
                reason=say(str(REASON_WORDS[step.reason])),
                name=line.name,
                lot=names.lots[int(step.lot)].code,
                quantity=line.quantity,
                unit=line.unit,
                cost=round_money(sign * entry.cost, currency=business.currency),
            )
        )
    return tuple(found)


def _cap(business: Business, on: datetime.date) -> SalesCap | None:
    source = getattr(settings, "SALES_CAP_SOURCE", "")
    if not source or not business.place_code:
        return None
    cap: SalesCap | None = import_string(source)(business.place_code, on=on)
    return cap


def cap_of_place(*, on: datetime.date) -> Decimal | None:
    """The yearly sales cap of the seller's place, money; None where none is known."""
    cap = _cap(Business.current(), on)
    return cap.amount if cap else None


def gross_sales(first: datetime.date, before: datetime.date) -> Decimal:
    """Gross sales from a day up to the day before another, money without tax."""
    sales = _daily_sales(first, before - datetime.timedelta(days=1))
    return sum(sales.values(), Decimal(0))


def _projection(
    rows: Iterable[LedgerRow], as_of: datetime.date, cap: SalesCap | None
) -> CapProjection:
    first = datetime.date(as_of.year, 1, 1)
    sales: defaultdict[datetime.date, Decimal] = defaultdict(lambda: ZERO)
    for row in _sales(rows):
        if row.on.year >= as_of.year - 1:
            sales[row.on] -= row.quantity * (row.unit_price or ZERO)
    last_year = {on: amount for on, amount in sales.items() if on < first}
    began = min(last_year, default=first)
    has_whole_year = began.year < as_of.year and began.month <= 3
    return project_cap(
        CapProjectionInput(
            sales={on: amount for on, amount in sales.items() if on >= first},
            as_of=as_of,
            cap=cap.amount if cap else None,
            last_year=last_year if has_whole_year else None,
        )
    )


def _daily_sales(
    first: datetime.date, last: datetime.date
) -> dict[datetime.date, Decimal]:
    rows = (
        Movement.objects.filter(
            reason__in=[Reason.SOLD, Reason.RETURNED],
            unit_price__isnull=False,
            on__gte=first,
            on__lte=last,
        )
        .order_by()
        .values_list("on")
        .annotate(sales=Sum(F("quantity") * F("unit_price")))
    )
    return {on: -sales for on, sales in rows}


def _distance(
    ledger: YearLedger, attended: Attendance, outlets: Iterable[Outlet]
) -> Decimal:
    """Kilometres driven: as entered for the year, else of days and visits."""
    chosen = ledger.choices.of(ledger.year)
    if chosen is not None and chosen.mileage_km is not None:
        return chosen.mileage_km
    return sum((attended.of(outlet).distance_km for outlet in outlets), ZERO)
