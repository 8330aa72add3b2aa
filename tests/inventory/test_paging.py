"""Long lists a page at a time: every row once, few queries, counted only so far."""

import pytest
from django.db import connection
from django.test import RequestFactory
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from inventory.models import Supplier
from inventory.tables import paging
from inventory.tables.paging import Pages, paged
from inventory.tables.pantry import SupplierTable

pytestmark = pytest.mark.django_db


def make_suppliers(count):
    """Suppliers in pairs of the same phone, so that an order by phone has ties."""
    Supplier.objects.bulk_create(
        Supplier(name=f"Farm {number:03}", phone=str(number // 2))
        for number in range(count)
    )


def names(pages, number):
    return [row.name for row in pages.page(number).object_list]


@pytest.mark.parametrize("counted", [10, 1000], ids=["beyond counting", "counted"])
@pytest.mark.parametrize("order", ["name", "-name", "phone", "-phone"])
def test_every_row_stands_on_one_page_and_in_order(monkeypatch, counted, order):
    monkeypatch.setattr(paging, "COUNTED", counted)
    make_suppliers(47)
    query = Supplier.objects.order_by(order)
    pages = Pages(query, 5)
    shown = [name for number in range(1, 11) for name in names(pages, number)]
    assert sorted(shown) == [f"Farm {number:03}" for number in range(47)]
    key = order.lstrip("-")
    found = [getattr(Supplier.objects.get(name=name), key) for name in shown]
    assert found == sorted(found, reverse=order.startswith("-"))


def test_a_page_costs_two_queries_however_long_the_list():
    for count in (30, 600):
        Supplier.objects.all().delete()
        make_suppliers(count)
        with CaptureQueriesContext(connection) as asked:
            names(Pages(Supplier.objects.all(), 25), 2)
        assert len(asked) == 2


def test_a_list_beyond_counting_says_more_than(monkeypatch, rf):
    monkeypatch.setattr(paging, "COUNTED", 20)
    make_suppliers(47)
    table = paged(rf.get("/"), SupplierTable(Supplier.objects.all()), per_page=5)
    assert table.paginator.is_longer
    assert table.paginator.counted_pages == 4
    html = table.as_html(rf.get("/"))
    assert "page 1 of more than 4" in html
    assert "page=last" in html


def test_the_last_page_is_counted_and_shown(monkeypatch, rf: RequestFactory):
    monkeypatch.setattr(paging, "COUNTED", 20)
    make_suppliers(47)
    request = rf.get("/", {"page": "last"})
    table = paged(request, SupplierTable(Supplier.objects.all()), per_page=5)
    assert [row.record.name for row in table.page.object_list] == [
        "Farm 045",
        "Farm 046",
    ]
    assert "page 10 of 10" in table.as_html(request)


@pytest.mark.parametrize(
    ("asked", "shown"), [("99", 10), ("0", 1), ("-3", 1), ("x", 1), ("", 1)]
)
def test_a_page_that_is_not_there_becomes_one_that_is(monkeypatch, rf, asked, shown):
    monkeypatch.setattr(paging, "COUNTED", 20)
    make_suppliers(47)
    request = rf.get("/", {"page": asked})
    table = paged(request, SupplierTable(Supplier.objects.all()), per_page=5)
    assert table.page.number == shown


def test_nobody_can_ask_for_the_whole_book_on_one_page(rf):
    make_suppliers(300)
    request = rf.get("/", {"per_page": "100000"})
    table = paged(request, SupplierTable(Supplier.objects.all()))
    assert len(table.page.object_list) == paging.MOST_PER_PAGE


def test_an_empty_list_has_one_empty_page(rf):
    table = paged(rf.get("/"), SupplierTable(Supplier.objects.all()))
    assert table.page.number == 1
    assert not table.paginator.is_longer
    assert "No supplier yet" in table.as_html(rf.get("/"))


def test_a_list_that_is_no_query_is_paged_too(rf):
    make_suppliers(30)
    rows = list(Supplier.objects.all())
    table = paged(rf.get("/", {"page": "2"}), SupplierTable(rows))
    assert [row.record for row in table.page.object_list] == rows[25:]


def test_a_filter_offers_the_first_names_and_says_that_there_are_more(
    owner_client, monkeypatch
):
    from inventory import filters

    monkeypatch.setattr(filters, "OFFERED", 5)
    make_suppliers(5)
    address = reverse("inventory:purchase-list")
    assert "look on their own page" not in owner_client.get(address).content.decode()
    last = Supplier.objects.create(name="Farm 999")
    page = owner_client.get(address).content.decode()
    assert "look on their own page" in page
    assert "Farm 999" not in page
    assert owner_client.get(f"{address}?supplier={last.pk}").status_code == 200
