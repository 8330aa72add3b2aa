"""What bad weather does to a market, learnt from past days noted as such.

For every product on a wet or very hot day: what was asked for, against the
mean of the fair days of that product at that outlet at that time of year
(sold-out days by the likelihood, in both). The share of all outlets together
leans on the stated one as if that were a few days more, an outlet's own share
on theirs: with few wet days it stays near what is usual.
"""

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from production.planning.demand import PastDay, censored_mean, expected_beyond
from production.planning.packing import BAD_WEATHER_SHARE

__all__ = ["PRIOR_DAYS", "BadWeather", "bad_weather", "is_bad"]

PRIOR_DAYS = 4
"""Days the stated share counts for: common practice, our own choice."""
SEASON_DAYS = 45
YEAR_DAYS = 365
FEW_DAYS = 2

BAD_WORDS = re.compile(
    r"\b(?:rain\w*|wet|storm\w*|snow\w*|sleet|hail|drizzl\w*|shower\w*|thunder\w*|"
    r"downpour|pouring|heat|heatwave|hot|sweltering|"
    r"lluvi\w*|llov\w*|lluev\w*|mojad\w*|torment\w*|niev\w*|nevad\w*|graniz\w*|"
    r"chubasc\w*|aguacer\w*|calor\w*|bochorno)\b",
    re.IGNORECASE,
)
DENIED = re.compile(
    r"\b(?:no|not|without|sin|ni|stayed|after the)\s+\w*\s*$", re.IGNORECASE
)


@dataclass(frozen=True, slots=True, kw_only=True)
class BadWeather:
    """The share of a fair day's demand on a bad day.

    Attributes:
        share: to plan with, at most one.
        days: market days noted as bad behind it.
        seen: what was asked for on them, as a share of fair days; ``None`` without
            any that can be compared.
        usual: the share it leans on where there are few days.
    """

    share: Decimal
    days: int
    seen: Decimal | None
    usual: Decimal


def is_bad(note: str) -> bool | None:
    """Return whether a day's note tells of rain, snow or heat; ``None`` if empty."""
    if not note.strip():
        return None
    return any(not DENIED.search(note[: m.start()]) for m in BAD_WORDS.finditer(note))


def bad_weather(
    days: Iterable[PastDay],
    notes: Mapping[tuple[str, date], str],
    outlets: Iterable[str],
) -> dict[str, BadWeather]:
    """Return the share of each outlet.

    Args:
        days: every product on every past market day.
        notes: the weather noted, by outlet and day.
        outlets: those asked for.
    """
    usual = BAD_WEATHER_SHARE.value
    seen = _seen(days, notes)
    everywhere = _leaning([row for rows in seen.values() for row in rows], usual)
    return {
        outlet: _leaning(seen.get(outlet, []), everywhere.share) for outlet in outlets
    }


def _leaning(rows: list[tuple[float, float]], usual: Decimal) -> BadWeather:
    """Return the share seen on these days, drawn towards the usual one."""
    asked, fair = sum(row[0] for row in rows), sum(row[1] for row in rows)
    if not fair:
        return BadWeather(share=usual, days=0, seen=None, usual=usual)
    seen = asked / fair
    share = (PRIOR_DAYS * float(usual) + len(rows) * seen) / (PRIOR_DAYS + len(rows))
    return BadWeather(
        share=_hundredths(min(share, 1.0)),
        days=len(rows),
        seen=_hundredths(seen),
        usual=usual,
    )


def _hundredths(share: float) -> Decimal:
    return Decimal(str(round(share, 2)))


def _seen(
    days: Iterable[PastDay], notes: Mapping[tuple[str, date], str]
) -> dict[str, list[tuple[float, float]]]:
    """Return (asked for, fair days' mean) of every bad day, by outlet."""
    fair: dict[tuple[str, str], list[PastDay]] = defaultdict(list)
    bad: dict[tuple[str, date], list[PastDay]] = defaultdict(list)
    for day in days:
        verdict = is_bad(notes.get((day.outlet, day.on), ""))
        if verdict is None or not day.offered:
            continue
        if verdict:
            bad[day.outlet, day.on].append(day)
        else:
            fair[day.product, day.outlet].append(day)
    found: dict[str, list[tuple[float, float]]] = defaultdict(list)
    for (outlet, on), rows in sorted(bad.items()):
        asked = usual = 0.0
        for row in rows:
            mean = _fair_mean(fair[row.product, outlet], on)
            if mean:
                usual += mean
                asked += _asked(row, mean)
        if usual:
            found[outlet].append((asked, usual))
    return found


def _fair_mean(days: list[PastDay], on: date) -> float | None:
    """Return the mean of a product's fair days at that time of the year."""
    near = [day for day in days if _apart(day.on, on) <= SEASON_DAYS]
    return censored_mean(near) if len(near) >= FEW_DAYS else None


def _asked(day: PastDay, fair_mean: float) -> float:
    if day.hides_demand:
        return expected_beyond(fair_mean * float(BAD_WEATHER_SHARE.value), day.offered)
    return day.sold / day.share


def _apart(one: date, other: date) -> int:
    days = abs(one.timetuple().tm_yday - other.timetuple().tm_yday)
    return min(days, YEAR_DAYS - days)
