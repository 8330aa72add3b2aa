"""A year of the book: stock, sales, purchases, what left and why, the cap.

Everything is read from the ledger twice: as it stood when the year began and as it
stands at its end. What lies between is the year, so the cost of goods always agrees
with the ledger to the cent.
"""

import datetime
from collections import defaultdict
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.conf import settings
from django.db.models import F, QuerySet, Sum
from django.db.models.functions import TruncMonth
from django.utils.module_loading import import_string

from inventory.models import (
    Business,
    ConsignmentVisit,
    MarketDay,
    Movement,
    ValuationYear,
)
from inventory.money import round_money
from inventory.valuation import Method, Valuation
from inventory.words import say
from production.margins import OutletRecord
from production.models import Expense
from production.selectors.cost_of_goods import (
    REASON_WORDS,
    ItemNames,
    LedgerCheck,
    StockLine,
    cost_of_goods,
    in_pots_cost,
    method_of,
    stock_lines,
)
from production.selectors.outlet_margins import outlet_records
from production.selectors.stock_value import value_stock
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
        stock: what is on hand at ``as_of``.
        cap: what the place allows, where that is known.
    """

    year: int
    as_of: datetime.date
    business: Business
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
    eve = first - datetime.timedelta(days=1)
    business, method = Business.current(), method_of(year)
    before = value_stock(method=method, until=eve)
    after = value_stock(method=method, until=as_of)
    names = ItemNames.read()
    goods, check = cost_of_goods(
        year=year,
        before=before,
        after=after,
        as_of=as_of,
        names=names,
        business=business,
    )
    cap = _cap(business, as_of)
    return YearBooks(
        year=year,
        as_of=as_of,
        business=business,
        method=method,
        goods=goods,
        check=check,
        stock=stock_lines(after, names, business),
        in_pots_cost=round_money(
            in_pots_cost(after, as_of), currency=business.currency
        ),
        months=_months(first, as_of, after, names),
        outlets=tuple(outlet_records(first=first, last=as_of, business=business)),
        expenses=tuple(Expense.objects.filter(on__gte=first, on__lte=as_of)),
        write_offs=_write_offs(after, first, names, business),
        cap=cap,
        projection=_projection(as_of, cap),
        distance_km=_distance(year, first, as_of),
        market_days=_market_days(first, as_of).count(),
        visits=ConsignmentVisit.objects.filter(on__gte=first, on__lte=as_of).count(),
    )


def _months(
    first: datetime.date, as_of: datetime.date, value: Valuation, names: ItemNames
) -> tuple[MonthLine, ...]:
    sums: defaultdict[datetime.date, defaultdict[str, Decimal]] = defaultdict(
        lambda: defaultdict(lambda: ZERO)
    )
    for row in _sales_rows(first, as_of):
        sums[row["month"]]["sales"] -= row["sales"] or ZERO
        sums[row["month"]]["jars_sold"] -= row["jars"] or ZERO
        sums[row["month"]]["sales_tax"] += row["tax"] or ZERO
    for expense in Expense.objects.filter(on__gte=first, on__lte=as_of):
        sums[expense.on.replace(day=1)]["expenses"] += expense.amount
    for entry in value.entries:
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


def _sales_rows(first: datetime.date, last: datetime.date) -> list[dict[str, Any]]:
    rows = (
        Movement.objects.filter(
            reason__in=[Reason.SOLD, Reason.RETURNED],
            unit_price__isnull=False,
            on__gte=first,
            on__lte=last,
        )
        .order_by()
        .annotate(month=TruncMonth("on"))
        .values("month")
        .annotate(
            sales=Sum(F("quantity") * F("unit_price")),
            jars=Sum("quantity"),
            tax=Sum("sales_tax"),
        )
    )
    return [dict(row) for row in rows]


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


def _projection(as_of: datetime.date, cap: SalesCap | None) -> CapProjection:
    first = datetime.date(as_of.year, 1, 1)
    before = datetime.date(as_of.year - 1, 1, 1)
    sales = _daily_sales(before, as_of)
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


def _market_days(first: datetime.date, last: datetime.date) -> QuerySet[MarketDay]:
    return MarketDay.objects.counted(on=last).filter(on__gte=first)


def _distance(year: int, first: datetime.date, last: datetime.date) -> Decimal:
    """Kilometres driven: as entered for the year, else of days and visits."""
    chosen = ValuationYear.objects.filter(year=year, mileage_km__isnull=False).first()
    if chosen is not None and chosen.mileage_km is not None:
        return chosen.mileage_km
    days = _market_days(first, last).aggregate(km=Sum("distance_km"))["km"] or ZERO
    visits = ConsignmentVisit.objects.filter(on__gte=first, on__lte=last)
    return days + (visits.aggregate(km=Sum("outlet__distance_km"))["km"] or ZERO)
