"""Whether a document is EPCIS 2.0, as far as our kinds of event go.

Knows documents with ObjectEvent, AggregationEvent and TransformationEvent. It
follows the field tables of the published JSON schema, and is stricter in one
place: an aggregation that adds must name its parent, as the standard's text asks.

Source: GS1 EPCIS 2.0 JSON schema, May 2023.
"""

import re
from collections.abc import Collection, Iterator, Mapping
from datetime import datetime
from typing import Any

from production.epcis_terms import terms

__all__ = ["document_problems"]

_OFFSET = re.compile(r"[+-](?:(?:0\d|1[0-3]):[0-5]\d|14:00)")
_URI = re.compile(r"[A-Za-z][A-Za-z0-9+.-]*:\S+")
_PREFIXED = re.compile(r"[^:\s]+:\S+")
_LISTS = {
    "ObjectEvent": ("epcList", "quantityList"),
    "AggregationEvent": ("childEPCs", "childQuantityList"),
}
_QUANTITIES = (
    *("quantityList", "childQuantityList"),
    *("inputQuantityList", "outputQuantityList"),
)


def document_problems(document: Mapping[str, Any]) -> tuple[str, ...]:
    """List what is wrong with a document.

    Args:
        document: as read from JSON.

    Returns:
        One sentence per problem, each naming the event by its position from 1;
        empty when there is none.
    """
    return tuple(_document(document))


def _document(document: Mapping[str, Any]) -> Iterator[str]:
    for name in ("@context", "type", "schemaVersion", "creationDate", "epcisBody"):
        if name not in document:
            yield f"the document has no {name}"
    if document.get("type") != "EPCISDocument":
        yield "the document's type is not EPCISDocument"
    if "creationDate" in document and not _is_moment(document["creationDate"]):
        yield "creationDate is no moment with an offset"
    yield from _unknown(document, terms().fields["document"], "the document")
    body = document.get("epcisBody")
    events = body.get("eventList") if isinstance(body, Mapping) else None
    if not isinstance(events, list):
        yield "epcisBody has no eventList"
        return
    for at, event in enumerate(events, start=1):
        yield from (f"event {at}: {problem}" for problem in _event(event))


def _event(event: Mapping[str, Any]) -> Iterator[str]:
    kind = event.get("type", "")
    if kind not in {*_LISTS, "TransformationEvent"}:
        yield f'the type "{kind}" is not one of ours'
        return
    fields = terms().fields
    yield from _unknown(event, fields["event"] | fields[kind], kind)
    yield from _moments(event)
    yield from _vocabulary(event)
    yield from _papers_and_parties(event)
    yield from _things(event, kind)
    for name in _QUANTITIES:
        for element in event.get(name, []):
            yield from _quantity(element)


def _unknown(
    value: Mapping[str, Any], known: frozenset[str], where: str
) -> Iterator[str]:
    for name in value:
        if name not in known and not _PREFIXED.fullmatch(name):
            yield f'{where} has an unknown field "{name}" without a prefix'


def _moments(event: Mapping[str, Any]) -> Iterator[str]:
    if not _is_moment(event.get("eventTime")):
        yield "eventTime is missing or no moment with an offset"
    offset = event.get("eventTimeZoneOffset")
    if not isinstance(offset, str) or not _OFFSET.fullmatch(offset):
        yield "eventTimeZoneOffset is missing or not of the form +hh:mm"
    for name in ("readPoint", "bizLocation"):
        if name in event and not _is_uri(event[name].get("id")):
            yield f"{name} has no id that is an address"


def _vocabulary(event: Mapping[str, Any]) -> Iterator[str]:
    lists = {"bizStep": terms().steps, "disposition": terms().dispositions}
    for name, allowed in lists.items():
        if name in event and not _is_term(event[name], allowed):
            yield f'{name} "{event[name]}" is not a term of the standard'
    reason = event.get("errorDeclaration", {}).get("reason", "incorrect_data")
    if not _is_term(reason, terms().error_reasons):
        yield f'"{reason}" is not a reason of the standard'


def _papers_and_parties(event: Mapping[str, Any]) -> Iterator[str]:
    papers, parties = terms().document_types, terms().party_types
    for paper in event.get("bizTransactionList", []):
        yield from _reference(paper, "bizTransaction", papers | {None})
    for name in ("source", "destination"):
        for party in event.get(f"{name}List", []):
            yield from _reference(party, name, parties)


def _reference(
    value: Mapping[str, Any], name: str, types: Collection[str | None]
) -> Iterator[str]:
    if not _is_term(value.get("type"), types):
        yield f"a {name} has no type of the standard"
    if not _is_uri(value.get(name)):
        yield f"a {name} has no address"


def _things(event: Mapping[str, Any], kind: str) -> Iterator[str]:
    if kind == "TransformationEvent":
        for side in ("input", "output"):
            named = any(event.get(f"{side}{part}List") for part in ("EPC", "Quantity"))
            if not named and "transformationID" not in event:
                yield f"the transformation names no {side}"
        return
    action = event.get("action")
    if action not in terms().actions:
        yield "action is missing or not ADD, OBSERVE or DELETE"
    if "ilmd" in event and action != "ADD":
        yield "ilmd goes with action ADD only"
    named = any(event.get(name) for name in _LISTS[kind])
    if not named and (kind, action) != ("AggregationEvent", "DELETE"):
        yield f"the {kind} names nothing"
    if (kind, action) == ("AggregationEvent", "ADD") and not event.get("parentID"):
        yield "an aggregation that adds names no parent"


def _quantity(element: Mapping[str, Any]) -> Iterator[str]:
    if not _is_uri(element.get("epcClass")):
        yield "a quantity has no epcClass that is an address"
    amount = element.get("quantity", 1)
    if isinstance(amount, bool) or not isinstance(amount, (int, float)):
        yield "a quantity is no number"
    if not re.fullmatch(r"[A-Z0-9]{2,3}", element.get("uom", "KGM")):
        yield f'"{element["uom"]}" is not a unit code'


def _is_term(value: object, allowed: Collection[str | None]) -> bool:
    return value in allowed or _is_uri(value)


def _is_uri(value: object) -> bool:
    return isinstance(value, str) and bool(_URI.fullmatch(value))


def _is_moment(value: object) -> bool:
    if not isinstance(value, str):
        return False
    try:
        return datetime.fromisoformat(value).tzinfo is not None
    except ValueError:
        return False
