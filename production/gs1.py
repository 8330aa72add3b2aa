"""GS1 identifiers and element strings, for makers who have a number of their own.

Reads and writes what a scanner or another firm's paper may hold: trade item
numbers with their check digit, bracketed element strings, their plain form with
separators, and the text a scanner delivers. Direct sale needs none of it: the
batch code alone serves. No number is ever invented here; a GTIN is licensed from
a GS1 member organisation.

Source: GS1 Barcode Syntax Dictionary and the tests of the GS1 Syntax Engine
(both Apache-2.0), snapshots of 2026; identifiers in ``gs1_identifiers.toml``.
"""

import re
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path

from stdnum import ean
from stdnum.exceptions import ValidationError

from inventory.words import say

__all__ = [
    "SEPARATOR",
    "Element",
    "ElementStringError",
    "Gtin",
    "GtinError",
    "Identifier",
    "bracketed",
    "check_associations",
    "element_string",
    "find_identifier",
    "has_check_digit",
    "net_weight_element",
    "parse_bracketed",
    "parse_plain",
    "read_gtin",
    "read_scan",
]

SEPARATOR = "\x1d"
SCANNER_PREFIXES = ("]C1", "]d2", "]Q3", "]e0")
EXAMPLE_PREFIX = "952"

_CHARACTERS_82 = frozenset(
    "!\"%&'()*+,-./0123456789:;<=>?ABCDEFGHIJKLMNOPQRSTUVWXYZ_"
    "abcdefghijklmnopqrstuvwxyz"
)
_GTIN_LENGTHS = (8, 12, 13, 14)


class GtinError(ValueError):
    """A text is not a trade item number."""


