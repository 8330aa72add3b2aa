"""Choosing by typing: what answers, what is read back, what is refused."""

import pytest
from django.core.exceptions import ValidationError
from django.test import Client
from django.urls import reverse

from inventory.forms.choosing import ingredient_field, material_field, product_field
from inventory.models import Material
from tests import factories

pytestmark = pytest.mark.django_db


def asked(client, what, find=""):
    answer = client.get(reverse("inventory:choose", args=[what]), {"find": find})
    return answer.json()


def test_a_part_of_a_name_is_enough_without_case_or_accents(helper_client):
    factories.make_lot(material=factories.make_fruit(name="Crème plums"), quantity=1500)
    factories.make_material(name="Sugar")
    answer = asked(helper_client, "material", "CREME")
    assert [each["value"] for each in answer["choices"]] == ["Crème plums"]
    assert "3 lb 4.9 oz at home" in answer["choices"][0]["detail"]
    assert answer["sentence"] == "1 match."


def test_at_most_twenty_answer_and_the_sentence_says_there_are_more(owner_client):
    for number in range(25):
        factories.make_material(name=f"Pepper {number:02}")
    answer = asked(owner_client, "material", "pepper")
    assert len(answer["choices"]) == 20
    assert answer["sentence"] == "The first 20 of more; type on to narrow."
    assert "Nothing matches" in asked(owner_client, "material", "quince")["sentence"]


def test_kinds_are_kept_apart(owner_client):
    factories.make_packaging(name="Lids")
    factories.make_fruit(name="Plums")
    lids, fruit = asked(owner_client, "packaging"), asked(owner_client, "ingredient")
    assert [each["value"] for each in lids["choices"]] == ["Lids"]
    assert [each["value"] for each in fruit["choices"]] == ["Plums"]


def test_the_wrong_verb_a_missing_kind_and_signed_out(owner_client):
    address = reverse("inventory:choose", args=["material"])
    assert owner_client.post(address).status_code == 405
    missing = reverse("inventory:choose", args=["moons"])
    assert owner_client.get(missing).status_code == 404
    assert Client().get(address).status_code == 302


def test_a_product_is_read_by_its_name_its_code_or_enough_of_it():
    product = factories.make_product(name="Plum jam", code="plum")
    factories.make_product(name="Quince jelly", code="quince")
    for typed in (str(product), "plum", "plum j", str(product).upper()):
        assert product_field().clean(typed) == product
    assert product_field(required=False).clean(" ") is None


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("pl", "may be one of these; type more of it: Plums; Plums, sour"),
        ("kiwi", "Nothing to choose here is called “kiwi”"),
    ],
)
def test_what_is_not_one_row_is_refused_with_what_it_may_be(typed, said):
    factories.make_fruit(name="Plums")
    factories.make_fruit(name="Plums, sour")
    field = ingredient_field()
    with pytest.raises(ValidationError) as refused:
        field.clean(typed)
    assert said in str(refused.value)


def test_a_name_of_its_own_wins_over_longer_ones():
    plums = factories.make_fruit(name="Plums")
    factories.make_fruit(name="Plums, sour")
    assert ingredient_field().clean("plums") == plums


def test_a_key_typed_by_a_person_is_not_a_row():
    plums = factories.make_fruit(name="Plums")
    with pytest.raises(Exception, match="Nothing to choose"):
        material_field().clean(str(plums.pk))


def test_what_was_typed_stays_in_the_field_when_it_is_refused(owner_client):
    lines = {"line-TOTAL_FORMS": 1, "line-INITIAL_FORMS": 0}
    line = {"line-0-material": "kiwi", "line-0-amount": "2 kg", "line-0-cost": "3"}
    page = owner_client.post(reverse("inventory:purchase-add"), {**lines, **line})
    assert 'value="kiwi"' in page.content.decode()


def test_a_form_set_lists_its_suggestions_once(owner_client):
    factories.make_fruit(name="Plums")
    page = owner_client.get(reverse("inventory:purchase-add")).content.decode()
    assert page.count("<datalist") == 1
    assert page.count('list="list-line-0-material"') == 4


@pytest.mark.parametrize("number", [3000])
def test_many_names_are_looked_through_at_once(owner_client, number):
    Material.objects.bulk_create(
        Material(name=f"Spice {each}", kind="ingredient") for each in range(number)
    )
    answer = asked(owner_client, "material", f"spice {number - 1}")
    assert answer["choices"][0]["value"] == f"Spice {number - 1}"
