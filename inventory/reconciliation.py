"""Balances: what was taken, made or left must be found again.

Whatever is not found is shown as unaccounted, by its name, and never spread over
the other figures. Counts are jars, masses grams, money the seller's currency.

Source of the sums: 7 CFR 205.403(d) asks handlers for the same balance of
quantities in and out (read in an excerpt); the splits of a stall, a shop and a cash
box are common practice.
"""

from dataclasses import dataclass
from decimal import Decimal

from inventory.money import DEFAULT_CURRENCY, round_money
from inventory.words import say

__all__ = [
    "BatchCount",
    "CashUp",
    "ConsignmentVisit",
    "DayCount",
    "MaterialBalance",
    "ReconciliationError",
    "Settlement",
]


class ReconciliationError(ValueError):
    """A figure that cannot stand in a balance."""

    def __init__(self, name: str, value: Decimal) -> None:
        self.name = name
        self.value = value
        super().__init__(
            say(
                "{name} cannot be {value}; enter nothing or more",
                name=name,
                value=value,
            )
        )


def _refuse_below_zero(**figures: Decimal) -> None:
    for name, value in figures.items():
        if value < 0:
            raise ReconciliationError(name.replace("_", " "), value)


@dataclass(frozen=True, slots=True, kw_only=True)
class DayCount:
    """The jars of one product on one market day."""

    taken: Decimal
    sold: Decimal = Decimal(0)
    sampled: Decimal = Decimal(0)
    broken: Decimal = Decimal(0)
    given: Decimal = Decimal(0)
    back: Decimal = Decimal(0)

    def __post_init__(self) -> None:
        _refuse_below_zero(
            taken=self.taken,
            sold=self.sold,
            sampled=self.sampled,
            broken=self.broken,
            given=self.given,
            brought_back=self.back,
        )

    @property
    def accounted(self) -> Decimal:
        """Jars whose end is known."""
        return self.sold + self.sampled + self.broken + self.given + self.back

    @property
    def unaccounted(self) -> Decimal:
        """Taken less accounted; below zero when more came back than went."""
        return self.taken - self.accounted

    @property
    def balances(self) -> bool:
        """Whether every jar was found."""
        return self.unaccounted == 0

    @property
    def most_sold(self) -> Decimal:
        """Jars sold if nothing is missing: what the stall must have taken money for."""
        return self.taken - self.sampled - self.broken - self.given - self.back

    def __add__(self, other: "DayCount") -> "DayCount":
        """The two counts together."""
        return DayCount(
            taken=self.taken + other.taken,
            sold=self.sold + other.sold,
            sampled=self.sampled + other.sampled,
            broken=self.broken + other.broken,
            given=self.given + other.given,
            back=self.back + other.back,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class CashUp:
    """The cash box against what was sold, at the end of a market day.

    Attributes:
        float_in: change put into the box in the morning.
        expected: takings by price, cash and card together.
        card: total of the card reader.
        counted: cash counted in the box, float included.
        paid_out: cash taken from the box during the day (stall fee, change run).
        float_next: change left in the box for the next day; the morning's if None.
    """

    float_in: Decimal
    expected: Decimal
    card: Decimal
    counted: Decimal
    paid_out: Decimal = Decimal(0)
    float_next: Decimal | None = None

    def __post_init__(self) -> None:
        _refuse_below_zero(
            float_in=self.float_in,
            expected=self.expected,
            card=self.card,
            counted=self.counted,
            paid_out=self.paid_out,
            float_next=self.float_out,
        )

    @property
    def float_out(self) -> Decimal:
        """Change that stays for the next day."""
        return self.float_in if self.float_next is None else self.float_next

    @property
    def cash_expected(self) -> Decimal:
        """What the box should hold: float + expected - card - paid out."""
        return self.float_in + self.expected - self.card - self.paid_out

    @property
    def difference(self) -> Decimal:
        """Counted less expected cash; below zero when money is missing."""
        return self.counted - self.cash_expected

    @property
    def to_bank(self) -> Decimal:
        """Cash to take out of the box, the next float left in."""
        return self.counted - self.float_out

    @property
    def takings(self) -> Decimal:
        """Money really taken: cash over the float, plus paid out, plus card."""
        return self.counted - self.float_in + self.paid_out + self.card


@dataclass(frozen=True, slots=True, kw_only=True)
class Settlement:
    """What a shop owes for one visit, with its terms."""

    gross: Decimal
    commission: Decimal
    due: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class ConsignmentVisit:
    """The jars of one product at a shop, between two visits.

    Attributes:
        left: jars in the shop since the last visit.
        sold: jars the shop sold.
        returned: jars taken home.
        broken: jars broken in the shop; the maker's loss.
        still_there: jars counted on the shop's shelf and staying.
    """

    left: Decimal
    sold: Decimal = Decimal(0)
    returned: Decimal = Decimal(0)
    broken: Decimal = Decimal(0)
    still_there: Decimal = Decimal(0)

    def __post_init__(self) -> None:
        _refuse_below_zero(
            left=self.left,
            sold=self.sold,
            returned=self.returned,
            broken=self.broken,
            still_there=self.still_there,
        )

    @property
    def missing(self) -> Decimal:
        """Jars left and not found: a write-off with the shop's name."""
        return self.left - self.sold - self.returned - self.broken - self.still_there

    def settle(
        self,
        *,
        price: Decimal,
        commission_fraction: Decimal,
        currency: str = DEFAULT_CURRENCY,
    ) -> Settlement:
        """What is due for the jars sold.

        Args:
            price: shelf price of one jar.
            commission_fraction: the shop's share of the price, 0 to 1.
            currency: ISO 4217 code, for rounding.

        Returns:
            Gross, commission and due, rounded; gross = commission + due.

        Raises:
            ReconciliationError: a share outside 0 to 1.
        """
        if not 0 <= commission_fraction <= 1:
            raise ReconciliationError(say("the shop's share"), commission_fraction)
        gross = round_money(self.sold * price, currency=currency)
        due = round_money(
            self.sold * price * (1 - commission_fraction), currency=currency
        )
        return Settlement(gross=gross, commission=gross - due, due=due)


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchCount:
    """The jars of one batch: filled, and where each went."""

    filled: Decimal
    released: Decimal = Decimal(0)
    failed_seal: Decimal = Decimal(0)
    kept: Decimal = Decimal(0)
    broken: Decimal = Decimal(0)

    def __post_init__(self) -> None:
        _refuse_below_zero(
            filled=self.filled,
            released=self.released,
            failed_seal=self.failed_seal,
            kept_as_reference=self.kept,
            broken=self.broken,
        )

    @property
    def unaccounted(self) -> Decimal:
        """Filled jars whose outcome nobody entered."""
        return self.filled - self.released - self.failed_seal - self.kept - self.broken


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialBalance:
    """A material over a period, by difference: opening + received - closing = used.

    Attributes:
        opening: counted at the beginning, g or pieces.
        received: bought or made in between.
        closing: counted at the end.
        recorded: drawn by batches, frozen on, written off with a reason.
    """

    opening: Decimal
    received: Decimal
    closing: Decimal
    recorded: Decimal

    @property
    def used(self) -> Decimal:
        """What must have been used."""
        return self.opening + self.received - self.closing

    @property
    def unaccounted(self) -> Decimal:
        """Used and not recorded; below zero when more is recorded than went."""
        return self.used - self.recorded

    @property
    def unaccounted_fraction(self) -> Decimal | None:
        """Unaccounted ÷ used; None when nothing was used."""
        return self.unaccounted / self.used if self.used else None
