"""What labels ask of the book: the input of a label text, and its check."""

from labels.selectors.errors import LabelSelectionError
from labels.selectors.label_book import (
    LabelBook,
    one_batch,
    own_place,
    with_readings,
    with_ways,
)
from labels.selectors.label_texts import (
    Subject,
    book_for,
    built_label,
    find_subject,
    label_of,
)
from labels.selectors.reports import Sales, report_of

__all__ = [
    "LabelBook",
    "LabelSelectionError",
    "Sales",
    "Subject",
    "book_for",
    "built_label",
    "find_subject",
    "label_of",
    "one_batch",
    "own_place",
    "report_of",
    "with_readings",
    "with_ways",
]
