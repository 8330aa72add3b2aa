"""Every way the stock ledger refuses a movement, each with what to do."""

from decimal import Decimal

from inventory.models import Lot, Movement, Outlet
from inventory.quantities import format_mass, format_pieces
from inventory.words import say

__all__ = [
    "AlreadyCorrectedError",
    "LedgerError",
    "NotAReasonError",
    "NotEnoughError",
    "NotMovableError",
    "NotPositiveAmountError",
    "NotReleasedError",
    "NothingChangedError",
    "StoppedError",
]


def amount_text(lot: Lot, quantity: Decimal) -> str:
    """A quantity of a lot with its unit, for sentences."""
    if lot.unit == "g":
        return format_mass(quantity)
    return f"{format_pieces(quantity)} {lot.unit}"


def place_text(place: Outlet | None) -> str:
    """Where something is, for sentences."""
    return say("at {place}", place=place) if place else say("at home")


class LedgerError(ValueError):
    """A movement of stock that cannot be written."""


class NotPositiveAmountError(LedgerError):
    """An amount of nothing, or less."""

    def __init__(self, lot: Lot, quantity: Decimal) -> None:
        self.lot, self.quantity = lot, quantity
        super().__init__(
            say(
                "{quantity} of {lot} is not more than nothing; enter an amount",
                quantity=quantity,
                lot=lot,
            )
        )


class NotEnoughError(LedgerError):
    """More is wanted than is there."""

    def __init__(
        self, lot: Lot, *, wanted: Decimal, there: Decimal, place: Outlet | None
    ) -> None:
        self.lot, self.wanted, self.there, self.place = lot, wanted, there, place
        super().__init__(
            say(
                "{wanted} of {lot} are wanted {place} but {there} are there; take "
                "less, or count the lot",
                wanted=amount_text(lot, wanted),
                lot=lot,
                place=place_text(place),
                there=amount_text(lot, there),
            )
        )


class StoppedError(LedgerError):
    """The lot is under a stop-sale."""

    def __init__(self, lot: Lot) -> None:
        self.lot = lot
        super().__init__(
            say(
                "{lot} is stopped and may not leave; lift the stop first, or write "
                "it off",
                lot=lot,
            )
        )


class NotReleasedError(LedgerError):
    """Jars of a batch that is still held."""

    def __init__(self, lot: Lot) -> None:
        self.lot = lot
        super().__init__(
            say(
                "{lot} is not released yet; enter the seal check and release it",
                lot=lot,
            )
        )


class NotAReasonError(LedgerError):
    """A reason that does not belong to this kind of movement."""

    def __init__(self, reason: str, accepted: "list[Movement.Reason]") -> None:
        self.reason = reason
        listed = ", ".join(str(one.label) for one in accepted)
        super().__init__(
            say(
                '"{reason}" is no reason here; choose one of: {listed}',
                reason=reason,
                listed=listed,
            )
        )


class NotMovableError(LedgerError):
    """A move from a place to the same place."""

    def __init__(self, lot: Lot, place: Outlet | None) -> None:
        self.lot, self.place = lot, place
        super().__init__(
            say(
                "{lot} is {place} already; choose another place",
                lot=lot,
                place=place_text(place),
            )
        )


class NothingChangedError(LedgerError):
    """A correction to the figure that stands."""

    def __init__(self, movement: Movement) -> None:
        self.movement = movement
        super().__init__(
            say("that is the figure in the book already; enter the right one")
        )


class AlreadyCorrectedError(LedgerError):
    """A row that cannot be corrected by itself."""

    def __init__(self, movement: Movement, instead: str) -> None:
        self.movement = movement
        super().__init__(
            say("this row cannot be corrected by itself; {instead}", instead=instead)
        )
