"""Reads a measured figure as it is typed: "220", "220 F", "104.5 C", "1/4 in".

A number alone is in the seller's unit (`inventory.measures`); a number with a unit
is in that one. A decimal comma is read like a point; a comma before exactly three
digits is refused, because "1,200" means different things to different readers.
"""

import re
import unicodedata
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType

from inventory.measure_setting import MeasureSystem
from inventory.measures import Measure, Scale, scale_of
from inventory.units import factor
from inventory.words import say

__all__ = ["MeasureError", "read_measure", "read_number"]

LONGEST_TEXT = 20
_NUMBER = re.compile(
    r"(?P<sign>[-\u2212]?) ?(?:(?P<whole>\d{1,6})[ -]+)?"
    r"(?:(?P<over>\d{1,4}) ?/ ?(?P<under>\d{1,4})|(?P<decimal>\d*[.,]?\d+))"
    r" *(?P<unit>[^\W\d_°\"'\u2033\u2032]*\.?|.*)"
)
_POUNDS_AND_OUNCES = re.compile(
    r"(?P<pounds>[^a-z]+ ?(?:lbs?|pounds?)\b\.?)[ ,]*(?P<ounces>[^a-z]+ ?(?:oz|ounces?)\.?)"
)
_THOUSANDS = re.compile(r"(?<![\d.,])[1-9]\d{0,2},\d{3}(?![\d,])")

_FAHRENHEIT, _FEET, _INCH, _MILE = (
    scale_of(each, MeasureSystem.US)
    for each in (
        Measure.TEMPERATURE,
        Measure.ALTITUDE,
        Measure.LENGTH,
        Measure.DISTANCE,
    )
)


def _sized(size: Fraction | str | int, *words: str) -> dict[str, Scale]:
    return {word: Scale(unit=words[0], size=Fraction(size)) for word in words}


_OUNCE_A_CUP = factor("ounce") / factor("cup")
_GRAMS = {
    **_sized(1, "g", "gram", "grams"),
    **_sized(1000, "kg", "kilo", "kilos"),
    **_sized(factor("ounce"), "oz", "ounce", "ounces"),
    **_sized(factor("pound"), "lb", "lbs", "pound", "pounds"),
}
_MILLILITRES = {
    **_sized(1, "ml"),
    **_sized(10, "cl"),
    **_sized(1000, "l", "litre", "litres", "liter", "liters"),
    **_sized(factor("fluid_ounce"), "fl oz", "floz", "fl. oz", "fl. oz.", "oz"),
    **_sized(factor("cup"), "cup", "cups"),
    **_sized(factor("pint"), "pt", "pint", "pints"),
    **_sized(factor("quart"), "qt", "quart", "quarts"),
    **_sized(factor("gallon"), "gal", "gallon", "gallons"),
}
# A cubic foot, as freezers are sold by: 12 in each way.
_CUBIC_FOOT_ML = (12 * Fraction("2.54")) ** 3


def _a_thousandth(scales: dict[str, Scale]) -> dict[str, Scale]:
    return {
        word: Scale(unit=each.unit, size=each.size / 1000)
        for word, each in scales.items()
    }


_UNITS = MappingProxyType(
    {
        Measure.TEMPERATURE: {
            "c": Scale(unit="°C"),
            "celsius": Scale(unit="°C"),
            "f": _FAHRENHEIT,
            "fahrenheit": _FAHRENHEIT,
        },
        Measure.DEGREES: {
            **_sized(1, "c", "celsius"),
            **_sized(Fraction(5, 9), "f", "fahrenheit"),
        },
        Measure.ALTITUDE: {
            **_sized(1, "m", "metre", "metres", "meter", "meters"),
            **_sized(_FEET.size, "ft", "foot", "feet", "'"),
        },
        Measure.LENGTH: {
            **_sized(1, "mm"),
            **_sized(10, "cm"),
            **_sized(_INCH.size, "in", "inch", "inches", '"'),
        },
        Measure.VOLUME: _MILLILITRES,
        Measure.SPACE: _a_thousandth(
            {**_MILLILITRES, **_sized(_CUBIC_FOOT_ML, "cu ft", "cubic feet", "ft3")}
        ),
        Measure.DISTANCE: {
            **_sized(1, "km"),
            **_sized(_MILE.size, "mi", "mile", "miles"),
        },
        Measure.WEIGHT: _GRAMS,
        Measure.GOODS: _a_thousandth(_GRAMS),
        Measure.AREA: {
            **_sized(1, "cm²", "cm2"),
            **_sized((_INCH.size / 10) ** 2, "sq in", "in²", "in2"),
        },
        Measure.DENSITY: {
            **_sized(1, "g/ml"),
            **_sized(_OUNCE_A_CUP, "oz/cup", "oz a cup"),
            **_sized(1 / factor("cup"), "g/cup", "g a cup"),
        },
    }
)


