"""How much is in the jar, in the words of each place, never overstated.

The figure the maker chose is the source; the other system is derived from it
and rounded toward zero, to three digits (two below 100). Source: 21 CFR
101.7; 16 CFR 500.19(b); NIST Handbook 133 (2026) 2.3.3.
"""

from dataclasses import dataclass
from decimal import ROUND_DOWN, Decimal
from enum import StrEnum
from fractions import Fraction

from inventory.sourced import Kind, Sourced, Status
from inventory.words import say

__all__ = [
    "GRAMS_PER_OUNCE",
    "ML_PER_FLUID_OUNCE",
    "DeclaredQuantity",
    "NetQuantityError",
    "QuantityUnit",
    "canadian",
    "larger_declaration_g",
    "metric",
    "rounded_down",
    "uk_weight",
    "us_fluid",
    "us_multiunit",
    "us_weight",
    "us_weight_forms",
]

GRAMS_PER_POUND = Sourced(
    value=Decimal("453.59237"),
    unit="g",
    kind=Kind.DEFINED,
    source="NIST SP 811",
    section="appendix B",
    status=Status.SECONDARY,
)
ML_PER_GALLON = Sourced(
    value=Decimal("2.54") ** 3 * 231,
    unit="ml",
    kind=Kind.DEFINED,
    source="21 CFR",
    section="101.7(b): gallon of 231 cubic inches; 1 in = 2.54 cm",
)
GRAMS_PER_OUNCE = GRAMS_PER_POUND.value / 16
ML_PER_FLUID_OUNCE = ML_PER_GALLON.value / 128
OUNCES_PER_POUND = 16
FLUID_OUNCES = {"gal": 128, "qt": 32, "pt": 16}


class NetQuantityError(ValueError):
    """A net quantity cannot be declared as it was given."""


class QuantityUnit(StrEnum):
    """Units a declared quantity may be entered in."""

    OUNCE = "oz"
    GRAM = "g"
    FLUID_OUNCE = "fl oz"
    MILLILITRE = "ml"


@dataclass(frozen=True, slots=True, kw_only=True)
class DeclaredQuantity:
    """The quantity the maker promises, in the unit it was chosen in."""

    amount: Decimal
    unit: QuantityUnit

    def __post_init__(self) -> None:
        if self.amount <= 0:
            raise NetQuantityError(
                say(
                    "a net quantity must be above 0, not {amount} {unit}",
                    amount=self.amount,
                    unit=self.unit,
                )
            )

    @property
    def by_weight(self) -> bool:
        """Say whether it is a weight."""
        return self.unit in (QuantityUnit.OUNCE, QuantityUnit.GRAM)

    @property
    def exact_metric(self) -> Decimal:
        """Grams or millilitres, unrounded."""
        factor = {
            QuantityUnit.OUNCE: GRAMS_PER_OUNCE,
            QuantityUnit.FLUID_OUNCE: ML_PER_FLUID_OUNCE,
        }.get(self.unit, Decimal(1))
        return self.amount * factor

    @property
    def exact_ounces(self) -> Decimal:
        """Ounces or fluid ounces, unrounded."""
        if self.unit in (QuantityUnit.OUNCE, QuantityUnit.FLUID_OUNCE):
            return self.amount
        factor = GRAMS_PER_OUNCE if self.by_weight else ML_PER_FLUID_OUNCE
        return self.amount / factor

    @property
    def metric_unit(self) -> str:
        """The metric unit of its kind, "g" or "ml"."""
        return "g" if self.by_weight else "ml"


def plain(value: Decimal) -> str:
    """Write a figure without needless zeros or exponent."""
    return f"{value.normalize():f}"


def rounded_down(value: Decimal) -> Decimal:
    """Cut a derived figure to three digits, or two below 100 g or ml.

    Source: 16 CFR 500.19(b); rounded toward zero so that it never overstates.
    """
    return _digits(value, 2 if value < 100 else 3)


def ounces_rounded_down(value: Decimal) -> Decimal:
    """Cut derived ounces to three digits and at most two decimals."""
    return min(_digits(value, 3), value.quantize(Decimal("0.01"), ROUND_DOWN))


def _digits(value: Decimal, digits: int) -> Decimal:
    exponent = value.adjusted() - digits + 1
    return value.quantize(Decimal(1).scaleb(exponent), ROUND_DOWN)


def metric_figure(quantity: DeclaredQuantity) -> Decimal:
    """Return the metric figure of a label: as entered, or cut from ounces."""
    if quantity.unit in (QuantityUnit.GRAM, QuantityUnit.MILLILITRE):
        return quantity.amount
    return rounded_down(quantity.exact_metric)


def metric(quantity: DeclaredQuantity) -> str:
    """Return "340 g", "1.2 kg", "250 ml"; the larger unit from 1 000 (EU)."""
    figure, unit = metric_figure(quantity), quantity.metric_unit
    if figure >= 1000:
        return f"{plain(figure / 1000)} {'kg' if unit == 'g' else 'l'}"
    return f"{plain(figure)} {unit}"


def canadian(quantity: DeclaredQuantity) -> str:
    """Return the Canadian figure: three digits, mL/L and g/kg.

    Source: Safe Food for Canadians Regulations, ss. 233-235.
    """
    figure = metric_figure(quantity)
    figure = rounded_down(figure) if figure >= 100 else _digits(figure, 2)
    unit, large = ("g", "kg") if quantity.by_weight else ("mL", "L")
    if figure >= 1000:
        return f"{plain(figure / 1000)} {large}"
    return f"{plain(figure)} {unit}"


