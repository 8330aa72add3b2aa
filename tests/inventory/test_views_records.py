import datetime

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone

from inventory.models import Paper
from tests import factories

pytestmark = pytest.mark.django_db


def make_paper(**overrides):
    values = {
        "kind": "insurance",
        "name": "Liability insurance",
        "expires_on": datetime.date(2026, 6, 30),
    }
    return Paper.objects.create(**{**values, **overrides})


@pytest.mark.parametrize(
    ("on", "standing"),
    [
        (datetime.date(2026, 5, 30), "good"),
        (datetime.date(2026, 5, 31), "to renew"),
        (datetime.date(2026, 6, 30), "to renew"),
        (datetime.date(2026, 7, 1), "lapsed"),
    ],
)
def test_a_paper_is_good_then_to_renew_then_lapsed(on, standing):
    paper = make_paper()
    assert paper.standing(on=on) == standing
    assert (paper in Paper.objects.to_renew(on=on)) is (standing != "good")
    assert (paper in Paper.objects.lapsed(on=on)) is (standing == "lapsed")


def test_a_paper_is_asked_for_where_it_is_needed():
    market, other = factories.make_outlet(), factories.make_outlet()
    everywhere, here = make_paper(), make_paper(name="Market certificate")
    here.outlets.add(market)
    assert set(Paper.objects.needed_at(market)) == {everywhere, here}
    assert set(Paper.objects.needed_at(other)) == {everywhere}


def test_a_lapsed_paper_shows_on_the_market_day(owner_client):
    make_paper()
    day = factories.make_market_day(on=datetime.date(2026, 7, 4))
    page = owner_client.get(day.get_absolute_url()).content.decode()
    assert "Liability insurance ran out on" in page


def test_a_paper_is_added_with_its_file_and_listed(owner_client):
    data = {
        "kind": "training",
        "name": "Food-handler training",
        "expires_on": "2027-01-31",
        "remind_days": 60,
        "file": SimpleUploadedFile("card.pdf", b"%PDF-1.4"),
    }
    owner_client.post(reverse("inventory:paper-add"), data)
    paper = Paper.objects.get()
    assert paper.remind_on == datetime.date(2026, 12, 2)
    page = owner_client.get(reverse("inventory:paper-list")).content.decode()
    assert "Food-handler training" in page
    response = owner_client.get(reverse("inventory:paper-file", args=[paper.pk]))
    assert b"".join(response.streaming_content) == b"%PDF-1.4"


def test_dates_the_wrong_way_round_keep_what_was_typed(owner_client):
    data = {
        "kind": "training",
        "name": "Training",
        "issued_on": "2027-01-31",
        "expires_on": "2026-01-31",
        "remind_days": 60,
    }
    page = owner_client.post(reverse("inventory:paper-add"), data).content.decode()
    assert "cannot run out before it was issued" in page
    assert 'value="2027-01-31"' in page


def test_history_says_who_changed_what(owner_client, owner):
    supplier = factories.make_supplier(phone="1")
    address = reverse("inventory:supplier-edit", args=[supplier.pk])
    owner_client.post(address, {"name": supplier.name, "phone": "2", "lead_days": 0})
    page = owner_client.get(
        reverse("inventory:history", args=["inventory.Supplier", supplier.pk])
    ).content.decode()
    assert "phone: 1 → 2" in page
    assert owner.username in page


@pytest.mark.parametrize("label", ["inventory.Movement", "no.Model", "nonsense"])
def test_no_history_is_said_plainly(owner_client, label):
    address = reverse("inventory:history", args=[label, 1])
    assert owner_client.get(address).status_code == 404


def test_a_helper_sees_no_papers_and_no_history(helper_client):
    paper = make_paper(expires_on=timezone.localdate())
    for address in (
        reverse("inventory:paper-list"),
        reverse("inventory:history", args=["inventory.Paper", paper.pk]),
    ):
        assert helper_client.get(address).status_code == 403
