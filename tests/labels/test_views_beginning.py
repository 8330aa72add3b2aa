import pytest
from django.contrib.auth.models import User
from django.urls import reverse

from inventory.models import Business, JarSize, Outlet
from inventory.roles import is_owner
from labels.models import PlaceProfile
from labels.views import beginning
from tests import factories

pytestmark = pytest.mark.django_db
BEGIN = "/begin/"


def answers(**overrides):
    values = {
        "username": "marit",
        "password": "quince-and-pip",
        "trade_name": "Test Preserves",
        "place_code": "us-ok",
        "time_zone": "America/Chicago",
        "altitude": "1240",
        "altitude_unit": "ft",
        "currency": "usd",
        "units": "us",
        "jars": ["half-pint", "4 oz"],
        "market_name": "Saturday market",
        "market_weekday": "5",
    }
    return {**values, **overrides}


def test_an_empty_book_opens_with_its_five_questions(client):
    response = client.get("/")
    assert response.status_code == 302
    assert response.url == BEGIN
    page = client.get(BEGIN).content.decode()
    for number in range(1, 6):
        assert f"{number}. " in page
    assert "Oklahoma" in page
    assert PlaceProfile.objects.exists()


def test_the_answers_open_the_book_and_lead_to_the_first_recipe(client):
    response = client.post(BEGIN, answers())
    assert response.url == reverse("production:recipe-create")
    business = Business.current()
    assert business.altitude_m == pytest.approx(378)
    assert business.currency == "USD"
    assert set(JarSize.objects.values_list("name", flat=True)) == {"half-pint", "4 oz"}
    assert Outlet.objects.get().weekday == 5
    assert is_owner(User.objects.get(username="marit"))
    assert client.get(response.url).status_code == 200


def test_the_first_page_closes_once_the_book_is_open(client):
    client.post(BEGIN, answers())
    assert client.get(BEGIN).url == "/"
    client.post(BEGIN, answers(username="second", trade_name="Other"))
    assert Business.current().trade_name == "Test Preserves"
    assert User.objects.count() == 1


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"password": "jam"}, "too short"),
        ({"currency": "dollars"}, "at most 3"),
        ({"altitude": "99999"}, "less than or equal|Ensure"),
        ({"trade_name": ""}, "required"),
    ],
)
def test_a_wrong_answer_keeps_the_others(client, changes, said):
    import re

    page = client.post(BEGIN, answers(**changes)).content.decode()
    assert re.search(said, page)
    assert "Saturday market" in page
    assert not Business.objects.exists()
    assert not User.objects.exists()


def test_somebody_signed_up_already_must_sign_in(client):
    factories.make_owner()
    assert client.get(BEGIN).url.startswith(reverse("login"))


def test_the_demonstration_runs_beside_the_book(client, monkeypatch):
    started = []
    monkeypatch.setattr(
        beginning.subprocess, "Popen", lambda words, **_: started.append(words)
    )
    page = client.post(reverse("labels:demonstration")).content.decode()
    assert ":8010/" in page
    assert started[0][2] == "demo"
    factories.make_business()
    client.post(reverse("labels:demonstration"))
    assert len(started) == 1
