"""The face: axe-core finds nothing, in either theme, and no page is wider than it is."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse

from tests import factories

pytestmark = pytest.mark.django_db(transaction=True)

# Web Content Accessibility Guidelines 2.2, levels A and AA, as axe-core tags its rules.
RULES = {
    "runOnly": {
        "type": "tag",
        "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"],
    },
    "resultTypes": ["violations"],
}
PAGES = (
    "production:week",
    "production:kitchen",
    "inventory:pantry",
    "inventory:stall",
    "labels:home",
    "production:complaint-list",
    "production:books",
    "production:season",
    "production:records",
    "inventory:style",
    "inventory:glossary",
)
WIDTHS = (390, 820, 1280)
TOO_WIDE = "document.documentElement.scrollWidth - document.documentElement.clientWidth"


@pytest.fixture
def face(browser, base_url, owner, client):
    """A page signed in, without moving colours, which would be measured halfway."""
    from tests.browser.conftest import sign_in

    context = browser.new_context(base_url=base_url, reduced_motion="reduce")
    page = sign_in(context.new_page(), owner, client)
    page.set_default_timeout(20_000)
    yield page
    context.close()


def small_book():
    product = factories.make_product(name="Plum jam")
    factories.make_price(product)
    factories.make_lot(product=product, quantity=30, released_at=factories.NOW)
    factories.make_lot(material=factories.make_fruit(name="Plums"), quantity=4000)
    factories.make_market_day(outlet=factories.make_outlet(name="Mill Square"))


def found(page):
    """What axe-core finds on a page: the rule and the element."""
    answer = Axe().run(page, options=RULES).response
    return [
        f"{fault['id']}: {node['html'][:120]}"
        for fault in answer["violations"]
        for node in fault["nodes"]
    ]


@pytest.mark.parametrize("view", PAGES)
def test_axe_finds_nothing_and_nothing_runs_off_the_page(face, view):
    small_book()
    face.goto(reverse(view))
    faults = []
    for width in WIDTHS:
        face.set_viewport_size({"width": width, "height": 900})
        assert face.evaluate(TOO_WIDE) <= 0, f"{view} is too wide at {width} px"
    for theme in ("light", "dark"):
        face.emulate_media(color_scheme=theme)
        face.set_viewport_size({"width": 390, "height": 844})
        faults += found(face)
    assert faults == []


def test_axe_would_find_a_fault(face):
    face.goto(reverse("inventory:glossary"))
    face.evaluate(
        "document.querySelector('h1').insertAdjacentHTML('afterend', '<input><img>')"
    )
    assert {fault.split(":")[0] for fault in found(face)} >= {"label", "image-alt"}


def test_a_wide_table_is_scrolled_by_key(face):
    face.set_viewport_size({"width": 390, "height": 844})
    face.goto(reverse("inventory:style"))
    box = face.locator(".table-wrap:visible").first
    box.evaluate("box => box.style.setProperty('width', '8rem')")
    face.evaluate("dispatchEvent(new Event('resize'))")
    box.focus()
    face.keyboard.press("ArrowRight")
    face.wait_for_timeout(300)
    assert box.evaluate("box => box.scrollLeft") > 0


def test_the_page_of_components_is_the_owners(helper_client):
    assert helper_client.get(reverse("inventory:style")).status_code == 403


def test_unsaved_work_comes_back_until_it_is_saved_or_forgotten(face):
    address = reverse("inventory:supplier-add")
    face.goto(address)
    face.get_by_label("Name").first.fill("Fennel Row Orchard")
    face.goto(reverse("inventory:glossary"))
    face.goto(address)
    assert face.get_by_label("Name").first.input_value() == "Fennel Row Orchard"
    face.get_by_role("button", name="Forget them").click()
    assert face.get_by_label("Name").first.input_value() == ""
    face.get_by_label("Name").first.fill("Fennel Row Orchard")
    face.get_by_role("button", name="Save").click()
    face.wait_for_url(lambda url: not url.endswith(address))
    face.goto(address)
    assert face.get_by_label("Name").first.input_value() == ""


SMALL = """() => [...document.querySelectorAll(
  'main button, main input:not([type=hidden]), main select, main [role=button],' +
  ' main details:not(.why) > summary, nav a')]
  .filter((key) => key.tabIndex >= 0 && key.getClientRects().length)
  .filter((key) => key.type !== 'checkbox' && key.getBoundingClientRect().height < 44)
  .map((key) => key.outerHTML.slice(0, 90))"""


@pytest.mark.parametrize(
    "view",
    [
        "production:kitchen",
        "production:batch-plan",
        "inventory:stall",
        "inventory:hand-out",
        "inventory:style",
    ],
)
def test_what_is_touched_is_large_enough(face, view):
    small_book()
    face.set_viewport_size({"width": 390, "height": 844})
    face.goto(reverse(view))
    assert face.evaluate(SMALL) == []


def test_numbers_bring_up_the_right_keys(owner_client):
    page = owner_client.get(reverse("inventory:style")).content.decode()
    jars = page[page.index('name="jars"') :].split(">")[0]
    price = page[page.index('name="price"') :].split(">")[0]
    assert 'inputmode="numeric"' in jars
    assert 'inputmode="decimal"' in price
