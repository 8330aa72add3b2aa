from decimal import Decimal

import pytest
from django.urls import reverse

from inventory.models import Business

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


@pytest.mark.parametrize(
    ("units", "shown", "label"), [("us", "1005", "(ft)"), ("metric", "306.3", "(m)")]
)
def test_the_altitude_is_asked_in_the_sellers_unit(owner_client, units, shown, label):
    Business.objects.update(units=units, altitude_m=Decimal("306.3"))
    text = owner_client.get(reverse("inventory:business-edit")).content.decode()
    asked = text[text.index('for="id_altitude_m"') :][:600]
    assert f"Altitude {label}" in asked
    assert f'value="{shown}"' in asked


def test_a_figure_sent_back_unchanged_or_with_a_unit_is_kept(owner_client):
    Business.objects.update(units="us", altitude_m=Decimal("306.3"))
    form = owner_client.get(reverse("inventory:business-edit")).context["form"]
    kept = {
        name: form.fields[name].prepare_value(form[name].value())
        for name in ("altitude_m", "freezer_litres", "mileage_rate")
    }
    for typed, metres in ({}, "306.3"), ({"altitude_m": "1500 m"}, "1500"):
        again = type(form)({**kept, **typed}, instance=Business.current())
        again.full_clean()
        assert again.cleaned_data["altitude_m"] == Decimal(metres)
        assert again.cleaned_data["freezer_litres"] == 120
        assert again.cleaned_data["mileage_rate"] == Decimal("0.4")


def test_an_altitude_of_something_else_is_refused_with_the_units(owner_client):
    answer = owner_client.post(
        reverse("inventory:business-edit"), {"altitude_m": "300 kg"}
    )
    assert "write m, ft, or the number alone" in answer.content.decode()
