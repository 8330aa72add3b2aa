"""From a complaint on the phone to the letter for the shop."""

import time

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from inventory.models import Lot, Movement
from production.batch_codes import make_code
from tests.factories import TODAY, make_business, make_lot, make_outlet
from tests.trace_factories import enter, jars_of, make_traced_batch

pytestmark = pytest.mark.django_db(transaction=True)
CODE = make_code(TODAY, "K")
WRONG = CODE[:4] + ("8" if CODE[4] != "8" else "7") + CODE[5:]

SCANNER = """
window.BarcodeDetector = class {
  async detect() { return [{ rawValue: "https://jam.example/t/CODE" }]; }
};
HTMLMediaElement.prototype.play = async () => {};
navigator.mediaDevices.getUserMedia = async () => new MediaStream();
"""


@pytest.fixture
def sold_batch(db):
    """Jars of one batch: some at a shop, some sold at a market."""
    batch = make_traced_batch(code=CODE, inputs=[make_lot(code="FRUIT-1")])
    lot = jars_of(batch)
    for outlet, jars in (
        (make_outlet(name="Corner Shop", kind="consignment"), 6),
        (make_outlet(name="Saturday Market"), 8),
    ):
        enter(lot, -jars, Movement.Reason.MOVED)
        enter(lot, jars, Movement.Reason.MOVED, place=outlet)
    enter(lot, -8, Movement.Reason.SOLD, place=outlet)
    return batch


@pytest.fixture
def phone(signed_in):
    signed_in.set_viewport_size({"width": 390, "height": 844})
    return signed_in


def test_complaint_to_shop_letter_in_under_two_minutes(phone, sold_batch):
    make_business(health_department_phone="555 0199", phone="555 0100")
    begun = time.monotonic()
    phone.goto("/complaints/")
    phone.get_by_role("button", name="Write down a complaint").click()
    phone.get_by_label("Code on the label or the lid").fill(WRONG)
    phone.get_by_label("What is wrong").select_option("SPURT")
    phone.get_by_label("nobody is ill").check()
    phone.get_by_role("button", name="Write it down").click()
    expect(phone.get_by_text("that code has a typing mistake")).to_be_visible()
    expect(phone.get_by_text("Stop the sale now")).to_be_visible()
    phone.get_by_role("listitem").filter(has_text=CODE).get_by_role(
        "button", name="It is this one"
    ).click()
    expect(phone.get_by_role("link", name="555 0199")).to_be_visible()
    phone.get_by_role("button", name="Stop the sale of this batch").click()
    expect(phone.get_by_role("cell", name="Corner Shop")).to_be_visible()
    assert Lot.objects.get(code=CODE).stopped_at is not None
    phone.get_by_role("button", name="Open a recall").click()
    phone.get_by_role("button", name="Open a recall").click()
    phone.get_by_label("What may happen").fill("Spoiled food can make people ill.")
    phone.get_by_role("button", name="Keep the words").click()
    letter = phone.get_by_role("button", name="Letter (PDF)").get_attribute("href")
    answer = phone.request.get(letter)
    assert answer.body().startswith(b"%PDF")
    assert time.monotonic() - begun < 120


@pytest.mark.parametrize(
    "path", ["", "add/", "trace/", "drills/", f"trace/batch/{CODE}/"]
)
def test_the_pages_fit_every_width(any_width, signed_in, sold_batch, path):
    any_width.goto(f"/complaints/{path}")
    overflow = any_width.evaluate(
        "document.documentElement.scrollWidth - document.documentElement.clientWidth"
    )
    assert overflow <= 0


def test_the_picture_leads_to_the_lots_own_trace(phone, sold_batch):
    phone.goto(f"/complaints/trace/batch/{CODE}/")
    phone.locator("svg a").filter(has_text="FRUIT-1").first.click()
    expect(phone.get_by_role("heading", level=1)).to_contain_text("FRUIT-1")


def test_without_a_scanner_the_page_says_type_the_code(phone):
    phone.goto("/complaints/trace/")
    expect(phone.get_by_text("type the code")).to_be_visible()


def test_a_scanner_fills_the_code_in(phone, sold_batch):
    """The browser's own reader is stood in for; the camera is Chromium's fake."""
    phone.add_init_script(SCANNER.replace("CODE", CODE))
    phone.goto("/complaints/trace/")
    phone.get_by_role("button", name="Scan by camera").click()
    expect(phone.get_by_label("Code on the label or the lid")).to_have_value(
        f"https://jam.example/t/{CODE}"
    )
    phone.get_by_role("button", name="Find the batch").click()
    expect(phone.get_by_role("heading", level=1)).to_contain_text(CODE)


@pytest.mark.parametrize("path", ["", "add/", "trace/", f"trace/batch/{CODE}/"])
def test_the_pages_can_be_read_aloud(signed_in, sold_batch, path):
    """No serious finding of axe, the accessibility engine."""
    signed_in.goto(f"/complaints/{path}")
    found = Axe().run(signed_in).response["violations"]
    grave = [each for each in found if each["impact"] in {"serious", "critical"}]
    assert not grave, [(e["id"], [n["html"] for n in e["nodes"]][:3]) for e in grave]
