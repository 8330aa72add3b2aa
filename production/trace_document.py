"""Traceability records as an EPCIS 2.0 document.

Lots are named by addresses: a product with a licensed GTIN by its Digital Link,
everything else under the maker's own address, which need not lead to a page.

Source: GS1 EPCIS 2.0; GS1 Digital Link. The choice of event for each record is this
project's own (``epcis_terms.toml``).
"""

from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Any
from urllib.parse import quote

from production.batch_codes import normalise
from production.digital_link import digital_link
from production.epcis import (
    Event,
    ObjectEvent,
    Party,
    Quantity,
    TransformationEvent,
    make_document,
)
from production.gs1 import Element
from production.trace_records import Cooked, Firm, LotAmount, Moved, TraceRecords

__all__ = ["records_document"]

GS1_STEM = "https://id.gs1.org"
UNIT_CODES: Mapping[str, str] = {"g": "GRM"}


def records_document(
    records: TraceRecords, *, created_at: datetime, stem: str
) -> Mapping[str, Any]:
    """Tell the records as one document.

    Args:
        records: what was received, cooked, moved and sold.
        created_at: the moment, with its offset.
        stem: address that the maker's own lots, places and events are named under.
    """
    names = _Names(stem.rstrip("/"))
    events = [*_received(records, names), *_cooked(records, names)]
    events += [names.moved(row, records.kitchen) for row in records.moved]
    return make_document(events, created_at=created_at, own_vocabulary=f"{stem}/terms#")


def _received(records: TraceRecords, names: "_Names") -> Iterator[Event]:
    for row in records.received:
        paper = (("inv", names.of("paper", row.paper)),) if row.paper else ()
        yield ObjectEvent(
            happening="received",
            at=row.at,
            event_id=names.of("event/received", str(row.row)),
            quantities=(names.quantity(row.lot),),
            read_point=names.firm(records.kitchen),
            location=names.firm(records.kitchen),
            sources=(Party(kind="possessing_party", uri=names.firm(row.firm)),),
            papers=paper,
        )


def _cooked(records: TraceRecords, names: "_Names") -> Iterator[Event]:
    for row in records.cooked:
        if row.inputs and row.outputs:
            yield names.cooked(row, records.kitchen)


class _Names:
    """Addresses under one stem."""

    def __init__(self, stem: str) -> None:
        self.stem = stem

    def of(self, kind: str, key: str) -> str:
        return f"{self.stem}/{kind}/{quote(key, safe='')}"

    def firm(self, firm: Firm) -> str:
        return self.of("place", firm.key.replace(" ", "-"))

    def lot(self, lot: LotAmount) -> str:
        if not lot.gtin:
            return self.of("lot", lot.code)
        code = normalise(lot.code) if lot.unit == "jars" else lot.code
        elements = (Element(ai="01", value=lot.gtin), Element(ai="10", value=code))
        return digital_link(elements, stem=GS1_STEM)

    def quantity(self, lot: LotAmount) -> Quantity:
        unit = UNIT_CODES.get(lot.unit, "")
        return Quantity(uri=self.lot(lot), amount=lot.quantity, unit=unit)

    def cooked(self, row: Cooked, kitchen: Firm) -> Event:
        facts = [("batchCode", row.batch)]
        best_by = next((x.best_by for x in row.outputs if x.best_by), None)
        if best_by is not None:
            facts.append(("bestBefore", best_by.isoformat()))
        if row.heat_record:
            facts.append(("heatStep", row.heat_record))
        return TransformationEvent(
            happening="cooked",
            at=row.at,
            event_id=self.of("event/cooked", row.batch),
            inputs=tuple(self.quantity(lot) for lot in row.inputs),
            outputs=tuple(self.quantity(lot) for lot in row.outputs),
            read_point=self.firm(kitchen),
            location=self.firm(kitchen),
            papers=(("prodorder", self.of("batch", row.batch)),),
            facts=tuple(facts),
        )

    def moved(self, row: Moved, kitchen: Firm) -> Event:
        shipped = row.what == "shipped"
        there = (Party(kind="possessing_party", uri=self.firm(row.firm)),)
        return ObjectEvent(
            happening=row.what,
            at=row.at,
            event_id=self.of("event/moved", str(row.row)),
            quantities=(self.quantity(row.lot),),
            read_point=self.firm(kitchen if shipped else row.firm),
            location=self.firm(row.firm),
            destinations=there if shipped else (),
        )
