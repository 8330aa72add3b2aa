"""Reads the quantity a cook writes: "1 3/4 lb", "2 lb 4 oz", "½ tsp", "4 lemons".

The text is taken apart into exact amounts and unit words; nothing is converted
here. A decimal comma is read like a point; a comma before exactly three digits is
refused, because "1,500" means different amounts to different readers.
"""

import re
import unicodedata
from fractions import Fraction

from inventory.quantity_parts import (
    LARGEST_AMOUNT,
    AmbiguousNumberError,
    AmbiguousUnitError,
    MissingAmountError,
    MissingUnitError,
    NotPositiveError,
    Part,
    Quantity,
    RangeOfAmountsError,
    TooLargeError,
    UnreadableQuantityError,
)
from inventory.units import canonical_unit

__all__ = ["read_quantity"]

LONGEST_TEXT = 80

_NUMBERS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
_WORDS = {word: Fraction(number) for number, word in enumerate(_NUMBERS, 1)} | {
    "a": Fraction(1),
    "an": Fraction(1),
    "half": Fraction(1, 2),
    "ten": Fraction(10),
    "eleven": Fraction(11),
    "twelve": Fraction(12),
}
_DASHES = dict.fromkeys(map(ord, "\u2010\u2011\u2012\u2013\u2014\u2015\u2212"), "-")
_FLUID_OUNCE = re.compile(r"\b(?:fl\.? ?(?:oz|ounces?)|fluid ?(?:oz|ounces?))\b")
_HALF_A = re.compile(r"\bhalf an?\b|\ba half\b")
_RANGE = re.compile(r"\d *(?:-|\bto\b) *\d+(?![\d ]*/)")
_POWER = re.compile(r"\d *e *[+-]? *\d")
_THOUSANDS = re.compile(r"(?<![\d.,])\d{1,3},\d{3}(?![\d,])")
_DIGITS = re.compile(r"\d{8,}")
_PACKS = re.compile(r"(?P<packs>\d+) *[x\u00d7] *(?=\d)")
_AMOUNT = (
    r"(?P<whole>\d+)[ -]+(?P<over>\d+) ?/ ?(?P<under>\d+)"
    r"|(?P<top>\d+) ?/ ?(?P<bottom>\d+)"
    r"|(?P<decimal>\d+[.,]\d+|[.,]\d+|\d+)"
    r"|(?P<word>" + "|".join(_WORDS) + r")\b"
)
_UNIT = r"(?P<unit>[^\W\d_](?:[^\W\d_]|['\u2019 .-])*?)"
_JOIN = r"(?: *(?:[,+&]|\band\b|\bplus\b) *| *)"
_PART = re.compile(
    rf"(?P<amount>{_AMOUNT})[ -]*{_UNIT}[ .]*"
    rf"(?=$|[,+&]|\band\b|\bplus\b|[.,]?\d){_JOIN}"
)


def read_quantity(text: str) -> Quantity:
    """Read one quantity as a cook writes it.

    Args:
        text: what was typed; upper and lower case, fraction signs, hyphens and
            non-breaking spaces are all understood.

    Returns:
        The text as typed (trimmed) and its parts, exact.

    Raises:
        QuantityError: one of its subclasses, whose sentence says what to write.
    """
    typed = text.strip()
    plain = _plain(typed)
    _refuse_what_is_no_amount(typed, plain)
    times, plain = _packs(typed, plain)
    parts = []
    position = 0
    while position < len(plain):
        match = _PART.match(plain, position)
        if match is None:
            raise _why_not(typed, plain[position:])
        parts.append(_part(typed, match, times))
        position = match.end()
    return Quantity(text=typed, parts=tuple(parts))


def _plain(typed: str) -> str:
    """Lower-case text with plain spaces, hyphens and fractions."""
    spelled = []
    for character in typed:
        decomposition = unicodedata.decomposition(character)
        if decomposition.startswith(("<super>", "<sub>")):
            raise UnreadableQuantityError(typed)
        if decomposition.startswith("<fraction>"):
            value = Fraction(unicodedata.numeric(character)).limit_denominator(100)
            spelled.append(f" {value} ")
        else:
            spelled.append(character)
    plain = unicodedata.normalize("NFKC", "".join(spelled)).translate(_DASHES)
    if re.search(r"\d *T\b", plain):
        raise AmbiguousUnitError(typed, "T")
    plain = plain.replace("\u2044", "/").casefold()
    plain = _FLUID_OUNCE.sub("floz", " ".join(plain.split()))
    plain = _HALF_A.sub("half", plain)
    return re.sub(r", *(?=[^\W\d_])(?!and\b|plus\b)", " ", plain)


def _refuse_what_is_no_amount(typed: str, plain: str) -> None:
    if not plain:
        raise MissingAmountError(typed)
    if len(plain) > LONGEST_TEXT or _POWER.search(plain) or _DIGITS.search(plain):
        raise TooLargeError(typed)
    if plain.startswith("-"):
        raise NotPositiveError(typed)
    if thousands := _THOUSANDS.search(plain):
        raise AmbiguousNumberError(typed, thousands.group())
    if _RANGE.search(plain):
        raise RangeOfAmountsError(typed)


def _packs(typed: str, plain: str) -> tuple[int, str]:
    """How many packs, and what is in each: "3 x 500 g"."""
    match = _PACKS.match(plain)
    if match is None:
        return 1, plain
    if int(match["packs"]) == 0:
        raise NotPositiveError(typed)
    return int(match["packs"]), plain[match.end() :]


def _why_not(typed: str, rest: str) -> Exception:
    if re.fullmatch(rf"(?:{_AMOUNT})[ .]*", rest):
        return MissingUnitError(typed)
    if re.fullmatch(r"[^\W\d_][^\d]*", rest) and rest == _plain(typed):
        return MissingAmountError(typed)
    return UnreadableQuantityError(typed)


def _part(typed: str, match: re.Match[str], times: int) -> Part:
    amount = times * _amount(typed, match)
    if amount <= 0:
        raise NotPositiveError(typed)
    if amount > LARGEST_AMOUNT:
        raise TooLargeError(typed)
    return Part(amount=amount, unit=_unit(match["unit"]))


def _amount(typed: str, match: re.Match[str]) -> Fraction:
    if match["word"]:
        return _WORDS[match["word"]]
    if match["decimal"]:
        return Fraction(match["decimal"].replace(",", "."))
    over = int(match["over"] or match["top"])
    under = int(match["under"] or match["bottom"])
    if under == 0 or (match["whole"] and over >= under):
        raise UnreadableQuantityError(typed)
    return int(match["whole"] or 0) + Fraction(over, under)


def _unit(words: str) -> str:
    """Canonical unit, with the state of the thing kept: "cup sliced"."""
    first, *state = words.replace(".", " ").strip(" -").split()
    if state[:1] == ["of"]:
        state = []
    return " ".join([canonical_unit(first) or first, *state])
