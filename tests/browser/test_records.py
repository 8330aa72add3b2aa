"""Records come in and go out in a real browser."""

import pytest
from playwright.sync_api import expect

from inventory.models import Business, JarSize, Supplier
from tests.production.workbook.test_loading import FRUIT, SUPPLIER, make_workbook

pytestmark = pytest.mark.django_db(transaction=True)


def written(folder, name, **rows):
    path = folder / name
    path.write_bytes(make_workbook(**rows).getvalue())
    return path


def test_a_workbook_is_put_right_then_loaded(signed_in, tmp_path):
    page = signed_in
    page.goto("/records/")
    wrong = written(tmp_path, "wrong.xlsx", materials=[{**FRUIT, "Kind": "spice"}])
    page.get_by_label("Workbook (.xlsx)").set_input_files(wrong)
    page.get_by_role("button", name="Check the workbook").click()
    expect(page.get_by_text("1 mistake; nothing was loaded.")).to_be_visible()
    expect(page.get_by_role("cell", name="Materials, row 2")).to_be_visible()
    right = written(tmp_path, "right.xlsx", suppliers=[SUPPLIER], materials=[FRUIT])
    page.get_by_label("Workbook (.xlsx)").set_input_files(right)
    page.get_by_role("button", name="Check the workbook").click()
    page.get_by_role("button", name="Load it now").click()
    expect(page.get_by_text("Everything is loaded.")).to_be_visible()
    assert Supplier.objects.get().name == "Example Farm"


def test_the_book_and_a_backup_are_taken_away(signed_in):
    page = signed_in
    page.goto("/records/")
    with page.expect_download() as book:
        page.get_by_role("button", name="The whole book as a workbook").click()
    assert book.value.suggested_filename.endswith(".xlsx")
    with page.expect_download() as saved:
        page.get_by_role("button", name="Download a backup").click()
    assert saved.value.suggested_filename.endswith(".backup")


def test_an_empty_book_is_opened_with_five_questions(page, db):
    page.goto("/")
    page.get_by_label("Your sign-in name").fill("marit")
    page.get_by_label("Password").fill("quince-and-pip")
    page.get_by_label("Name of the business").fill("Test Preserves")
    page.get_by_label("1. Place").select_option("us-ok")
    page.get_by_label("2. Altitude of the kitchen").fill("1240")
    page.get_by_label("5. First market").fill("Saturday market")
    page.get_by_role("button", name="Open the book").click()
    expect(page.get_by_text("Write your first recipe.")).to_be_visible()
    assert Business.current().trade_name == "Test Preserves"
    assert JarSize.objects.get().name == "half-pint"


def test_the_records_page_fits_every_width(any_width, owner, client):
    from tests.browser.conftest import sign_in

    page = sign_in(any_width, owner, client)
    page.goto("/records/")
    overflow = page.evaluate(
        "document.documentElement.scrollWidth - document.documentElement.clientWidth"
    )
    assert overflow <= 0
