"""The pages of places and their law."""

import datetime

import pytest
from django.urls import reverse

from inventory.models import Business
from labels.models import PlaceProfile
from tests.labels.printing_scene import load_places

pytestmark = pytest.mark.django_db


@pytest.fixture
def places(owner):
    load_places()


def page(client, name, *args, **query):
    return client.get(reverse(f"labels:{name}", args=args), query)


def send(client, name, *args, **data):
    return client.post(reverse(f"labels:{name}", args=args), data)


OWN = {
    "place": "Harbour County",
    "country": "us",
    "region": "ZZ",
    "authority": "the county office",
    "read_on": "2020-01-01",
    "source": "letter of the county office",
    "basis": "exact",
    "words": "Made in a home.",
    "particulars": ["producer_name", "batch_code"],
    "cap_amount": "5000",
}


def test_the_list_is_filtered_and_costs_few_queries(
    owner_client, places, django_assert_max_num_queries
):
    with django_assert_max_num_queries(12):
        text = page(owner_client, "place-list", completeness="ready").content.decode()
    assert "Florida, USA" in text
    assert "Indiana, USA" not in text


def test_a_profile_shows_citation_day_and_caution(helper_client, places):
    text = page(helper_client, "place-detail", "us-fl").content.decode()
    assert "Fla. Stat. § 500.80" in text
    assert "25 November 2026" in text
    assert "before you sell" in text
    assert "Make my own from it" not in text


def test_an_unread_wording_is_asked_for_and_not_prescribed(owner_client, places):
    text = page(owner_client, "place-detail", "us-in").content.decode()
    assert "The wording was not read" in text
    assert "never printed" in text
    assert "Ask your authority" in text


def test_an_old_profile_says_so(owner_client, places):
    PlaceProfile.objects.update(read_on=datetime.date(2020, 1, 1))
    text = page(owner_client, "place-detail", "us-fl").content.decode()
    assert "more than a year ago" in text


def test_every_profile_has_a_page(owner_client, places):
    for code in PlaceProfile.objects.values_list("code", flat=True):
        assert page(owner_client, "place-detail", code).status_code == 200


def test_a_place_is_chosen(owner_client, places):
    response = send(owner_client, "place-choose", "us-wi")
    assert response.status_code == 302
    assert Business.current().place_code == "us-wi"


def test_words_of_ones_own_are_kept(owner_client, places):
    send(owner_client, "place-words", "us-mo", words=" Not inspected. ")
    profile = PlaceProfile.objects.get(code="us-mo")
    assert profile.as_place().words == "Not inspected."


def test_a_sentence_too_long_keeps_the_text(owner_client, places):
    response = send(owner_client, "place-words", "us-mo", words="x" * 401)
    assert response.status_code == 200
    assert "x" * 401 in response.content.decode()


def test_a_profile_of_ones_own_is_written(owner_client):
    response = send(owner_client, "place-create", **OWN)
    profile = PlaceProfile.objects.get(code="own-harbour-county")
    assert response.url == profile.get_absolute_url()
    place = profile.as_place()
    assert (place.words, place.country) == ("Made in a home.", "US")
    assert place.may_be_printed_from
    assert place.caps[0].amount == 5000
    assert page(owner_client, "place-detail", profile.code).status_code == 200


def test_two_places_of_one_name_get_two_codes(owner_client):
    send(owner_client, "place-create", **OWN)
    send(owner_client, "place-create", **OWN)
    assert PlaceProfile.objects.filter(code="own-harbour-county-2").exists()


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("words", "", "Write the words"),
        ("country", "U1", "two letters"),
        ("read_on", "2999-01-01", "lies in the future"),
        ("authority", "", "required"),
    ],
)
def test_bad_input_keeps_the_text(owner_client, field, value, words):
    response = send(owner_client, "place-create", **{**OWN, field: value})
    text = response.content.decode()
    assert response.status_code == 200
    assert words in text
    assert "letter of the county office" in text
    assert not PlaceProfile.objects.exists()


def test_a_profile_begins_from_another(owner_client, places):
    text = page(owner_client, "place-create", like="us-wa").content.decode()
    assert "Made in a home kitchen that has not been subject" in text


def test_ones_own_is_changed(owner_client):
    send(owner_client, "place-create", **OWN)
    code = "own-harbour-county"
    text = page(owner_client, "place-edit", code).content.decode()
    assert "Made in a home." in text
    send(owner_client, "place-edit", code, **{**OWN, "basis": "none"})
    assert PlaceProfile.objects.get(code=code).as_place().words == ""


def test_what_was_read_is_not_changed(owner_client, places):
    assert page(owner_client, "place-edit", "us-fl").status_code == 404


@pytest.mark.parametrize("name", ["place-create", "place-edit"])
def test_a_helper_writes_no_profile(helper_client, places, name):
    args = ["us-fl"] if name == "place-edit" else []
    assert page(helper_client, name, *args).status_code == 403


def test_a_helper_chooses_no_place(helper_client, places):
    assert send(helper_client, "place-choose", "us-fl").status_code == 403


def test_choosing_is_a_post(owner_client, places):
    assert page(owner_client, "place-choose", "us-fl").status_code == 405


def test_a_missing_place_is_not_found(owner_client):
    assert page(owner_client, "place-detail", "nowhere").status_code == 404


def test_signed_out_goes_to_the_door(client):
    assert page(client, "place-list").status_code == 302


def test_the_sign_has_the_laws_own_words(helper_client, places):
    text = page(helper_client, "place-sign", "us-wi").content.decode()
    assert (
        "These canned goods are homemade and not subject to state inspection." in text
    )


@pytest.mark.parametrize("code", ["us-fl", "us-wa"])
def test_no_words_no_sign(helper_client, places, code):
    assert page(helper_client, "place-sign", code).status_code == 404
