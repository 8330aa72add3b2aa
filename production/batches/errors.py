"""What a batch action refuses, each in one sentence."""

from decimal import Decimal

from inventory.words import say
from production.wording import number_text

__all__ = [
    "AskAgainError",
    "BatchError",
    "ShortOfMaterialError",
    "WrongStatusError",
]


class BatchError(ValueError):
    """A batch action that cannot be done as asked."""


class WrongStatusError(BatchError):
    """The batch is not where this action needs it."""

    def __init__(self, batch: object, status: str, wanted: str) -> None:
        self.status = status
        super().__init__(
            say(
                "{batch} is {status}; this can be done only while {wanted}",
                batch=batch,
                status=status,
                wanted=wanted,
            )
        )


class ShortOfMaterialError(BatchError):
    """The lots at hand, or chosen, do not hold what the recipe needs."""

    def __init__(
        self, material: object, needed: Decimal, at_hand: Decimal, unit: str
    ) -> None:
        self.needed = needed
        self.at_hand = at_hand
        super().__init__(
            say(
                "short of {material}: {needed} {unit} are needed and {at_hand} "
                "{unit} are at hand; enter the purchase, or make a smaller batch",
                material=material,
                needed=number_text(needed, places=0),
                unit=unit,
                at_hand=number_text(at_hand, places=0),
            )
        )


class AskAgainError(BatchError):
    """Something unusual that the cook should confirm before it is written down."""
