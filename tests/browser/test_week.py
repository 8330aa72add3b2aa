"""The week in a real browser: plan, pin, forbid, accept; without scripts too."""

import datetime
from decimal import Decimal

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from production.models import Batch, KitchenDay, Plan
from tests.browser.conftest import sign_in
from tests.production import week_scene

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def scene(owner, monkeypatch):
    """The scene, told around the real today."""
    today = timezone.localdate()
    monkeypatch.setattr(week_scene, "TODAY", today)
    monkeypatch.setattr(week_scene, "SATURDAY", today + datetime.timedelta(days=3))
    return week_scene.Week()


def test_plan_forbid_pin_and_accept(page, scene, owner, client, base_url):
    sign_in(page, owner, client)
    page.goto(base_url + "/")
    page.get_by_role("button", name="Plan the week").click()
    expect(page.get_by_role("cell", name="Plum jam").first).to_be_visible()
    expect(page.get_by_role("img").first).to_be_visible()
    page.get_by_role("combobox", name="Product").fill("plum")
    page.get_by_role("combobox", name="Wish").select_option("forbid")
    page.get_by_role("button", name="Plan with this wish").click()
    expect(page.get_by_text("left out as you asked")).to_be_visible()
    assert Plan.objects.get().answer["batches"] == []
    page.get_by_role("combobox", name="Product").fill("plum")
    page.get_by_role("combobox", name="Wish").select_option("pin")
    page.get_by_role("button", name="Plan with this wish").click()
    expect(page.get_by_text("pinned").first).to_be_visible()
    page.get_by_role("button", name="Accept this plan").click()
    expect(page.get_by_text("are planned in the kitchen")).to_be_visible()
    assert Batch.objects.count() == len(Plan.objects.get().answer["batches"]) > 0


def test_a_changed_evening_changes_the_plan_without_scripts(
    browser, scene, owner, client, base_url
):
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    sign_in(page, owner, client)
    page.goto(base_url + "/")
    page.get_by_role("button", name="Plan the week").click()
    expect(page.get_by_text("The week is planned.", exact=True)).to_be_visible()
    KitchenDay.objects.update(minutes=0)
    page.get_by_role("button", name="Plan again").click()
    expect(page.get_by_text("No batch is worth making")).to_be_visible()
    context.close()


def test_the_page_fits_its_width(any_width, scene, owner, client, base_url):
    page = sign_in(any_width, owner, client)
    page.goto(base_url + "/")
    page.get_by_role("button", name="Plan the week").click()
    expect(page.get_by_text("The week is planned.", exact=True)).to_be_visible()
    wide = page.evaluate("document.documentElement.scrollWidth")
    assert Decimal(wide) <= page.viewport_size["width"]
