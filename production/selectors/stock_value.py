"""The stock ledger as a history that can be valued: what the books stand on.

Carrying jars to a stall and back moves no value and is left out; a correction of
what came in is taken into its row; every other correction undoes a part of its own.
A batch gathers what it draws and hands it to what it makes, shared by the volume of
the jars or, for what is weighed, by weight.

The lots are one query and the ledger's rows another, however long the book; a page
that values two days, or two methods, reads them once.
"""

import datetime
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from inventory.models import Movement
from inventory.valuation import Method, Valuation, value_history
from inventory.valuation import Movement as Step
from production.costing.lot_costs import LotCosts, LotFact
from production.models import Batch
from production.selectors.lot_facts import lot_costs

__all__ = [
    "Ledger",
    "LedgerRow",
    "PotTimes",
    "lot_costs",
    "pot_times",
    "read_ledger",
    "value_stock",
]

ZERO = Decimal(0)
Reason = Movement.Reason
BOUGHT = (Reason.RECEIVED, Reason.OPENING)


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerRow:
    """One row of the ledger, as the books need it.

    Attributes:
        batch: number of the batch that drew it, of a correction the corrected one's.
        outlet: where it happened: of its market day, of its visit, or its place.
    """

    number: int
    lot: int
    quantity: Decimal
    reason: str
    on: datetime.date
    at: datetime.datetime
    corrects: int | None
    batch: int | None
    outlet: int | None
    unit_price: Decimal | None
    sales_tax: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Ledger:
    """Every row that changed what is owned, in order, with the lots it is about."""

    lots: LotCosts
    rows: Sequence[LedgerRow]

    def between(self, first: datetime.date, last: datetime.date) -> list[LedgerRow]:
        """Rows of the days from the first to the last."""
        return [row for row in self.rows if first <= row.on <= last]

    def value(self, *, method: Method, until: datetime.date | None = None) -> Valuation:
        """Value the ledger up to a day.

        Raises:
            ValuationError: the ledger takes out what is not there.
        """
        return value_history(self.steps(until=until), method=method)

    def steps(self, *, until: datetime.date | None = None) -> list[Step]:
        """The rows as steps of a valuation, up to a day or all of them."""
        rows = [row for row in self.rows if until is None or row.on <= until]
        corrected: defaultdict[int, Decimal] = defaultdict(lambda: ZERO)
        for row in rows:
            if row.corrects and row.reason in Movement.INCOMING:
                corrected[row.corrects] += row.quantity
        steps = []
        for row in rows:
            quantity = row.quantity + corrected.get(row.number, ZERO)
            is_taken_in = row.corrects and row.reason in Movement.INCOMING
            if not is_taken_in and quantity != 0:
                steps.append(_step(row, quantity, self.lots.lots[row.lot]))
        return steps


def read_ledger(*, until: datetime.date | None = None) -> Ledger:
    """Read lots and rows, in two queries.

    Args:
        until: last day to take in; None for all of it.
    """
    rows = Movement.objects.exclude(reason=Reason.MOVED).order_by("on", "pk")
    if until is not None:
        rows = rows.filter(on__lte=until)
    read = rows.values_list(
        "pk",
        "lot_id",
        "quantity",
        "reason",
        "on",
        "at",
        "corrects_id",
        "batch_input__batch_id",
        "corrects__batch_input__batch_id",
        "market_day__outlet_id",
        "visit__outlet_id",
        "place_id",
        "unit_price",
        "sales_tax",
    )
    return Ledger(lots=lot_costs(), rows=[_row(row) for row in read.iterator()])


def _row(row: tuple[Any, ...]) -> LedgerRow:
    number, lot, quantity, reason, on, at, corrects, *about, price, tax = row
    drawn_by, was_drawn_by, day_at, visit_to, place = about
    return LedgerRow(
        number=number,
        lot=lot,
        quantity=quantity,
        reason=reason,
        on=on,
        at=at,
        corrects=corrects,
        batch=drawn_by or was_drawn_by,
        outlet=day_at or visit_to or place,
        unit_price=price,
        sales_tax=tax,
    )


def _step(row: LedgerRow, quantity: Decimal, lot: LotFact) -> Step:
    cost, batch, share = None, "", Decimal(1)
    if row.reason in BOUGHT:
        cost = lot.cost
    elif row.reason == Reason.MADE and lot.made_by is not None:
        batch, share = f"batch:{lot.made_by}", lot.share
    elif row.reason == Reason.MADE:
        cost = lot.cost
    elif row.reason == Reason.SPLIT:
        batch = _split_key(row, quantity, lot)
    elif row.reason == Reason.DRAWN:
        batch = f"batch:{row.batch}" if row.batch else ""
    return Step(
        ref=str(row.number),
        item=lot.item,
        lot=str(row.lot),
        quantity=quantity,
        cost=cost,
        reason=row.reason,
        batch=batch,
        share=share,
        undoes=str(row.corrects or ""),
        on=row.on,
    )


def _split_key(row: LedgerRow, quantity: Decimal, lot: LotFact) -> str:
    """The same word for both rows of a split."""
    source = row.lot if quantity < 0 else lot.split_from
    return f"split:{source}:{row.at.isoformat()}"


def value_stock(*, method: Method, until: datetime.date | None = None) -> Valuation:
    """Value the whole ledger up to a day.

    Raises:
        ValuationError: the ledger takes out what is not there.
    """
    return read_ledger(until=until).value(method=method)


@dataclass(frozen=True, slots=True, kw_only=True)
class PotTimes:
    """When each batch went into the pot, and when it was over; None: not yet."""

    days: Sequence[tuple[int, datetime.date, datetime.date | None]]

    def cooking(self, *, on: datetime.date) -> set[str]:
        """Batches in the pot at the end of a day: their cost is still stock."""
        return {
            f"batch:{number}"
            for number, began, over in self.days
            if began <= on and (over is None or over > on)
        }


def pot_times() -> PotTimes:
    """Read when every batch was begun and finished or decided, in the seller's days."""
    started = Batch.objects.filter(started_at__isnull=False).order_by()
    days = started.values_list(
        "pk", "started_at__date", "finished_at__date", "decided_at__date"
    )
    return PotTimes(
        days=[
            (number, began, min((day for day in over if day), default=None))
            for number, began, *over in days
        ]
    )
