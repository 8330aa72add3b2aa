"""What printing refuses, in one sentence."""

from collections.abc import Sequence

__all__ = ["PrintingError"]


class PrintingError(ValueError):
    """Labels cannot be printed or counted as asked.

    Attributes:
        items: everything that does not fit, one entry each; empty for another
            reason.
    """

    def __init__(self, sentence: str, *, items: Sequence[str] = ()) -> None:
        self.items = tuple(items)
        super().__init__(sentence)
