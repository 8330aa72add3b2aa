"""The books in a real browser: from the loss on the first screen to the purchase."""

import re

import pytest

from tests.factories import make_outlet, make_price
from tests.production.books_scene import Jam

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def jam(signed_in):
    jam = Jam()
    jam.cook()
    jam.outlet = make_outlet(name="Bridge market")
    make_price(jam.product, price="4.00")
    return jam


def test_a_losing_jar_opens_down_to_its_purchase(jam, signed_in):
    signed_in.goto("/books/")
    signed_in.get_by_role("heading", name="One jar loses money").wait_for()
    signed_in.get_by_role("link", name=re.compile(jam.product.name)).first.click()
    line = signed_in.locator("details.bill-line", has_text="strawberries").first
    line.locator("summary").click()
    line.get_by_role("link", name=re.compile(jam.fruit_lot.code)).click()
    signed_in.wait_for_url(re.compile("/pantry/"))
    assert jam.fruit_lot.code in signed_in.locator("main").inner_text()


def test_a_moved_slider_answers_at_once(jam, signed_in):
    signed_in.goto(f"/books/what-if/?product={jam.product.code}")
    kept = signed_in.locator("#answer .figure").first
    before = kept.inner_text()
    slider = signed_in.get_by_label("Price of a jar")
    slider.focus()
    for _ in range(40):
        slider.press("ArrowRight")
    signed_in.wait_for_function(
        "before => document.querySelector('#answer .figure').innerText !== before",
        arg=before,
    )
    assert "kept of a jar" in kept.inner_text()
    shown = signed_in.locator("output").first.inner_text()
    assert float(shown) == float(slider.input_value())


PAGES = [
    "/books/",
    "/books/what-if/",
    "/books/history/",
    "/books/outlets/",
    "/books/year/",
    "/books/stocktake/",
    "/books/overheads/",
    "/books/expenses/",
    "/books/stock/",
]


@pytest.mark.parametrize("address", PAGES)
def test_pages_fit_every_width_and_break_no_rule_of_access(
    jam, signed_in, any_width, address
):
    from axe_playwright_python.sync_playwright import Axe

    reports = []
    any_width.on(
        "console", lambda m: reports.append(m.text) if m.type == "error" else None
    )
    any_width.goto(address)
    width = any_width.evaluate("document.documentElement.scrollWidth")
    assert width <= any_width.viewport_size["width"]
    found = Axe().run(any_width)
    assert found.violations_count == 0, found.generate_report()
    assert reports == []
