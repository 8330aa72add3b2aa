"""The kitchen pages: they work, keep what was typed, and ask before they write."""

import datetime
from decimal import Decimal
from io import BytesIO

import pypdf
import pytest
from django.urls import reverse
from django.utils import timezone

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
    typed = {"product": product.pk, "planned_on": "2026-06-12", "share": "150"}
    answer = post(owner_client, "batch-plan", **typed).content.decode()
    assert "cook one full and one half batch instead" in answer
    assert 'value="150"' in answer
    post(owner_client, "batch-plan", **{**typed, "share": "50"})
    assert Batch.objects.get().factor == Decimal("0.5")


def test_planning_a_recipe_without_a_version_is_refused(owner_client):
    product = factories.make_product()
    factories.make_filling(product, factories.make_recipe())
    typed = {"product": product.pk, "planned_on": "2026-06-12", "share": "100"}
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
    post(owner_client, "batch-cancel", batch.pk)
    assert not Batch.objects.exists()
    started = book.make_cooking(owner)
    answer = post(owner_client, "batch-cancel", started.pk)
    assert "only while planned" in answer.content.decode()


def test_steps_are_touched_and_undone(helper_client, helper):
    batch = book.make_cooking(helper)
    post(helper_client, "step-touch", batch.pk, 2, "begin")
    shown = page(helper_client, batch)
    assert 'data-minutes="' in shown
    post(helper_client, "step-touch", batch.pk, 2, "end")
    assert batch.step_records.get().done_at is not None
    post(helper_client, "step-touch", batch.pk, 2, "undo")
    assert batch.step_records.get().done_at is None


def test_an_unusual_reading_is_asked_for_again_and_then_taken(helper_client, helper):
    batch = book.make_cooking(helper)
    typed = {"kind": "headspace", "value": "2"}
    answer = post(helper_client, "reading-record", batch.pk, **typed)
    shown = answer.content.decode()
    assert "please look once more" in shown
    assert not batch.readings.exists()
    changed = {**typed, "value": "3", "confirmed": "2"}
    post(helper_client, "reading-record", batch.pk, **changed)
    assert not batch.readings.exists()
    post(helper_client, "reading-record", batch.pk, **typed, confirmed="2")
    assert batch.readings.get().value == Decimal("50.8")


def test_a_reading_may_have_been_earlier_and_be_undone(helper_client, helper):
    batch = book.make_cooking(helper)
    typed = {"kind": "headspace", "value": "1/4", "earlier": "2026-06-10T15:30"}
    post(helper_client, "reading-record", batch.pk, **typed)
    reading = batch.readings.get()
    assert (reading.at.hour, reading.person) == (15, helper)
    post(helper_client, "reading-undo", batch.pk, reading.pk)
    reading.refresh_from_db()
    assert reading.is_undone


def test_no_number_is_refused_beside_its_field(helper_client, helper):
    batch = book.make_cooking(helper)
    typed = {"kind": "headspace", "value": "a bit"}
    answer = post(helper_client, "reading-record", batch.pk, **typed)
    shown = answer.content.decode()
    assert "is no headspace" in shown
    assert 'value="a bit"' in shown


def test_finishing_needs_a_count_and_makes_the_lot(helper_client, helper):
    batch = book.make_cooking(helper)
    answer = post(helper_client, "batch-finish", batch.pk)
    assert "enter the jars filled" in answer.content.decode()
    field = f"jars-{batch.product_id}"
    post(helper_client, "batch-finish", batch.pk, **{field: "6"})
    assert batch.outputs.get().filled == 6


def test_the_seal_check_balances_and_asks_when_early(helper_client, helper):
    batch = book.make_held(helper)
    output = batch.outputs.get()
    batch.readings.filter(kind="process_min").update(
        at=timezone.now() - datetime.timedelta(hours=2)
    )
    wrong = post(
        helper_client, "seal-check", batch.pk, output.pk, sealed="5", failed="0"
    )
    assert "make 5; check every jar" in wrong.content.decode()
    typed = {"sealed": "6", "failed": "0"}
    early = post(helper_client, "seal-check", batch.pk, output.pk, **typed)
    assert "have cooled for 2 h only" in early.content.decode()
    post(helper_client, "seal-check", batch.pk, output.pk, **typed, confirmed="yes")
    assert output.seal_checks.get().sealed == 6