class ElementStringError(ValueError):
    """A text is not a valid GS1 element string."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Gtin:
    """A trade item number, kept as 14 digits padded with zeros on the left."""

    digits: str

    def __post_init__(self) -> None:
        if len(self.digits) != 14 or not has_check_digit(self.digits):
            raise GtinError(
                say(
                    '"{digits}" is not a 14-digit trade item number', digits=self.digits
                )
            )

    @property
    def is_in_house(self) -> bool:
        """Whether it is of a range for use inside one house (02, 04, 20 to 29)."""
        return self.digits.startswith(("002", "004", "02"))

    @property
    def is_example(self) -> bool:
        """Whether it is of the range kept for examples (952)."""
        return self.digits[1:].startswith(EXAMPLE_PREFIX)

    def __str__(self) -> str:
        return self.digits


@dataclass(frozen=True, slots=True, kw_only=True)
class Identifier:
    """One application identifier: what its value looks like and goes with."""

    ai: str
    title: str
    pattern: str
    check: bool = False
    date: bool = False
    fixed: bool = False
    query: bool = False
    qualifiers: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    excludes: tuple[str, ...] = ()

    @property
    def length(self) -> int:
        """Greatest number of characters of a value."""
        return int(self.pattern.lstrip("NX."))

    def refuse(self, value: str) -> str:
        """Return what is wrong with a value, or an empty text.

        Args:
            value: the value without its identifier.
        """
        name = f"({self.ai}) {self.title}"
        if not value:
            return say("{name} has no value", name=name)
        if ".." not in self.pattern and len(value) != self.length:
            return say(
                "{name} takes {length} digits, not {value}",
                name=name,
                length=self.length,
                value=len(value),
            )
        if len(value) > self.length:
            return say(
                "{name} takes at most {length} characters, not {value}",
                name=name,
                length=self.length,
                value=len(value),
            )
        return self._refuse_characters(name, value)

    def _refuse_characters(self, name: str, value: str) -> str:
        if self.pattern.startswith("N") and not _is_digits(value):
            return say(
                '{name} takes digits only, not "{value}"', name=name, value=value
            )
        if not set(value) <= _CHARACTERS_82:
            return say(
                '"{value}" holds a character that {name} cannot carry',
                value=value,
                name=name,
            )
        if self.check and not has_check_digit(value):
            return say(
                "the check digit of {name} {value} is wrong", name=name, value=value
            )
        if self.date and not _is_date(value):
            return say(
                "{name} {value} is no date of the form YYMMDD", name=name, value=value
            )
        return ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Element:
    """One identifier with its value; refuses what the identifier cannot carry."""

    ai: str
    value: str

    def __post_init__(self) -> None:
        wrong = find_identifier(self.ai).refuse(self.value)
        if wrong:
            raise ElementStringError(wrong)


def has_check_digit(digits: str) -> bool:
    """Tell whether the last digit is the GS1 check digit of those before it.

    Weights 3 and 1 alternate from the right. A swap of neighbours that differ by
    five is not seen; that is a known blind spot of the scheme.

    Args:
        digits: at least two digits.
    """
    if len(digits) < 2 or not _is_digits(digits):
        return False
    return str(ean.calc_check_digit(digits[:-1])) == digits[-1]


def read_gtin(text: str) -> Gtin:
    """Read a trade item number of 8, 12, 13 or 14 digits.

    Args:
        text: digits; hyphens and spaces between them are ignored.

    Raises:
        GtinError: another length, a character that is no digit, or a wrong check
            digit.
    """
    try:
        digits = str(ean.compact(text))
    except ValidationError as error:
        raise GtinError(
            say('"{text}" is not a trade item number', text=text)
        ) from error
    if not _is_digits(digits) or len(digits) not in _GTIN_LENGTHS:
        raise GtinError(
            say(
                '"{text}" is not a trade item number; it has 8, 12, 13 or 14 digits',
                text=text,
            )
        )
    if not has_check_digit(digits):
        raise GtinError(
            say(
                "the check digit of {text} is wrong; compare it with its paper",
                text=text,
            )
        )
    return Gtin(digits=digits.zfill(14))


@cache
def _identifiers() -> dict[str, Identifier]:
    path = Path(__file__).with_name("gs1_identifiers.toml")
    rows = tomllib.loads(path.read_text(encoding="utf-8"))["identifier"]
    table: dict[str, Identifier] = {}
    for row in rows:
        lists = {k: tuple(v) for k, v in row.items() if isinstance(v, list)}
        decimals = range(6) if row["ai"].endswith("n") else range(1)
        for n in decimals:
            ai = row["ai"].replace("n", str(n))
            table[ai] = Identifier(**{**row, **lists, "ai": ai})
    return table


def find_identifier(ai: str) -> Identifier:
    """Return the identifier of that number.

    Raises:
        ElementStringError: it is not one of those this trade uses.
    """
    found = _identifiers().get(ai)
    if found is None:
        raise ElementStringError(
            say('"{ai}" is not an application identifier this program knows', ai=ai)
        )
    return found


def parse_bracketed(text: str) -> tuple[Element, ...]:
    r"""Read the form for people: ``(01)09521234543213(10)26196AM``.

    Args:
        text: identifiers in brackets; an opening bracket inside a value is
            written ``\(``.

    Raises:
        ElementStringError: the text has another form or a value is refused.
    """
    parts = re.split(r"(?<!\\)\(", text)
    if parts[0] or len(parts) < 2:
        raise ElementStringError(
            say('"{text}" does not begin with an identifier', text=text)
        )
    elements = []
    for part in parts[1:]:
        ai, bracket, value = part.partition(")")
        if not bracket or not re.fullmatch(r"[0-9]{2,4}", ai):
            raise ElementStringError(
                say('"({part}" does not begin with an identifier', part=part)
            )
        elements.append(Element(ai=ai, value=value.replace("\\(", "(")))
    return _without_repetition(elements)


def bracketed(elements: Sequence[Element]) -> str:
    """Write elements in the form for people; undone by ``parse_bracketed``."""
    return "".join(
        f"({element.ai}){element.value.replace('(', chr(92) + '(')}"
        for element in elements
    )


def element_string(elements: Sequence[Element]) -> str:
    """Write elements in the form for symbols, with separators where needed.

    Args:
        elements: in the order wanted; fixed lengths first saves characters.

    Returns:
        Text in which a value of variable length that is not last ends with the
        group separator (character 29).
    """
    parts = []
    for at, element in enumerate(elements):
        last = at == len(elements) - 1
        fixed = find_identifier(element.ai).fixed
        parts.append(element.ai + element.value + ("" if fixed or last else SEPARATOR))
    return "".join(parts)


def parse_plain(text: str) -> tuple[Element, ...]:
    """Read the form for symbols; undoes ``element_string``.

    Raises:
        ElementStringError: an unknown identifier or a refused value.
    """
    elements = []
    rest = text
    while rest:
        identifier = _identifier_at_start(rest)
        rest = rest[len(identifier.ai) :]
        if identifier.fixed:
            value, rest = rest[: identifier.length], rest[identifier.length :]
            rest = rest.removeprefix(SEPARATOR)
        else:
            value, _, rest = rest.partition(SEPARATOR)
        elements.append(Element(ai=identifier.ai, value=value))
    return _without_repetition(elements)


def read_scan(text: str) -> tuple[Element, ...]:
    """Read what a scanner delivers: its prefix, then an element string.

    Raises:
        ElementStringError: the prefix is not that of a GS1 symbol.
    """
    for prefix in SCANNER_PREFIXES:
        if text.startswith(prefix):
            return parse_plain(text.removeprefix(prefix).removeprefix(SEPARATOR))
    raise ElementStringError(say("the scan does not say that it is a GS1 symbol"))


def check_associations(elements: Sequence[Element]) -> None:
    """Refuse identifiers that stand without, or beside, what the rules say.

    Raises:
        ElementStringError: a batch without its trade item, for instance.
    """
    present = {element.ai for element in elements}
    for element in elements:
        identifier = find_identifier(element.ai)
        if identifier.needs and present.isdisjoint(identifier.needs):
            wanted = ", ".join(identifier.needs)
            raise ElementStringError(
                say(
                    "({ai}) {identifier} needs one of {wanted} beside it",
                    ai=element.ai,
                    identifier=identifier.title,
                    wanted=wanted,
                )
            )
        clash = sorted(present & set(identifier.excludes))
        if clash:
            raise ElementStringError(
                say(
                    "({ai}) cannot stand beside ({clash})",
                    ai=element.ai,
                    clash=clash[0],
                )
            )


def net_weight_element(mass_g: Decimal) -> Element:
    """Write a net weight as (3103), kilograms with three decimals.

    Args:
        mass_g: whole grams.

    Raises:
        ElementStringError: the mass is not a whole number of grams, or too much.
    """
    if mass_g != mass_g.to_integral_value() or not 0 <= mass_g <= 999_999:
        raise ElementStringError(
            say("{mass_g} g cannot be written as whole grams", mass_g=mass_g)
        )
    return Element(ai="3103", value=f"{int(mass_g):06d}")


def _is_digits(text: str) -> bool:
    return text.isascii() and text.isdecimal()


def _is_date(text: str) -> bool:
    """YYMMDD; day 00 stands for an unspecified day of the month."""
    year, month, day = int(text[:2]), int(text[2:4]), int(text[4:])
    try:
        date(2000 + year, month, day or 1)
    except ValueError:
        return False
    return True


def _identifier_at_start(text: str) -> Identifier:
    for length in (2, 3, 4):
        found = _identifiers().get(text[:length])
        if found is not None:
            return found
    raise ElementStringError(
        say('"{text}" is not an application identifier', text=text[:4])
    )


def _without_repetition(elements: Sequence[Element]) -> tuple[Element, ...]:
    values: dict[str, str] = {}
    for element in elements:
        if values.setdefault(element.ai, element.value) != element.value:
            raise ElementStringError(
                say("({ai}) stands twice with two values", ai=element.ai)
            )
    return tuple(elements)
