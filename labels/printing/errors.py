"""What printing refuses, in one sentence."""

__all__ = ["PrintingError"]


class PrintingError(ValueError):
    """Labels cannot be printed or counted as asked."""
