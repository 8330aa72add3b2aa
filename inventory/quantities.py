"""A cook's quantities in and out: read, weighed by the material, written back.

Everything edible is held in grams and everything counted in pieces. What a cup of
something weighs is a property of the thing: its density, the weight of one piece, or
a measure of its own ("1 cup sliced", "1 package"). Guessing is left out: a quantity
the material cannot weigh is refused with the figure that is missing.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from types import MappingProxyType

from inventory.quantity_format import (
    KitchenMeasure,
    MeasureSystem,
    format_amount,
    format_kitchen,
    format_mass,
    format_pieces,
)
from inventory.quantity_parts import (
    CannotConvertError,
    NotPositiveError,
    NotWholeError,
    Part,
    Quantity,
    QuantityError,
    UnknownUnitError,
)
from inventory.quantity_reader import read_quantity
from inventory.units import (
    GRAMS_PER_OUNCE,
    GRAMS_PER_POUND,
    ML_PER_US_CUP,
    Dimension,
    canonical_unit,
    factor,
)
from inventory.words import say

__all__ = [
    "GRAMS_PER_OUNCE",
    "GRAMS_PER_POUND",
    "ML_PER_US_CUP",
    "KitchenMeasure",
    "MaterialMeasures",
    "MeasureSystem",
    "Quantity",
    "QuantityError",
    "exact_grams",
    "format_amount",
    "format_kitchen",
    "format_mass",
    "format_pieces",
    "read_quantity",
    "to_grams",
    "to_pieces",
]

MILLIGRAM = Decimal("0.001")


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialMeasures:
    """What turns a measure of one material into grams or pieces.

    Attributes:
        name: the material as the seller calls it ("Lemons").
        density_g_per_ml: grams in one millilitre, as measured with a cup.
        piece_g: grams of one piece.
        named_g: grams in the material's own measures ("cup sliced", "package").
        named_pieces: pieces in the material's own packs ("case").
    """

    name: str
    density_g_per_ml: Decimal | None = None
    piece_g: Decimal | None = None
    named_g: Mapping[str, Decimal] = field(default_factory=dict)
    named_pieces: Mapping[str, Decimal] = field(default_factory=dict)

    def __post_init__(self) -> None:
        figures = [self.density_g_per_ml, self.piece_g]
        figures += [*self.named_g.values(), *self.named_pieces.values()]
        if any(figure is not None and figure <= 0 for figure in figures):
            raise ValueError(
                say("a measure of {name} is not more than nothing", name=self.name)
            )
        for attribute in ("named_g", "named_pieces"):
            keyed = {
                _key(word): figure for word, figure in getattr(self, attribute).items()
            }
            object.__setattr__(self, attribute, MappingProxyType(keyed))

    @property
    def one(self) -> str:
        """The material in the singular, for sentences: "lemon"."""
        head = self.name.split(",")[0].split("(")[0].strip()
        return _singular(head[:1].lower() + head[1:])

    def is_called(self, words: str) -> bool:
        """Whether these words are the material's own name, or its last word."""
        one = _singular(words.casefold())
        return one in {self.one.casefold(), self.one.casefold().split()[-1]}


def exact_grams(quantity: Quantity, *, measures: MaterialMeasures) -> Fraction:
    """Grams of a quantity of one material, exact.

    Args:
        quantity: as read.
        measures: what this material's cups and pieces weigh.

    Returns:
        Grams, not rounded.

    Raises:
        CannotConvertError: the density or piece weight needed is not set.
        UnknownUnitError: the material has no such measure.
    """
    return sum(
        (
            part.amount * _grams_in_one(quantity, part, measures)
            for part in quantity.parts
        ),
        Fraction(0),
    )


def to_grams(quantity: Quantity, *, measures: MaterialMeasures) -> Decimal:
    """Grams of a quantity, rounded half-up to the milligram.

    Raises:
        QuantityError: as ``exact_grams``, or less than half a milligram.
    """
    exact = exact_grams(quantity, measures=measures)
    grams = (Decimal(exact.numerator) / exact.denominator).quantize(
        MILLIGRAM, ROUND_HALF_UP
    )
    if grams <= 0:
        raise NotPositiveError(quantity.text)
    return grams


