"""Cooking from the page: steps, readings, seals, weights, papers."""

import datetime
from decimal import Decimal
from io import BytesIO
from uuid import uuid4

import pypdf
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone

from production import batches
from tests.production import kitchen as book

pytestmark = pytest.mark.django_db


def url(name, *args):
    return reverse(f"production:{name}", args=args)


def page(client, batch):
    return client.get(batch.get_absolute_url()).content.decode()


def post(client, view, *args, **data):
    return client.post(url(view, *args), data, follow=True)


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


def test_a_reading_not_asked_for_is_taken_too(helper_client, helper):
    batch = book.make_cooking(helper)
    typed = {"kind": "fill_temperature", "value": "50 C"}
    asked = post(helper_client, "reading-record", batch.pk, **typed).content.decode()
    assert "please look once more" in asked
    post(helper_client, "reading-record", batch.pk, **typed, confirmed="50 C")
    shown = page(helper_client, batch)
    assert "Filling temperature: 122 °F (50 °C)" in shown
    wrong = {"kind": "humour", "value": "good"}
    refused = post(helper_client, "reading-record", batch.pk, **wrong)
    assert "Select a valid choice" in refused.content.decode()


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


def test_weighed_jars_get_a_verdict(owner_client, owner):
    batch = book.make_held(owner)
    output = batch.outputs.get()
    bad = post(owner_client, "jar-weights", batch.pk, output.pk, jars="heavy")
    assert "is no weight" in bad.content.decode()
    jars = "\n".join(["500"] * 6)
    typed = {"jars": jars, "tares": "186.2 186.6"}
    shown = post(owner_client, "jar-weights", batch.pk, output.pk, **typed)
    assert "would pass the single-jar test" in shown.content.decode()
    assert " ÷ 6 = " in shown.content.decode(), "the average error says why"
    assert "keep the three rules" in shown.content.decode()


def test_weights_come_from_a_file_too(owner_client, owner):
    batch = book.make_held(owner)
    output = batch.outputs.get()
    address = url("jar-weights", batch.pk, output.pk)
    binary = SimpleUploadedFile("scale.csv", b"\xff\xfe\x00")
    answer = owner_client.post(address, {"file": binary})
    assert "no plain text" in answer.content.decode()
    long = SimpleUploadedFile("scale.csv", b"1" * 100_001)
    assert "larger than" in owner_client.post(address, {"file": long}).content.decode()
    lines = SimpleUploadedFile("scale.csv", b"500;186\n501;187\n")
    owner_client.post(address, {"file": lines})
    assert [row.net_g for row in output.weighings.all()] == [314, 314]


def test_light_jars_are_told_what_they_would_carry(owner_client, owner):
    batch = book.make_held(owner)
    output = batch.outputs.get()
    typed = {"jars": "\n".join(["430"] * 6), "tares": "186.4"}
    shown = post(owner_client, "jar-weights", batch.pk, output.pk, **typed)
    assert "These jars would carry 8.5 oz (240 g)" in shown.content.decode()


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


def test_the_record_names_the_checks_behind_the_readings(owner_client, owner):
    batch = book.make_ready(owner, book.make_low_acid_recipe())
    book.make_calibration()
    book.read(batch, owner, "ph", "3.4", at=book.CHECKED_AT)
    words, _ = text_of(owner_client.get(url("batch-record", batch.pk)))
    assert "buffer 4.0" in words
    assert "buffer 7.0" in words


def test_more_goes_into_the_pot(helper_client, helper):
    batch = book.make_cooking(helper)
    lot = batch.inputs.last().movement.lot
    typed = {"lot": lot.code, "amount": "two pinches", "token": str(uuid4())}
    wrong = post(helper_client, "batch-add", batch.pk, **typed).content.decode()
    assert 'value="two pinches"' in wrong
    post(helper_client, "batch-add", batch.pk, **{**typed, "amount": "9 kg"})
    assert batch.inputs.count() == 2
    for _ in ("once", "and by a wet finger twice"):
        post(helper_client, "batch-add", batch.pk, **{**typed, "amount": "50"})
    assert batch.inputs.count() == 3
