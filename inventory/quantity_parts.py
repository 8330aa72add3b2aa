"""What a cook's quantity is, and every way it can be refused."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from inventory.units import Dimension, dimension, known_units
from inventory.words import say, to_say

__all__ = [
    "AmbiguousNumberError",
    "AmbiguousUnitError",
    "CannotConvertError",
    "MissingAmountError",
    "MissingUnitError",
    "MixedKindsError",
    "NotPositiveError",
    "NotWholeError",
    "Part",
    "Quantity",
    "QuantityError",
    "RangeOfAmountsError",
    "TooLargeError",
    "UnknownUnitError",
    "UnreadableQuantityError",
]

LARGEST_AMOUNT = 1_000_000
EXAMPLES = to_say("write it like 250 g, 1 3/4 lb, 6 cups or 4 each")


class QuantityError(ValueError):
    """A quantity cannot be read or converted; the sentence says what to do."""

    def __init__(self, text: str, sentence: str) -> None:
        self.text = text
        super().__init__(sentence)


class UnreadableQuantityError(QuantityError):
    """The text is not a quantity at all."""

    def __init__(self, text: str) -> None:
        super().__init__(
            text,
            say(
                '"{text}" cannot be read as a quantity; {examples}',
                text=text,
                examples=say(EXAMPLES),
            ),
        )


class MissingAmountError(QuantityError):
    """The text does not begin with a number."""

    def __init__(self, text: str) -> None:
        super().__init__(
            text,
            say(
                '"{text}" does not say how much; {examples}',
                text=text,
                examples=say(EXAMPLES),
            ),
        )


class MissingUnitError(QuantityError):
    """A number stands without its unit."""

    def __init__(self, text: str) -> None:
        super().__init__(
            text,
            say(
                '"{text}" does not say of what measure; add g, lb, cups or each',
                text=text,
            ),
        )


class AmbiguousNumberError(QuantityError):
    """A number that two readers would read differently."""

    def __init__(self, text: str, number: str) -> None:
        self.number = number
        whole, thousandths = number.split(",")
        super().__init__(
            text,
            say(
                '"{number}" can be read two ways; write {whole}{thousandths} or '
                "{whole}.{thousandths}",
                number=number,
                whole=whole,
                thousandths=thousandths,
            ),
        )


class AmbiguousUnitError(QuantityError):
    """A unit letter that two readers would read differently."""

    def __init__(self, text: str, unit: str) -> None:
        self.unit = unit
        super().__init__(
            text,
            say(
                '"{unit}" in "{text}" can mean tsp or tbsp; write which one',
                unit=unit,
                text=text,
            ),
        )


class RangeOfAmountsError(QuantityError):
    """Two amounts where one is wanted."""

    def __init__(self, text: str) -> None:
        super().__init__(
            text, say('"{text}" is a range; write the one amount you use', text=text)
        )


class NotPositiveError(QuantityError):
    """The amount is nothing, or less."""

    def __init__(self, text: str) -> None:
        super().__init__(
            text, say('"{text}" is not more than nothing; enter an amount', text=text)
        )


class TooLargeError(QuantityError):
    """The amount is beyond anything a kitchen holds."""

    def __init__(self, text: str) -> None:
        super().__init__(
            text,
            say(
                '"{text}" is larger than any kitchen holds (at most '
                "{largest_amount:,} of a unit); check the number",
                text=text[:40],
                largest_amount=LARGEST_AMOUNT,
            ),
        )


class MixedKindsError(QuantityError):
    """Weights, volumes and counts in one quantity."""

    def __init__(self, text: str) -> None:
        super().__init__(
            text,
            say(
                '"{text}" mixes weights, volumes or counts; enter it in one kind '
                "of unit",
                text=text,
            ),
        )


class UnknownUnitError(QuantityError):
    """A unit neither the book nor the material knows."""

    def __init__(
        self, text: str, unit: str, material: str, names: Iterable[str]
    ) -> None:
        self.unit = unit
        self.material = material
        accepted = ", ".join(
            ["g", "kg", "oz", "lb", "ml", "l", "tsp", "tbsp", "cup", "each", *names]
        )
        super().__init__(
            text,
            say(
                '"{unit}" is not a measure known for {material}; use {accepted}, '
                "or set the weight of one {unit}",
                unit=unit,
                material=material,
                accepted=accepted,
            ),
        )


class CannotConvertError(QuantityError):
    """The material lacks the figure this conversion needs."""

    def __init__(self, text: str, *, material: str, missing: str) -> None:
        self.material = material
        self.missing = missing
        super().__init__(
            text,
            say(
                '"{text}" of {material} cannot be converted: {missing}',
                text=text,
                material=material,
                missing=missing,
            ),
        )


class NotWholeError(QuantityError):
    """Part of a piece where whole pieces are counted."""

    def __init__(self, text: str, material: str) -> None:
        self.material = material
        super().__init__(
            text,
            say(
                '"{text}" is not a whole number of {material}; count whole pieces',
                text=text,
                material=material,
            ),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One amount of one unit.

    Attributes:
        amount: exact, more than zero.
        unit: a canonical unit ("cup"), a canonical unit with the state of the
            thing in it ("cup sliced"), or the material's own word ("package").
    """

    amount: Fraction
    unit: str

    def __post_init__(self) -> None:
        if self.amount <= 0:
            raise NotPositiveError(f"{self.amount} {self.unit}")

    @property
    def dimension(self) -> Dimension | None:
        """Mass, volume or count; None for a word only the material knows."""
        return dimension(self.unit) if self.unit in known_units() else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """What the cook wrote: the text as typed and its parts, to be added up."""

    text: str
    parts: tuple[Part, ...]

    def __post_init__(self) -> None:
        if not self.parts:
            raise MissingAmountError(self.text)
        if len({part.dimension for part in self.parts}) > 1:
            raise MixedKindsError(self.text)

    @property
    def dimension(self) -> Dimension | None:
        """Mass, volume or count; None when only the material can tell."""
        return self.parts[0].dimension
