"""Measured figures by the seller's setting: the one place of the rule.

What is stored never follows a setting: grams, millilitres, degrees Celsius,
millimetres, metres, kilometres, litres, money a kilogram. What is shown and typed
does (`Business.units`), on every page and paper:

========================  ===============================  ======================
figure                    US                               metric
========================  ===============================  ======================
weight                    lb and oz; g below 1/4 oz        g; kg from 1,000 g
volume of a jar           fl oz; qt from one quart         ml; l from 1,000 ml
temperature               °F                               °C
difference of heat        °F degrees                       °C degrees
altitude                  ft                               m
headspace                 in, as a fraction near an 1/8    mm
label and label sheet     in                               mm
space in the freezer      qt                               l
distance driven           mi                               km
price by weight           a lb                             a kg
density, as a cook's      oz/cup                           g/ml
========================  ===============================  ======================

Both scales, the setting's first, stand where a wrong reading could hurt somebody:
boiling, finishing and filling temperatures. Left as they are: what a law words (the
net quantity of a label, a Food Code's figures), nutrition, sulphites (mg/kg), what
a person wrote, and the scale's own grams where jars and yields are weighed to the
tenth of a gram (NIST Handbook 133 tests run on them).

A number typed alone is in the setting's unit, a number with a unit in that one
(`inventory.measure_reader`).

Sources: exact definitions of NIST Special Publication 811 (2008), appendix B:
1 in = 25.4 mm, 1 ft = 0.3048 m, 1 mi = 1.609344 km, 1 lb = 453.59237 g,
°F = °C x 9/5 + 32; 21 CFR 101.7(b): 1 gal = 231 in3.
"""

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from enum import StrEnum
from fractions import Fraction

from babel.numbers import format_decimal

from inventory.measure_setting import MeasureSystem, setting
from inventory.sourced import Kind, Sourced
from inventory.units import factor

__all__ = [
    "KM_PER_MILE",
    "METRES_PER_FOOT",
    "MM_PER_INCH",
    "Measure",
    "Scale",
    "figure",
    "format_headspace",
    "format_measure",
    "format_temperature",
    "format_volume",
    "rate",
    "rate_stored",
    "rate_text",
    "scale_of",
    "scale_text",
    "unit_of",
]

MM_PER_INCH = Sourced(
    value=Decimal("25.4"),
    unit="mm",
    kind=Kind.DEFINED,
    source="NIST Special Publication 811",
    section="appendix B.8, inch",
    edition="2008",
)
METRES_PER_FOOT = Sourced(
    value=Decimal("0.3048"),
    unit="m",
    kind=Kind.DEFINED,
    source="NIST Special Publication 811",
    section="appendix B.8, foot",
    edition="2008",
)
KM_PER_MILE = Sourced(
    value=Decimal("1.609344"),
    unit="km",
    kind=Kind.DEFINED,
    source="NIST Special Publication 811",
    section="appendix B.8, mile",
    edition="2008",
)
MINUS = "\u2212"
NEAR_EIGHTH_MM = Fraction(2, 5)


class Measure(StrEnum):
    """What a figure measures; in brackets the unit it is stored in."""

    TEMPERATURE = "temperature"  # degrees C
    DEGREES = "degrees"  # C degrees, a difference
    ALTITUDE = "altitude"  # m
    LENGTH = "length"  # mm
    VOLUME = "volume"  # ml
    SPACE = "space"  # l
    DISTANCE = "distance"  # km
    WEIGHT = "weight"  # g
    GOODS = "goods"  # kg, fruit by the week and prices by weight
    DENSITY = "density"  # g/ml
    AREA = "area"  # cm2


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """One unit of a measure.

    Attributes:
        unit: its sign, as shown.
        size: the stored unit in one of it, exact.
        zero: the stored figure where this scale reads nought.
        places: decimals shown at most.
    """

    unit: str
    size: Fraction = Fraction(1)
    zero: Fraction = Fraction(0)
    places: int = 1

    def shown(self, stored: Decimal | Fraction) -> Fraction:
        """A stored figure on this scale, exact."""
        return (Fraction(stored) - self.zero) / self.size

    def stored(self, shown: Decimal | Fraction) -> Fraction:
        """A figure of this scale as it is stored, exact."""
        return Fraction(shown) * self.size + self.zero


