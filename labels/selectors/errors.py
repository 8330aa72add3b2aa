"""Why a label text cannot be written from the book."""

__all__ = ["LabelSelectionError"]


class LabelSelectionError(ValueError):
    """Something a label needs is missing or cannot be read; the sentence says what."""
