"""Traceability records: what they hold, as a workbook and as events."""

from datetime import UTC, datetime
from decimal import Decimal
from io import BytesIO

import pytest

from inventory.models import Movement
from production.epcis_check import document_problems
from production.selectors.trace_records import records_of, records_of_days
from production.trace_document import records_document
from production.trace_workbook import records_workbook
from tests.factories import (
    NOW,
    TODAY,
    make_business,
    make_lot,
    make_outlet,
    make_product,
    make_purchase,
    make_supplier,
)
from tests.trace_factories import enter, jars_of, make_traced_batch

pytestmark = pytest.mark.django_db
Reason = Movement.Reason
AT = datetime(2026, 6, 11, 8, 0, tzinfo=UTC)


@pytest.fixture
def book():
    make_business(phone="555 0100")
    farm = make_supplier(name="Hill Farm", phone="555 0101", address="1 Hill Road")
    purchase = make_purchase(supplier=farm, reference="R-12")
    fruit = make_lot(code="F1", purchase=purchase, supplier_mark="=1+1")
    product = make_product(name="Plum jam", gtin="9521234543213")
    batch = make_traced_batch(inputs=[fruit], product=product)
    batch.readings.create(
        kind="finish_temperature", value=Decimal("104.5"), at=NOW, note=""
    )
    lot, shop = jars_of(batch), make_outlet(name="Corner Shop", phone="555 0111")
    enter(lot, -6, Reason.MOVED)
    enter(lot, 6, Reason.MOVED, place=shop)
    enter(lot, -2, Reason.SOLD, place=shop)
    enter(lot, -1, Reason.BROKEN)
    return {"fruit": fruit, "lot": lot, "batch": batch}


def records(book):
    return records_of([book["fruit"].pk, book["lot"].pk])


def rows_of(body, sheet):
    from openpyxl import load_workbook

    names, *rows = load_workbook(BytesIO(body))[sheet].values
    return [dict(zip(names, row, strict=True)) for row in rows]


def test_receiving_holds_the_key_data_elements(book):
    (row,) = rows_of(records_workbook(records(book)), "Receiving")
    assert row["Previous source (firm id)"].startswith("supplier")
    assert (row["Quantity"], row["Unit of measure"]) == (1000, "g")
    assert row["Reference document"] == "R-12"
    assert row["Date received"].date() == TODAY


def test_transformation_names_used_and_new_lots(book):
    body = records_workbook(records(book))
    (used,) = rows_of(body, "Transformation used")
    (made,) = rows_of(body, "Transformation made")
    assert (used["Traceability lot code used"], used["Quantity"]) == ("F1", 10)
    assert made["New traceability lot code"] == book["batch"].code
    assert "104.5" in made["Heat step record"]


def test_shipping_and_other_ends_are_apart(book):
    body = records_workbook(records(book))
    (shipped,) = rows_of(body, "Shipping")
    assert shipped["Next recipient or place (firm id)"].startswith("outlet")
    ends = {
        row["What happened"]: row["Quantity"]
        for row in rows_of(body, "Sold and other ends")
    }
    assert ends == {"sold": 2, "written off": 1}


def test_firms_have_telephone_and_address(book):
    firms = {
        r["Name"]: r
        for r in rows_of(records_workbook(records(book)), "Firms and places")
    }
    assert firms["Hill Farm"]["Telephone"] == "555 0101"
    assert firms["Test Kitchen"]["Firm id"] == "kitchen"
    assert set(firms) == {"Hill Farm", "Test Kitchen", "Corner Shop"}


def test_what_looks_like_a_formula_stays_text(book):
    (row,) = rows_of(records_workbook(records(book)), "Receiving")
    assert row["Lot code of the source"] == "'=1+1"


def test_events_tell_the_same_and_are_epcis(book):
    document = records_document(
        records(book), created_at=AT, stem="https://jam.example"
    )
    assert document_problems(document) == ()
    events = document["epcisBody"]["eventList"]
    steps = sorted(event["bizStep"] for event in events)
    assert steps == sorted(
        ["receiving", "commissioning", "shipping", "retail_selling", "destroying"]
    )
    made = next(e for e in events if e["type"] == "TransformationEvent")
    assert made["outputQuantityList"][0]["epcClass"] == (
        f"https://id.gs1.org/01/09521234543213/10/{book['batch'].code}"
    )
    assert made["inputQuantityList"] == [
        {"epcClass": "https://jam.example/lot/F1", "quantity": 10, "uom": "GRM"}
    ]


def test_a_gtin_with_a_slip_is_never_told(book):
    product = book["lot"].product
    product.gtin = "9521234543214"
    product.save()
    document = records_document(
        records(book), created_at=AT, stem="https://jam.example"
    )
    assert "id.gs1.org" not in str(document)


def test_records_of_days_take_the_lots_of_those_days(book):
    assert records_of_days(TODAY, TODAY).received
    earlier = TODAY.replace(year=TODAY.year - 1)
    assert not records_of_days(earlier, earlier).received