_FIVE_NINTHS = Fraction(5, 9)
_US = {
    Measure.TEMPERATURE: Scale(
        unit="°F", size=_FIVE_NINTHS, zero=-32 * _FIVE_NINTHS, places=1
    ),
    Measure.DEGREES: Scale(unit="°F", size=_FIVE_NINTHS),
    Measure.ALTITUDE: Scale(unit="ft", size=Fraction(METRES_PER_FOOT.value), places=0),
    Measure.LENGTH: Scale(unit="in", size=Fraction(MM_PER_INCH.value), places=3),
    Measure.VOLUME: Scale(unit="fl oz", size=factor("fluid_ounce")),
    Measure.SPACE: Scale(unit="qt", size=factor("quart") / 1000, places=0),
    Measure.DISTANCE: Scale(unit="mi", size=Fraction(KM_PER_MILE.value)),
    Measure.WEIGHT: Scale(unit="oz", size=factor("ounce"), places=2),
    Measure.GOODS: Scale(unit="lb", size=factor("pound") / 1000),
    Measure.AREA: Scale(
        unit="sq in", size=(Fraction(MM_PER_INCH.value) / 10) ** 2, places=2
    ),
    Measure.DENSITY: Scale(
        unit="oz/cup", size=factor("ounce") / factor("cup"), places=2
    ),
}
_METRIC = {
    Measure.TEMPERATURE: Scale(unit="°C"),
    Measure.DEGREES: Scale(unit="°C"),
    Measure.ALTITUDE: Scale(unit="m", places=0),
    Measure.LENGTH: Scale(unit="mm", places=2),
    Measure.VOLUME: Scale(unit="ml", places=0),
    Measure.SPACE: Scale(unit="l", places=0),
    Measure.DISTANCE: Scale(unit="km"),
    Measure.WEIGHT: Scale(unit="g"),
    Measure.GOODS: Scale(unit="kg"),
    Measure.DENSITY: Scale(unit="g/ml", places=3),
    Measure.AREA: Scale(unit="cm²"),
}


def scale_of(measure: Measure, system: MeasureSystem | None = None) -> Scale:
    """The unit a measure is shown and typed in."""
    system = system or setting().system
    return (_METRIC if system is MeasureSystem.METRIC else _US)[measure]


def unit_of(measure: Measure) -> str:
    """Its sign: "°F" or "°C"."""
    return scale_of(measure).unit


def figure(value: Decimal | Fraction, places: int = 1, *, grouped: bool = True) -> str:
    """A number as the seller writes it, rounded half-up, no needless zeros."""
    rounded = _rounded(value, places)
    pattern = ("#,##0." if grouped else "0.") + "#" * places
    text = format_decimal(abs(rounded), format=pattern, locale=setting().locale)
    return f"{MINUS if rounded < 0 else ''}{text}"


def format_measure(
    value: Decimal | Fraction, measure: Measure, *, places: int | None = None
) -> str:
    """A stored figure with its unit in the seller's measure: "1,200 ft".

    Args:
        value: in the unit the measure is stored in.
        measure: what it is a figure of.
        places: decimals at most, where the measure's own do not fit.
    """
    scale = scale_of(measure)
    return _with_unit(value, scale, places=places)


def format_temperature(celsius: Decimal) -> str:
    """A temperature on both scales, the seller's first: "220 °F (104.4 °C)"."""
    first = setting().system
    other = next(each for each in MeasureSystem if each is not first)
    shown = [
        _with_unit(celsius, scale_of(Measure.TEMPERATURE, each))
        for each in (first, other)
    ]
    return f"{shown[0]} ({shown[1]})"


