"""A week's plan as an iCalendar file (RFC 5545): cook days and market days."""

import datetime as dt
from collections.abc import Iterable, Mapping
from zoneinfo import ZoneInfo

from production.planning.day_sheet import DaySheet
from production.planning.week_problem import Market

__all__ = ["calendar_file"]


def calendar_file(
    sheets: Iterable[DaySheet],
    markets: Iterable[Market],
    *,
    names: Mapping[str, str],
    zone: ZoneInfo,
    made_at: dt.datetime,
) -> bytes:
    """Return the calendar: one event a batch a cook day, one a market day.

    Args:
        sheets: the days' sheets.
        markets: market days of the week.
        names: what a candidate or a market is called.
        zone: the kitchen's time zone.
        made_at: the moment of planning, for the file's stamps.
    """
    from icalendar import Calendar, Event

    calendar = Calendar()
    calendar.add("prodid", "-//Setting Point//week plan//EN")
    calendar.add("version", "2.0")
    for sheet in sheets:
        midnight = dt.datetime.combine(sheet.on, dt.time(), tzinfo=zone)
        for key, number in sorted({(x.candidate, x.batch) for x in sheet.lines}):
            mine = [x for x in sheet.lines if (x.candidate, x.batch) == (key, number)]
            event = Event()
            event.add("uid", f"{sheet.on}-{key}-{number}@settingpoint")
            event.add("dtstamp", made_at)
            event.add("summary", f"{names.get(key, key)}: {mine[0].label}")
            event.add("dtstart", _moment(midnight, min(x.begins_min for x in mine)))
            event.add("dtend", _moment(midnight, max(x.ends_min for x in mine)))
            steps = [f"{x.begins_at:%H:%M} {x.label}" for x in mine]
            event.add("description", "\n".join(steps))
            calendar.add_component(event)
    for market in markets:
        event = Event()
        event.add("uid", f"{market.on}-{market.key}@settingpoint")
        event.add("dtstamp", made_at)
        event.add("summary", names.get(market.key, market.key))
        event.add("dtstart", market.on)
        event.add("dtend", market.on + dt.timedelta(days=1))
        calendar.add_component(event)
    calendar.add_missing_timezones()
    return bytes(calendar.to_ical())


def _moment(midnight: dt.datetime, minutes: int) -> dt.datetime:
    """Return the clock time so many minutes into a day."""
    return midnight + dt.timedelta(minutes=minutes)
