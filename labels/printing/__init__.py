"""Print labels and keep account of them: prepare, print, print again, tally.

Labels for good come only of a released batch whose text may be printed; any
other is a draft with a mark across it, or refused. What was printed stays on
record with its words; what became of the labels is told by tallies.
"""

from labels.printing.counting import LabelBalance, balance, labels_wanted
from labels.printing.errors import PrintingError
from labels.printing.preparing import Prepared, Wish, find_batch, find_sheet, prepare
from labels.printing.running import Printed, pdf_of, print_labels, print_to_file, tally

__all__ = [
    "LabelBalance",
    "Prepared",
    "Printed",
    "PrintingError",
    "Wish",
    "balance",
    "find_batch",
    "find_sheet",
    "labels_wanted",
    "pdf_of",
    "prepare",
    "print_labels",
    "print_to_file",
    "tally",
]
