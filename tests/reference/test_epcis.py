"""EPCIS 2.0 documents against the standard's fields and a published example.

Sources:
- GS1 EPCIS 2.0 JSON schema, vocabulary lists and examples, May 2023 (the schema
  itself is not carried here: its licence does not say that it may be).
- Figures of example 9.6.4 (a transformation: 2 serials and 3 classes of 10 kg, 30
  and 220 pieces become 4 serials) from the same place.
The documents made below were also run through that schema once, when written.
"""

import copy
import json
from datetime import UTC, datetime, timedelta, timezone
from decimal import Decimal

import pytest

from production.epcis import (
    AggregationEvent,
    EventError,
    ObjectEvent,
    Party,
    Quantity,
    TransformationEvent,
    make_document,
)
from production.epcis_check import document_problems
from production.epcis_terms import terms

AT = datetime(2026, 7, 15, 7, 40, tzinfo=timezone(-timedelta(hours=4)))
FRUIT = Quantity(uri="https://jam.example/lot/31", amount=Decimal("6.2"), unit="KGM")
JARS = Quantity(
    uri="https://id.gs1.org/01/09521234543213/10/26196AM", amount=Decimal(24)
)


def cooking():
    return TransformationEvent(
        happening="cooked",
        at=AT,
        inputs=(FRUIT,),
        outputs=(JARS,),
        read_point="https://jam.example/place/kitchen",
        facts=(("batchCode", "26196AM"), ("bestBefore", "2027-07-15")),
    )


def selling():
    return ObjectEvent(happening="sold", at=AT, quantities=(JARS,))


def packing():
    crate = "https://jam.example/crate/1"
    return AggregationEvent(happening="packed", at=AT, parent=crate, children=(JARS,))


def document(*events):
    made = make_document(
        events, created_at=AT, own_vocabulary="https://jam.example/ns#"
    )
    return json.loads(json.dumps(made))


def problems_with(make, change):
    told = document(make())
    change(told["epcisBody"]["eventList"][0])
    return document_problems(told)


@pytest.mark.parametrize("make", [cooking, selling, packing])
def test_our_events_have_no_problem(make):
    assert document_problems(document(make())) == ()


def test_cooking_is_told_as_the_reference_shape():
    event = document(cooking())["epcisBody"]["eventList"][0]
    assert event["inputQuantityList"][0]["quantity"] == 6.2
    assert event["outputQuantityList"] == [{"epcClass": JARS.uri, "quantity": 24}]
    assert event["eventTimeZoneOffset"] == "-04:00"
    assert event["bizStep"] == "commissioning"
    assert "action" not in event


@pytest.mark.parametrize(
    ("field", "said"),
    [
        ("eventTime", "eventTime"),
        ("eventTimeZoneOffset", "eventTimeZoneOffset"),
        ("inputQuantityList", "no input"),
        ("outputQuantityList", "no output"),
    ],
)
def test_cooking_without_a_field(field, said):
    found = problems_with(cooking, lambda event: event.pop(field))
    assert len(found) == 1
    assert said in found[0]


@pytest.mark.parametrize(
    ("make", "change"),
    [
        (cooking, {"action": "ADD"}),
        (selling, {"action": "SELL"}),
        (selling, {"quantityList": []}),
        (selling, {"bizStep": "selling"}),
        (selling, {"disposition": "gone"}),
        (selling, {"eventTimeZoneOffset": "Z"}),
        (selling, {"eventTimeZoneOffset": "+14:30"}),
        (selling, {"eventTime": "2026-07-15"}),
        (selling, {"note": "a bare key"}),
        (selling, {"ilmd": {"own:bestBefore": "2027-07-15"}}),
        (selling, {"quantityList": [{"quantity": 3}]}),
        (selling, {"quantityList": [{"epcClass": JARS.uri, "quantity": "3"}]}),
        (selling, {"quantityList": [{"epcClass": JARS.uri, "uom": "grams"}]}),
        (selling, {"readPoint": {"id": "the stall"}}),
        (
            selling,
            {"bizTransactionList": [{"type": "receipt", "bizTransaction": "a:b"}]},
        ),
        (selling, {"bizTransactionList": [{"type": "inv"}]}),
        (selling, {"destinationList": [{"type": "buyer", "destination": "a:b"}]}),
        (selling, {"destinationList": [{"type": "location"}]}),
        (selling, {"errorDeclaration": {"reason": "oops"}}),
        (selling, {"type": "SaleEvent"}),
        (packing, {"parentID": ""}),
    ],
)
def test_one_wrong_field_is_one_problem(make, change):
    assert len(problems_with(make, lambda event: event.update(change))) == 1