def format_volume(millilitres: Decimal | Fraction) -> str:
    """What a jar holds: "8 fl oz", "1 qt"; "240 ml", "1.5 l"."""
    if setting().is_metric:
        if _rounded(millilitres, 0) < 1000:
            return format_measure(millilitres, Measure.VOLUME)
        return f"{figure(Fraction(millilitres) / 1000, 2)} l"
    if Fraction(millilitres) / factor("quart") < Fraction(999, 1000):
        return format_measure(millilitres, Measure.VOLUME)
    return f"{figure(Fraction(millilitres) / factor('quart'), 2)} qt"


def format_headspace(millimetres: Decimal) -> str:
    """The empty height of a jar: "1/4 in", "0.18 in"; "6.4 mm".

    Headspaces are published in eighths of an inch and held to an eighth, so one
    within 0.4 mm of an eighth is shown as that.
    """
    if setting().is_metric:
        return format_measure(millimetres, Measure.LENGTH, places=1)
    inch = scale_of(Measure.LENGTH)
    eighths = _rounded(inch.shown(millimetres) * 8, 0)
    near = Fraction(eighths) / 8
    if not eighths or abs(inch.stored(near) - Fraction(millimetres)) > NEAR_EIGHTH_MM:
        return format_measure(millimetres, Measure.LENGTH, places=2)
    return f"{_mixed(near)} {inch.unit}"


def rate(stored: Decimal, measure: Measure) -> Decimal:
    """Money a stored unit as money a unit of the seller's, unrounded: a lb for a kg."""
    size = scale_of(measure).size
    return stored * size.numerator / size.denominator


def rate_text(stored: Decimal, measure: Measure, *, places: int) -> str:
    """A rate for an input: the shortest that reads back to the same.

    Args:
        stored: money a stored unit.
        measure: what the money is paid by.
        places: decimals the book holds.
    """
    shown, size = Fraction(stored) * scale_of(measure).size, scale_of(measure).size
    for decimals in range(2, 8):
        near = _rounded(shown, decimals)
        if _rounded(Fraction(near) / size, places) == _rounded(stored, places):
            return f"{near:f}"
    return f"{_rounded(shown, 8):f}"


def rate_stored(shown: Decimal | Fraction, measure: Measure) -> Decimal:
    """Money a unit of the seller's as money a stored unit."""
    exact = Fraction(shown) / scale_of(measure).size
    return Decimal(exact.numerator) / exact.denominator


def scale_text(stored: Decimal, measure: Measure, *, places: int) -> str:
    """A stored figure for an input: the shortest that reads back to the same.

    Args:
        stored: as the book holds it.
        measure: what it is a figure of.
        places: decimals the book holds.

    Returns:
        A plain number with a decimal point, or inches as a fraction ("1/8").
    """
    scale = scale_of(measure)
    shown = scale.shown(stored)
    kept = _rounded(stored, places)
    for decimals in range(8):
        near = _rounded(shown, decimals)
        if _rounded(scale.stored(near), places) == kept:
            if measure is Measure.LENGTH and scale.unit == "in" and decimals > 1:
                return _as_fraction(shown, scale, places, kept) or f"{near:f}"
            return f"{near:f}"
    return f"{_rounded(shown, 8):f}"


def _as_fraction(shown: Fraction, scale: Scale, places: int, kept: Decimal) -> str:
    for parts in (8, 16, 32):
        near = Fraction(round(shown * parts), parts)
        if near > 0 and _rounded(scale.stored(near), places) == kept:
            return _mixed(near)
    return ""


def _mixed(amount: Fraction) -> str:
    whole, part = divmod(amount, 1)
    return " ".join(str(each) for each in (whole, part) if each)


def _with_unit(
    value: Decimal | Fraction, scale: Scale, *, places: int | None = None
) -> str:
    if isinstance(value, Decimal) and not value.is_finite():
        return f"{value} {scale.unit}"
    decimals = scale.places if places is None else places
    return f"{figure(scale.shown(value), decimals)} {scale.unit}"


def _rounded(value: Decimal | Fraction, places: int) -> Decimal:
    exact = Fraction(value)
    shifted = exact * 10**places
    scaled: Decimal = Decimal(shifted.numerator) / Decimal(shifted.denominator)
    return scaled.quantize(Decimal(1), ROUND_HALF_UP).scaleb(-places)
