"""The almanac against RFC 5545, read back with the icalendar library."""

import datetime

import pytest
from django.urls import reverse
from icalendar import Calendar

from inventory.calendar_feed import open_feed
from inventory.models import Business, SeasonWindow
from production.almanac import AlmanacEntry, write_almanac
from production.selectors.almanac import almanac_entries
from tests import factories

NOW = factories.NOW


def summaries(file):
    return [str(event["summary"]) for event in Calendar.from_ical(file).walk("VEVENT")]


def test_lines_are_folded_and_ended_as_the_standard_asks():
    entry = AlmanacEntry(
        key="a", summary="Cook: " + "marmalade, " * 20, starts=NOW.date()
    )
    file = write_almanac([entry], name="Test", made_at=NOW)
    lines = file.split(b"\r\n")
    assert lines[-1] == b""
    assert all(len(line) <= 75 for line in lines)  # RFC 5545, section 3.1
    assert summaries(file) == [entry.summary]


def test_a_whole_day_ends_on_the_next():  # RFC 5545, section 3.6.1: DTEND is exclusive
    entry = AlmanacEntry(key="a", summary="Market", starts=NOW.date())
    file = write_almanac([entry], name="Test", made_at=NOW)
    (event,) = Calendar.from_ical(file).walk("VEVENT")
    assert event["dtend"].dt - event["dtstart"].dt == datetime.timedelta(days=1)


@pytest.mark.django_db
def test_the_book_fills_the_almanac():
    factories.make_market_day()
    fruit = factories.make_fruit(name="Plums")
    SeasonWindow.objects.create(material=fruit, start_day=710, end_day=915)
    factories.make_lot(material=fruit, best_by=datetime.date(2026, 6, 20))
    found = {entry.summary for entry in almanac_entries(on=factories.TODAY)}
    assert "Plums: season opens" in found
    assert "Plums: season closes" in found
    assert "Best by: Plums" in found
    assert any(name.startswith("Market") for name in found)


@pytest.mark.django_db
def test_the_secret_address_answers_until_it_is_taken_away(client):
    factories.make_business()
    token = open_feed().calendar_token
    address = reverse("production:calendar-feed", args=[token])
    assert client.get(address)["Content-Type"].startswith("text/calendar")
    open_feed()
    assert client.get(address).status_code == 404


@pytest.mark.django_db
def test_no_address_answers_before_one_is_made(client):
    factories.make_business()
    assert Business.current().calendar_token == ""
    address = reverse("production:calendar-feed", args=["x"])
    assert client.get(address).status_code == 404


@pytest.mark.django_db
def test_the_owner_makes_and_takes_away_the_address(owner_client):
    address = reverse("production:calendar-address")
    owner_client.post(address)
    page = owner_client.get(reverse("production:records")).content.decode()
    assert Business.current().calendar_token in page
    asked = owner_client.post(address, {"close": ""}).content.decode()
    assert 'name="close"' in asked
    owner_client.post(address, {"close": "", "confirmed": "yes"})
    assert Business.current().calendar_token == ""
