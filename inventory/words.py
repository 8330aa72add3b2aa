"""Sentences in the reader's language, for rooms that know no Django.

A sentence is written in English where it belongs, with named gaps, and leaves
through `say`. Who looks it up in a catalogue is told once, by `speak_through`
when the program starts; until then, and in every test of a pure module, the
English sentence itself is the answer.

This stays pure in the sense that matters: no query, no clock, no Django. What a
sentence says depends on its arguments alone; only the language it is said in is
the reader's, as a decimal sign is the reader's. Nothing computes with the words:
code compares keys, never sentences.
"""

import string
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from functools import cache
from typing import Any

from babel import Locale, UnknownLocaleError
from babel.dates import format_date
from babel.numbers import get_decimal_symbol, get_group_symbol

__all__ = [
    "Speaker",
    "as_written_in",
    "figures",
    "local",
    "say",
    "say_count",
    "speak_through",
    "spoken",
    "to_say",
    "to_say_count",
]

NAMES_OF_TIME = {"%A": "EEEE", "%a": "EEE", "%B": "MMMM", "%b": "MMM"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Speaker:
    """Who puts sentences into the reader's language.

    Attributes:
        one: the translation of a sentence, or the sentence itself.
        many: the same for a sentence with a singular and a plural.
        language: code of the reader's language, such as "es" or "es-us".
    """

    one: Callable[[str], str]
    many: Callable[[str, str, int], str]
    language: Callable[[], str]


_ENGLISH = Speaker(
    one=lambda sentence: sentence,
    many=lambda single, several, count: single if count == 1 else several,
    language=lambda: "en",
)
_speakers = [_ENGLISH]


def speak_through(speaker: Speaker) -> None:
    """Name who translates from now on; called once, when the program starts."""
    _speakers[:] = [speaker]


def say(sentence: str, /, **values: Any) -> str:
    """A sentence in the reader's language, its gaps filled in.

    Args:
        sentence: English, written out where it is called so that the catalogue
            finds it, or a constant marked by `to_say`; gaps are named in braces.
        values: what stands in the gaps. Decimals get the reader's decimal sign,
            names of days and months the reader's words; other text goes in as it is.
    """
    spoken_text = _speakers[0].one(sentence) if sentence else ""
    return _filled(spoken_text, values) if values else spoken_text


def say_count(single: str, several: str, count: int, /, **values: Any) -> str:
    """A sentence about one or several things; ``{count}`` may stand in it."""
    chosen = _speakers[0].many(single, several, count)
    return _filled(chosen, {"count": count, **values})


def to_say(sentence: str) -> str:
    """Mark a constant for the catalogue; `say` translates it where it is shown."""
    return sentence


def to_say_count(single: str, several: str) -> tuple[str, str]:
    """Mark a pair of constants for the catalogue, to be unpacked into `say_count`."""
    return single, several


def spoken() -> str:
    """Code of the reader's language, such as "en-us" or "es"."""
    return _speakers[0].language()


def local(locale: str) -> str:
    """The locale figures of a seller are written in for this reader.

    Args:
        locale: the seller's, such as "en_US".

    Returns:
        The seller's own while it is of the reader's language or the reader reads
        English; else the reader's language as written in the seller's country,
        where the locale data knows it ("es" and "en_US" give "es_US").
    """
    language = _bare(spoken())
    plain = locale.replace("-", "_")
    if language in {"en", plain.split("_", maxsplit=1)[0].lower()}:
        return locale
    there = f"{language}_{plain.rpartition('_')[2].upper()}"
    return there if _known(there) else language


def as_written_in(language: str, locale: str) -> str:
    """The reader's language as the seller's country writes figures in it.

    Args:
        language: the reader's, such as "es".
        locale: the seller's, such as "en_US".

    Returns:
        "es-us" where the country parts decimals by a point and the language as such
        does not; else the language.
    """
    bare = _bare(language)
    there = f"{bare}_{locale.replace('-', '_').rpartition('_')[2].upper()}"
    if bare != "es" or not _known(there) or get_decimal_symbol(there) != ".":
        return language
    return "es-us"


def figures(number: str) -> str:
    """A figure with a decimal point, as the reader writes it ("4.6" or "4,6")."""
    signs = _signs(spoken())
    return number if signs == (".", ",") else _with_signs(number, signs)


def _filled(sentence: str, values: dict[str, Any]) -> str:
    if _bare(spoken()) == "en":
        return sentence.format(**values)
    return _FILLER.vformat(sentence, (), values)


class _Filler(string.Formatter):
    """Fills gaps as the reader writes figures and names days."""

    def format_field(self, value: Any, format_spec: str) -> str:
        if isinstance(value, date) and "%" in format_spec:
            return _day(value, format_spec)
        written = format(value, format_spec)
        if isinstance(value, Decimal | float) or "," in format_spec:
            return figures(written)
        return written


_FILLER = _Filler()


def _day(value: date | datetime, form: str) -> str:
    locale = _locale(spoken())
    for code, pattern in NAMES_OF_TIME.items():
        if code in form:
            form = form.replace(code, format_date(value, pattern, locale=locale))
    return value.strftime(form)


def _bare(language: str) -> str:
    return language.replace("_", "-").split("-", maxsplit=1)[0].lower()


@cache
def _known(locale: str) -> bool:
    try:
        Locale.parse(locale)
    except (UnknownLocaleError, ValueError):
        return False
    return True


@cache
def _locale(language: str) -> str:
    name, _, country = language.replace("-", "_").partition("_")
    locale = f"{name}_{country.upper()}"
    return locale if country and _known(locale) else name


@cache
def _signs(language: str) -> tuple[str, str]:
    if _bare(language) == "en":
        return (".", ",")
    locale = _locale(language)
    return (get_decimal_symbol(locale), get_group_symbol(locale))


def _with_signs(number: str, signs: tuple[str, str]) -> str:
    point, group = signs
    return number.translate({ord("."): point, ord(","): group})
