"""The kitchen pages: they work, keep what was typed, and ask before they write."""

from decimal import Decimal

import pytest
from django.urls import reverse

from production import batches
from production.models import Batch, Instrument, Reading
from tests import factories
from tests.production import kitchen as book

pytestmark = pytest.mark.django_db


def url(name, *args):
    return reverse(f"production:{name}", args=args)


def page(client, batch):
    return client.get(batch.get_absolute_url()).content.decode()


def post(client, view, *args, **data):
    return client.post(url(view, *args), data, follow=True)


def test_the_list_shows_open_batches_and_filters(owner_client, owner):
    batch = book.make_cooking(owner)
    shown = owner_client.get(url("kitchen")).content.decode()
    assert batch.code in shown
    none = owner_client.get(url("kitchen"), {"status": "rejected"}).content.decode()
    assert "No batch here yet" in none


def test_the_list_asks_few_queries(owner_client, owner, django_assert_max_num_queries):
    version = book.make_recipe()
    product = book.make_jam_product(version)
    for _ in range(6):
        book.make_planned(version, product=product)
    with django_assert_max_num_queries(14):
        owner_client.get(url("kitchen"))


def test_planning_refuses_more_than_the_tested_batch(owner_client):
    version = book.make_recipe()
    product = book.make_jam_product(version)
    typed = {"product": product.code, "planned_on": "2026-06-12", "share": "150"}
    answer = post(owner_client, "batch-plan", **typed).content.decode()
    assert "cook one full and one half batch instead" in answer
    assert 'value="150"' in answer
    post(owner_client, "batch-plan", **{**typed, "share": "50"})
    assert Batch.objects.get().factor == Decimal("0.5")


def test_planning_a_recipe_without_a_version_is_refused(owner_client):
    product = factories.make_product()
    factories.make_filling(product, factories.make_recipe())
    typed = {"product": product.code, "planned_on": "2026-06-12", "share": "100"}
    answer = post(owner_client, "batch-plan", **typed).content.decode()
    assert "has no version yet" in answer


def draws_of(client, batch):
    form = client.get(batch.get_absolute_url()).context["draws_form"]
    return {name: field.initial or "" for name, field in form.fields.items()}


def test_the_proposed_lots_start_the_batch(helper_client):
    batch = book.make_planned()
    post(helper_client, "batch-start", batch.pk, **draws_of(helper_client, batch))
    batch.refresh_from_db()
    assert batch.status == Batch.Status.COOKING
    assert batch.inputs.count() == 2


def test_a_wrong_amount_keeps_what_was_typed(owner_client):
    batch = book.make_planned()
    typed = draws_of(owner_client, batch)
    first = next(name for name in typed if name.startswith("take-"))
    answer = post(
        owner_client, "batch-start", batch.pk, **{**typed, first: "three handfuls"}
    )
    assert 'value="three handfuls"' in answer.content.decode()
    batch.refresh_from_db()
    assert batch.status == Batch.Status.PLANNED


def test_too_much_of_a_lot_is_refused_in_words(owner_client):
    batch = book.make_planned()
    typed = draws_of(owner_client, batch)
    first = next(name for name in typed if name.startswith("take-"))
    answer = post(owner_client, "batch-start", batch.pk, **{**typed, first: "9 kg"})
    assert "9" in answer.content.decode()
    assert not batch.inputs.exists()


def test_a_plan_is_dropped_once(owner_client, owner):
    batch = book.make_planned()
    post(owner_client, "batch-cancel", batch.pk, confirmed="yes")
    assert not Batch.objects.exists()
    started = book.make_cooking(owner)
    answer = post(owner_client, "batch-cancel", started.pk)
    assert "only while planned" in answer.content.decode()


def test_a_helper_releases_what_is_complete_but_overrides_nothing(
    helper_client, helper
):
    batch = book.make_ready(helper)
    book.read(batch, helper, Reading.Kind.HEADSPACE, 12)
    shown = page(helper_client, batch)
    assert "ask the owner" in shown
    assert "may be set aside" not in shown
    post(helper_client, "batch-release", batch.pk, headspace="they look fine to me")
    batch.refresh_from_db()
    assert batch.status == Batch.Status.HELD


def test_the_owner_sets_a_limit_aside_in_writing(owner_client, owner):
    batch = book.make_ready(owner)
    book.read(batch, owner, Reading.Kind.HEADSPACE, 12)
    refused = post(owner_client, "batch-release", batch.pk, headspace="ok")
    assert "more than one word" in refused.content.decode()
    post(owner_client, "batch-release", batch.pk, headspace="tall jars, all alike")
    batch.refresh_from_db()
    assert batch.status == Batch.Status.RELEASED
    assert "tall jars" in page(owner_client, batch)


