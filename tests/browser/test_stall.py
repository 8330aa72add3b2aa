"""A market day on a phone: counting with keys, with scripts and without."""

from decimal import Decimal

import pytest
from django.urls import reverse

from inventory import ledger, markets
from inventory.models import MarketDay
from tests import factories
from tests.browser.conftest import sign_in

pytestmark = pytest.mark.django_db(transaction=True)

STAMP = ledger.Stamp(on=factories.TODAY, at=factories.NOW)


@pytest.fixture
def packed():
    """A day with twelve jars on its packing list."""
    factories.make_business()
    product = factories.make_product(name="Plum jam")
    factories.make_price(product, price=Decimal("9.00"))
    factories.make_lot(product=product, quantity=30, released_at=factories.NOW)
    outlet = factories.make_outlet(name="Mill Square")
    day = factories.make_market_day(outlet=outlet)
    markets.pack_product(day=day, product=product, jars=12)
    return day


def phone(page, client):
    page.set_viewport_size({"width": 390, "height": 844})
    page.set_default_timeout(8000)
    sign_in(page, factories.make_helper(username="stall"), client)
    return page


def address(view, day):
    return reverse(f"inventory:{view}", args=[day.pk])


def test_a_market_day_from_counting_out_to_counting_back(page, client, packed):
    said = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    phone(page, client).goto(address("count-out", packed))
    page.get_by_role("button", name="One less").click()
    assert page.get_by_role("spinbutton", name="Jars taken").input_value() == "11"
    assert page.get_by_text("11 jars").is_visible()
    page.get_by_role("button", name="These jars are out").click()

    page.get_by_role("button", name="At the stall").click()
    page.get_by_role("button", name="Sampled").click()
    page.get_by_role("button", name="Sold out now").click()
    page.get_by_role("button", name="Count back").click()
    for _ in range(3):
        page.get_by_role("button", name="One more: Brought back").click()
    assert page.get_by_text("Sold: 7").is_visible()
    page.get_by_role("button", name="The day is counted").click()

    assert page.get_by_text("$63.00", exact=True).is_visible()
    line = packed.lines.get()
    assert (line.taken, line.sampled, line.brought_back, line.sold) == (11, 1, 3, 7)
    assert packed.sold_out_marks.get().at is not None
    assert said == []


def test_the_keys_work_without_scripts(browser, base_url, client, packed):
    context = browser.new_context(base_url=base_url, java_script_enabled=False)
    page = phone(context.new_page(), client)
    page.goto(address("count-out", packed))
    for _ in range(2):
        page.get_by_role("button", name="One more").click()
    assert page.get_by_role("spinbutton", name="Jars taken").input_value() == "14"
    page.get_by_role("button", name="These jars are out").click()
    assert MarketDay.objects.get().status == "out"
    assert packed.lines.get().taken == 14
    context.close()


def test_enter_saves_and_presses_no_key(page, client, packed):
    phone(page, client).goto(address("count-out", packed))
    page.get_by_role("spinbutton", name="Jars taken").fill("9")
    page.get_by_role("spinbutton", name="Jars taken").press("Enter")
    page.wait_for_url(f"**{packed.get_absolute_url()}")
    assert packed.lines.get().taken == 9


def test_the_keys_are_large_enough_for_a_thumb(page, client, packed):
    phone(page, client).goto(address("count-out", packed))
    for key in page.get_by_role("button", name="One").all():
        box = key.bounding_box()
        assert min(box["width"], box["height"]) >= 44
