"""Printing labels in a real browser: the picture follows the form, the file opens."""

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from tests.browser.conftest import sign_in
from tests.labels.printing_scene import load_places, load_sheets, make_batch
from tests.pdf_reading import glyphs_of_words, read_pages

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def batch(page, client, owner):
    load_places()
    load_sheets()
    page.set_default_timeout(10000)
    said = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    sign_in(page, owner, client)
    yield make_batch()
    assert said == []


def test_labels_are_two_clicks_from_the_first_page_and_print(page, batch):
    page.goto(reverse("labels:home"))
    page.get_by_role("button", name="Print", exact=True).click()
    page.locator("[name=sheet]").select_option(label="102x85mm-2x3-letter")
    page.locator("[name=start_at]").fill("5")
    page.locator("[name=count]").fill("2")
    page.locator("[name=count]").press("Tab")
    expect(page.locator(".place.printed")).to_have_count(2)
    page.get_by_role("button", name="Print labels").click()
    page.wait_for_url("**/labels/runs/**")
    address = page.get_by_role("button", name="Open the sheets").get_attribute("href")
    (glyphs,) = read_pages(page.request.get(address).body())
    assert glyphs_of_words(glyphs, batch.code)


def test_a_look_is_seen_before_it_is_kept(page, batch):
    page.goto(reverse("labels:productlabel-edit", args=[batch.product.code]))
    before = page.locator("#preview img").get_attribute("src")
    page.locator("[name=design]").select_option("band")
    expect(page.locator("#preview img")).not_to_have_attribute("src", before)
    batch.product.refresh_from_db()
    assert not hasattr(batch.product, "label")
    page.get_by_role("button", name="Keep").click()
    page.get_by_text("looks as you chose").wait_for()


@pytest.mark.parametrize("name", ["home", "print", "sheet-list", "sheet-create"])
def test_the_pages_keep_to_every_width(any_width, batch, name):
    args = [batch.code] if name == "print" else []
    any_width.goto(reverse(f"labels:{name}", args=args))
    wide = any_width.evaluate("document.documentElement.scrollWidth")
    assert wide <= any_width.viewport_size["width"]