def test_a_bad_ph_leaves_held_by_no_page(owner_client, owner):
    batch = book.make_ready(owner, book.make_low_acid_recipe())
    typed = {"kind": "ph", "value": "4.9"}
    asked = post(owner_client, "reading-record", batch.pk, **typed)
    assert "can never be released" in asked.content.decode()
    post(owner_client, "reading-record", batch.pk, **typed, confirmed="4.9")
    reading = batch.readings.get(kind="ph")
    assert "nobody can override" in page(owner_client, batch)
    post(owner_client, "reading-undo", batch.pk, reading.pk)
    post(owner_client, "reading-record", batch.pk, kind="ph", value="3.2")
    post(owner_client, "batch-release", batch.pk, ph="the meter is wrong, surely")
    post(owner_client, "batch-hold", batch.pk, reason="try another way")
    batch.refresh_from_db()
    assert batch.status == Batch.Status.HELD
    assert batch.outputs.get().lot.released_at is None


def test_rejecting_holding_and_cooking_again_are_the_owners(
    helper_client, owner_client, owner
):
    batch = book.make_held(owner)
    for name in ("batch-reject", "batch-recook", "batch-hold"):
        answer = helper_client.post(url(name, batch.pk), {"reason": "no"})
        assert answer.status_code == 403
    missing = post(owner_client, "batch-recook", batch.pk).content.decode()
    assert "This field is required" in missing
    answer = post(
        owner_client, "batch-recook", batch.pk, reason="did not set", confirmed="yes"
    )
    child = Batch.objects.get(parent=batch)
    assert child.code in answer.content.decode()
    batch.refresh_from_db()
    assert batch.status == Batch.Status.REJECTED


def test_an_intermediate_is_released_from_its_page(owner_client, owner):
    version = book.make_recipe()
    version.recipe.makes_material = factories.make_fruit()
    version.recipe.save()
    batch = batches.plan(version=version, planned_on=factories.TODAY)
    batch = batches.start(batch=batch, at=book.COOKED_AT, person=owner)
    post(owner_client, "batch-finish", batch.pk, made_g="1800")
    assert "check the seal" not in page(owner_client, batch)
    post(owner_client, "batch-release", batch.pk)
    batch.refresh_from_db()
    assert batch.status == Batch.Status.RELEASED


def test_a_released_batch_shows_what_was_read(helper_client, helper):
    batch = book.make_ready(helper)
    batches.release(batch=batch, at=book.CHECKED_AT, person=helper)
    shown = page(helper_client, batch)
    assert "What was read" in shown
    assert "15 min" in shown


def test_a_release_is_taken_back_with_a_reason(owner_client, owner):
    batch = book.make_ready(owner)
    batches.release(batch=batch, at=book.CHECKED_AT, person=owner)
    missing = post(owner_client, "batch-hold", batch.pk, reason="")
    assert "This field is required" in missing.content.decode()
    post(owner_client, "batch-hold", batch.pk, reason="odd smell in one jar")
    batch.refresh_from_db()
    assert batch.status == Batch.Status.HELD


def test_instruments_are_added_and_checked(helper_client):
    post(helper_client, "instrument-create", name="Kettle probe", kind="thermometer")
    probe = Instrument.objects.get()
    wrong = post(helper_client, "instrument-check", probe.pk, shown="70")
    assert "no reading of boiling water" in wrong.content.decode()
    post(helper_client, "instrument-check", probe.pk, shown="210.5")
    assert "too high" in probe.checks.get().note
    meter = Instrument.objects.create(name="Meter", kind="ph_meter")
    typed = {"low_read": "4.01", "high_read": "7.3"}
    post(helper_client, "instrument-check", meter.pk, **typed)
    assert not meter.checks.filter(passed=True).exists()
    scale = Instrument.objects.create(name="Scale", kind="scale")
    typed = {"reference": "500 g weight", "true_value": "500", "reading": "500"}
    post(helper_client, "instrument-check", scale.pk, **typed)
    shown = helper_client.get(url("instrument-list")).content.decode()
    assert "Kettle probe" in shown
    assert "500 g weight" in shown


def test_a_helper_sees_no_way_to_the_costs(helper_client, owner_client, owner):
    batch = book.make_cooking(owner)
    address = url("batch-cost", batch.pk)
    assert address in page(owner_client, batch)
    assert address not in page(helper_client, batch)


def test_planning_without_a_product_says_what_to_add_first(owner_client):
    shown = owner_client.get(url("batch-plan")).content.decode()
    assert "add a recipe, a jar size and a product first" in shown


@pytest.mark.parametrize(
    "name",
    [
        "batch-start",
        "batch-release",
        "batch-finish",
        "batch-cancel",
        "reading-record",
        "batch-reject",
    ],
)
def test_changes_need_a_post(owner_client, owner, name):
    batch = book.make_cooking(owner)
    assert owner_client.get(url(name, batch.pk)).status_code == 405


def test_a_missing_batch_is_not_found(owner_client):
    assert owner_client.get(url("batch-detail", 99)).status_code == 404


def test_signed_out_readers_are_sent_to_the_door(client, owner):
    batch = book.make_cooking(owner)
    for address in (url("kitchen"), batch.get_absolute_url(), url("recipe-list")):
        assert client.get(address).status_code == 302
