"""EPCIS 2.0 documents: what happened to lots, for other firms' programs.

Frozen events go in, a JSON-LD document comes out: receiving, cooking, packing,
shipping, selling, writing off. Where a maker has a GTIN a batch is named by its
Digital Link; otherwise by an address of the maker's own, which the standard
allows as a class of things.

Source: GS1 EPCIS 2.0 and Core Business Vocabulary, JSON schema of May 2023
(fields and terms in ``epcis_terms.toml``).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any

from inventory.words import say
from production.epcis_terms import find_happening, terms

__all__ = [
    "AggregationEvent",
    "Event",
    "EventError",
    "ObjectEvent",
    "Party",
    "Quantity",
    "TransformationEvent",
    "make_document",
]

GRAM = "GRM"
OWN_PREFIX = "own"


class EventError(ValueError):
    """An event lacks what the standard asks for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """So much of one class of things; without a unit it counts pieces.

    Attributes:
        uri: address naming the lot or the product's batch.
        amount: positive.
        unit: code of UN/ECE Recommendation 20 ("GRM", "KGM"), empty for pieces.
    """

    uri: str
    amount: Decimal
    unit: str = ""

    def as_element(self) -> dict[str, Any]:
        """The quantity element of the standard."""
        whole = self.amount == self.amount.to_integral_value()
        number = int(self.amount) if whole else float(self.amount)
        element: dict[str, Any] = {"epcClass": self.uri, "quantity": number}
        return element | ({"uom": self.unit} if self.unit else {})


@dataclass(frozen=True, slots=True, kw_only=True)
class Party:
    """Who gave or got: owning_party, possessing_party or location."""

    kind: str
    uri: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """What every event tells: when, why, where, and on which paper.

    Attributes:
        happening: name in the table of happenings ("received", "cooked" …).
        at: the moment, with its offset from UTC.
        event_id: address that stays the same however often the event is told.
        read_point: address of the place where it happened.
        location: address of the place where the things are afterwards.
        papers: kind of paper and its address ("inv", receipt).
        sources: who gave.
        destinations: who got.
        facts: own facts about things that come into being ("batchCode").
    """

    happening: str
    at: datetime
    event_id: str = ""
    read_point: str = ""
    location: str = ""
    papers: tuple[tuple[str, str], ...] = ()
    sources: tuple[Party, ...] = ()
    destinations: tuple[Party, ...] = ()
    facts: tuple[tuple[str, str], ...] = ()

    def __post_init__(self) -> None:
        if self.at.tzinfo is None:
            raise EventError(say("an event needs a moment with its offset from UTC"))

    def as_value(self) -> dict[str, Any]:
        """The event of the standard, with empty fields left out."""
        told = find_happening(self.happening)
        value = {
            "type": told.event,
            "eventID": self.event_id,
            "eventTime": self.at.isoformat(),
            "eventTimeZoneOffset": _offset(self.at),
            "action": told.action,
            "bizStep": told.step,
            "disposition": told.disposition,
            "readPoint": {"id": self.read_point} if self.read_point else None,
            "bizLocation": {"id": self.location} if self.location else None,
            "bizTransactionList": [
                {"type": kind, "bizTransaction": uri} for kind, uri in self.papers
            ],
            "sourceList": [{"type": p.kind, "source": p.uri} for p in self.sources],
            "destinationList": [
                {"type": p.kind, "destination": p.uri} for p in self.destinations
            ],
        }
        return {name: field for name, field in value.items() if field}

    def _told_facts(self) -> dict[str, Any]:
        facts = {f"{OWN_PREFIX}:{name}": fact for name, fact in self.facts}
        return {"ilmd": facts} if facts else {}


@dataclass(frozen=True, slots=True, kw_only=True)
class ObjectEvent(Event):
    """Things were received, shipped, sold, held, written off."""

    quantities: tuple[Quantity, ...]

    def as_value(self) -> dict[str, Any]:
        """The event of the standard."""
        if not self.quantities:
            raise EventError(
                say('the event "{happening}" names nothing', happening=self.happening)
            )
        value = Event.as_value(self)
        facts = self._told_facts() if value["action"] == "ADD" else {}
        return (
            value | {"quantityList": [q.as_element() for q in self.quantities]} | facts
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class AggregationEvent(Event):
    """Jars were put into a crate, or taken out of it."""

    parent: str
    children: tuple[Quantity, ...]

    def as_value(self) -> dict[str, Any]:
        """The event of the standard."""
        return Event.as_value(self) | {
            "parentID": self.parent,
            "childQuantityList": [q.as_element() for q in self.children],
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class TransformationEvent(Event):
    """Lots became another lot: a batch was cooked."""

    inputs: tuple[Quantity, ...]
    outputs: tuple[Quantity, ...]

    def as_value(self) -> dict[str, Any]:
        """The event of the standard."""
        if not self.inputs or not self.outputs:
            raise EventError(
                say("cooking turns at least one lot into at least one other")
            )
        return (
            Event.as_value(self)
            | {
                "inputQuantityList": [q.as_element() for q in self.inputs],
                "outputQuantityList": [q.as_element() for q in self.outputs],
            }
            | self._told_facts()
        )


def make_document(
    events: Sequence[Event], *, created_at: datetime, own_vocabulary: str
) -> Mapping[str, Any]:
    """Put events into one document, ready for ``json.dumps``.

    Args:
        events: in any order; told in the order of their moments.
        created_at: the moment the document is made, with its offset.
        own_vocabulary: address that the maker's own facts are named under.

    Returns:
        An EPCISDocument of schema version 2.0.

    Raises:
        EventError: a moment without an offset, or an event that names nothing.
    """
    if created_at.tzinfo is None:
        raise EventError(say("a document needs a moment with its offset from UTC"))
    return {
        "@context": [terms().context, {OWN_PREFIX: own_vocabulary}],
        "type": "EPCISDocument",
        "schemaVersion": "2.0",
        "creationDate": created_at.isoformat(),
        "epcisBody": {
            "eventList": [e.as_value() for e in sorted(events, key=lambda e: e.at)]
        },
    }


def _offset(moment: datetime) -> str:
    text = moment.strftime("%z")
    return f"{text[:3]}:{text[3:5]}"
