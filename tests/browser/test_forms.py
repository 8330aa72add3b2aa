"""Forms in a real browser: choosing by typing, checks without a reload, drafts, undo."""

import pytest
from django.urls import reverse
from playwright.sync_api import Error

from inventory import ledger
from inventory.models import Purchase
from tests import factories
from tests.browser.conftest import sign_in
from tests.browser.test_face import RULES, TOO_WIDE, Axe

pytestmark = pytest.mark.django_db(transaction=True)

WIDTHS = {"phone": 390, "desktop": 1280}
OPTIONS = ".choose [role=option]:visible"
POINTED_AT = "[role=option][aria-selected=true]"


@pytest.fixture(params=WIDTHS, ids=list(WIDTHS))
def desk(request, browser, base_url, owner, client):
    """The owner at a phone and at a desk; the console must stay silent."""
    width = WIDTHS[request.param]
    context = browser.new_context(
        base_url=base_url, viewport={"width": width, "height": 844},
        reduced_motion="reduce",
    )  # fmt: skip
    page = sign_in(context.new_page(), owner, client)
    page.set_default_timeout(15_000)
    complaints = []
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on(
        "console", lambda told: told.type == "error" and complaints.append(told.text)
    )
    yield page
    context.close()
    assert complaints == []


@pytest.fixture
def plums():
    for name in ("Plums", "Plums, sour", "Crème fraîche", "Sugar"):
        factories.make_lot(material=factories.make_fruit(name=name), quantity=1500)
    factories.make_supplier(name="Fennel Row Orchard")


def faults(page):
    return [
        f"{fault['id']}: {node['html'][:120]}"
        for fault in Axe().run(page, options=RULES).response["violations"]
        for node in fault["nodes"]
    ]


def first_line(page):
    return page.get_by_role("combobox", name="Material").first


def test_a_material_is_chosen_with_the_keys_alone(desk, plums):
    desk.goto(reverse("inventory:purchase-add"))
    field = first_line(desk)
    field.focus()
    desk.keyboard.type("PLU")
    options = desk.locator(OPTIONS)
    options.nth(1).wait_for()
    assert options.count() == 2
    assert "at home" in options.first.inner_text()
    assert field.get_attribute("aria-expanded") == "true"
    assert "2 matches." in desk.locator(".choose [role=status]").first.inner_text()
    desk.keyboard.press("ArrowDown")
    desk.keyboard.press("ArrowDown")
    chosen = desk.locator(POINTED_AT)
    assert field.get_attribute("aria-activedescendant") == chosen.get_attribute("id")
    assert faults(desk) == []
    assert desk.evaluate(TOO_WIDE) <= 0
    assert options.first.bounding_box()["height"] >= 44
    desk.keyboard.press("Enter")
    assert field.input_value() == "Plums, sour"
    assert options.count() == 0
    assert desk.url.endswith(reverse("inventory:purchase-add"))
    assert field.evaluate("field => field === document.activeElement")


def test_escape_closes_the_list_and_keeps_what_was_typed(desk, plums):
    desk.goto(reverse("inventory:purchase-add"))
    field = first_line(desk)
    field.focus()
    desk.keyboard.type("creme")
    desk.get_by_role("option", name="Crème fraîche").wait_for()
    desk.keyboard.press("Escape")
    assert desk.locator(OPTIONS).count() == 0
    assert field.input_value() == "creme"
    assert field.get_attribute("aria-expanded") == "false"
    field.fill("")
    desk.keyboard.press("ArrowDown")
    assert desk.locator(OPTIONS).first.get_attribute("aria-selected") == "true"


