"""Pages of tracing: finding a batch, its answer, its papers and data."""

import json
from io import BytesIO

import pytest
from django.urls import reverse

from production.batch_codes import make_code
from production.epcis_check import document_problems
from tests.factories import (
    TODAY,
    make_lot,
    make_product,
    make_purchase,
    make_supplier,
)
from tests.trace_factories import make_traced_batch

pytestmark = pytest.mark.django_db
CODE = make_code(TODAY, "K")


@pytest.fixture
def batch():
    farm = make_supplier(name="Hill Farm")
    fruit = make_lot(
        code="F/1 a", purchase=make_purchase(supplier=farm), supplier_mark="L7"
    )
    product = make_product(name="Plum jam", gtin="09521234543213")
    return make_traced_batch(code=CODE, inputs=[fruit], product=product)


def find(client, **query):
    return client.get(reverse("production:trace"), query)


def trace(client, **query):
    return client.get(reverse("production:trace-batch", args=[CODE]), query)


def test_a_good_code_leads_straight_to_its_trace(owner_client, batch):
    answer = find(owner_client, code=CODE.lower())
    assert answer.url == reverse("production:trace-batch", args=[CODE])


def test_a_scanned_address_leads_there_too(owner_client, batch):
    link = f"https://id.gs1.org/01/09521234543213/10/{CODE}"
    assert find(owner_client, code=link).url.endswith(f"/{CODE}/")


def test_a_wrong_code_offers_the_right_one(owner_client, batch):
    wrong = CODE[:6] + ("2" if CODE[6] != "2" else "3")
    text = find(owner_client, code=wrong).content.decode()
    assert "typing mistake" in text
    assert reverse("production:trace-batch", args=[CODE]) in text


def test_the_page_answers_every_question(owner_client, batch):
    text = trace(owner_client).content.decode()
    for words in ("Hill Farm", "L7", "F/1 a", "accounted for", "on the shelf"):
        assert words in text
    assert "<svg" in text
    assert "style=" not in text[text.index("<svg") : text.index("</svg>")]


def test_a_lot_with_a_slash_in_its_code_has_a_page(owner_client, batch):
    address = reverse("production:trace-lot", args=["F/1 a"])
    text = owner_client.get(address).content.decode()
    assert CODE in text


def test_folding_leaves_suppliers_out_of_the_picture(owner_client, batch):
    text = trace(owner_client, fold="supplier").content.decode()
    assert "supplier: Hill Farm" not in text
    assert "supplier: Hill Farm" in trace(owner_client).content.decode()


def test_paper_and_data(owner_client, batch):
    assert trace(owner_client, **{"as": "pdf"}).content.startswith(b"%PDF")
    data = trace(owner_client, **{"as": "json"}).json()
    assert data["subject"]["code"] == CODE
    assert data["sources"][0]["supplier"] == "Hill Farm"


def test_the_workbook_sorts(owner_client, batch):
    from openpyxl import load_workbook

    body = trace(owner_client, **{"as": "xlsx"}).content
    book = load_workbook(BytesIO(body))
    assert book.sheetnames[:5] == ["Balance", "Went in", "Affected", "Where", "Sisters"]
    receiving = list(book["Receiving"].values)
    row = dict(zip(receiving[0], receiving[1], strict=True))
    assert row["Traceability lot code"] == "F/1 a"
    assert row["Lot code of the source"] == "L7"
    assert row["Quantity"] == 1000
    assert row["Unit of measure"] == "g"
    assert all(not sheet.merged_cells.ranges for sheet in book)


def test_the_events_are_epcis(owner_client, batch):
    body = trace(owner_client, **{"as": "epcis"}).content
    document = json.loads(body)
    assert document_problems(document) == ()
    kinds = [event["type"] for event in document["epcisBody"]["eventList"]]
    assert kinds.count("TransformationEvent") == 1
    assert f"https://id.gs1.org/01/09521234543213/10/{CODE}" in body.decode()


@pytest.mark.parametrize("kind", ["xlsx", "epcis"])
def test_records_of_days_are_handed_out(owner_client, batch, kind):
    days = {"first": TODAY.isoformat(), "last": TODAY.isoformat(), "kind": kind}
    answer = owner_client.get(reverse("production:trace-records"), days)
    assert "attachment" in answer["Content-Disposition"]


def test_days_the_wrong_way_round_are_refused(owner_client):
    days = {"first": "2026-07-02", "last": "2026-07-01", "kind": "xlsx"}
    answer = owner_client.get(reverse("production:trace-records"), days)
    assert b"swap them" in answer.content


def test_the_page_asks_few_queries(owner_client, batch, django_assert_max_num_queries):
    with django_assert_max_num_queries(18):
        trace(owner_client)


def test_what_is_not_there_is_404(owner_client):
    assert trace(owner_client).status_code == 404


def test_signed_out_leads_to_the_door(client):
    assert find(client).url.startswith("/sign-in/")