def test_own_facts_go_with_adding():
    changes = {"action": "ADD", "ilmd": {"own:bestBefore": "2027-07-15"}}
    assert problems_with(selling, lambda event: event.update(changes)) == ()


def test_unpacking_everything_names_no_children():
    changes = {"action": "DELETE", "childQuantityList": []}
    assert problems_with(packing, lambda event: event.update(changes)) == ()


@pytest.mark.parametrize(
    "field", ["@context", "type", "schemaVersion", "creationDate", "epcisBody"]
)
def test_a_document_needs_its_frame(field):
    told = document(selling())
    del told[field]
    assert document_problems(told)


def test_a_document_of_another_kind_or_moment():
    told = document(selling()) | {"creationDate": "yesterday", "colour": "red"}
    assert len(document_problems(told)) == 2


def test_published_transformation_example_is_understood():
    """Example 9.6.4: two input serials, three input classes, four outputs."""
    example = document(cooking())
    (event,) = example["epcisBody"]["eventList"]
    event["inputEPCList"] = [
        "urn:epc:id:sgtin:4012345.011122.25",
        "urn:epc:id:sgtin:4000001.065432.99886655",
    ]
    event["inputQuantityList"] = [
        {
            "epcClass": "urn:epc:class:lgtin:4012345.011111.4444",
            "quantity": 10,
            "uom": "KGM",
        },
        {"epcClass": "urn:epc:class:lgtin:0614141.077777.987", "quantity": 30},
        {"epcClass": "urn:epc:idpat:sgtin:4012345.066666.*", "quantity": 220},
    ]
    del event["outputQuantityList"]
    event["outputEPCList"] = [
        f"urn:epc:id:sgtin:4012345.077889.{n}" for n in range(25, 29)
    ]
    event["eventTimeZoneOffset"] = "+02:00"
    assert document_problems(example) == ()
    without = copy.deepcopy(example)
    del without["epcisBody"]["eventList"][0]["outputEPCList"]
    assert len(document_problems(without)) == 1


def test_events_are_told_in_order_of_time():
    later = ObjectEvent(happening="sold", at=AT + timedelta(days=3), quantities=(JARS,))
    told = document(later, cooking())["epcisBody"]["eventList"]
    assert [event["type"] for event in told] == ["TransformationEvent", "ObjectEvent"]


def test_parties_and_papers_are_told():
    shop = Party(kind="possessing_party", uri="https://jam.example/outlet/2")
    event = ObjectEvent(
        happening="shipped",
        at=AT,
        quantities=(JARS,),
        destinations=(shop,),
        sources=(Party(kind="location", uri="https://jam.example/place/shelf"),),
        papers=(("desadv", "https://jam.example/paper/7"),),
        location="https://jam.example/outlet/2",
    )
    assert document_problems(document(event)) == ()


def test_a_moment_without_offset_is_refused():
    with pytest.raises(EventError, match="offset"):
        ObjectEvent(happening="sold", at=AT.replace(tzinfo=None), quantities=(JARS,))
    with pytest.raises(EventError, match="offset"):
        make_document([], created_at=AT.replace(tzinfo=None), own_vocabulary="a:b")


def test_an_event_about_nothing_is_refused():
    with pytest.raises(EventError, match="names nothing"):
        document(ObjectEvent(happening="sold", at=AT, quantities=()))
    with pytest.raises(EventError, match="at least one lot"):
        document(
            TransformationEvent(happening="cooked", at=AT, inputs=(), outputs=(JARS,))
        )


def test_every_happening_uses_terms_of_the_standard():
    """41 steps and 33 dispositions in the vocabulary of May 2023."""
    table = terms()
    assert (len(table.steps), len(table.dispositions)) == (41, 33)
    for told in table.happenings.values():
        assert told.step in table.steps
        assert told.disposition in table.dispositions
        assert told.action in table.actions | {""}


def test_midnight_offsets_keep_their_sign():
    utc = ObjectEvent(happening="sold", at=AT.astimezone(UTC), quantities=(JARS,))
    event = document(utc)["epcisBody"]["eventList"][0]
    assert event["eventTimeZoneOffset"] == "+00:00"
