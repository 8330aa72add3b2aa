"""Past market days of the book, and the demand they tell of."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

from inventory.models import (
    ConsignmentLine,
    ConsignmentVisit,
    MarketDay,
    MarketLine,
    Outlet,
    OutletKind,
    Product,
    SoldOutMark,
)
from production.models import DemandOverride
from production.planning.demand import Override, PastDay
from production.planning.pooling import Forecast, fit

__all__ = ["OutletDay", "forecast_book", "outlet_days", "past_days"]

LOOK_BACK_DAYS = 3 * 365


@dataclass(frozen=True, slots=True, kw_only=True)
class OutletDay:
    """A day of the week on which jars go to an outlet.

    Attributes:
        day: its row, or None where the outlet's weekday or the usual time
            between visits says so.
    """

    outlet: Outlet
    on: dt.date
    day: MarketDay | None = None

    @property
    def key(self) -> str:
        """The outlet and the day in words; unique in a week."""
        return f"{self.outlet}, {self.on:%a} {self.on.day} {self.on:%b}"


def past_days(*, on: dt.date) -> list[PastDay]:
    """Every product on every counted market day and shop visit before a day."""
    since = on - dt.timedelta(days=LOOK_BACK_DAYS)
    return [*_market_days(since, on), *_visits(since, on)]


def _market_days(since: dt.date, on: dt.date) -> Iterator[PastDay]:
    rows = (
        MarketLine.objects.filter(
            day__status=MarketDay.Status.COUNTED, day__on__gte=since, day__on__lt=on
        )
        .select_related("day__outlet", "lot__product")
        .order_by("day__on", "pk")
    )
    marks = {
        (mark.day_id, mark.product_id): mark.at
        for mark in SoldOutMark.objects.filter(day__on__gte=since, day__on__lt=on)
    }
    sums: dict[tuple[int, int], list[int]] = defaultdict(lambda: [0, 0])
    known: dict[tuple[int, int], MarketLine] = {}
    for line in rows:
        key = (line.day_id, line.lot.product_id or 0)
        known[key] = line
        sums[key][0] += line.sold + line.brought_back
        sums[key][1] += line.sold
    for key, line in known.items():
        offered, sold = sums[key]
        if key in marks:
            offered = sold
        share = (
            _open_share(line.day.outlet, marks.get(key)) if offered == sold else None
        )
        if offered:
            yield PastDay(
                product=_code(line.lot.product),
                outlet=line.day.outlet.name,
                on=line.day.on,
                offered=offered,
                sold=sold,
                open_share=share,
            )


def _code(product: Product | None) -> str:
    return product.code if product else ""


def _open_share(outlet: Outlet, at: dt.time | None) -> float | None:
    """Share of the market hours until a product ran out; None where unknown."""
    if at is None or outlet.opens_at is None or outlet.closes_at is None:
        return None
    opens, closes, gone = (
        time.hour * 60 + time.minute for time in (outlet.opens_at, outlet.closes_at, at)
    )
    if closes <= opens or gone <= opens:
        return None
    return min((gone - opens) / (closes - opens), 1.0)


def _visits(since: dt.date, on: dt.date) -> Iterator[PastDay]:
    rows = ConsignmentLine.objects.filter(
        visit__on__gte=since, visit__on__lt=on, was_there__gt=0
    ).select_related("visit__outlet", "lot__product")
    sums: dict[tuple[str, str, dt.date], list[int]] = defaultdict(lambda: [0, 0])
    for line in rows:
        key = (_code(line.lot.product), line.visit.outlet.name, line.visit.on)
        sums[key][0] += line.was_there - line.missing
        sums[key][1] += line.sold
    for (code, outlet, day), (offered, sold) in sums.items():
        if offered:
            yield PastDay(
                product=code, outlet=outlet, on=day, offered=offered, sold=sold
            )


def forecast_book(*, on: dt.date) -> Forecast:
    """The demand of the whole book as it stood before a day."""
    overrides = [
        Override(
            product=row.product.code,
            outlet=row.outlet.name,
            on=row.on,
            mean=float(row.mean),
        )
        for row in DemandOverride.objects.select_related("product", "outlet")
    ]
    likenesses = {
        product.code: product.likeness.code
        for product in Product.objects.filter(likeness__isnull=False).select_related(
            "likeness"
        )
        if product.likeness
    }
    return fit(past_days(on=on), today=on, overrides=overrides, likenesses=likenesses)


def outlet_days(*, first: dt.date, last: dt.date) -> list[OutletDay]:
    """Days on which jars go to an outlet, by day: booked, usual, or a shop's visit."""
    rows = MarketDay.objects.between(first, last).select_related("outlet")
    booked = {(day.outlet_id, day.on): day for day in rows}
    found = [
        OutletDay(outlet=day.outlet, on=day.on, day=day)
        for day in booked.values()
        if day.status == MarketDay.Status.PLANNED
    ]
    for outlet in Outlet.objects.filter(closed_on__isnull=True):
        for number in range((last - first).days + 1):
            on = first + dt.timedelta(days=number)
            if (outlet.pk, on) not in booked and _goes(outlet, on, first):
                found.append(OutletDay(outlet=outlet, on=on))
    return sorted(found, key=lambda row: (row.on, row.outlet.name))


def _goes(outlet: Outlet, on: dt.date, today: dt.date) -> bool:
    if outlet.kind == OutletKind.MARKET:
        return outlet.weekday == on.weekday()
    if outlet.kind != OutletKind.CONSIGNMENT:
        return False
    visits = list(
        ConsignmentVisit.objects.filter(outlet=outlet, on__lt=today)
        .order_by("on")
        .values_list("on", flat=True)
    )
    if len(visits) < 2:
        return False
    usual = int(median((b - a).days for a, b in pairwise(visits[-6:])))
    return on == max(visits[-1] + dt.timedelta(days=max(usual, 1)), today)
