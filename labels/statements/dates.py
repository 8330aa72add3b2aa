"""Best-before dates and lot marks in each place's form."""

from dataclasses import dataclass
from datetime import date

__all__ = [
    "CANADIAN_MONTHS",
    "KeepingTime",
    "best_before_anz",
    "best_before_ca",
    "best_before_eu",
    "best_by_us",
    "lot_ca",
    "lot_eu",
    "lot_needed_eu",
]

MONTHS = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
]
CANADIAN_MONTHS = [
    "JA",
    "FE",
    "MR",
    "AL",
    "MA",
    "JN",
    "JL",
    "AU",
    "SE",
    "OC",
    "NO",
    "DE",
]
"""Month codes valid in both languages: Food and Drug Regulations B.01.007(5)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepingTime:
    """From when to when a jar keeps.

    Attributes:
        made_on: day it was filled.
        best_before_on: last day the maker promises.
    """

    made_on: date
    best_before_on: date

    @property
    def months(self) -> int:
        """Whole months the jar keeps, a part of a month counted as one."""
        years = self.best_before_on.year - self.made_on.year
        months = years * 12 + self.best_before_on.month - self.made_on.month
        return months + (1 if self.best_before_on.day > self.made_on.day else 0)

    @property
    def days(self) -> int:
        """Days the jar keeps."""
        return (self.best_before_on - self.made_on).days


def _ends_its_month(day: date) -> bool:
    next_day = date.fromordinal(day.toordinal() + 1)
    return next_day.month != day.month


def _month_promised(day: date) -> date:
    """The last whole month a date allows: the one before unless it is full."""
    if _ends_its_month(day):
        return day
    return date.fromordinal(day.replace(day=1).toordinal() - 1)


def best_before_eu(keeping: KeepingTime, *, whole_day: bool = True) -> str:
    """Return the date of minimum durability (EU, UK).

    With ``whole_day`` the full date is printed, so that no lot mark is needed.
    Otherwise the shortest lawful form that promises no longer than the maker
    does: day and month up to 3 months, month and year up to 18, else the year
    if the promise reaches its end, else month and year.

    Source: Regulation (EU) No 1169/2011, Annex X.1.
    """
    day = keeping.best_before_on
    if whole_day:
        return f"Best before {day.day} {MONTHS[day.month - 1]} {day.year}"
    if keeping.months <= 3:
        return f"Best before {day.day} {MONTHS[day.month - 1]}"
    if keeping.months > 18 and (day.month, day.day) == (12, 31):
        return f"Best before end {day.year}"
    month = _month_promised(day)
    return f"Best before end {MONTHS[month.month - 1]} {month.year}"


def best_by_us(keeping: KeepingTime) -> str:
    """Return a voluntary date; no federal rule asks jam for one."""
    day = keeping.best_before_on
    return f"Best by {MONTHS[day.month - 1]} {day.day}, {day.year}"


def best_before_anz(keeping: KeepingTime) -> str:
    """Return the best-before date of the Food Standards Code (1.2.5, memory)."""
    day = keeping.best_before_on
    return f"Best before {day.day} {MONTHS[day.month - 1][:3]} {day.year}"


def best_before_ca(keeping: KeepingTime) -> str:
    """Return the durable life date: year, month code, day, in both languages.

    Source: Food and Drug Regulations, B.01.007(4)-(6).
    """
    day = keeping.best_before_on
    code = CANADIAN_MONTHS[day.month - 1]
    return f"Best before / Meilleur avant {day.year % 100:02d} {code} {day.day:02d}"


def date_needed_ca(keeping: KeepingTime) -> bool:
    """Say whether Canada asks for a date: durable life of at most 90 days."""
    return keeping.days <= 90


def lot_eu(batch_code: str) -> str:
    """Return the lot mark with the L that Directive 2011/91/EU asks for."""
    return batch_code if batch_code.startswith("L") else f"L{batch_code}"


def lot_ca(batch_code: str) -> str:
    """Return the lot code with its word (Food and Drug Regulations A.01.014)."""
    return f"Lot {batch_code}"


def lot_needed_eu(best_before: str) -> bool:
    """Say whether a lot mark is needed beside a printed date.

    Not beside a date with at least day and month, uncoded (Directive
    2011/91/EU, Art. 5).
    """
    words = best_before.removeprefix("Best before ").split()
    return not (len(words) >= 2 and words[0].isdigit() and words[1] in MONTHS)
