"""Whole flows by keyboard alone, in the demonstration."""

import datetime
import re
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import expect

from tests.browser import told
from tests.browser.keys import Keys

# Enough of everything for one batch of blueberry jam, and a day without a list.
STOCK = """
import datetime
from decimal import Decimal
from django.contrib.auth.models import User
from django.utils import timezone
from inventory import ledger
from inventory.models import Lot, MarketDay
from production.models import Batch, Recipe
now = timezone.now()
stamp = ledger.Stamp(on=timezone.localdate(), at=now, person=User.objects.get(username="owner"))
recipe = Recipe.objects.get(name="Blueberry jam")
version = recipe.versions.latest("number")
size = recipe.fillings.first().product.jar_size
materials = {line.material for line in version.lines.all()} | {size.jar, size.lid}
for material in sorted((m for m in materials if m), key=lambda m: m.pk):
    lot = Lot(material=material, cost=Decimal(9), received_on=stamp.on, best_by=stamp.on + datetime.timedelta(days=60))
    ledger.receive(lot=lot, quantity=Decimal(9000), stamp=stamp)
print(Batch.objects.filter(status="released", product__isnull=False).latest("made_on").code)
"""


KITCHEN = ZoneInfo("America/Chicago")  # where the demonstration cooks
OPEN = "document.activeElement.parentElement.open"


@pytest.fixture(scope="module")
def book(told_book, tmp_path_factory, browser):
    copied = told.copy_book(told_book, tmp_path_factory.mktemp("keys") / "book")
    code = copied.run("shell", "-v", "0", "-c", STOCK).stdout.split()[-1]
    with told.served(copied) as there:
        yield there, told.sign_in_state(browser, there.address), code


@pytest.fixture
def keys(book, browser, request):
    """Hands on the first page, signed in; whatever was amiss on the way is told."""
    there, state, _ = book
    context = browser.new_context(
        base_url=there.address,
        storage_state=state,
        viewport={"width": 1024, "height": 800},
        reduced_motion="reduce",
        locale="en-US",
    )
    page = context.new_page()
    page.set_default_timeout(15_000)
    page.goto("/")
    hands = Keys(page)
    yield hands
    context.close()
    assert sorted(set(hands.faults)) == []


def button(keys, name):
    return keys.page.get_by_role("button", name=name, exact=True).first


def link(keys, name):
    return keys.page.get_by_role("link", name=name, exact=True).first


def field(keys, name):
    """A field by its label, the list of a search aside."""
    name = re.compile(f"^{re.escape(name)}:?$")
    labelled = keys.page.get_by_label(name)
    return labelled.and_(keys.page.locator("input, select, textarea")).first


def test_signing_in(book, browser):
    there, _, _ = book
    context = browser.new_context(base_url=there.address)
    page = context.new_page()
    page.goto("/")
    keys = Keys(page)
    keys.enter(field(keys, "Username"), "helper")
    keys.enter(field(keys, "Password"), told.PASSWORD)
    with page.expect_navigation():
        keys.press("Enter")
    expect(page.get_by_role("heading", name="Week")).to_be_visible()
    context.close()
    assert keys.faults == []


def test_the_first_key_skips_to_the_page(keys):
    keys.tab()
    skip = link(keys, "Skip to the page")
    expect(skip).to_be_focused()
    expect(skip).to_be_in_viewport()
    keys.press("Enter")
    expect(keys.page.locator("main")).to_be_focused()
    keys.tab()
    assert keys.page.evaluate("document.activeElement.closest('main') !== null")


@pytest.mark.parametrize(
    "path",
    ["/", "/stall/", "/kitchen/", "/pantry/ledger/", "/labels/", "/books/what-if/",
     "/complaints/", "/style/", "/records/"],
)  # fmt: skip
def test_the_focus_is_seen_all_the_way_round(keys, path):
    keys.page.goto(path)
    stops = keys.round()
    assert len(stops) > 15


def test_what_folds_is_unfolded_by_key(keys):
    keys.to(keys.page.locator("details:not([open]) > summary").first)
    for is_open, key in ((True, "Enter"), (False, " ")):
        keys.press(key)
        assert keys.page.evaluate("document.activeElement.tagName") == "SUMMARY"
        assert keys.page.evaluate(OPEN) is is_open


def test_a_batch_from_plan_to_release(keys):
    page = keys.page
    keys.go(link(keys, "Kitchen"))
    keys.go(button(keys, "Plan a batch"), by=" ")
    keys.choose(field(keys, "Product"), "Blueberry jam")
    keys.go(button(keys, "Plan it"))
    keys.go(button(keys, "Start cooking"))
    step = page.locator(".step").first
    keys.go(step.get_by_role("button", name=re.compile("^Begin")))
    keys.go(step.get_by_role("button", name="Done"))
    earlier = datetime.datetime.now(KITCHEN) - datetime.timedelta(hours=18)
    write_down(keys, "finish_temperature", expected_finish(page))
    write_down(keys, "headspace", "1/4")
    write_down(keys, "process_min", needed_minutes(page), earlier=earlier)
    sterile = page.locator("#reading-sterile_jars:not(.read)")
    if sterile.count():
        keys.go(sterile.get_by_role("button", name="Yes"))
    keys.enter(field_like(keys, "Jars of"), "6")
    keys.go(button(keys, "Finish cooking"))
    keys.enter(field(keys, "Sealed"), "6")
    keys.go(button(keys, "Record the seal check"))
    keys.go(button(keys, "Release the batch"))
    expect(page.locator(".batch-head .status")).to_have_text("released")


def expected_finish(page):
    return page.locator("#today-finish").inner_text().split()[0]


