"""The stock ledger: every change of stock is one new row, written by these verbs.

Call them through the package: ``ledger.receive(...)``, ``ledger.draw(...)``.
"""

from inventory.ledger.corrections import UNDOABLE, correct, count, undo
from inventory.ledger.errors import LedgerError, NotEnoughError
from inventory.ledger.figures import Figures, bring_up_to
from inventory.ledger.rows import Stamp, balance, lock, unit_cost
from inventory.ledger.verbs import (
    WRITE_OFFS,
    draw,
    freeze,
    move,
    receive,
    sell,
    split,
    take_back,
    write_off,
)

__all__ = [
    "UNDOABLE",
    "WRITE_OFFS",
    "Figures",
    "LedgerError",
    "NotEnoughError",
    "Stamp",
    "balance",
    "bring_up_to",
    "correct",
    "count",
    "draw",
    "freeze",
    "lock",
    "move",
    "receive",
    "sell",
    "split",
    "take_back",
    "undo",
    "unit_cost",
    "write_off",
]