class MeasureError(ValueError):
    """Text that is no figure of this measure."""


def read_measure(text: str, measure: Measure) -> Decimal:
    """Return a typed figure in the unit it is stored in.

    Args:
        text: a number, with a unit where it is not the seller's own; of a weight also
            pounds and ounces ("2 lb 4 oz").
        measure: what it is a figure of.

    Returns:
        The stored unit's figure; exact for decimals, else to 28 digits.

    Raises:
        MeasureError: no number, a number read two ways, or a unit of something else.
    """
    both = _POUNDS_AND_OUNCES.fullmatch(text.strip().casefold())
    if both and measure in {Measure.WEIGHT, Measure.GOODS}:
        return read_measure(both["pounds"], measure) + read_measure(
            both["ounces"], measure
        )
    number, unit = read_number(text)
    if not unit:
        return _decimal(scale_of(measure).stored(number))
    scale = _UNITS[measure].get(unit)
    if scale is None:
        raise MeasureError(
            say(
                '"{unit}" is no unit for this; write {known}, or the number alone',
                unit=unit,
                known=_known(measure),
            )
        )
    return _decimal(scale.stored(number))


def read_number(text: str) -> tuple[Fraction, str]:
    """Return a typed number, exact, and the word after it in small letters.

    Raises:
        MeasureError: no number, or one that can be read two ways.
    """
    typed = text.strip()
    plain = _plain(typed)
    match = _NUMBER.fullmatch(plain)
    if match is None or len(typed) > LONGEST_TEXT:
        raise MeasureError(
            say('"{typed}" is no figure; enter a number', typed=typed[:LONGEST_TEXT])
        )
    if _THOUSANDS.search(plain):
        raise MeasureError(
            say(
                '"{typed}" can be read two ways; write thousands without a comma',
                typed=typed,
            )
        )
    amount = _amount(typed, match)
    unit = " ".join(match["unit"].removeprefix("°").split())
    return (-amount if match["sign"] else amount), unit


def _plain(typed: str) -> str:
    spelled = []
    for character in typed:
        if unicodedata.decomposition(character).startswith("<fraction>"):
            part = Fraction(unicodedata.numeric(character)).limit_denominator(100)
            spelled.append(f" {part} ")
        else:
            spelled.append(character)
    plain = "".join(spelled).replace("\u2044", "/").replace("\u2033", '"')
    plain = plain.replace("\u2032", "'").replace("º", "°")
    return " ".join(plain.casefold().split())


def _amount(typed: str, match: re.Match[str]) -> Fraction:
    if match["decimal"]:
        if match["whole"]:
            raise MeasureError(say('"{typed}" is two numbers; enter one', typed=typed))
        return Fraction(match["decimal"].replace(",", "."))
    if not int(match["under"]):
        raise MeasureError(
            say('"{typed}" divides by nothing; enter a number', typed=typed)
        )
    return int(match["whole"] or 0) + Fraction(int(match["over"]), int(match["under"]))


def _known(measure: Measure) -> str:
    signs = dict.fromkeys(each.unit for each in _UNITS[measure].values())
    return ", ".join(
        "°" + sign.upper() if sign in {"c", "f"} else sign for sign in signs
    )


def _decimal(exact: Fraction) -> Decimal:
    return Decimal(exact.numerator) / exact.denominator
