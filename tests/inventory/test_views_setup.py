import pytest
from django.urls import reverse

pytestmark = pytest.mark.django_db


def test_the_owner_changes_the_business(owner_client):
    response = owner_client.get(reverse("inventory:business-edit"))
    assert response.status_code == 200
    assert "Test Kitchen" in response.content.decode()


def test_a_helper_may_not(helper_client):
    assert helper_client.get(reverse("inventory:business-edit")).status_code == 403


def test_signed_out_goes_to_the_door(client):
    response = client.get(reverse("inventory:glossary"))
    assert response.status_code == 302
    assert response.url.startswith(reverse("login"))
