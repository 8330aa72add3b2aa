"""The verbs of a batch: plan, start, record, finish, check, release, reject.

Each is one transaction that checks first and writes after; it raises a sentence
that says what to do. The same verbs serve the pages, the commands and imports.
"""

from production.batches.beginning import Draw, add, cancel, plan, start
from production.batches.deciding import hold, recook, reject, release
from production.batches.errors import (
    AskAgainError,
    BatchError,
    ShortOfMaterialError,
    WrongStatusError,
)
from production.batches.finishing import Filled, finish
from production.batches.recording import (
    begin_step,
    doubt,
    end_step,
    record_reading,
    undo_reading,
    undo_step,
)
from production.batches.sealing import record_seals, undo_seals, weigh
from production.batches.undoing import take_out, undo_finish, undo_start

__all__ = [
    "AskAgainError",
    "BatchError",
    "Draw",
    "Filled",
    "ShortOfMaterialError",
    "WrongStatusError",
    "add",
    "begin_step",
    "cancel",
    "doubt",
    "end_step",
    "finish",
    "hold",
    "plan",
    "recook",
    "record_reading",
    "record_seals",
    "reject",
    "release",
    "start",
    "take_out",
    "undo_finish",
    "undo_reading",
    "undo_seals",
    "undo_start",
    "undo_step",
    "weigh",
]
