"""What a cook's quantity is, and every way it can be refused."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from inventory.units import Dimension, dimension, known_units

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
EXAMPLES = "write it like 250 g, 1 3/4 lb, 6 cups or 4 each"


class QuantityError(ValueError):
    """A quantity cannot be read or converted; the sentence says what to do."""

    def __init__(self, text: str, sentence: str) -> None:
        self.text = text
        super().__init__(sentence)


class UnreadableQuantityError(QuantityError):
    """The text is not a quantity at all."""

    def __init__(self, text: str) -> None:
        super().__init__(text, f'"{text}" cannot be read as a quantity; {EXAMPLES}')


class MissingAmountError(QuantityError):
    """The text does not begin with a number."""

    def __init__(self, text: str) -> None:
        super().__init__(text, f'"{text}" does not say how much; {EXAMPLES}')


class MissingUnitError(QuantityError):
    """A number stands without its unit."""

    def __init__(self, text: str) -> None:
        super().__init__(
            text, f'"{text}" does not say of what measure; add g, lb, cups or each'
        )


class AmbiguousNumberError(QuantityError):
    """A number that two readers would read differently."""

    def __init__(self, text: str, number: str) -> None:
        self.number = number
        whole, thousandths = number.split(",")
        super().__init__(
            text,
            f'"{number}" can be read two ways; write {whole}{thousandths} or'
            f" {whole}.{thousandths}",
        )


class AmbiguousUnitError(QuantityError):
    """A unit letter that two readers would read differently."""

    def __init__(self, text: str, unit: str) -> None:
        self.unit = unit
        super().__init__(
            text,
            f'"{unit}" in "{text}" can mean tsp or tbsp; write which one',
        )


class RangeOfAmountsError(QuantityError):
    """Two amounts where one is wanted."""

    def __init__(self, text: str) -> None:
        super().__init__(text, f'"{text}" is a range; write the one amount you use')


class NotPositiveError(QuantityError):
    """The amount is nothing, or less."""

    def __init__(self, text: str) -> None:
        super().__init__(text, f'"{text}" is not more than nothing; enter an amount')


class TooLargeError(QuantityError):
    """The amount is beyond anything a kitchen holds."""

    def __init__(self, text: str) -> None:
        super().__init__(
            text,
            f'"{text[:40]}" is larger than any kitchen holds'
            f" (at most {LARGEST_AMOUNT:,} of a unit); check the number",
        )


class MixedKindsError(QuantityError):
    """Weights, volumes and counts in one quantity."""

    def __init__(self, text: str) -> None:
        super().__init__(
            text,
            f'"{text}" mixes weights, volumes or counts; enter it in one kind of unit',
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
            f'"{unit}" is not a measure known for {material}; use {accepted},'
            f" or set the weight of one {unit}",
        )


class CannotConvertError(QuantityError):
    """The material lacks the figure this conversion needs."""

    def __init__(self, text: str, *, material: str, missing: str) -> None:
        self.material = material
        self.missing = missing
        super().__init__(text, f'"{text}" of {material} cannot be converted: {missing}')


class NotWholeError(QuantityError):
    """Part of a piece where whole pieces are counted."""

    def __init__(self, text: str, material: str) -> None:
        self.material = material
        super().__init__(
            text, f'"{text}" is not a whole number of {material}; count whole pieces'
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
