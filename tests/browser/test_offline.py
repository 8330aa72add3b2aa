"""The stall with the network switched off: entries wait, and are counted once."""

from decimal import Decimal

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from inventory import ledger, markets
from inventory.models import Movement
from tests import factories
from tests.browser.conftest import sign_in

pytestmark = pytest.mark.django_db(transaction=True)

STAMP = ledger.Stamp(on=factories.TODAY, at=factories.NOW)


@pytest.fixture
def out(db):
    """A day with twelve jars taken to the market."""
    factories.make_business()
    product = factories.make_product(name="Plum jam")
    factories.make_price(product, price=Decimal("9.00"))
    lot = factories.make_lot(product=product, quantity=30, released_at=factories.NOW)
    day = factories.make_market_day(outlet=factories.make_outlet(name="Mill Square"))
    markets.pack_product(day=day, product=product, jars=12)
    markets.take_out(day=day, taken={lot: 12}, stamp=STAMP)
    return day


@pytest.fixture
def phone(page, client, out):
    """A phone that opened the day with a connection, and then lost it."""
    page.set_viewport_size({"width": 390, "height": 844})
    page.set_default_timeout(8000)
    sign_in(page, factories.make_helper(username="stall"), client)
    page.goto(address("at-the-stall", out))
    page.wait_for_selector("#kept[data-ready]", state="attached")
    page.context.set_offline(True)
    return page


def address(view, day):
    return reverse(f"inventory:{view}", args=[day.pk])


def back_online(page):
    page.context.set_offline(False)
    expect(page.locator("#kept")).to_contain_text("Sent to the book", timeout=9000)


def line_of(day):
    line = day.lines.get()
    return line.taken, line.sampled, line.brought_back, line.sold


def count_back(page, day, jars):
    page.goto(address("count-back", day))
    page.get_by_role("spinbutton", name="Brought back").fill(str(jars))
    page.get_by_role("button", name="The day is counted").click()


def test_touches_wait_and_are_each_counted_once(phone, out):
    for _ in range(2):
        phone.get_by_role("button", name="Sampled").click()
        phone.wait_for_load_state()
    expect(phone.locator("#kept")).to_contain_text("sent when it is back: 2")
    expect(phone.get_by_role("button", name="Sampled 2")).to_be_visible()
    assert line_of(out)[1] == 0
    back_online(phone)
    assert line_of(out)[1] == 2
    assert Movement.objects.filter(reason="sampled").count() == 2


def test_a_day_is_counted_back_without_a_connection(phone, out):
    phone.get_by_role("button", name="Sampled").click()
    expect(phone.locator("#kept")).to_contain_text("sent when it is back: 1")
    count_back(phone, out, 3)
    expect(phone.locator("#kept")).to_contain_text("sent when it is back: 2")
    assert phone.get_by_role("spinbutton", name="Brought back").input_value() == "3"
    back_online(phone)
    assert line_of(out) == (12, 1, 3, 8)


def test_sold_out_keeps_the_hour_it_was_touched(phone, out):
    phone.clock.set_fixed_time("2026-06-10T10:40:00")
    phone.get_by_role("button", name="Sold out now").click()
    expect(phone.locator("#kept")).to_contain_text("Sold out")
    back_online(phone)
    assert out.sold_out_marks.get().at is not None


def test_a_count_of_somebody_else_meanwhile_is_shown_not_overwritten(phone, out):
    count_back(phone, out, 3)
    expect(phone.locator("#kept")).to_contain_text("sent when it is back: 1")
    counts = {out.lines.get().lot: helper_counted(5)}
    markets.count_back(day=out, counts=counts, stamp=STAMP)
    phone.context.set_offline(False)
    expect(phone.locator("#kept")).to_contain_text("Somebody counted meanwhile: 5 of")
    assert line_of(out) == (12, 0, 5, 7)
    phone.get_by_role("link", name="Put my figures in").click()
    back = phone.get_by_role("spinbutton", name="Brought back")
    expect(back).to_have_value("3")
    phone.get_by_role("button", name="The day is counted").click()
    phone.wait_for_url(f"**{out.get_absolute_url()}")
    assert line_of(out) == (12, 0, 3, 9)


def helper_counted(back):
    from inventory.reconciliation import DayCount

    return DayCount(taken=Decimal(12), back=Decimal(back), sold=Decimal(12 - back))


def test_signing_out_clears_the_shelf_and_keeps_what_waits(phone, out):
    phone.get_by_role("button", name="Sampled").click()
    expect(phone.locator("#kept")).to_contain_text("sent when it is back: 1")
    phone.context.clear_cookies()
    phone.context.set_offline(False)
    phone.goto("/sign-in/")
    shelves = "async () => (await caches.keys()).length"
    assert phone.evaluate(shelves) == 0
    assert line_of(out)[1] == 0


def test_an_answer_lost_on_the_way_is_not_counted_twice(phone, out, client):
    phone.context.set_offline(False)
    mark = phone.locator('input[name="token"]').first.input_value()
    lot = out.lines.get().lot_id
    touch = {"lot": lot, "reason": "sampled", "token": mark}
    client.post(address("stall-touch", out), touch)
    client.post(address("stall-touch", out), touch)
    assert line_of(out)[1] == 1


def test_a_page_never_opened_says_so(phone, out):
    phone.goto(reverse("inventory:outlet-list"))
    assert phone.get_by_role("heading", name="No connection").is_visible()