def to_pieces(quantity: Quantity, *, measures: MaterialMeasures) -> Decimal:
    """Whole pieces of a counted material: jars, lids, labels.

    Args:
        quantity: as read; pieces, dozens, the material's own packs or its name.
        measures: the packs of this material.

    Returns:
        A whole number of pieces.

    Raises:
        CannotConvertError: a weight or a volume of something that is counted.
        NotWholeError: part of a piece.
    """
    pieces = sum(
        (
            part.amount * _pieces_in_one(quantity, part, measures)
            for part in quantity.parts
        ),
        Fraction(0),
    )
    if pieces.denominator != 1:
        raise NotWholeError(quantity.text, measures.name)
    return Decimal(pieces.numerator)


def _grams_in_one(
    quantity: Quantity, part: Part, measures: MaterialMeasures
) -> Fraction:
    named = measures.named_g.get(_key(part.unit))
    if named is not None:
        return Fraction(named)
    unit = _plain_unit(part.unit, measures)
    match Part(amount=part.amount, unit=unit).dimension:
        case Dimension.MASS:
            return factor(unit)
        case Dimension.VOLUME:
            return factor(unit) * _grams_in_one_ml(quantity, measures)
        case Dimension.COUNT:
            return factor(unit) * _grams_in_one_piece(quantity, measures)
    raise _unknown(quantity, part, measures)


def _grams_in_one_ml(quantity: Quantity, measures: MaterialMeasures) -> Fraction:
    if measures.density_g_per_ml is not None:
        return Fraction(measures.density_g_per_ml)
    cup = measures.named_g.get("cup")
    if cup is not None:
        return Fraction(cup) / factor("cup")
    raise CannotConvertError(
        quantity.text,
        material=measures.name,
        missing=say(
            "set the weight of one cup of {measures}, or enter grams",
            measures=measures.name.lower(),
        ),
    )


def _grams_in_one_piece(quantity: Quantity, measures: MaterialMeasures) -> Fraction:
    if measures.piece_g is None:
        raise CannotConvertError(
            quantity.text,
            material=measures.name,
            missing=say(
                "set the weight of one {one}, or enter grams", one=measures.one
            ),
        )
    return Fraction(measures.piece_g)


def _pieces_in_one(
    quantity: Quantity, part: Part, measures: MaterialMeasures
) -> Fraction:
    named = measures.named_pieces.get(_key(part.unit))
    if named is not None:
        return Fraction(named)
    unit = _plain_unit(part.unit, measures)
    kind = Part(amount=part.amount, unit=unit).dimension
    if kind is Dimension.COUNT:
        return factor(unit)
    if kind is None:
        raise _unknown(quantity, part, measures)
    raise CannotConvertError(
        quantity.text,
        material=measures.name,
        missing=say("it is counted; enter pieces"),
    )


def _plain_unit(unit: str, measures: MaterialMeasures) -> str:
    """The unit without the material's own name: "cup strawberries", "lemons"."""
    first, _, rest = unit.partition(" ")
    if canonical_unit(first) and rest and measures.is_called(rest):
        return first
    return "piece" if measures.is_called(unit) else unit


def _unknown(
    quantity: Quantity, part: Part, measures: MaterialMeasures
) -> QuantityError:
    first, _, state = part.unit.partition(" ")
    if state and canonical_unit(first):
        return CannotConvertError(
            quantity.text,
            material=measures.name,
            missing=say("set the weight of one {unit}, or enter grams", unit=part.unit),
        )
    names = [*measures.named_g, *measures.named_pieces]
    return UnknownUnitError(quantity.text, _singular(part.unit), measures.name, names)


def _key(words: str) -> str:
    """One spelling for a measure's name: canonical unit, the rest singular."""
    first, *rest = words.casefold().split()
    head = canonical_unit(first) or _singular(first)
    return " ".join([head, *map(_singular, rest)])


def _singular(words: str) -> str:
    """English singular, good enough to recognise a name and to say "one"."""
    if words.endswith(("sses", "ss", "us")):
        return words
    for plural, single in (("ies", "y"), ("ches", "ch"), ("shes", "sh"), ("xes", "x")):
        if words.endswith(plural):
            return words.removesuffix(plural) + single
    for plural, single in (("toes", "to"), ("s", "")):
        if words.endswith(plural):
            return words.removesuffix(plural) + single
    return words
