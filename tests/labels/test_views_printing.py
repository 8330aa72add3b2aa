"""The label pages: work, wrong verb, missing object, bad input, signed out."""

import pytest
from django.test import Client
from django.urls import reverse

from labels.forms.printing import LookForm
from labels.models import LabelSheet, PrintRun, ProductLabel
from production.models import Batch, BatchOutput
from tests.labels.printing_scene import (
    SHEET,
    load_places,
    load_sheets,
    make_batch,
    make_look,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def batch(owner_client):
    load_places()
    load_sheets()
    return make_batch()


def choice(**overrides):
    sheet = LabelSheet.objects.get(name=SHEET)
    values = {
        "sheet": sheet.pk,
        "arrangement": "wrap",
        "count": 12,
        "start_at": 1,
        "reason": "",
    }
    return {**values, **overrides}


def post_print(client, batch, **overrides):
    address = reverse("labels:print", args=[batch.code])
    return client.post(address, choice(**overrides))


def test_home_shows_jars_that_wait_for_labels(owner_client, batch):
    answer = owner_client.get(reverse("labels:home"))
    assert batch.code in answer.content.decode()
    assert reverse("labels:print", args=[batch.code]) in answer.content.decode()


def test_home_asks_few_questions_of_the_database(
    owner_client, batch, django_assert_max_num_queries
):
    make_batch(letter="B")
    with django_assert_max_num_queries(15):
        owner_client.get(reverse("labels:home"))


def test_the_form_has_a_picture_of_the_label_beside_it(owner_client, batch):
    page = owner_client.get(reverse("labels:print", args=[batch.code]))
    text = page.content.decode()
    assert "data:image/png;base64," in text
    assert "Plum Jam" in text
    assert 'value="12"' in text


def test_printing_records_a_run_and_leads_to_its_file(owner_client, owner, batch):
    answer = post_print(owner_client, batch)
    run = PrintRun.objects.get()
    assert answer.url == run.get_absolute_url()
    assert run.printed_by == owner
    file = owner_client.get(reverse("labels:printrun-file", args=[run.pk]))
    assert file["Content-Type"] == "application/pdf"
    assert file.content.startswith(b"%PDF")


def test_bad_input_keeps_what_was_typed_and_says_what_is_wrong(owner_client, batch):
    page = post_print(owner_client, batch, start_at=7, reason="smudged")
    text = page.content.decode()
    assert "This sheet has places 1 to 6" in text
    assert "smudged" in text
    assert not PrintRun.objects.exists()


def test_a_refusal_of_the_core_is_shown_on_the_form(owner_client, batch):
    batch.status = Batch.Status.REJECTED
    batch.save()
    page = post_print(owner_client, batch)
    assert "no labels are printed for it" in page.content.decode()
    assert not PrintRun.objects.exists()


def test_the_preview_follows_the_form(owner_client, batch):
    address = reverse("labels:print-preview", args=[batch.code])
    page = owner_client.get(address, choice(count=2, start_at=5)).content.decode()
    assert page.count("place printed") == 2
    assert "<html" not in page


def test_a_label_too_small_shows_why_in_the_preview(owner_client, batch):
    small = LabelSheet.objects.get(name=SHEET)
    small.label_width_mm = small.label_height_mm = 30
    small.save()
    make_look(batch.product, sheet=small)
    page = owner_client.get(reverse("labels:print", args=[batch.code]))
    text = page.content.decode()
    assert "finds no room" in text
    assert "<li>net quantity (" in text


def test_the_page_says_where_the_last_print_ended(owner_client, batch):
    make_look(batch.product, sheet=LabelSheet.objects.get(name=SHEET))
    post_print(owner_client, batch, count=8)
    page = owner_client.get(reverse("labels:print", args=[batch.code]))
    assert "left place 3 as the first free one" in page.content.decode()


def test_the_proof_is_a_paper(owner_client, batch):
    address = reverse("labels:proof", args=[batch.code])
    assert owner_client.get(address, {"sheet": SHEET}).content.startswith(b"%PDF")
    assert owner_client.get(address, {"sheet": "none"}).status_code == 404


def test_a_run_page_shows_its_words_and_takes_the_tally(owner_client, batch):
    post_print(owner_client, batch)
    run = PrintRun.objects.get()
    page = owner_client.get(run.get_absolute_url()).content.decode()
    assert "Ingredients: Plums, Sugar, Lemon juice." in page
    tally = reverse("labels:printrun-tally", args=[run.pk])
    counts = {"used": 11, "spoiled": 1, "destroyed": 0}
    assert owner_client.post(tally, counts).url == run.get_absolute_url()
    answer = owner_client.post(tally, counts)
    assert "would be told of a run of 12" in answer.content.decode()


def test_a_changed_label_does_not_open_as_the_old_run(owner_client, batch):
    post_print(owner_client, batch)
    run = PrintRun.objects.get()
    make_look(batch.product, maker_note="New words.")
    answer = owner_client.get(reverse("labels:printrun-file", args=[run.pk]))
    assert answer.status_code == 400


@pytest.mark.parametrize(
    "name", ["home", "sheet-list", "sheet-create", "printrun-list", "productlabel-list"]
)
def test_the_lists_open(owner_client, batch, name):
    post_print(owner_client, batch)
    assert owner_client.get(reverse(f"labels:{name}")).status_code == 200


def test_signed_out_is_sent_to_the_door():
    answer = Client().get(reverse("labels:home"))
    assert answer.url.startswith("/sign-in/")


def test_a_helper_may_print(helper_client, batch):
    assert post_print(helper_client, batch).status_code == 302


@pytest.mark.parametrize(
    ("name", "args"),
    [
        ("print", ["26161ZZ"]),
        ("print-preview", ["nothing"]),
        ("printrun-detail", [999]),
        ("printrun-file", [999]),
        ("sheet-detail", ["nothing"]),
        ("productlabel-edit", ["nothing"]),
    ],
)
def test_what_is_not_there_is_not_found(owner_client, name, args):
    assert owner_client.get(reverse(f"labels:{name}", args=args)).status_code == 404


@pytest.mark.parametrize("name", ["printrun-tally", "sheet-offset"])
def test_changes_are_posted(owner_client, batch, name):
    post_print(owner_client, batch)
    args = [PrintRun.objects.get().pk] if name == "printrun-tally" else [SHEET]
    assert owner_client.get(reverse(f"labels:{name}", args=args)).status_code == 405


MEASURES = {
    "shape": "rectangle",
    "rows": 3,
    "columns": 2,
    "page_width_mm": "210 mm",
    "page_height_mm": "297 mm",
    "label_width_mm": "90 mm",
    "label_height_mm": "60 mm",
    "left_margin_mm": "10 mm",
    "top_margin_mm": "20 mm",
    "column_pitch_mm": "95 mm",
    "row_pitch_mm": "70 mm",
    "corner_radius_mm": "2 mm",
    "offset_x_mm": "0 mm",
    "offset_y_mm": "0 mm",
}


def test_a_measured_sheet_is_named_by_its_measures(owner_client, batch):
    answer = owner_client.post(reverse("labels:sheet-create"), MEASURES)
    sheet = LabelSheet.objects.get(name="90x60mm-2x3-a4")
    assert answer.url == sheet.get_absolute_url()
    assert "90x60mm-2x3-a4" in owner_client.get(answer.url).content.decode()


def test_measures_that_cannot_be_true_keep_the_form(owner_client, batch):
    wrong = {**MEASURES, "row_pitch_mm": "120 mm"}
    page = owner_client.post(reverse("labels:sheet-create"), wrong).content.decode()
    assert "but the height of the page is 11.693 in" in page
    assert 'value="120 mm"' in page


def test_the_offset_is_kept_and_one_off_the_page_refused(owner_client, batch):
    address = reverse("labels:sheet-offset", args=[SHEET])
    owner_client.post(address, {"offset_x_mm": "0.6 mm", "offset_y_mm": "-0.4 mm"})
    assert str(LabelSheet.objects.get(name=SHEET).offset_x_mm) == "0.60"
    page = owner_client.post(address, {"offset_x_mm": "90", "offset_y_mm": "0"})
    assert "off the page" in page.content.decode()


def test_the_calibration_page_is_a_paper(owner_client, batch):
    answer = owner_client.get(reverse("labels:sheet-calibration", args=[SHEET]))
    assert answer.content.startswith(b"%PDF")


def look(**overrides):
    """What the form would send as it is first shown, some fields changed."""
    first = LookForm(instance=ProductLabel()).initial
    sheet = LabelSheet.objects.get(name=SHEET).pk
    shown = {name: value for name, value in first.items() if value not in (None, False)}
    chosen = {"design": "frame", "sheet": sheet, "storage_note": "Keep cool."}
    return {**shown, "logo": "", **chosen, **overrides}


def test_how_a_label_looks_is_kept(owner_client, batch):
    address = reverse("labels:productlabel-edit", args=[batch.product.code])
    assert owner_client.post(address, look()).status_code == 302
    kept = ProductLabel.objects.get(product=batch.product)
    assert (kept.design, kept.storage_note) == ("frame", "Keep cool.")
    assert "Keep cool." in owner_client.get(address).content.decode()


def test_a_look_is_shown_before_it_is_kept(owner_client, batch):
    address = reverse("labels:productlabel-preview", args=[batch.product.code])
    page = owner_client.get(address, look(maker_note="From our own trees.")).content
    assert "From our own trees" in page.decode()
    assert not ProductLabel.objects.exists()


def test_a_product_without_a_batch_shows_a_draft(owner_client, batch):
    product = batch.product
    BatchOutput.objects.filter(batch=batch).delete()
    Batch.objects.filter(pk=batch.pk).update(product=None)
    address = reverse("labels:productlabel-edit", args=[product.code])
    page = owner_client.get(address).content.decode()
    assert "no batch is made yet" in page
    assert "data:image/png" in page


def test_a_logo_that_is_no_picture_is_refused(owner_client, batch, tmp_path):
    file = tmp_path / "logo.png"
    file.write_bytes(b"no picture")
    address = reverse("labels:productlabel-edit", args=[batch.product.code])
    with file.open("rb") as logo:
        page = owner_client.post(address, look(logo=logo)).content.decode()
    assert "not a PNG, JPEG or SVG file" in page
