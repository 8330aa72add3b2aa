"""A kept week's answer made ready for pages: days with pictures, lists, calendar."""

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import groupby
from typing import Any
from zoneinfo import ZoneInfo

from inventory.models import Product
from inventory.words import say
from production.models import DemandOverride
from production.planning.calendar_file import calendar_file
from production.planning.day_sheet import DayLine, DaySheet
from production.planning.demand import Estimate, PastDay
from production.planning.past_errors import Trial, tried
from production.planning.pooling import Forecast
from production.planning.week_problem import Market
from production.scaling import share_said
from production.selectors.selling_prices import priced_products
from production.selectors.week_demand import OutletDay

__all__ = [
    "DayPage",
    "DemandRow",
    "batch_rows",
    "calendar_of",
    "day_pages",
    "demand_rows",
    "readable",
    "shopping_by_supplier",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class DayPage:
    """One day of the timetable with its picture."""

    on: dt.date
    hands_min: int
    lines: Sequence[dict[str, Any]]
    picture: str


def _sheet(row: dict[str, Any]) -> DaySheet:
    lines = tuple(
        DayLine(
            candidate=line["candidate"],
            batch=line["batch"],
            label=line["step"],
            begins_min=line["begins_min"],
            hands_until_min=line["begins_min"] + line["hands_min"],
            ends_min=line["begins_min"] + line["hands_min"] + line["alone_min"],
            station=line["station"],
        )
        for line in row["lines"]
    )
    return DaySheet(on=dt.date.fromisoformat(row["on"]), lines=lines)


def day_pages(answer: dict[str, Any]) -> list[DayPage]:
    """The days of the timetable; those with stove work have a picture."""
    from inventory.pictures import as_svg  # noqa: PLC0415  owns reportlab
    from production.planning.pictures import draw_day  # noqa: PLC0415  as above

    pages = []
    for number, row in enumerate(answer["timetable"]):
        sheet = _sheet(row)
        names = {line["candidate"]: line["name"] for line in row["lines"]}
        picture = ""
        if any(line.station for line in sheet.lines):
            picture = as_svg(
                draw_day(_at_the_stove(sheet), names),
                title=say(
                    "Cook day {on:%A} {day} {on:%B}", on=sheet.on, day=sheet.on.day
                ),
                description=say(
                    "A row a batch along the clock; hands-on work solid, what goes by "
                    "itself paler. The list beside says the same in words."
                ),
                name=f"day-{number}",
            )
        pages.append(
            DayPage(
                on=sheet.on,
                hands_min=row["hands_min"],
                lines=row["lines"],
                picture=picture,
            )
        )
    return pages


def _at_the_stove(sheet: DaySheet) -> DaySheet:
    """The sheet without the light work of batches cooked before."""
    stove = {(x.candidate, x.batch) for x in sheet.lines if x.station}
    kept = [x for x in sheet.lines if (x.candidate, x.batch) in stove]
    return DaySheet(on=sheet.on, lines=tuple(kept))


DATES = {"on", "needed_on", "labelled_on"}
AMOUNTS = {"amount", "need", "on_hand"}
MONEY = {
    "worth",
    "cost",
    "purchases_cost",
    "objective",
    "bound",
    "next_place_worth",
    "next_worth",
}


def readable(answer: dict[str, Any]) -> dict[str, Any]:
    """The answer with dates as dates, money and amounts as Decimal, for pages."""
    read: dict[str, Any] = _read("", answer)
    return read


def _read(key: str, value: Any) -> Any:
    if isinstance(value, dict):
        return {name: _read(name, part) for name, part in value.items()}
    if isinstance(value, list):
        return [_read(key, part) for part in value]
    if value is not None and key in DATES:
        return dt.date.fromisoformat(value)
    if isinstance(value, int) and key in AMOUNTS:
        return Decimal(value)
    if value is not None and key in MONEY:
        return Decimal(value)
    return value


def shopping_by_supplier(
    answer: dict[str, Any],
) -> list[tuple[str, list[dict[str, Any]]]]:
    """What to buy, supplier by supplier."""
    rows = readable(answer)["purchases"]
    return [
        (supplier, list(lines))
        for supplier, lines in groupby(rows, key=lambda row: row["supplier"])
    ]


def batch_rows(answer: dict[str, Any]) -> list[dict[str, Any]]:
    """The batches by day; alike ones of one day are one row with their number."""
    rows: list[dict[str, Any]] = []
    for batch in readable(answer)["batches"]:
        last = rows[-1] if rows else None
        share = Decimal(batch.get("share", "1"))
        made = batch["makes"]["amount"] if batch.get("makes") else Decimal(0)
        batch |= {"share": share, "share_said": share_said(share), "made_g": made}
        same = ("product", "share", "on", "labelled_on", "begun")
        if last and all(last[key] == batch[key] for key in same):
            last["count"] += 1
            last["jars"] += batch["jars"]
            last["made_g"] += made
        else:
            rows.append({**batch, "count": 1})
    return rows


def calendar_of(
    answer: dict[str, Any], *, zone: ZoneInfo, made_at: dt.datetime
) -> bytes:
    """The answer's cook days and market days as an iCalendar file."""
    names = {
        line["candidate"]: line["name"]
        for sheet in answer["timetable"]
        for line in sheet["lines"]
    }
    markets = [
        Market(key=row["market"], on=dt.date.fromisoformat(row["on"]))
        for row in answer["packing"]
    ]
    return calendar_file(
        [_sheet(row) for row in answer["timetable"]],
        markets,
        names=names,
        zone=zone,
        made_at=made_at,
    )


PAST_DAYS = 16


@dataclass(frozen=True, slots=True, kw_only=True)
class DemandRow:
    """One product at one outlet on one day, with its picture.

    Attributes:
        mine: the seller's own figure, where there is one.
        past: the days the picture shows, the newest last.
        trial: the estimate beside plain forecasts, on past days.
    """

    product: Product
    day: OutletDay
    estimate: Estimate
    picture: str
    mine: Decimal | None
    past: Sequence[PastDay] = ()
    trial: Trial | None = None

    @property
    def low(self) -> int:
        """Jars asked for on all but one day of ten."""
        return self.estimate.demand.quantile(0.1)

    @property
    def high(self) -> int:
        """Jars that only one day of ten asks for more than."""
        return self.estimate.demand.quantile(0.9)


def demand_rows(
    forecast: Forecast,
    days: Iterable[OutletDay],
    *,
    on: dt.date,
    own: Iterable[DemandOverride],
) -> list[DemandRow]:
    """Every priced product at each of the days, most asked for first.

    Args:
        forecast: the demand of the book.
        days: on which jars go to an outlet.
        on: the day whose prices hold.
        own: the seller's own figures.
    """
    from inventory.pictures import as_svg  # noqa: PLC0415  owns reportlab
    from production.planning.pictures import draw_demand  # noqa: PLC0415  as above

    offered = priced_products(Product.objects.offered(on=on), on=on)
    mine = {(row.outlet_id, row.product_id, row.on): row.mean for row in own}
    rows: list[DemandRow] = []
    for day in days:
        for product in (p.product for p in offered if day.outlet.kind in p.prices):
            estimate = forecast.on(product.code, day.outlet.name, day.on)
            past = forecast.past(product.code, day.outlet.name)[-PAST_DAYS:]
            drawing = draw_demand(estimate, past)
            rows.append(
                DemandRow(
                    product=product,
                    day=day,
                    estimate=estimate,
                    picture=as_svg(
                        drawing,
                        title=say("{product} at {key}", product=product, key=day.key),
                        description=say(
                            "{said}; {days} past days",
                            said=estimate.said,
                            days=estimate.days,
                        ),
                        name=f"demand-{product.pk}-{day.outlet.pk}-{day.on:%d}",
                    ),
                    mine=mine.get((day.outlet.pk, product.pk, day.on)),
                    past=past,
                )
            )
    rows = _with_trials(rows, forecast, on)
    return sorted(rows, key=lambda r: (r.day.on, r.day.key, -r.estimate.demand.mean))


def _with_trials(
    rows: Sequence[DemandRow], forecast: Forecast, on: dt.date
) -> list[DemandRow]:
    """The rows with their estimates tried on past days; the maker's own left aside."""
    plain = replace(forecast, overrides=())
    estimates = {
        (r.product.code, r.day.outlet.name): plain.on(
            r.product.code, r.day.outlet.name, r.day.on
        ).mean
        for r in rows
    }
    trials = tried(
        forecast.days, today=on, estimates=estimates, likenesses=forecast.likenesses
    )
    return [replace(r, trial=trials[r.product.code, r.day.outlet.name]) for r in rows]
