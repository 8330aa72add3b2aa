"""Best-by dates: so many months after the day of cooking."""

import calendar
import datetime

__all__ = ["add_months"]


def add_months(day: datetime.date, months: int) -> datetime.date:
    """Return the same day so many months later, or the last of that month."""
    years, month = divmod(day.month - 1 + months, 12)
    year = day.year + years
    last = calendar.monthrange(year, month + 1)[1]
    return datetime.date(year, month + 1, min(day.day, last))
