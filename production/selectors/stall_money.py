"""Stall and shop money that is still open: tills that differed, shops that owe."""

import datetime
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import OuterRef, Subquery, Sum
from django.db.models.functions import Coalesce

from inventory.models import ConsignmentVisit, MarketDay, Movement
from inventory.reconciliation import CashUp
from inventory.selectors import cash_up, visit_due

__all__ = ["CashDifference", "UnpaidVisit", "cash_differences", "unpaid_visits"]

NEWEST = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class CashDifference:
    """A market day whose cash did not agree."""

    day: MarketDay
    cash: CashUp


@dataclass(frozen=True, slots=True, kw_only=True)
class UnpaidVisit:
    """A visit to a shop that still owes for it."""

    visit: ConsignmentVisit
    due: Decimal


def cash_differences(
    *, first: datetime.date, last: datetime.date
) -> list[CashDifference]:
    """Which of the newest cash-ups between two days differed, newest first."""
    sold = Movement.objects.filter(
        market_day=OuterRef("pk"), reason=Movement.Reason.SOLD
    ).order_by()
    tax = sold.values("market_day").annotate(tax=Sum("sales_tax")).values("tax")
    days = (
        MarketDay.objects.filter(
            on__gte=first, on__lte=last, cash_counted__isnull=False
        )
        .annotate(tax=Coalesce(Subquery(tax), Decimal(0)))
        .select_related("outlet")
        .prefetch_related("lines")
        .order_by("-on")
    )
    found = []
    for day in days[:NEWEST]:
        cash = cash_up(day, tax=day.tax)  # type: ignore[attr-defined] # annotated
        if cash is not None and cash.difference != 0:
            found.append(CashDifference(day=day, cash=cash))
    return found


def unpaid_visits(*, on: datetime.date) -> list[UnpaidVisit]:
    """Visits up to a day for which something is due and nothing was paid."""
    visits = (
        ConsignmentVisit.objects.filter(on__lte=on, paid_on__isnull=True)
        .select_related("outlet")
        .prefetch_related("lines")
    )
    found = [UnpaidVisit(visit=visit, due=visit_due(visit)) for visit in visits]
    return [row for row in found if row.due > 0]
