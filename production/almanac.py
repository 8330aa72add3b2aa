"""The book's days as an iCalendar file (RFC 5545). Pure.

Cook days, overnight stands, market days, season openings and closings, best-by
dates and papers that run out, each one entry with a name that stays the same
from one fetching to the next.
"""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

__all__ = ["AlmanacEntry", "write_almanac"]


@dataclass(frozen=True, slots=True, kw_only=True)
class AlmanacEntry:
    """One entry.

    Attributes:
        key: stays the same as long as it is the same thing.
        summary: one line.
        starts: a day, or a moment with its zone.
        ends: the day after the last, or a moment; None for one whole day.
        about: further lines.
        category: one word: cook, market, season, best-by, paper.
    """

    key: str
    summary: str
    starts: dt.date
    ends: dt.date | None = None
    about: str = ""
    category: str = ""


def write_almanac(
    entries: Iterable[AlmanacEntry], *, name: str, made_at: dt.datetime
) -> bytes:
    """Write the entries as a calendar.

    Args:
        entries: in any order.
        name: of the calendar.
        made_at: the moment, for the stamps.

    Returns:
        The file, lines folded and ended as RFC 5545 section 3.1 asks.
    """
    from icalendar import Calendar, Event

    calendar = Calendar()
    calendar.add("prodid", "-//Setting Point//almanac//EN")
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", name)
    for entry in sorted(entries, key=lambda each: (str(each.starts), each.key)):
        event = Event()
        event.add("uid", f"{entry.key}@settingpoint")
        event.add("dtstamp", made_at)
        event.add("summary", entry.summary)
        event.add("dtstart", entry.starts)
        event.add("dtend", entry.ends or entry.starts + dt.timedelta(days=1))
        if entry.about:
            event.add("description", entry.about)
        if entry.category:
            event.add("categories", [entry.category])
        calendar.add_component(event)
    calendar.add_missing_timezones()
    return bytes(calendar.to_ical())