def needed_minutes(page):
    return page.locator("#today-process").inner_text().split()[0]


def field_like(keys, beginning):
    labelled = keys.page.get_by_label(re.compile(f"^{beginning}"))
    return labelled.and_(keys.page.locator("input, select")).first


def write_down(keys, kind, value, *, earlier=None):
    part = keys.page.locator(f"#reading-{kind}")
    keys.enter(part.locator("input[name=value]"), value)
    if earlier is not None:
        keys.to(part.locator("summary", has_text="It was earlier"))
        keys.press("Enter")
        keys.to(part.get_by_label("When"))
        keys.page.keyboard.type(f"{earlier:%m%d%Y}")
        keys.press("ArrowRight")
        keys.page.keyboard.type(f"{earlier:%I%M%p}")
    # Enter in the field writes it down too; the key is reached backwards from the fold.
    keys.to(part.get_by_role("button", name="Write down"), back=earlier is not None)
    with keys.page.expect_navigation():
        keys.press("Enter")
    expect(keys.page.locator(f"#reading-{kind}.read")).to_be_visible()


def test_a_market_day_out_and_back(keys):
    page = keys.page
    keys.go(link(keys, "Stall"))
    keys.go(button(keys, "Write the packing list"))
    more = page.get_by_role("button", name=re.compile("^One more")).first
    keys.to(more)
    keys.press("Enter", " ", "Enter")
    expect(more).to_be_focused()
    keys.go(button(keys, "Write the packing list"))
    keys.go(button(keys, "Count out"))
    keys.to(page.get_by_role("button", name=re.compile("^One less")).first)
    keys.press(" ")
    keys.go(button(keys, "These jars are out"))
    keys.go(button(keys, "Count back"))
    keys.enter(page.get_by_role("spinbutton").first, "0")
    fold = page.locator("details > summary").first
    keys.to(fold)
    keys.press("Enter")
    keys.enter(page.get_by_label(re.compile("^Sampled")).first, "1")
    keys.go(button(keys, "The day is counted"))
    expect(page.get_by_text("counted back").first).to_be_visible()


def test_a_purchase(keys):
    keys.go(link(keys, "Pantry"))
    keys.go(button(keys, "Enter a purchase"))
    keys.to(field(keys, "Supplier"))
    keys.page.keyboard.type("Fenni")
    line = keys.page.get_by_role("group", name="Line 1")
    keys.choose(line.get_by_role("combobox"), "lemon")
    keys.enter(line.get_by_label(re.compile("^Quantity")), "2 lb")
    keys.enter(line.get_by_label(re.compile("^Cost")), "6.40")
    keys.go(button(keys, "Enter the purchase"))
    expect(keys.page.get_by_role("heading", level=1)).to_contain_text("Fennimark")
    expect(keys.page.get_by_text("$6.40").first).to_be_visible()


def test_a_label_is_checked_and_printed(keys):
    page = keys.page
    keys.go(link(keys, "Labels"))
    keys.go(button(keys, "Print"))
    keys.go(link(keys, "Check it rule by rule"))
    keys.go(button(keys, "To printing"), by=" ")
    sheet = field(keys, "Sheet")
    keys.to(sheet)
    with page.expect_response(re.compile("/preview/")):
        keys.page.keyboard.type("150x45mm")
    expect(page.locator("#preview figcaption")).to_contain_text("150x45mm")
    expect(sheet).to_be_focused()
    with page.expect_response(re.compile("/preview/")):
        keys.press("ArrowUp")
    keys.enter(field(keys, "Labels"), "1")
    keys.go(button(keys, "Print labels"))
    keys.to(button(keys, "Open the sheets (PDF)"))
    with page.expect_response(re.compile(r"\.pdf$")) as paper:
        keys.press("Enter")
    assert paper.value.headers["content-type"] == "application/pdf"


def test_a_batch_is_traced_and_stopped(keys, book):
    page = keys.page
    code = book[2]
    keys.go(link(keys, "Complaints"))
    keys.enter(page.get_by_label(re.compile("^Code on the label")).first, code)
    keys.go(button(keys, "Find the batch"))
    expect(page.get_by_role("heading", level=1)).to_contain_text(code)
    keys.go(button(keys, "Stop the sale of this batch"))
    keys.enter(page.locator("form.entry textarea, form.entry input[type=text]").first,
               "a lid bulged")  # fmt: skip
    keys.go(button(keys, "Stop the sale"))
    expect(page.get_by_role("heading", level=1)).to_contain_text("Stop-sale")


def test_the_week_with_a_wish(keys):
    page = keys.page
    keys.choose(field(keys, "Product"), "Apple butter")
    keys.to(field(keys, "Wish"))
    page.keyboard.type("make it")
    keys.to(button(keys, "Plan with this wish"))
    with page.expect_navigation(timeout=60_000):
        keys.press("Enter")
    expect(page.get_by_text("pinned").first).to_be_visible()
    keys.to(button(keys, "Plan again"))
    with page.expect_navigation(timeout=60_000):
        keys.press("Enter")
    expect(page.get_by_text("pinned").first).to_be_visible()


def test_a_complaint(keys):
    page = keys.page
    keys.go(link(keys, "Complaints"))
    keys.go(button(keys, "Write down a complaint"))
    keys.to(field(keys, "What is wrong"))
    page.keyboard.type("mou")
    keys.to(page.locator("input[type=radio]:checked").first)
    keys.press("ArrowDown", "ArrowUp")
    keys.enter(field(keys, "In the buyer's own words"), "A grey spot under the lid.")
    keys.go(button(keys, "Write it down"))
    expect(page.get_by_role("heading", level=1)).to_contain_text(re.compile("[Mm]ould"))
