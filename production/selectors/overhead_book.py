"""Costs of the year and how much of each key a year has, read in one query."""

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db.models import Count, F, QuerySet, Subquery, Sum, Value

from inventory.models import Business, Movement
from inventory.words import say
from production.costing.overheads import OverheadItem, OverheadKey
from production.models import Batch, Overhead

__all__ = ["OverheadBook", "read_overheads"]

YEAR = datetime.timedelta(days=365)


@dataclass(frozen=True, slots=True, kw_only=True)
class OverheadBook:
    """What every jar must help to carry.

    Attributes:
        items: costs of the year, with what each is spread by.
        year_amounts: how much of each key a year has: jars as expected, the rest as
            recorded. A book younger than a year that has recorded nothing counts as
            one, so that nothing is divided by nought.
    """

    items: tuple[OverheadItem, ...]
    year_amounts: Mapping[OverheadKey, Decimal]


def read_overheads(*, on: datetime.date, business: Business) -> OverheadBook:
    """Read the overheads of a day, each beside what the year before it had.

    Args:
        on: the day.
        business: its yearly sum stands in where no overhead is entered.
    """
    first = on - YEAR
    batches = Batch.objects.filter(made_on__gt=first, made_on__lte=on)
    sold = Movement.objects.filter(
        reason=Movement.Reason.SOLD, on__gt=first, on__lte=on
    )
    rows = Overhead.objects.in_force(on=on).annotate(
        year_batches=_one(batches, Count("pk")),
        year_minutes=_one(batches, Sum("hands_on_min")),
        year_sold=_one(sold, Sum(F("quantity") * F("unit_price"))),
    )
    items = tuple(row.as_item() for row in rows)
    if not items and business.overhead_per_year:
        items = (
            OverheadItem(name=say("overheads"), amount=business.overhead_per_year),
        )
    year: Any = rows[0] if rows else None
    return OverheadBook(
        items=items,
        year_amounts={
            OverheadKey.JARS: Decimal(business.jars_per_year),
            OverheadKey.BATCHES: Decimal((year and year.year_batches) or 1),
            OverheadKey.MINUTES: Decimal((year and year.year_minutes) or 1),
            OverheadKey.TAKINGS: max(
                -Decimal((year and year.year_sold) or 0), Decimal(1)
            ),
        },
    )


def _one(rows: QuerySet[Any], figure: Count | Sum) -> Subquery:
    """One figure over all of some rows, as a column beside other rows."""
    whole = rows.order_by().annotate(whole=Value(1)).values("whole")
    return Subquery(whole.annotate(figure=figure).values("figure"))