def test_a_field_is_checked_where_it_is_left_and_the_focus_stays(desk, plums):
    desk.goto(reverse("inventory:purchase-add"))
    first_line(desk).fill("plums")
    desk.locator(OPTIONS).first.click()
    assert first_line(desk).input_value() == "Plums"
    desk.get_by_label("Quantity").first.fill("10 lb")
    cost = desk.get_by_label("Cost of the line").first
    cost.fill("25")
    cost.press("Tab")
    here = desk.evaluate("document.activeElement.name")
    told = desk.locator("#id_line-0-cost_said")
    told.get_by_text("= $2.50 a lb").wait_for()
    assert desk.evaluate("document.activeElement.name") == here
    cost.fill("-3")
    cost.press("Tab")
    told.locator(".errorlist").wait_for()
    assert cost.get_attribute("aria-invalid") == "true"
    assert not desk.evaluate("document.querySelector('form[data-checked]').noValidate")
    assert faults(desk) == []
    assert not Purchase.objects.exists()


def test_a_form_without_scripts_reads_what_is_typed(
    browser, base_url, owner, client, plums
):
    context = browser.new_context(base_url=base_url, java_script_enabled=False)
    page = sign_in(context.new_page(), owner, client)
    page.goto(reverse("inventory:purchase-add"))
    page.get_by_label("Supplier", exact=False).first.select_option("Fennel Row Orchard")
    page.locator("[name=line-0-material]").fill("plum")
    page.locator("[name=line-0-amount]").fill("10 lb")
    page.locator("[name=line-0-cost]").fill("25")
    page.get_by_role("button", name="Enter the purchase").click()
    assert (
        "may be one of these" in page.locator("#id_line-0-material_said").inner_text()
    )
    page.locator("[name=line-0-material]").fill("plums")
    page.get_by_role("button", name="Enter the purchase").click()
    assert Purchase.objects.get().lots.get().material.name == "Plums"
    context.close()


def test_drafts_come_back_are_forgotten_and_brought_back(desk, plums):
    address = reverse("inventory:purchase-add")
    desk.goto(address)
    first_line(desk).fill("Plu")
    desk.get_by_label("Quantity").first.fill("10 lb")
    desk.goto(reverse("inventory:glossary"))
    desk.goto(address)
    assert first_line(desk).input_value() == "Plu"
    desk.get_by_role("button", name="Forget them").click()
    assert first_line(desk).input_value() == ""
    desk.get_by_role("button", name="Bring them back").click()
    assert first_line(desk).input_value() == "Plu"
    assert desk.get_by_label("Quantity").first.input_value() == "10 lb"


def test_a_draft_outlives_a_sending_that_broke_off(desk):
    address = reverse("inventory:supplier-add")
    desk.goto(address)
    desk.get_by_label("Name").first.fill("Fennel Row Orchard")
    desk.route("**" + address, lambda route: route.abort())
    # The browser's own page of a broken connection, and its complaint, are meant here.
    desk.evaluate("document.querySelector('main form.entry').requestSubmit()")
    with pytest.raises(Error, match="ERR_FAILED"):
        desk.wait_for_url("chrome-error://*", wait_until="commit")
    desk.unroute("**" + address)
    desk.goto(address)
    assert desk.get_by_label("Name").first.input_value() == "Fennel Row Orchard"
    desk.get_by_role("button", name="Save").click()
    desk.wait_for_url(lambda url: not url.endswith(address))
    desk.goto(address)
    assert desk.get_by_label("Name").first.input_value() == ""


def test_a_write_off_says_its_worth_and_is_taken_back(desk):
    lot = factories.make_lot(
        material=factories.make_fruit(name="Apricots"), quantity=5000
    )
    desk.goto(reverse("inventory:lot-write-off", args=[lot.code]))
    desk.get_by_label("Quantity").fill("4200 g")
    desk.get_by_label("Quantity").press("Tab")
    desk.get_by_text("That is worth $8.40.").wait_for()
    desk.get_by_label("Reason").select_option("spoiled")
    desk.get_by_role("button", name="Save").click()
    desk.get_by_role("button", name="Undo").click()
    desk.get_by_text("is as before").wait_for()
    assert ledger.balance(lot) == 5000
    assert faults(desk) == []
