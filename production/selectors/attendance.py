"""How often the seller stood at each outlet, and what the days cost, in two queries."""

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Count, Sum

from inventory.models import ConsignmentVisit, MarketDay, Outlet

__all__ = ["Attendance", "DaysAttended", "read_attendance"]

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class DaysAttended:
    """Days at one outlet: how many, their fees, the way there and the hours."""

    number: int = 0
    fees: Decimal = ZERO
    distance_km: Decimal = ZERO
    hours: Decimal = ZERO


@dataclass(frozen=True, slots=True, kw_only=True)
class Attendance:
    """Market days whose jars were counted back, and visits to shops.

    Attributes:
        days: of market days, by number of the outlet.
        visits: how many visits, by number of the outlet.
    """

    days: Mapping[int, DaysAttended]
    visits: Mapping[int, int]

    @property
    def market_days(self) -> int:
        """Market days at all outlets."""
        return sum(days.number for days in self.days.values())

    def of(self, outlet: Outlet) -> DaysAttended:
        """Days and visits at an outlet; a visit is its usual way and hours."""
        days = self.days.get(outlet.pk, DaysAttended())
        visits = self.visits.get(outlet.pk, 0)
        return DaysAttended(
            number=days.number + visits,
            fees=days.fees,
            distance_km=days.distance_km + visits * outlet.distance_km,
            hours=days.hours + visits * outlet.hours,
        )


def read_attendance(*, first: datetime.date, last: datetime.date) -> Attendance:
    """Read the days and visits from a day to a day."""
    days = (
        MarketDay.objects.counted(on=last)
        .filter(on__gte=first)
        .order_by()
        .values_list("outlet")
        .annotate(Count("pk"), Sum("day_fee"), Sum("distance_km"), Sum("hours"))
    )
    visits = (
        ConsignmentVisit.objects.filter(on__gte=first, on__lte=last)
        .order_by()
        .values_list("outlet")
        .annotate(Count("pk"))
    )
    return Attendance(
        days={
            outlet: DaysAttended(number=n, fees=fees, distance_km=km, hours=hours)
            for outlet, n, fees, km, hours in days
        },
        visits=dict(visits),
    )
