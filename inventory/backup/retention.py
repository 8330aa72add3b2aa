"""Which backups to keep: the newest of each of the last days, weeks and months.

Pure: dates in, dates out.
"""

import datetime
from collections.abc import Callable, Iterable

__all__ = ["DAILY", "MONTHLY", "WEEKLY", "kept"]

DAILY = 7
WEEKLY = 4
MONTHLY = 12


def kept(
    moments: Iterable[datetime.datetime],
    *,
    daily: int = DAILY,
    weekly: int = WEEKLY,
    monthly: int = MONTHLY,
) -> set[datetime.datetime]:
    """Choose the backups to keep.

    Args:
        moments: when each backup was made.
        daily: days, newest first, of which the last backup is kept.
        weekly: the same for ISO weeks.
        monthly: the same for months.

    Returns:
        The moments to keep; the newest of all is always among them. Only days,
        weeks and months that have a backup count.
    """
    newest_first = sorted(set(moments), reverse=True)
    chosen = set(newest_first[:1])
    for number, key in ((daily, _day), (weekly, _week), (monthly, _month)):
        chosen |= _newest_of_each(newest_first, key, number)
    return chosen


def _newest_of_each(
    newest_first: list[datetime.datetime],
    key: Callable[[datetime.datetime], tuple[int, ...]],
    number: int,
) -> set[datetime.datetime]:
    first: dict[tuple[int, ...], datetime.datetime] = {}
    for moment in newest_first:
        first.setdefault(key(moment), moment)
    return set(list(first.values())[:number])


def _day(moment: datetime.datetime) -> tuple[int, ...]:
    return (moment.year, moment.month, moment.day)


def _week(moment: datetime.datetime) -> tuple[int, ...]:
    return moment.isocalendar()[:2]


def _month(moment: datetime.datetime) -> tuple[int, ...]:
    return (moment.year, moment.month)