def uk_weight(quantity: DeclaredQuantity, *, with_ounces: bool = False) -> str:
    """Return the metric weight, ounces behind it at most ("340 g (11.9 oz)")."""
    text = metric(quantity)
    if not with_ounces:
        return text
    ounces = quantity.exact_ounces
    if quantity.unit is not QuantityUnit.OUNCE:
        ounces = ounces_rounded_down(ounces)
    return f"{text} ({plain(ounces)} oz)"


def us_weight(quantity: DeclaredQuantity) -> str:
    """Return the net weight statement of the United States, metric beside it.

    Ounces below 1 lb; ounces and pounds in brackets below 4 lb; pounds above.
    Source: 21 CFR 101.7(j)(1), (k), (m); 15 USC 1453(a)(2).

    Raises:
        NetQuantityError: the quantity is not a weight, or its ounces have more
            than two decimals.
    """
    words, beside = _us_weight_words(quantity), metric(quantity)
    return f"Net Wt {words} {beside}" if ")" in words else f"Net Wt {words} ({beside})"


def _us_ounces(quantity: DeclaredQuantity) -> Decimal:
    if not quantity.by_weight:
        raise NetQuantityError(
            say(
                "jam, jelly, butters and chutney are declared by weight; enter "
                "grams or ounces instead of a volume"
            )
        )
    if quantity.unit is QuantityUnit.GRAM:
        return ounces_rounded_down(quantity.exact_ounces)
    if quantity.amount != quantity.amount.quantize(Decimal("0.01"), ROUND_DOWN):
        raise NetQuantityError(
            say(
                "{amount} oz has more than two decimals; round it down",
                amount=quantity.amount,
            )
        )
    return quantity.amount


def _us_weight_words(quantity: DeclaredQuantity) -> str:
    ounces = _us_ounces(quantity)
    if ounces < OUNCES_PER_POUND:
        return f"{plain(ounces)} oz"
    if ounces < 4 * OUNCES_PER_POUND:
        return f"{plain(ounces)} oz ({_pounds_and_ounces(ounces)})"
    return _pounds_and_ounces(ounces)


def _pounds_and_ounces(ounces: Decimal) -> str:
    pounds, rest = divmod(ounces, OUNCES_PER_POUND)
    return f"{pounds:.0f} lb" + (f" {plain(rest)} oz" if rest else "")


def us_weight_forms(ounces: Decimal) -> frozenset[str]:
    """Return every lawful customary wording of a weight below 4 lb.

    Source: the examples of 21 CFR 101.7(m)(1), (2).
    """
    if ounces < OUNCES_PER_POUND:
        return frozenset({f"Net Wt {plain(ounces)} oz"})
    lead = f"Net Wt {plain(ounces)} oz"
    pounds = Fraction(ounces) / OUNCES_PER_POUND
    forms = {f"{lead} ({_pounds_and_ounces(ounces)})"}
    decimal_pounds = ounces / OUNCES_PER_POUND
    if decimal_pounds == decimal_pounds.quantize(Decimal("0.01"), ROUND_DOWN):
        forms.add(f"{lead} ({plain(decimal_pounds)} lb)")
    whole, rest = divmod(pounds, 1)
    if rest and rest.denominator in (2, 4, 8, 16, 32):
        count = f"{whole} " if whole else ""
        forms.add(f"{lead} ({count}{rest.numerator}/{rest.denominator} lb)")
    return frozenset(forms)


def us_random_weight(pounds: Decimal) -> str:
    """Return the form of a random-weight pack: pounds, at most two decimals."""
    figure = plain(pounds.quantize(Decimal("0.01"), ROUND_DOWN))
    return f"Net Wt {figure.removeprefix('0')} lb"


def us_fluid(fluid_ounces: Decimal) -> str:
    """Return the fluid statement: ounces, from a pint up the largest whole units.

    Source: 21 CFR 101.7(j)(1), (m)(3), (4).
    """
    if fluid_ounces < FLUID_OUNCES["pt"]:
        return f"Net {plain(fluid_ounces)} fl oz"
    if fluid_ounces >= FLUID_OUNCES["gal"]:
        return f"Net contents {_whole_units(fluid_ounces)}"
    return f"Net {plain(fluid_ounces)} fl oz ({_whole_units(fluid_ounces)})"


def _whole_units(fluid_ounces: Decimal) -> str:
    parts, rest = [], fluid_ounces
    for unit, size in FLUID_OUNCES.items():
        count, rest = divmod(rest, size)
        if count:
            parts.append(f"{count:.0f} {unit}")
    if rest:
        parts.append(f"{plain(rest)} oz")
    return " ".join(parts)


def us_multiunit(count: int, ounces: Decimal, *, noun: str, fluid: bool) -> str:
    """Return the statement of several units in one pack (21 CFR 101.7(s))."""
    total = plain(ounces * count)
    whole = f"({total} fl oz)" if fluid else f"(net wt. {total} oz)"
    return f"{count}-{plain(ounces)} oz {noun}-{whole}"


def larger_declaration_g(ounces: Decimal, grams: Decimal) -> Decimal:
    """Return the greater of two declarations of one jar, g.

    An inspector checks against it. Source: NIST Handbook 133 (2026) 2.3.3.
    """
    return max(ounces * GRAMS_PER_OUNCE, grams)
