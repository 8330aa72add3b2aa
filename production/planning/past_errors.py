"""Would the estimate have been nearer than a plain mean? Tried on past days.

Fortnight by fortnight over the last twelve weeks every forecast is made from
the days before the fortnight alone, and judged by what then came. A sold-out
day counts with the mean of demands of at least so many, by the likelihood of
all its product's days at that outlet, which belongs to none of the forecasts
judged; where every day sold out nothing can be judged.
"""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from inventory.words import to_say
from production.planning.demand import (
    PastDay,
    censored_mean,
    expected_beyond,
    plain_mean,
)
from production.planning.pooling import fit
from production.planning.smoothing import (
    Errors,
    PatternFound,
    errors_of,
    pattern_of,
    smoothed,
    smoothed_chance,
)

__all__ = ["Method", "Scored", "Trial", "comparable_mean", "tried"]

FORTNIGHT = dt.timedelta(days=14)
FORTNIGHTS = 6
SMOOTHING_SHARE = 0.2
CHANCE_SHARE = 0.1
"""Shares a new day counts for: common practice, 0.1 to 0.3."""
SEASON_DAYS = 45
"""Days of the year apart that are still the same phase: our own choice."""
FEW_DAYS = 3
YEAR_DAYS = 365
CLOSE = 0.05

Cell = tuple[str, str]


class Method(StrEnum):
    """A way to forecast a day."""

    ESTIMATE = to_say("the estimate shown")
    COMPARABLE = to_say("mean sales of comparable days")
    SMOOTHED = to_say("sales smoothed, the newest counting a fifth")
    CHANCE = to_say("chance of a sale and its size, smoothed day by day")


@dataclass(frozen=True, slots=True, kw_only=True)
class Scored:
    """One way to forecast: what it says now and how far off it was.

    Attributes:
        figure: jars on the coming day; ``None`` where it has no figure.
        errors: on the days tried; ``None`` without any.
    """

    method: Method
    figure: float | None
    errors: Errors | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """A product at an outlet: how it sells, and the ways to forecast it.

    Attributes:
        rows: the estimate first, then the plain ways.
        sold_out: days tried that sold out, counted with what they probably hid.
    """

    pattern: PatternFound
    rows: tuple[Scored, ...]
    sold_out: int = 0

    @property
    def days(self) -> int:
        """Days tried."""
        return max((row.errors.days for row in self.rows if row.errors), default=0)

    @property
    def nearest(self) -> Method | None:
        """The way that was nearest on the days tried; the estimate where equal."""
        judged = [row for row in self.rows if row.errors]
        if not judged:
            return None
        return min(judged, key=lambda row: row.errors.mad if row.errors else 0).method

    @property
    def is_ours_near(self) -> bool:
        """Whether no plain way was nearer than the estimate by more than a twentieth."""
        mads = [row.errors.mad for row in self.rows if row.errors]
        ours = self.rows[0].errors
        return ours is not None and ours.mad <= (1 + CLOSE) * min(mads)


def comparable_mean(days: Sequence[PastDay], on: dt.date) -> float | None:
    """Return the mean sales of one product's days near a time of the year.

    Days within six weeks of that time in any year; all days where there are fewer
    than three such.
    """
    near = [day for day in days if _apart(day.on, on) <= SEASON_DAYS]
    return plain_mean(near if len(near) >= FEW_DAYS else days)


def tried(
    days: Iterable[PastDay],
    *,
    today: dt.date,
    estimates: Mapping[Cell, float | None],
    likenesses: Mapping[str, str] | None = None,
) -> dict[Cell, Trial]:
    """Return the trial of every (product, outlet) asked for.

    Args:
        days: every product on every past market day.
        today: the day of planning.
        estimates: the cells asked for, with the mean the estimate has now.
        likenesses: product without days -> product it resembles.
    """
    told = sorted(
        (d for d in days if d.offered > 0 and d.on < today), key=lambda d: d.on
    )
    by_cell: dict[Cell, list[PastDay]] = defaultdict(list)
    for day in told:
        by_cell[day.product, day.outlet].append(day)
    said: dict[Cell, list[_Judged]] = defaultdict(list)
    for judged in _forecast(told, by_cell, today, estimates, likenesses):
        said[judged.cell].append(judged)
    return {
        cell: _trial(by_cell[cell], said[cell], today, estimate)
        for cell, estimate in estimates.items()
    }


@dataclass(frozen=True, slots=True)
class _Judged:
    """One past day with what each way had forecast for it."""

    cell: Cell
    day: PastDay
    figures: dict[Method, float | None]


def _forecast(
    told: Sequence[PastDay],
    by_cell: Mapping[Cell, Sequence[PastDay]],
    today: dt.date,
    cells: Iterable[Cell],
    likenesses: Mapping[str, str] | None,
) -> Iterator[_Judged]:
    """Yield the days of the last fortnights with the forecasts made before them."""
    wanted = set(cells)
    for n in range(FORTNIGHTS, 0, -1):
        cut = today - n * FORTNIGHT
        coming = [
            d
            for d in told
            if cut <= d.on < cut + FORTNIGHT and (d.product, d.outlet) in wanted
        ]
        if not coming or told[0].on >= cut:
            continue
        forecast = fit(told, today=cut, likenesses=likenesses)
        for day in coming:
            cell = (day.product, day.outlet)
            known = [d for d in by_cell[cell] if d.on < cut]
            figures = _plain(known, day.on)
            if known:
                figures[Method.ESTIMATE] = forecast.on(*cell, day.on).demand.mean
                yield _Judged(cell, day, figures)


def _plain(known: Sequence[PastDay], on: dt.date) -> dict[Method, float | None]:
    """Return what the plain ways say of a day, from the days known."""
    sales = [float(day.sold) for day in known]
    return {
        Method.COMPARABLE: comparable_mean(known, on),
        Method.SMOOTHED: smoothed(sales, alpha=SMOOTHING_SHARE)[-1] if sales else None,
        Method.CHANCE: smoothed_chance(sales, alpha=CHANCE_SHARE),
    }


def _trial(
    days: Sequence[PastDay],
    judged: Sequence[_Judged],
    today: dt.date,
    estimate: float | None,
) -> Trial:
    """Return one cell's trial."""
    pattern = pattern_of([float(day.sold) for day in days])
    now = {**_plain(days, today), Method.ESTIMATE: estimate}
    mean = censored_mean(days)
    rows = []
    for method in Method:
        if method is Method.CHANCE and not pattern.is_rare:
            continue
        pairs = [
            (_came(row.day, mean), figure)
            for row in judged
            if mean is not None and (figure := row.figures[method]) is not None
        ]
        errors = (
            errors_of([c for c, _ in pairs], [f for _, f in pairs]) if pairs else None
        )
        rows.append(Scored(method=method, figure=now[method], errors=errors))
    gone = sum(row.day.sold_out for row in judged)
    return Trial(pattern=pattern, rows=tuple(rows), sold_out=gone)


def _came(day: PastDay, mean: float | None) -> float:
    """Return what was asked for on a day, as far as it shows."""
    if day.hides_demand and mean is not None:
        return expected_beyond(mean, day.offered)
    return day.sold / day.share


def _apart(one: dt.date, other: dt.date) -> int:
    """Return the days between two times of the year, the shorter way round."""
    days = abs(one.timetuple().tm_yday - other.timetuple().tm_yday)
    return min(days, YEAR_DAYS - days)
