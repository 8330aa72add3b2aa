"""The verbs of a recall and of its drill.

A recall follows a stop-sale: the jars are out of reach already, and now those who
have some are told. Each verb is one transaction that checks first.
"""

from production.recalls.drills import (
    DrillError,
    DrillFigures,
    draw_batch,
    finish_drill,
    run_by_book,
    start_drill,
)
from production.recalls.opening import (
    RecallError,
    close_recall,
    note_class,
    open_recall,
    record_check,
    tell_authority,
    write_notice,
)
from production.recalls.taking_in import take_in

__all__ = [
    "DrillError",
    "DrillFigures",
    "RecallError",
    "close_recall",
    "draw_batch",
    "finish_drill",
    "note_class",
    "open_recall",
    "record_check",
    "run_by_book",
    "start_drill",
    "take_in",
    "tell_authority",
    "write_notice",
]
