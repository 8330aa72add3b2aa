"""What people type into cells, as values: numbers, dates, yes and no.

Numbers may come as text with a decimal comma, a currency sign, spaces that do
not break; dates as real dates or as text in three forms. What could be read in
two ways is refused, never guessed.
"""

import datetime
import re
import unicodedata
from decimal import Decimal, InvalidOperation

from inventory.words import say

__all__ = [
    "FORMULA_STARTS",
    "CellError",
    "as_boolean",
    "as_date",
    "as_decimal",
    "as_moment",
    "as_text",
    "as_time",
    "as_whole",
    "plain",
]

YES = frozenset({"yes", "y", "true", "x", "1", "ja"})
NO = frozenset({"no", "n", "false", "0", "nein"})
MOST_TEXT = 2000
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")
"""What a spreadsheet would run as a formula begins so."""
ISO_DAY = re.compile(r"^(\d{4})-(\d{1,2})-(\d{1,2})$")
DOTTED_DAY = re.compile(r"^(\d{1,2})\.(\d{1,2})\.(\d{4})$")
SLASHED_DAY = re.compile(r"^(\d{1,2})/(\d{1,2})/(\d{4})$")
NUMBER = re.compile(r"^[+-]?[\d.,' ]*\d[\d.,' ]*$")
GROUPED_BY_POINT = re.compile(r"^[+-]?[1-9]\d{0,2}(\.\d{3})+$")
GROUPED_BY_COMMA = re.compile(r"^[+-]?[1-9]\d{0,2}(,\d{3})+$")


class CellError(ValueError):
    """A cell that does not hold what its column asks for.

    Attributes:
        wrong: what is wrong.
        right: what would be right.
    """

    def __init__(self, wrong: str, right: str) -> None:
        self.wrong, self.right = wrong, right
        super().__init__(f"{wrong}; {right}")


def plain(value: object) -> object:
    """A cell's value with its text tidied: odd spaces made plain, ends trimmed."""
    if not isinstance(value, str):
        return value
    text = unicodedata.normalize("NFC", value)
    text = re.sub(r"[\s\u00a0\u2007\u202f\u200b\ufeff]+", " ", text).strip()
    return text or None


def as_text(value: object, *, most: int = MOST_TEXT) -> str:
    """Text; whole numbers lose their ".0".

    A text may begin like a formula: a workbook is read by its saved values, so what
    comes as text was text.

    Raises:
        CellError: longer than ``most``.
    """
    if isinstance(value, float) and value.is_integer():
        value = int(value)
    if isinstance(value, datetime.datetime):
        value = value.date().isoformat()
    text = str(value)
    if len(text) > most:
        raise CellError(
            say("is {text} characters long", text=len(text)),
            say("at most {most} characters fit", most=most),
        )
    return text


def as_decimal(value: object) -> Decimal:
    """A number, from a number or from text with either decimal mark.

    Raises:
        CellError: no number, or one that can be read in two ways ("1.234").
    """
    if isinstance(value, bool):
        raise CellError(say("is no number"), say("a number such as 12.5"))
    if isinstance(value, int | Decimal):
        return Decimal(value)
    if isinstance(value, float):
        return Decimal(repr(value))
    if not isinstance(value, str):
        raise CellError(say("is no number"), say("a number such as 12.5"))
    return _number_in(value)


def _number_in(text: str) -> Decimal:
    _refuse_formula(text)
    bare = re.sub(
        r"(?i)^(usd|eur|gbp|cad|[$€£])\s*|\s*(usd|eur|gbp|cad|[$€£%])$", "", text
    )
    if not NUMBER.match(bare):
        raise CellError(
            say("is no number"), say("a number such as 12.5, the unit left out")
        )
    bare = bare.replace("'", "").replace(" ", "")
    if GROUPED_BY_POINT.match(bare) or GROUPED_BY_COMMA.match(bare):
        whole = re.sub(r"[.,]", "", bare)
        raise CellError(
            say("can be read in two ways"),
            say(
                "write {whole}, or {bare}0 for the fraction",
                whole=whole,
                bare=bare.replace(",", "."),
            ),
        )
    if "," in bare and "." in bare:
        decimal = max(bare.rfind(","), bare.rfind("."))
        grouping = "." if bare[decimal] == "," else ","
        bare = bare.replace(grouping, "")
    bare = bare.replace(",", ".")
    try:
        return Decimal(bare)
    except InvalidOperation as error:
        raise CellError(say("is no number"), say("a number such as 12.5")) from error