def test_a_seal_check_may_have_been_earlier_but_not_ahead(helper_client, helper):
    batch = book.make_held(helper)
    output = batch.outputs.get()
    typed = {"sealed": "6", "failed": "0", "earlier": "2226-06-11T08:00"}
    ahead = post(helper_client, "seal-check", batch.pk, output.pk, **typed)
    assert "has not come yet" in ahead.content.decode()
    typed["earlier"] = "2026-06-11T08:00"
    post(helper_client, "seal-check", batch.pk, output.pk, **typed)
    assert output.seal_checks.get().checked_at.hour == 8
    post(helper_client, "seal-undo", batch.pk, output.pk)
    assert not output.seal_checks.exists()


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
    answer = post(owner_client, "batch-recook", batch.pk, reason="did not set")
    child = Batch.objects.get(parent=batch)
    assert child.code in answer.content.decode()
    batch.refresh_from_db()
    assert batch.status == Batch.Status.REJECTED


def test_a_release_is_taken_back_with_a_reason(owner_client, owner):
    batch = book.make_ready(owner)
    batches.release(batch=batch, at=book.CHECKED_AT, person=owner)
    missing = post(owner_client, "batch-hold", batch.pk, reason="")
    assert "This field is required" in missing.content.decode()
    post(owner_client, "batch-hold", batch.pk, reason="odd smell in one jar")
    batch.refresh_from_db()
    assert batch.status == Batch.Status.HELD


def test_weighed_jars_get_a_verdict(owner_client, owner):
    batch = book.make_held(owner)
    output = batch.outputs.get()
    bad = post(owner_client, "jar-weights", batch.pk, output.pk, jars="heavy")
    assert "is no weight" in bad.content.decode()
    jars = "\n".join(["500"] * 6)
    typed = {"jars": jars, "tares": "186.2 186.6"}
    shown = post(owner_client, "jar-weights", batch.pk, output.pk, **typed)
    assert "would pass the single-jar test" in shown.content.decode()
    assert "keep the three rules" in shown.content.decode()


def test_light_jars_are_told_what_they_would_carry(owner_client, owner):
    batch = book.make_held(owner)
    output = batch.outputs.get()
    typed = {"jars": "\n".join(["430"] * 6), "tares": "186.4"}
    shown = post(owner_client, "jar-weights", batch.pk, output.pk, **typed)
    assert "These jars would carry 8.5 oz (240 g)" in shown.content.decode()


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


def text_of(answer):
    pages = pypdf.PdfReader(BytesIO(answer.content)).pages
    return "\n".join(each.extract_text() for each in pages), len(pages)


def test_the_batch_sheet_says_what_to_do_today(helper_client, helper):
    batch = book.make_cooking(helper)
    words, pages = text_of(helper_client.get(url("batch-sheet", batch.pk)))
    assert pages == 1
    for wanted in (batch.code, "Finish at", "15 min", "1/4 in", "Sealed", "1000 g"):
        assert wanted in words


def test_a_two_day_recipe_goes_on_with_a_second_sheet(helper_client):
    version = book.make_marmalade()
    batch = book.make_planned(version)
    words, pages = text_of(helper_client.get(url("batch-sheet", batch.pk)))
    assert pages == 2
    assert "Overnight stand: 12 to 18 hours" in words
    assert "Day 2 of 2" in words


def test_the_record_holds_everything(owner_client, owner):
    batch = book.make_ready(owner)
    batches.release(batch=batch, at=book.CHECKED_AT, person=owner)
    words, _ = text_of(owner_client.get(url("batch-record", batch.pk)))
    lot = batch.inputs.first().movement.lot
    for wanted in (
        batch.code,
        lot.code,
        "released",
        "6 sealed",
        "processing",
        "Signed",
    ):
        assert wanted in words


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
