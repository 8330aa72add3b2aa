"""The place's law is named wherever labels are made."""

import datetime

import pytest
from django.urls import reverse

from inventory.models import Business
from labels.models import PlaceProfile
from tests.labels.printing_scene import load_places, load_sheets, make_batch

pytestmark = pytest.mark.django_db


def text_of(client, name, *args):
    return client.get(reverse(f"labels:{name}", args=args)).content.decode()


def test_the_labels_page_names_place_citation_and_day(owner_client):
    load_places()
    text = text_of(owner_client, "home")
    assert "Labels follow Minnesota, USA" in text
    assert "read on 25 November 2026" in text


def test_an_old_reading_is_said_where_labels_are_printed(owner_client):
    load_places()
    load_sheets()
    batch = make_batch()
    PlaceProfile.objects.update(read_on=datetime.date(2020, 1, 1))
    text = text_of(owner_client, "print", batch.code)
    assert "more than a year ago" in text
    assert reverse("labels:check", args=[batch.code]) in text


def test_without_a_place_the_page_asks_for_one(owner_client):
    Business.objects.update(place_code="")
    assert "No place is chosen" in text_of(owner_client, "home")
