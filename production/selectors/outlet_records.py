"""What each outlet brought: takings, fees, the way there, hours, cost of the jars."""

import datetime
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from inventory.models import Business, Movement, Outlet, OutletKind
from inventory.money import round_money
from production.costing.lot_costs import LotCosts
from production.margins import OutletRecord
from production.selectors.attendance import Attendance, read_attendance
from production.selectors.stock_value import LedgerRow, read_ledger

__all__ = ["outlet_records", "read_records"]

ZERO = Decimal(0)
Reason = Movement.Reason
SOLD_OR_LOST = {
    Reason.SOLD,
    Reason.RETURNED,
    Reason.SAMPLED,
    Reason.BROKEN,
    Reason.MISSING,
    Reason.GIVEN,
}


def read_records(
    *, first: datetime.date, last: datetime.date, business: Business
) -> list[OutletRecord]:
    """What each outlet brought from a day to a day, in five queries."""
    ledger = read_ledger(until=last)
    return outlet_records(
        ledger.between(first, last),
        costs=ledger.lots,
        outlets=Outlet.objects.all(),
        attended=read_attendance(first=first, last=last),
        business=business,
    )


def outlet_records(
    rows: Iterable[LedgerRow],
    *,
    costs: LotCosts,
    outlets: Iterable[Outlet],
    attended: Attendance,
    business: Business,
) -> list[OutletRecord]:
    """What each outlet brought; only days attended count.

    Args:
        rows: the ledger's, of the days looked at.
        costs: what the lots cost.
        outlets: those of gifts are left out.
        attended: days and visits of the days looked at.
        business: card fees, what a kilometre costs, currency.
    """

    def coins(amount: Decimal) -> Decimal:
        return round_money(amount, currency=business.currency)

    sold = _sold_by_outlet(rows, costs)
    records = []
    for outlet in outlets:
        days = attended.of(outlet)
        sales = sold.get(outlet.pk, _Sales())
        if outlet.kind == OutletKind.GIFTS or not (days.number or sales.takings):
            continue
        records.append(
            OutletRecord(
                name=outlet.name,
                days=days.number,
                takings=coins(sales.takings),
                fees=coins(
                    days.fees
                    + sales.takings * outlet.commission
                    + _card_fees(outlet, sales, business)
                ),
                driving_cost=coins(days.distance_km * business.mileage_rate),
                product_cost=coins(sales.product_cost),
                hours=days.hours,
            )
        )
    return records


@dataclass(slots=True, kw_only=True)
class _Sales:
    """Running sums of an outlet: takings without tax, jars, cost of all that left."""

    takings: Decimal = ZERO
    jars: Decimal = ZERO
    product_cost: Decimal = ZERO


def _card_fees(outlet: Outlet, sales: _Sales, business: Business) -> Decimal:
    """Card fees of the takings, at the seller's usual share and size of sale."""
    if not outlet.takes_cards:
        return ZERO
    card_sales = business.card_share * sales.jars / (business.jars_per_sale or 1)
    return (
        business.card_share * sales.takings * business.card_fee_fraction
        + card_sales * business.card_fee_fixed
    )


def _sold_by_outlet(rows: Iterable[LedgerRow], costs: LotCosts) -> dict[int, _Sales]:
    sold: defaultdict[int, _Sales] = defaultdict(_Sales)
    for row in rows:
        if row.outlet is None or row.reason not in SOLD_OR_LOST:
            continue
        sales = sold[row.outlet]
        if row.unit_price is not None:
            sales.takings -= row.quantity * row.unit_price
            sales.jars -= row.quantity
        sales.product_cost -= row.quantity * costs.unit_cost(row.lot)
    return dict(sold)
