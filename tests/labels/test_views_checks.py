"""The pages of label checks."""

import pytest
from django.urls import reverse

from labels.models import ProductLabel
from tests import factories
from tests.labels.printing_scene import load_places, make_batch

pytestmark = pytest.mark.django_db


@pytest.fixture
def batch(owner):
    load_places()
    return make_batch()


def page(client, name, *args, **query):
    return client.get(reverse(f"labels:{name}", args=args), query)


def test_the_list_shows_each_label(owner_client, batch, django_assert_max_num_queries):
    with django_assert_max_num_queries(32):
        response = page(owner_client, "check-list")
    text = response.content.decode()
    assert batch.code in text
    assert "nothing to mend" in text


def test_a_long_list_is_turned_page_by_page(owner_client):
    for _ in range(13):
        factories.make_product()
    first = page(owner_client, "check-list").content.decode()
    assert "page 1 of 2" in first
    second = page(owner_client, "check-list", page=2).content.decode()
    assert second.count("cannot be written") == 1


def test_an_empty_book_says_what_to_do(owner_client):
    assert "Add one in the recipes" in page(owner_client, "check-list").content.decode()


def test_a_label_that_cannot_be_written_is_listed_as_such(owner_client):
    factories.make_product(name="Jar of nothing")
    text = page(owner_client, "check-list").content.decode()
    assert "cannot be written" in text
    assert "no recipe fills" in text


def test_a_check_shows_rules_with_their_citation(helper_client, batch):
    response = page(helper_client, "check", batch.code)
    text = response.content.decode()
    assert "Looked at, nothing found" in text
    assert "21 CFR 101.4(a)(1)" in text
    assert "Why in this order" in text
    assert "complian" not in text.casefold()


def test_a_fault_is_shown_first(owner_client, batch):
    ProductLabel.objects.create(product=batch.product, maker_note="No added sugar")
    text = page(owner_client, "check", batch.code).content.decode()
    assert "To mend" in text
    assert text.index("To mend") < text.index("Looked at, nothing found")


def test_another_place_may_be_asked(owner_client, batch):
    text = page(owner_client, "check", batch.code, place="us-in").content.decode()
    assert "Only a draft may be printed" in text
    assert "word for word" in text


def test_a_wrong_place_is_said_on_the_page(owner_client, batch):
    response = page(owner_client, "check", batch.code, place="nowhere")
    assert response.status_code == 200
    assert "there is no place profile" in response.content.decode()


def test_the_check_as_data(owner_client, batch):
    data = page(owner_client, "check", batch.code, format="json").json()
    assert data["place"]["code"] == "us-mn"


def test_a_missing_subject_is_not_found(owner_client):
    assert page(owner_client, "check", "nothing").status_code == 404


def test_only_reading_is_allowed(owner_client, batch):
    address = reverse("labels:check", args=[batch.code])
    assert owner_client.post(address).status_code == 405


def test_signed_out_goes_to_the_door(client):
    assert page(client, "check-list").status_code == 302
