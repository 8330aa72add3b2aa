"""Every way the stock ledger refuses a movement, each with what to do."""

from decimal import Decimal

from inventory.models import Lot, Movement, Outlet
from inventory.quantities import format_mass, format_pieces

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
    return f"at {place}" if place else "at home"


class LedgerError(ValueError):
    """A movement of stock that cannot be written."""


class NotPositiveAmountError(LedgerError):
    """An amount of nothing, or less."""

    def __init__(self, lot: Lot, quantity: Decimal) -> None:
        self.lot, self.quantity = lot, quantity
        super().__init__(
            f"{quantity} of {lot} is not more than nothing; enter an amount"
        )


class NotEnoughError(LedgerError):
    """More is wanted than is there."""

    def __init__(
        self, lot: Lot, *, wanted: Decimal, there: Decimal, place: Outlet | None
    ) -> None:
        self.lot, self.wanted, self.there, self.place = lot, wanted, there, place
        super().__init__(
            f"{amount_text(lot, wanted)} of {lot} are wanted {place_text(place)} but"
            f" {amount_text(lot, there)} are there; take less, or count the lot"
        )


class StoppedError(LedgerError):
    """The lot is under a stop-sale."""

    def __init__(self, lot: Lot) -> None:
        self.lot = lot
        super().__init__(
            f"{lot} is stopped and may not leave; lift the stop first, or write it off"
        )


class NotReleasedError(LedgerError):
    """Jars of a batch that is still held."""

    def __init__(self, lot: Lot) -> None:
        self.lot = lot
        super().__init__(
            f"{lot} is not released yet; enter the seal check and release it"
        )


class NotAReasonError(LedgerError):
    """A reason that does not belong to this kind of movement."""

    def __init__(self, reason: str, accepted: "list[Movement.Reason]") -> None:
        self.reason = reason
        listed = ", ".join(str(one.label) for one in accepted)
        super().__init__(f'"{reason}" is no reason here; choose one of: {listed}')


class NotMovableError(LedgerError):
    """A move from a place to the same place."""

    def __init__(self, lot: Lot, place: Outlet | None) -> None:
        self.lot, self.place = lot, place
        super().__init__(f"{lot} is {place_text(place)} already; choose another place")


class NothingChangedError(LedgerError):
    """A correction to the figure that stands."""

    def __init__(self, movement: Movement) -> None:
        self.movement = movement
        super().__init__("that is the figure in the book already; enter the right one")


class AlreadyCorrectedError(LedgerError):
    """A row that cannot be corrected by itself."""

    def __init__(self, movement: Movement, instead: str) -> None:
        self.movement = movement
        super().__init__(f"this row cannot be corrected by itself; {instead}")
