"""Traceability records, read from the book for some lots or for a span of days."""

import datetime
from collections import defaultdict
from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from django.utils import timezone

from inventory.models import Business, Lot, Movement, Outlet
from production.gs1 import GtinError, read_gtin
from production.models import Batch, BatchInput, BatchOutput, Reading
from production.selectors.lineage import id_rows
from production.trace_answer import TraceAnswer
from production.trace_records import Cooked, Firm, LotAmount, Moved, Received
from production.trace_records import TraceRecords as Records

__all__ = ["records_of", "records_of_answer", "records_of_days"]

Reason = Movement.Reason
WHAT: Mapping[str, str] = {
    Reason.SOLD: "sold",
    Reason.SAMPLED: "sampled",
    Reason.TRIMMED: "sampled",
    Reason.GIVEN: "sold",
    Reason.RETURNED: "brought_back",
    Reason.BROKEN: "written_off",
    Reason.SEAL: "written_off",
    Reason.SPOILED: "written_off",
    Reason.EXPIRED: "written_off",
    Reason.REJECTED: "written_off",
    Reason.RECALLED: "recalled",
}
HEAT = {
    Reading.Kind.FINISH_TEMPERATURE,
    Reading.Kind.FILL_TEMPERATURE,
    Reading.Kind.PROCESS_MIN,
}


def records_of_answer(answer: TraceAnswer) -> Records:
    """Read the records of every lot of a trace."""
    keys = (node.key.partition(":") for node in answer.graph.nodes)
    return records_of(int(n) for kind, _, n in keys if kind in {"lot", "jars"})


def records_of_days(first: datetime.date, last: datetime.date) -> Records:
    """Read the records of every lot received or made between two days, both in."""
    lots = Lot.objects.filter(received_on__range=(first, last))
    return records_of(lots.values_list("pk", flat=True))


def records_of(lot_ids: Iterable[int]) -> Records:
    """Read the records of some lots.

    Args:
        lot_ids: row numbers.
    """
    lots = {
        lot.pk: lot
        for lot in Lot.objects.filter(pk__in=id_rows(lot_ids))
        .select_related("material", "product__jar_size", "purchase__supplier")
        .order_by("pk")
    }
    business = Business.current()
    kitchen = Firm(
        key="kitchen",
        name=business.trade_name,
        phone=business.phone,
        address=", ".join(business.address_lines),
    )
    rows = list(
        Movement.objects.filter(lot_id__in=id_rows(lots)).order_by("pk").values(*FIELDS)
    )
    return Records(
        kitchen=kitchen,
        received=_received(lots, rows),
        cooked=_cooked(lots, rows),
        moved=_moved(lots, rows, kitchen),
    )


FIELDS = ("pk", "lot_id", "quantity", "reason", "on", "at", "place_id", "cause")
LedgerRow = dict[str, Any]


def amount_of(lot: Lot, quantity: Decimal) -> LotAmount:
    """So much of a lot, with what a record says of it."""
    return LotAmount(
        code=lot.code,
        name=lot.name,
        quantity=abs(quantity),
        unit=lot.unit,
        mark=lot.supplier_mark,
        gtin=_gtin(lot),
        best_by=lot.best_by,
    )


def _gtin(lot: Lot) -> str:
    """The product's trade item number; one with a slip in it names nothing."""
    try:
        return read_gtin(lot.product.gtin).digits if lot.product else ""
    except GtinError:
        return ""


def _received(lots: Mapping[int, Lot], rows: list[LedgerRow]) -> list[Received]:
    found = []
    for row in rows:
        lot = lots[row["lot_id"]]
        purchase = lot.purchase
        if row["reason"] != Reason.RECEIVED or purchase is None or row["quantity"] < 0:
            continue
        supplier = purchase.supplier
        firm = Firm(
            key=f"supplier {supplier.pk}",
            name=str(supplier),
            phone=supplier.phone,
            address=supplier.address,
        )
        found.append(
            Received(
                row=row["pk"],
                lot=amount_of(lot, row["quantity"]),
                firm=firm,
                on=lot.received_on,
                at=row["at"],
                paper=purchase.reference,
            )
        )
    return found


def _cooked(lots: Mapping[int, Lot], rows: list[LedgerRow]) -> list[Cooked]:
    quantity = {row["pk"]: (row["lot_id"], row["quantity"]) for row in rows}
    inputs: dict[int, dict[int, Decimal]] = defaultdict(lambda: defaultdict(Decimal))
    drawn = BatchInput.objects.filter(movement__lot_id__in=id_rows(lots)).order_by("pk")
    for batch, movement in drawn.values_list("batch_id", "movement_id"):
        lot, amount = quantity[movement]
        inputs[batch][lot] -= amount
    made = defaultdict(list)
    outputs = BatchOutput.objects.filter(lot_id__in=id_rows(lots)).order_by("pk")
    for batch, lot, filled in outputs.values_list("batch_id", "lot_id", "filled"):
        made[batch].append(amount_of(lots[lot], filled))
    batches = (
        Batch.objects.filter(pk__in=id_rows(made))
        .select_related("product__jar_size", "version__recipe")
        .prefetch_related("readings")
        .order_by("pk")
    )
    return [
        Cooked(
            row=batch.pk,
            batch=batch.code or "",
            product=str(batch.product or batch.version.recipe),
            on=batch.made_on or batch.planned_on,
            at=batch.finished_at or batch.started_at or _noon(batch.planned_on),
            inputs=tuple(
                amount_of(lots[lot], amount)
                for lot, amount in inputs[batch.pk].items()
                if amount
            ),
            outputs=tuple(made[batch.pk]),
            heat_record=_heat(batch),
        )
        for batch in batches
    ]


def _heat(batch: Batch) -> str:
    told = [
        f"{reading.get_kind_display()} {reading.value.normalize():f}"
        for reading in batch.readings.all()
        if reading.kind in HEAT and not reading.is_undone
    ]
    return "; ".join(told)


def _moved(
    lots: Mapping[int, Lot], rows: list[LedgerRow], kitchen: Firm
) -> list[Moved]:
    outlets = Outlet.objects.in_bulk({row["place_id"] for row in rows} - {None})
    found = []
    for row in rows:
        lot = lots[row["lot_id"]]
        what = WHAT.get(row["reason"], "")
        if row["reason"] == Reason.MOVED and row["place_id"]:
            what = "shipped" if row["quantity"] > 0 else "brought_back"
        if lot.product_id is None or not what:
            continue
        outlet = outlets.get(row["place_id"])
        found.append(
            Moved(
                row=row["pk"],
                what=what,
                lot=amount_of(lot, row["quantity"]),
                firm=_outlet_firm(outlet) if outlet else kitchen,
                on=row["on"],
                at=row["at"],
                paper=str(row["cause"] or ""),
            )
        )
    return found


def _outlet_firm(outlet: Outlet) -> Firm:
    return Firm(
        key=f"outlet {outlet.pk}",
        name=str(outlet),
        phone=outlet.phone,
        address=outlet.address,
    )


def _noon(on: datetime.date) -> datetime.datetime:
    noon = datetime.datetime.combine(on, datetime.time(12))
    return timezone.make_aware(noon)
