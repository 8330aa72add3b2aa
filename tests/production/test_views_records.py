import io
import re

import openpyxl
import pytest
from django.urls import reverse

from inventory.models import MarketDay, Movement, Supplier
from tests import factories
from tests.production.workbook.test_loading import FRUIT, SUPPLIER, make_workbook

pytestmark = pytest.mark.django_db


def upload(client, file, name="mine.xlsx"):
    file.name = name
    return client.post(reverse("production:workbook-load"), {"file": file})


def test_the_records_page_offers_in_out_and_safe(owner_client):
    page = owner_client.get(reverse("production:records")).content.decode()
    for words in ("Bring records in", "Take records out", "Keep it safe"):
        assert words in page


@pytest.mark.parametrize("name", ["records", "workbook-save", "separated-load"])
def test_a_helper_carries_nothing_out(helper_client, name):
    assert helper_client.get(reverse(f"production:{name}")).status_code == 403


def test_checking_shows_what_would_be_done_and_keeps_nothing(owner_client):
    page = upload(owner_client, make_workbook(suppliers=[SUPPLIER])).content.decode()
    assert "This is what loading would do" in page
    assert "Load it now" in page
    assert not Supplier.objects.exists()


def test_mistakes_are_listed_with_their_cells(owner_client):
    wrong = {**FRUIT, "Kind": "spice"}
    page = upload(owner_client, make_workbook(materials=[wrong])).content.decode()
    assert "1 mistake; nothing was loaded." in page
    assert re.search(r"Materials, row 2<br>Kind", page)
    assert "Load it now" not in page


def test_another_file_is_refused_in_a_sentence(owner_client):
    page = upload(
        owner_client, io.BytesIO(b"name,price\n"), "list.csv"
    ).content.decode()
    assert "list.csv is no workbook" in page


def test_a_file_that_is_gone_is_asked_for_again(owner_client):
    address = reverse("production:workbook-confirm", args=["x" * 32])
    response = owner_client.post(address, follow=True)
    assert "choose it once more" in response.content.decode()


def test_the_book_goes_out_as_a_workbook_and_a_sheet_as_separated_values(owner_client):
    factories.make_supplier(name="=Formula Farm")
    response = owner_client.get(reverse("production:workbook-save"))
    book = openpyxl.load_workbook(io.BytesIO(response.content))
    assert book["Suppliers"]["B2"].value == "=Formula Farm"
    assert book["Suppliers"]["B2"].data_type == "s"
    response = owner_client.get(
        reverse("production:separated-save", args=["suppliers"])
    )
    assert "'=Formula Farm" in response.content.decode()


def test_pasted_rows_are_checked_then_loaded(owner_client):
    rows = {"sheet": "suppliers", "text": "Name;Phone\nExample Farm;555-1\n"}
    address = reverse("production:separated-load")
    owner_client.post(address, {**rows, "check": ""})
    assert not Supplier.objects.exists()
    owner_client.post(address, {**rows, "load": ""})
    assert Supplier.objects.get().phone == "555-1"


def make_day_out():
    product = factories.make_product(code="plum", name="Plum jam")
    factories.make_price(product)
    lot = factories.make_lot(product=product, quantity=10, released_at=factories.NOW)
    day = factories.make_market_day()
    from inventory import ledger, markets

    stamp = ledger.Stamp(on=day.on, at=factories.NOW)
    markets.take_out(day=day, taken={lot: 6}, stamp=stamp)
    return day


def test_pasted_counts_close_a_market_day(owner_client):
    day = make_day_out()
    data = {"day": day.pk, "text": "plum jam 2"}
    owner_client.post(reverse("production:counts-paste"), data)
    line = day.lines.get()
    assert (line.sold, line.brought_back) == (4, 2)
    day.refresh_from_db()
    assert day.status == MarketDay.Status.COUNTED
    assert Movement.objects.filter(reason="sold").count() == 1


def test_counts_that_cannot_be_stay_on_the_page(owner_client):
    day = make_day_out()
    data = {"day": day.pk, "text": "plum jam 9"}
    page = owner_client.post(reverse("production:counts-paste"), data).content.decode()
    assert "3 more jars of plum came back than were taken" in page
    assert "plum jam 9" in page


@pytest.mark.django_db(transaction=True)
def test_a_checked_workbook_is_loaded_and_its_progress_told(client):
    factories.make_business()
    client.force_login(factories.make_owner())
    page = upload(client, make_workbook(suppliers=[SUPPLIER])).content.decode()
    token = re.search(r"records/workbook/([^/]+)/load/", page)[1]
    response = client.post(reverse("production:workbook-confirm", args=[token]))
    told = b"".join(response.streaming_content).decode()
    assert "Suppliers: 1 rows" in told
    assert "Everything is loaded." in told
    assert Supplier.objects.get().name == "Example Farm"


@pytest.mark.django_db(transaction=True)
def test_a_backup_is_handed_over(client):
    factories.make_business()
    client.force_login(factories.make_owner())
    response = client.post(reverse("production:backup-save"))
    assert "setting-point-" in response["Content-Disposition"]
    assert b"".join(response.streaming_content).startswith(b"PK")
