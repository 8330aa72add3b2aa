"""Grams and pieces written for people, in metric or US kitchen measures.

The seller's setting decides where a caller names none; `inventory.measures` holds
the rule for every other measure. Nothing here is read back by the program: what is stored stays in grams. A kitchen
measure is the nearest one a cook has in the drawer, and says how far off it is.
"""

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from babel.numbers import format_decimal

from inventory.measure_setting import MeasureSystem, setting
from inventory.units import GRAMS_PER_OUNCE, factor
from inventory.words import local, say, say_count, to_say_count

__all__ = [
    "KitchenMeasure",
    "MeasureSystem",
    "format_amount",
    "format_kitchen",
    "format_mass",
    "format_pieces",
]

MINUS = "\u2212"
_SIGNS = {
    Fraction(1, 8): "⅛",
    Fraction(1, 4): "¼",
    Fraction(1, 3): "⅓",
    Fraction(1, 2): "½",
    Fraction(2, 3): "⅔",
    Fraction(3, 4): "¾",
}
_QUARTERS = (Fraction(0), Fraction(1, 4), Fraction(1, 2), Fraction(3, 4), Fraction(1))
_CUP_STEPS = (*_QUARTERS, Fraction(1, 3), Fraction(2, 3))
_SPOONS = (
    ("cup", "cup", Fraction(1, 4), _CUP_STEPS),
    ("tablespoon", "tbsp", Fraction(1), (Fraction(0), Fraction(1, 2), Fraction(1))),
    ("teaspoon", "tsp", Fraction(1, 8), (*_QUARTERS, Fraction(1, 8))),
)


_COUNTED = {
    "jars": to_say_count("{counted} jar", "{counted} jars"),
    "pieces": to_say_count("{counted} piece", "{counted} pieces"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class KitchenMeasure:
    """The nearest measure a cook has in the drawer.

    Attributes:
        text: as written for people ("1 ¾ cups").
        grams: what that measure holds, unrounded.
        off_fraction: (measure - wanted) ÷ wanted; 0 when exact.
    """

    text: str
    grams: Decimal
    off_fraction: Decimal


def format_mass(
    grams: Decimal,
    *,
    system: MeasureSystem | None = None,
    locale: str | None = None,
) -> str:
    """A weight for people: "4.2 g", "250 g", "1.25 kg"; "9.9 oz", "2 lb 4 oz".

    Args:
        grams: the weight, g; below zero for what left.
        system: metric or US; the seller's if left out.
        locale: whose decimal sign ("en_US", "de_DE"); the seller's if left out.

    Returns:
        Text rounded half-up: 0.1 g below 10 g, 1 g below 1 kg, then 10 g;
        ounces to 0.1, with pounds from one pound up, and grams below a quarter
        ounce, where a tenth is too coarse.
    """
    system, locale = system or setting().system, locale or setting().locale
    size = abs(grams)
    sign = MINUS if grams < 0 and _rounded(size, "0.1") else ""
    if system is MeasureSystem.US and size * 4 >= GRAMS_PER_OUNCE.value:
        return sign + _pounds_and_ounces(size, locale)
    if size < 10:
        return f"{sign}{_number(size, '0.1', locale)} g"
    if _rounded(size, "1") < 1000:
        return f"{sign}{_number(size, '1', locale)} g"
    return f"{sign}{_number(size / 1000, '0.01', locale)} kg"


def format_pieces(pieces: Decimal, *, locale: str | None = None) -> str:
    """A count for people, whole or with its decimals: "1,200", "2.5"."""
    locale = locale or setting().locale
    return format_decimal(pieces.normalize(), format="#,##0.###", locale=local(locale))


def format_amount(
    quantity: Decimal,
    unit: str,
    *,
    system: MeasureSystem | None = None,
    locale: str | None = None,
) -> str:
    """A quantity of stock with its unit: a weight, or pieces or jars.

    Args:
        quantity: in ``unit``.
        unit: "g", or the word for what is counted ("pieces", "jars").
        system: metric or US, for weights; the seller's if left out.
        locale: whose decimal sign; the seller's if left out.
    """
    if unit == "g":
        return format_mass(quantity, system=system, locale=locale)
    counted = format_pieces(abs(quantity), locale=locale)
    sign = MINUS if quantity < 0 else ""
    if unit not in _COUNTED:
        return f"{sign}{counted} {unit}"
    one_or_more = 1 if abs(quantity) == 1 else 2
    return sign + say_count(*_COUNTED[unit], one_or_more, counted=counted)


def format_kitchen(grams: Decimal, *, density_g_per_ml: Decimal) -> KitchenMeasure:
    """The nearest cups or spoons for a weight.

    Args:
        grams: what is wanted, g, more than zero.
        density_g_per_ml: of the material as measured with a cup.

    Returns:
        Cups in quarters and thirds from a quarter cup up, tablespoons in halves
        from one up, teaspoons in quarters below, never less than one eighth.
    """
    if grams <= 0:
        raise ValueError(say("{grams} g is not more than nothing", grams=grams))
    wanted_ml = Fraction(grams) / Fraction(density_g_per_ml)
    unit, name, smallest, steps = next(
        (spoon for spoon in _SPOONS if wanted_ml >= spoon[2] * factor(spoon[0])),
        _SPOONS[-1],
    )
    amount = max(_nearest(wanted_ml / factor(unit), steps), smallest)
    held_g = amount * factor(unit) * Fraction(density_g_per_ml)
    return KitchenMeasure(
        text=f"{_mixed(amount)} {name}{'s' if name == 'cup' and amount > 1 else ''}",
        grams=Decimal(held_g.numerator) / held_g.denominator,
        off_fraction=_decimal((held_g - Fraction(grams)) / Fraction(grams)),
    )


def _pounds_and_ounces(grams: Decimal, locale: str) -> str:
    ounces = _rounded(grams / GRAMS_PER_OUNCE.value, "0.1")
    if ounces < 16:
        return f"{_number(ounces, '0.1', locale)} oz"
    pounds, rest = divmod(ounces, 16)
    whole = f"{_number(pounds, '1', locale)} lb"
    return f"{whole} {_number(rest, '0.1', locale)} oz" if rest else whole


def _rounded(value: Decimal, step: str) -> Decimal:
    return value.quantize(Decimal(step), ROUND_HALF_UP)


def _number(value: Decimal, step: str, locale: str) -> str:
    return format_decimal(
        _rounded(value, step), format="#,##0.##", locale=local(locale)
    )


def _decimal(value: Fraction) -> Decimal:
    return (Decimal(value.numerator) / value.denominator).quantize(Decimal("0.0001"))


def _nearest(amount: Fraction, steps: tuple[Fraction, ...]) -> Fraction:
    whole = amount // 1
    return min((whole + step for step in steps), key=lambda near: abs(near - amount))


def _mixed(amount: Fraction) -> str:
    whole, part = divmod(amount, 1)
    if not part:
        return str(whole)
    return f"{whole} {_SIGNS[part]}" if whole else _SIGNS[part]
