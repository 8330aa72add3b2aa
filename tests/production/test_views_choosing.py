"""Lots, batches and recipes chosen by typing, also from a sticky lid."""

import datetime

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from inventory.models import Lot, Movement
from production.forms.choosing import any_lots, batch_field, lot_field, usable_lots
from tests import factories
from tests.production import kitchen as book

pytestmark = pytest.mark.django_db


def asked(client, what, find="", **of):
    address = reverse("production:choose", args=[what])
    return client.get(address, {"find": find, **of}).json()


def values(answer):
    return [each["value"] for each in answer["choices"]]


def test_a_batch_is_found_by_its_code_however_it_is_written(helper_client, owner):
    batch = book.make_cooking(owner)
    code = batch.code
    spaced = f"{code[:2]} {code[2:5]}-{code[5:].lower()}"
    for typed in (code, code.lower(), spaced, code[:4], batch.version.recipe.name[:6]):
        assert str(batch) in values(asked(helper_client, "batch", typed))
        if typed is not code[:4]:
            assert batch_field().clean(typed) == batch
    assert "cooking" in asked(helper_client, "batch", code)["choices"][0]["detail"]


def test_one_slip_is_offered_but_never_taken(owner_client, owner):
    batch = book.make_cooking(owner)
    wrong = batch.code[:6] + ("A" if batch.code[6] != "A" else "B")
    assert values(asked(owner_client, "batch", wrong)) == [str(batch)]
    with pytest.raises(Exception, match=f"not in the book; {batch}"):
        batch_field().clean(wrong)


def test_a_lot_is_found_by_code_mark_or_name_and_says_what_is_left(owner_client):
    plums = factories.make_fruit(name="Plums")
    lot = factories.make_lot(
        material=plums, code="26160-1", supplier_mark="Kr 7", quantity=1200,
        best_by=timezone.localdate() + datetime.timedelta(days=2),
    )  # fmt: skip
    for typed in ("26160-1", "2616O 1", "26160", "kr 7", "plu"):
        (found,) = asked(owner_client, "lot", typed, material=plums.pk)["choices"]
        assert found["value"] == str(lot)
        assert "2 lb 10.3 oz left, best by" in found["detail"]
        assert lot_field(any_lots(), "").clean(typed) == lot


def test_lots_are_narrowed_to_what_may_be_cooked_with():
    plums, sugar = factories.make_fruit(), factories.make_material()
    today = timezone.localdate()
    old = datetime.timedelta(days=1)
    kept = factories.make_lot(material=plums, code="A-1", best_by=today)
    factories.make_lot(material=plums, code="A-2", best_by=today - old)
    factories.make_lot(material=plums, code="A-3", quantity=0)
    factories.make_lot(material=plums, code="A-4", stopped_at=factories.NOW)
    factories.make_lot(material=sugar, code="A-5")
    assert usable_lots([plums.pk], today).find("a-") == [kept]


def test_a_recipe_is_found_by_its_name(owner_client):
    factories.make_recipe(name="Plum jam")
    factories.make_recipe(name="Old jam", retired_on=factories.TODAY)
    assert values(asked(owner_client, "recipe", "jam")) == ["Plum jam"]


def test_the_wrong_verb_what_is_missing_and_signed_out(owner_client):
    address = reverse("production:choose", args=["lot"])
    assert owner_client.post(address).status_code == 405
    assert owner_client.get(address, {"stop_sale": "9"}).json()["choices"] == []
    other = reverse("production:choose", args=["moons"])
    assert owner_client.get(other).status_code == 404
    assert Client().get(address).status_code == 302


def make_many_lots(number):
    """So many lots of eight fruits, each with its first row."""
    fruits = [factories.make_fruit() for _ in range(8)]
    lots = Lot.objects.bulk_create(
        Lot(
            code=f"25001-{each}", material=fruits[each % 8], received_on=factories.TODAY
        )
        for each in range(number)
    )
    Movement.objects.bulk_create(
        Movement(lot=lot, quantity=5, reason="received", on=factories.TODAY, at=factories.NOW)
        for lot in lots
    )  # fmt: skip
    return lots


def test_a_planned_batch_of_many_lots_lists_no_more_than_twenty(owner_client, owner):
    make_many_lots(400)
    batch = book.make_planned()
    for line in batch.version.lines.all():
        Lot.objects.update(material=line.material)
    page = owner_client.get(batch.get_absolute_url()).content.decode()
    assert 0 < page.count("<option") <= 60


def test_a_stop_begins_with_what_is_chosen(owner_client, owner):
    batch = book.make_held(owner)
    page = reverse("production:stopsale-create")
    typed = {"batch": batch.code.lower(), "lot": "", "find": "yes"}
    shown = owner_client.get(page, typed, follow=True)
    assert shown.redirect_chain == [(f"{page}?batch={batch.code}", 302)]
    assert "6 jars are left" in shown.content.decode()
    wrong = owner_client.get(page, {**typed, "batch": "99"}).content.decode()
    assert "Nothing to choose here is called “99”" in wrong
    assert 'value="99"' in wrong


def test_labels_of_any_batch_are_found_from_the_labels(owner_client, owner):
    batch = book.make_held(owner)
    answer = owner_client.get(reverse("labels:home"), {"batch": str(batch)})
    assert answer.url == reverse("labels:print", args=[batch.code])


def test_the_newest_batches_come_first(owner_client, owner):
    made = [book.make_cooking(owner), book.make_cooking(owner)]
    found = asked(owner_client, "batch", made[0].code[:5])
    assert values(found) == sorted(map(str, made), reverse=True)
