"""Scaling a recipe: down freely, never up; the cook's words scale with it."""

from decimal import Decimal
from fractions import Fraction

from inventory.quantities import QuantityError, read_quantity
from inventory.words import say, say_count
from production.wording import number_text

__all__ = [
    "ScaledUpError",
    "ScalingError",
    "WholeOnlyError",
    "check_factor",
    "cook_text",
    "share_said",
]

LEAST_FACTOR = Decimal("0.01")
SIGNS = {
    Fraction(1, 8): "⅛",
    Fraction(1, 4): "¼",
    Fraction(1, 3): "⅓",
    Fraction(3, 8): "⅜",
    Fraction(1, 2): "½",
    Fraction(5, 8): "⅝",
    Fraction(2, 3): "⅔",
    Fraction(3, 4): "¾",
    Fraction(7, 8): "⅞",
}
SHORT_UNITS = {
    "pound": "lb",
    "ounce": "oz",
    "gram": "g",
    "kilogram": "kg",
    "milliliter": "ml",
    "liter": "l",
    "teaspoon": "tsp",
    "tablespoon": "tbsp",
    "piece": "",
}


class ScalingError(ValueError):
    """A share of a recipe that is no batch."""


class ScaledUpError(ScalingError):
    """More than the tested batch was asked for; the sentence offers another way."""

    def __init__(self, factor: Decimal) -> None:
        self.factor = factor
        super().__init__(
            say(
                "a batch of {factor} % is larger than the tested one: jam does not "
                "set reliably when a batch is scaled up; cook {offer} instead",
                factor=number_text(factor * 100),
                offer=self._offer(),
            )
        )

    def _offer(self) -> str:
        whole, rest = divmod(self.factor, 1)
        loads = [say("{whole} full", whole=_count(int(whole)))]
        if rest == Decimal("0.5"):
            loads.append(say("one half"))
        elif rest:
            loads.append(say("one of {rest} %", rest=number_text(rest * 100)))
        several = 1 if rest and whole == 1 else int(whole) + bool(rest)
        return say_count(
            "{loads} batch",
            "{loads} batches",
            several,
            loads=say(" and ").join(loads),
        )


class WholeOnlyError(ScalingError):
    """Part of a recipe was asked for that is cooked in full batches only."""

    def __init__(self, recipe: str) -> None:
        self.recipe = recipe
        super().__init__(
            say(
                "{recipe} is cooked in full batches only, as its recipe says; plan a "
                "full batch, or write a version that may be made smaller",
                recipe=recipe,
            )
        )


def _count(number: int) -> str:
    words = {1: say("one"), 2: say("two"), 3: say("three"), 4: say("four")}
    return words.get(number, str(number))


def check_factor(factor: Decimal) -> Decimal:
    """Return a share of the tested batch, or refuse it.

    Raises:
        ScaledUpError: above 1; the sentence offers full and part batches.
        ScalingError: nothing to cook.

    Source: USDA AIB 539, one batch at a time; Michigan State University Extension
    01600551, never double a recipe.
    """
    if factor > 1:
        raise ScaledUpError(factor)
    if factor < LEAST_FACTOR:
        raise ScalingError(say("a batch is at least 1 % of the tested one"))
    return factor


def share_said(share: Decimal) -> str:
    """Return a share of the tested batch in words; nothing for a full one."""
    if share == 1:
        return ""
    if share == Decimal("0.5"):
        return say("half batch")
    return say("{share} % of a batch", share=number_text(share * 100))


def cook_text(as_typed: str, factor: Decimal) -> str:
    """Return a cook's quantity scaled, in the units it was typed in.

    Args:
        as_typed: the quantity of the recipe ("1 3/4 lb").
        factor: share of the tested batch.

    Returns:
        "¾ lb" and the like, halves to eighths and thirds as fractions, other
        parts as decimals; the text as typed at the full batch.
    """
    if factor == 1:
        return as_typed
    try:
        quantity = read_quantity(as_typed)
    except QuantityError:
        return say(
            "{factor} % of {as_typed}",
            factor=number_text(factor * 100),
            as_typed=as_typed,
        )
    share = Fraction(factor)
    return " ".join(
        f"{_amount(part.amount * share)} {_unit(part.unit, part.amount * share)}".strip()
        for part in quantity.parts
    )


def _amount(amount: Fraction) -> str:
    whole, rest = divmod(amount, 1)
    if not rest:
        return str(whole)
    if rest in SIGNS:
        return f"{whole} {SIGNS[rest]}" if whole else SIGNS[rest]
    places = 2 if amount < 10 else 0
    return number_text(Decimal(amount.numerator) / amount.denominator, places=places)


def _unit(unit: str, amount: Fraction) -> str:
    first, _, state = unit.partition(" ")
    if first in SHORT_UNITS:
        return f"{SHORT_UNITS[first]} {state}".strip()
    if first == "cup" and amount > 1:
        return f"cups {state}".strip()
    return unit
