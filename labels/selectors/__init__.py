"""What labels ask of the book: the input of a label text, and its check."""

from labels.selectors.errors import LabelSelectionError
from labels.selectors.label_texts import Subject, built_label, find_subject, label_of
from labels.selectors.reports import Sales, report_of

__all__ = [
    "LabelSelectionError",
    "Sales",
    "Subject",
    "built_label",
    "find_subject",
    "label_of",
    "report_of",
]
