"""Readings and weights as a cook types them: "219", "104 C", "1/4 in", "66 %".

Turns text into the unit a reading is stored in. What the number may be is judged
elsewhere (`production.readings`, `production.gate`).
"""

import re
from decimal import Decimal
from fractions import Fraction

from inventory.measure_reader import MeasureError, read_measure
from inventory.measures import MM_PER_INCH, Measure
from inventory.words import say
from production.readings import ReadingKind

__all__ = ["EntryError", "read_entry", "read_weights", "unit_hint"]

TEMPERATURES = {
    ReadingKind.BOILING_WATER,
    ReadingKind.FINISH_TEMPERATURE,
    ReadingKind.FILL_TEMPERATURE,
}
ANSWERS = {"yes": Decimal(1), "no": Decimal(0)}
SIGNS = {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8"}
WORDS = re.compile(
    r"(?P<number>\d+\s+\d+/\d+|\d+/\d+|\d*[.,]?\d+)\s*(?P<unit>[°%\"a-zA-Z]*)"
)
MOST_DIGITS = 12


class EntryError(ValueError):
    """Text that is no reading of this kind."""


def unit_hint(kind: ReadingKind, *, is_metric: bool) -> str:
    """Return the unit a bare number is taken in."""
    if kind in TEMPERATURES:
        return "°C" if is_metric else "°F"
    if kind is ReadingKind.HEADSPACE:
        return "mm" if is_metric else "in"
    return {
        ReadingKind.SOLIDS: "%",
        ReadingKind.ROLLING_BOIL: "min",
        ReadingKind.PROCESS_MIN: "min",
        ReadingKind.FINISHED_MASS: "g" if is_metric else "lb",
        ReadingKind.SET_TEST: say("yes or no"),
        ReadingKind.JARS_STERILE: say("yes or no"),
    }.get(kind, "")


def read_entry(kind: ReadingKind, text: str, *, is_metric: bool) -> Decimal:
    """Return a typed reading in the unit it is stored in.

    Args:
        kind: what was read.
        text: the number, with a unit where it is not the kitchen's own.
        is_metric: whether a bare number is in degC, mm and g, not degF, in and lb.

    Raises:
        EntryError: no number, or a unit this reading does not have.
    """
    typed = text.strip()
    if kind in {ReadingKind.SET_TEST, ReadingKind.JARS_STERILE}:
        answer = ANSWERS.get(typed.casefold())
        if answer is None:
            raise EntryError(
                say('answer the {kind} with "yes" or "no"', kind=kind.label)
            )
        return answer
    if kind is ReadingKind.FINISHED_MASS:
        return _mass(typed, is_metric=is_metric)
    number, unit = _split(kind, typed)
    hint = unit_hint(kind, is_metric=is_metric)
    return _converted(kind, number, unit or hint).quantize(Decimal("0.001"))


def _split(kind: ReadingKind, typed: str) -> tuple[Decimal, str]:
    plain = typed
    for sign, words in SIGNS.items():
        plain = plain.replace(sign, words)
    match = WORDS.fullmatch(plain.strip())
    if match is None or len(typed) > MOST_DIGITS + 8:
        raise EntryError(
            say('"{typed}" is no {kind}; enter a number', typed=typed, kind=kind.label)
        )
    number = match["number"].replace(",", ".")
    if "/" in number:
        if number.rpartition("/")[2].strip("0") == "":
            raise EntryError(
                say('"{typed}" divides by nothing; enter a number', typed=typed)
            )
        exact = sum((Fraction(part) for part in number.split()), Fraction(0))
        return Decimal(exact.numerator) / exact.denominator, match["unit"]
    return Decimal(number), match["unit"]


def _mass(typed: str, *, is_metric: bool) -> Decimal:
    """Grams of "5 lb 3 oz", "2.35 kg" or a number alone in pounds or grams."""
    alone = re.fullmatch(r"[\d.,/½¼¾⅛ ]+", typed)
    try:
        grams = read_measure(
            f"{typed} {'g' if is_metric else 'lb'}" if alone else typed, Measure.WEIGHT
        )
    except MeasureError as error:
        raise EntryError(str(error)) from error
    return grams.quantize(Decimal("0.001"))


def _converted(kind: ReadingKind, number: Decimal, unit: str) -> Decimal:
    name = unit.casefold().removeprefix("°")
    if kind in TEMPERATURES and name in {"c", "f"}:
        return number if name == "c" else (number - 32) * 5 / 9
    if kind is ReadingKind.HEADSPACE and name in {"in", "inch", "inches", '"', "mm"}:
        return number if name == "mm" else number * MM_PER_INCH.value
    if kind is ReadingKind.SOLIDS and name in {"%", "brix", "bx"}:
        return number / 100
    if name == unit_hint(kind, is_metric=True).casefold():
        return number
    raise EntryError(say('"{unit}" is no unit of a {kind}', unit=unit, kind=kind.label))


def read_weights(text: str, *, tares: str = "") -> list[tuple[Decimal, Decimal]]:
    """Return gross and tare of weighed jars.

    Args:
        text: one jar a line: its full weight in g, and its own empty weight after
            it where it was weighed.
        tares: weights of some empty jars, g, whose average serves the lines with
            one number.

    Raises:
        EntryError: a line is no weight, or no empty weight is known.
    """
    empty = [_weight(word) for word in _words(tares)]
    average = sum(empty, Decimal(0)) / len(empty) if empty else None
    weights = []
    for line in text.splitlines():
        numbers = [_weight(word) for word in _words(line)]
        if not numbers:
            continue
        if len(numbers) > 2:
            raise EntryError(
                say(
                    '"{line}" holds more than a full and an empty jar',
                    line=line.strip(),
                )
            )
        own = numbers[1] if len(numbers) == 2 else average
        if own is None:
            raise EntryError(say("weigh at least one empty jar with its lid and label"))
        weights.append((numbers[0], own.quantize(Decimal("0.1"))))
    return weights


def _words(text: str) -> list[str]:
    return [word for word in re.split(r"[\s;]+", text) if word not in {"", "g"}]


def _weight(word: str) -> Decimal:
    plain = word.casefold().removesuffix("g").replace(",", ".")
    if not re.fullmatch(r"\d{1,6}(\.\d{1,3})?", plain):
        raise EntryError(
            say('"{word}" is no weight; enter grams, such as 524.6', word=word)
        )
    return Decimal(plain)
