"""The stock ledger as a history that can be valued: what the books stand on.

Carrying jars to a stall and back moves no value and is left out; a correction of
what came in is taken into its row; every other correction undoes a part of its own.
A batch gathers what it draws and hands it to what it makes, shared by the volume of
the jars or, for what is weighed, by weight.
"""

import datetime
from collections import defaultdict
from collections.abc import Iterable
from decimal import Decimal

from django.db.models import Sum

from inventory.models import Lot, Movement
from inventory.models import Movement as Row
from inventory.valuation import Method, Valuation, value_history
from inventory.valuation import Movement as Step
from production.costing.lot_costs import DrawFact, LotCosts, LotFact
from production.models import Batch, BatchInput, BatchOutput

__all__ = [
    "item_key",
    "ledger_steps",
    "lot_costs",
    "output_shares",
    "unfinished_batches",
    "value_stock",
]

ZERO = Decimal(0)
Reason = Row.Reason
BOUGHT = (Reason.RECEIVED, Reason.OPENING)


def item_key(lot: Lot) -> str:
    """What a lot is a lot of, as one word: averages are taken over it."""
    if lot.product_id:
        return f"product:{lot.product_id}"
    return f"material:{lot.material_id}"


def output_shares() -> dict[int, tuple[int, Decimal]]:
    """For every made lot: its batch, and the share of the batch's cost it carries."""
    outputs = list(
        BatchOutput.objects.select_related("jar_size", "lot__product__jar_size")
    )
    weights = {output.lot_id: _weight(output) for output in outputs}
    totals: defaultdict[int, Decimal] = defaultdict(lambda: ZERO)
    for output in outputs:
        totals[output.batch_id] += weights[output.lot_id]
    return {
        output.lot_id: (
            output.batch_id,
            weights[output.lot_id] / totals[output.batch_id]
            if totals[output.batch_id]
            else Decimal(1),
        )
        for output in outputs
    }


def _weight(output: BatchOutput) -> Decimal:
    """Volume of all its jars, ml; of an intermediate its weight, g."""
    if output.jar_size is not None:
        return output.jar_size.brim_ml * output.filled
    product = output.lot.product
    if product is not None:
        return product.jar_size.brim_ml * output.filled
    return output.filled


def ledger_steps(*, until: datetime.date | None = None) -> list[Step]:
    """The ledger's rows in order, as steps of a valuation.

    Args:
        until: last day to take in; None for all of it.
    """
    rows = (
        Row.objects.exclude(reason=Reason.MOVED)
        .select_related("lot")
        .order_by("on", "pk")
    )
    if until is not None:
        rows = rows.filter(on__lte=until)
    made = output_shares()
    drawn_by = dict(BatchInput.objects.values_list("movement_id", "batch_id"))
    corrected = _corrections(rows)
    steps = []
    for row in rows:
        quantity = row.quantity + corrected.get(row.pk, ZERO)
        is_taken_in = row.corrects_id and row.reason in Row.INCOMING
        if not is_taken_in and quantity != 0:
            steps.append(_step(row, quantity, made, drawn_by))
    return steps


def _corrections(rows: Iterable[Row]) -> dict[int, Decimal]:
    """Corrections of what came in, by the row they correct."""
    sums: defaultdict[int, Decimal] = defaultdict(lambda: ZERO)
    for row in rows:
        if row.corrects_id and row.reason in Row.INCOMING:
            sums[row.corrects_id] += row.quantity
    return sums


def _step(
    row: Row,
    quantity: Decimal,
    made: dict[int, tuple[int, Decimal]],
    drawn_by: dict[int, int],
) -> Step:
    cost, batch, share = None, "", Decimal(1)
    if row.reason in BOUGHT:
        cost = row.lot.cost
    elif row.reason == Reason.MADE and row.lot_id in made:
        number, share = made[row.lot_id]
        batch = f"batch:{number}"
    elif row.reason == Reason.MADE:
        cost = row.lot.cost
    elif row.reason == Reason.SPLIT:
        batch = _split_key(row, quantity)
    elif row.reason == Reason.DRAWN:
        drawn = drawn_by.get(row.pk) or drawn_by.get(row.corrects_id or 0)
        batch = f"batch:{drawn}" if drawn else ""
    return Step(
        ref=str(row.pk),
        item=item_key(row.lot),
        lot=str(row.lot_id),
        quantity=quantity,
        cost=cost,
        reason=row.reason,
        batch=batch,
        share=share,
        undoes=str(row.corrects_id or ""),
        on=row.on,
    )


def _split_key(row: Row, quantity: Decimal) -> str:
    """The same word for both rows of a split."""
    source = row.lot_id if quantity < 0 else row.lot.split_from_id
    return f"split:{source}:{row.at.isoformat()}"


def value_stock(*, method: Method, until: datetime.date | None = None) -> Valuation:
    """Value the whole ledger up to a day.

    Raises:
        ValuationError: the ledger takes out what is not there.
    """
    return value_history(ledger_steps(until=until), method=method)


def unfinished_batches(*, on: datetime.date) -> set[str]:
    """Batches in the pot at the end of a day: their cost is still stock."""
    started = Batch.objects.filter(started_at__date__lte=on)
    over = started.filter(finished_at__date__lte=on) | started.filter(
        decided_at__date__lte=on
    )
    numbers = set(started.values_list("pk", flat=True)) - set(
        over.values_list("pk", flat=True)
    )
    return {f"batch:{number}" for number in numbers}


def lot_costs() -> LotCosts:
    """Unit costs of every lot, back through batches to what was bought."""
    made = output_shares()
    lots = {}
    for lot in Lot.objects.with_received():
        batch, share = made.get(lot.pk, (None, Decimal(1)))
        lots[lot.pk] = LotFact(
            code=lot.code,
            received=Decimal(lot.received),  # type: ignore[attr-defined] # annotated
            cost=lot.cost,
            split_from=lot.split_from_id,
            made_by=batch,
            share=share,
        )
    return LotCosts(lots=lots, draws=_draws())


def _draws() -> dict[int, list[DrawFact]]:
    drawn = BatchInput.objects.values_list(
        "batch_id", "movement_id", "movement__lot_id", "movement__quantity"
    )
    fixed = dict(
        Movement.objects.filter(corrects__batch_input__isnull=False)
        .order_by()
        .values_list("corrects")
        .annotate(total=Sum("quantity"))
    )
    draws: defaultdict[int, list[DrawFact]] = defaultdict(list)
    for batch, row, lot, quantity in drawn:
        taken = -(quantity + fixed.get(row, ZERO))
        if taken > 0:
            draws[batch].append(DrawFact(lot=lot, quantity=taken))
    return dict(draws)
