"""What a batch action refuses, each in one sentence."""

from decimal import Decimal

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
        super().__init__(f"{batch} is {status}; this can be done only while {wanted}")


class ShortOfMaterialError(BatchError):
    """The lots at hand, or chosen, do not hold what the recipe needs."""

    def __init__(
        self, material: object, needed: Decimal, at_hand: Decimal, unit: str
    ) -> None:
        self.needed = needed
        self.at_hand = at_hand
        super().__init__(
            f"short of {material}: {number_text(needed, places=0)} {unit} are needed "
            f"and {number_text(at_hand, places=0)} {unit} are at hand; "
            "enter the purchase, or make a smaller batch"
        )


class AskAgainError(BatchError):
    """Something unusual that the cook should confirm before it is written down."""
