"""Past market days of the book, and the demand they tell of."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
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

__all__ = [
    "OutletDay",
    "forecast_book",
    "outlet_days",
    "own_figures",
    "past_days",
    "weather_notes",
]

LOOK_BACK_DAYS = 3 * 365

Hours = tuple[dt.time | None, dt.time | None]


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
        .order_by("day__on", "pk")
        .values_list(
            "day_id", "lot__product__code", "sold", "brought_back", "day__on",
            "day__outlet__name", "day__outlet__opens_at", "day__outlet__closes_at",
        )
    )  # fmt: skip
    marks = {
        (mark.day_id, mark.product.code): mark.at
        for mark in SoldOutMark.objects.filter(
            day__on__gte=since, day__on__lt=on
        ).select_related("product")
    }
    sums: dict[tuple[int, str], list[int]] = defaultdict(lambda: [0, 0])
    known: dict[tuple[int, str], tuple[dt.date, str, Hours]] = {}
    for day, product, sold, back, day_on, outlet, *hours in rows:
        key = (day, product or "")
        known[key] = day_on, outlet, (hours[0], hours[1])
        sums[key][0] += sold + back
        sums[key][1] += sold
    for key, (day_on, outlet, open_hours) in known.items():
        offered, sold = sums[key]
        if key in marks:
            offered = sold
        share = _open_share(open_hours, marks.get(key)) if offered == sold else None
        if offered:
            yield PastDay(
                product=key[1],
                outlet=outlet,
                on=day_on,
                offered=offered,
                sold=sold,
                open_share=share,
            )


def _open_share(hours: Hours, at: dt.time | None) -> float | None:
    """Share of the market hours until a product ran out; None where unknown."""
    opens_at, closes_at = hours
    if at is None or opens_at is None or closes_at is None:
        return None
    opens, closes, gone = (
        time.hour * 60 + time.minute for time in (opens_at, closes_at, at)
    )
    if closes <= opens or gone <= opens:
        return None
    return min((gone - opens) / (closes - opens), 1.0)


def _visits(since: dt.date, on: dt.date) -> Iterator[PastDay]:
    rows = (
        ConsignmentLine.objects.filter(
            visit__on__gte=since, visit__on__lt=on, was_there__gt=0
        )
        .order_by("pk")
        .values_list(
            "lot__product__code", "visit__outlet__name", "visit__on",
            "was_there", "missing", "sold",
        )
    )  # fmt: skip
    sums: dict[tuple[str, str, dt.date], list[int]] = defaultdict(lambda: [0, 0])
    for product, outlet, day, was_there, missing, sold in rows:
        key = (product or "", outlet, day)
        sums[key][0] += was_there - missing
        sums[key][1] += sold
    for (code, outlet, day), (offered, sold) in sums.items():
        if offered:
            yield PastDay(
                product=code, outlet=outlet, on=day, offered=offered, sold=sold
            )


def own_figures() -> list[DemandOverride]:
    """The seller's own figures, with their products and outlets."""
    return list(DemandOverride.objects.select_related("product", "outlet"))


def forecast_book(
    *, on: dt.date, own: Iterable[DemandOverride] | None = None
) -> Forecast:
    """The demand of the whole book as it stood before a day.

    Args:
        on: the day.
        own: the seller's own figures, if the caller has read them already.
    """
    overrides = [
        Override(
            product=row.product.code,
            outlet=row.outlet.name,
            on=row.on,
            mean=float(row.mean),
        )
        for row in (own_figures() if own is None else own)
    ]
    likenesses = {
        product.code: product.likeness.code
        for product in Product.objects.filter(likeness__isnull=False).select_related(
            "likeness"
        )
        if product.likeness
    }
    return fit(past_days(on=on), today=on, overrides=overrides, likenesses=likenesses)


def weather_notes(*, on: dt.date) -> dict[tuple[str, dt.date], str]:
    """The weather noted on counted market days before a day, by outlet and day."""
    rows = MarketDay.objects.filter(
        status=MarketDay.Status.COUNTED,
        on__gte=on - dt.timedelta(days=LOOK_BACK_DAYS),
        on__lt=on,
    ).exclude(weather="")
    noted = rows.values_list("outlet__name", "on", "weather")
    return {(outlet, day): weather for outlet, day, weather in noted}


def outlet_days(*, first: dt.date, last: dt.date) -> list[OutletDay]:
    """Days on which jars go to an outlet, by day: booked, usual, or a shop's visit."""
    rows = MarketDay.objects.between(first, last).select_related("outlet")
    booked = {(day.outlet_id, day.on): day for day in rows}
    found = [
        OutletDay(outlet=day.outlet, on=day.on, day=day)
        for day in booked.values()
        if day.status == MarketDay.Status.PLANNED
    ]
    visits = _visit_days(first)
    for outlet in Outlet.objects.filter(closed_on__isnull=True):
        for number in range((last - first).days + 1):
            on = first + dt.timedelta(days=number)
            if (outlet.pk, on) not in booked and _goes(
                outlet, on, first, visits[outlet.pk]
            ):
                found.append(OutletDay(outlet=outlet, on=on))
    return sorted(found, key=lambda row: (row.on, row.outlet.name))


def _visit_days(before: dt.date) -> Mapping[int, list[dt.date]]:
    """The days of the shops' visits before a day, oldest first, by outlet."""
    rows = ConsignmentVisit.objects.filter(
        on__gte=before - dt.timedelta(days=LOOK_BACK_DAYS), on__lt=before
    )
    days: defaultdict[int, list[dt.date]] = defaultdict(list)
    for outlet, on in rows.order_by("on").values_list("outlet_id", "on"):
        days[outlet].append(on)
    return days


def _goes(
    outlet: Outlet, on: dt.date, today: dt.date, visits: Sequence[dt.date]
) -> bool:
    if outlet.kind == OutletKind.MARKET:
        return outlet.weekday == on.weekday()
    if outlet.kind != OutletKind.CONSIGNMENT:
        return False
    if len(visits) < 2:
        return False
    usual = int(median((b - a).days for a, b in pairwise(visits[-6:])))
    return on == max(visits[-1] + dt.timedelta(days=max(usual, 1)), today)
