"""The seller's row is read once a request, and never carried into the next."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from inventory.models import Business
from tests import factories

pytestmark = pytest.mark.django_db


def reads_of_business(queries):
    return [q for q in queries if 'FROM "inventory_business"' in q["sql"]]


def test_a_page_reads_the_business_once(owner_client):
    with CaptureQueriesContext(
        connection,
    ) as asked:
        owner_client.get(reverse("inventory:pantry"))
    assert len(reads_of_business(asked)) == 1


def test_the_next_request_reads_anew(owner_client):
    owner_client.get(reverse("inventory:pantry"))
    Business.objects.update(trade_name="Changed Elsewhere")
    page = owner_client.get(reverse("inventory:pantry"))
    assert b"Changed Elsewhere" in page.content


def test_outside_a_request_nothing_is_kept():
    factories.make_business(trade_name="First")
    Business.current()
    Business.objects.update(trade_name="Second")
    assert Business.current().trade_name == "Second"


def test_a_saved_row_is_read_anew_within_the_request():
    factories.make_business(trade_name="First")
    with Business.read_once() as business:
        other = Business.objects.get()
        other.trade_name = "Second"
        other.save()
        assert Business.current().trade_name == "Second"
        assert business.trade_name == "First"


def test_what_was_refused_is_not_shown_as_the_sellers_name(owner_client):
    page = owner_client.post(
        reverse("inventory:business-edit"), {"trade_name": "Refused Preserves"}
    )
    assert page.status_code == 200
    mark = page.content.decode().split('class="mark"')[1].split("</a>")[0]
    assert "Refused Preserves" not in mark