def as_whole(value: object) -> int:
    """A whole number.

    Raises:
        CellError: no number, or with a fraction.
    """
    number = as_decimal(value)
    if number != number.to_integral_value():
        raise CellError(say("is not whole"), say("a whole number"))
    return int(number)


def as_date(value: object) -> datetime.date:
    """A date: a real one, or text as 2026-06-10, 10.06.2026 or 06/10/2026.

    Raises:
        CellError: no date, or slashes that can be read in two ways.
    """
    if isinstance(value, datetime.datetime):
        return value.date()
    if isinstance(value, datetime.date):
        return value
    if isinstance(value, str):
        _refuse_formula(value)
        return _day_in(value)
    raise CellError(say("is no date"), say("a date such as 2026-06-10"))


def _day_in(text: str) -> datetime.date:
    wanted = say("a date such as 2026-06-10")
    try:
        if match := ISO_DAY.match(text):
            return datetime.date(*map(int, match.groups()))
        if match := DOTTED_DAY.match(text):
            day, month, year = map(int, match.groups())
            return datetime.date(year, month, day)
        if match := SLASHED_DAY.match(text):
            first, second, year = map(int, match.groups())
            return _slashed(first, second, year)
    except ValueError as error:
        if isinstance(error, CellError):
            raise
        raise CellError(say("is no day of the calendar"), wanted) from error
    raise CellError(say("is no date"), wanted)


def _slashed(first: int, second: int, year: int) -> datetime.date:
    if first > 12 >= second:
        return datetime.date(year, second, first)
    if second > 12 >= first or first == second:
        return datetime.date(year, first, second)
    raise CellError(
        say("can be read in two ways"),
        say(
            "write {year}-{first:02}-{second:02} or {year}-{second:02}-{first:02}",
            year=year,
            first=first,
            second=second,
        ),
    )


def as_moment(value: object) -> datetime.datetime:
    """A date with its time, without a zone: the seller's.

    Raises:
        CellError: no moment.
    """
    if isinstance(value, datetime.datetime):
        return value.replace(tzinfo=None)
    if isinstance(value, datetime.date):
        return datetime.datetime.combine(value, datetime.time(12))
    try:
        return datetime.datetime.fromisoformat(str(value)).replace(tzinfo=None)
    except ValueError:
        return datetime.datetime.combine(as_date(value), datetime.time(12))


def as_time(value: object) -> datetime.time:
    """A time of day: a real one, or text as 10:40.

    Raises:
        CellError: no time.
    """
    if isinstance(value, datetime.datetime):
        return value.time()
    if isinstance(value, datetime.time):
        return value
    try:
        return datetime.time.fromisoformat(str(value))
    except ValueError as error:
        raise CellError(
            say("is no time of day"), say("a time such as 10:40")
        ) from error


def as_boolean(value: object) -> bool:
    """Yes or no.

    Raises:
        CellError: neither.
    """
    if isinstance(value, bool):
        return value
    word = str(value).strip().lower().removesuffix(".0")
    if word in YES:
        return True
    if word in NO:
        return False
    raise CellError(say("is neither yes nor no"), say("yes or no"))


def _refuse_formula(text: str) -> None:
    if text.startswith("="):
        raise CellError(
            say("is a formula without a saved value"),
            say("open the file in your spreadsheet, paste the values, save again"),
        )
