"""Every page of the demonstration, at three widths, looked at by machine.

With ``ARTEFACTS`` in the environment (a folder) a picture of each is kept there, the
main pages in the dark and on paper too, and ``index.html`` shows them side by side:
``make screenshots``. People look at them; this test only sees what can be measured.
"""

import html

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.conf import settings

from tests.browser import every_page, told
from tests.browser.conftest import WIDTHS

AXE = {
    "runOnly": {
        "type": "tag",
        "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"],
    },
    "resultTypes": ["violations"],
}
MAIN = (
    "production-week", "production-week-paper", "production-kitchen",
    "production-batch-detail", "inventory-pantry", "inventory-stall",
    "inventory-count-back", "inventory-packing-list", "labels-home", "labels-print",
    "labels-check", "production-complaint-list", "production-trace-batch",
    "production-books", "production-jar-cost", "production-books-year",
    "inventory-style",
)  # fmt: skip
TOO_WIDE = "document.documentElement.scrollWidth - document.documentElement.clientWidth"

# Whatever scrolls sideways in its own box is reached by the Tab key and has a name.
MUTE_SCROLLERS = """() => [...document.querySelectorAll("main *")]
  .filter((box) => box.scrollWidth > box.clientWidth + 1 && box.clientWidth > 1)
  .filter((box) => ["auto", "scroll"].includes(getComputedStyle(box).overflowX))
  .filter((box) => !box.matches("input, textarea, select"))
  .filter((box) => box.tabIndex < 0 || !(box.ariaLabel || box.getAttribute("aria-labelledby")))
  .map((box) => box.outerHTML.slice(0, 90))"""

# Targets for a thumb. A link among the words of a sentence is as high as its line
# (WCAG 2.2, 2.5.8); a box to tick is as large as its label with it.
SMALL_TARGETS = """() => {
  const inWords = (key) => key.matches("a") && getComputedStyle(key).display === "inline"
    && [...key.parentElement.childNodes].some(
      (node) => node !== key && node.textContent.trim().length > 1);
  const area = (key) => {
    const boxes = [key, ...(key.labels ?? [])].map((each) => each.getBoundingClientRect());
    const isTicked = key.matches("[type=checkbox], [type=radio]");
    const [own, ...labels] = boxes;
    return { height: Math.max(own.height, ...(isTicked ? labels.map((b) => b.height) : [])),
             width: own.width + (isTicked ? labels.reduce((sum, b) => sum + b.width, 0) : 0) };
  };
  return [...document.querySelectorAll(
    "main :is(a[href], button, input:not([type=hidden]), select, textarea, summary), nav a")]
    .filter((key) => key.tabIndex >= 0 && key.checkVisibility() && !key.closest("svg"))
    .filter((key) => !inWords(key))
    .filter((key) => {
      const { height, width } = area(key);
      return height < 43.5 || width < (key.matches("a, summary") ? 24 : 43.5);
    })
    .map((key) => "small: " + key.outerHTML.replace(/\\s+/g, " ").slice(0, 100));
}"""
THUMB_ROOMS = ("/kitchen/", "/stall/")


@pytest.fixture(scope="module")
def shown(told_book, tmp_path_factory, browser):
    """The pages' addresses, and a browser signed in that opens them."""
    book = told.copy_book(told_book, tmp_path_factory.mktemp("pages") / "book")
    addresses = every_page.addresses(book)
    with told.served(book) as there:
        context = browser.new_context(
            base_url=there.address,
            storage_state=told.sign_in_state(browser, there.address),
            reduced_motion="reduce",
        )
        yield context.new_page(), addresses
        context.close()


@pytest.fixture(scope="module")
def kept():
    """The folder of the pictures, with its contact sheet in the end; None unasked."""
    folder = told.artefacts()
    if folder is None:
        yield None
        return
    folder.mkdir(parents=True, exist_ok=True)
    yield folder
    (folder / "index.html").write_text(contact_sheet(folder), encoding="utf-8")


def contact_sheet(folder):
    """One page with every picture of a folder, by page."""
    rows = []
    for name in every_page.NAMES:
        pictures = "".join(
            f'<a href="{path.name}"><img loading="lazy" height="300"'
            f' src="{path.name}" alt="{path.stem}"></a> '
            for path in sorted(folder.glob(f"{name}.*.jpg"))
        )
        rows.append(f"<h2>{html.escape(name)}</h2><p>{pictures}</p>")
    return f"<!doctype html><title>Every page</title>{''.join(rows)}"


def test_every_address_is_a_page_or_named_as_none():
    every = {name for _, name, _ in every_page.patterns()}
    untold = {
        name
        for _, name, takes in every_page.patterns()
        if takes and name not in every_page.ROWS and name not in every_page.NO_PAGES
    }
    assert untold == set()
    assert (every_page.NO_PAGES | set(every_page.ROWS)) - every == set()
    assert len(every_page.NAMES) > 100


@pytest.mark.parametrize("name", every_page.NAMES)
def test_a_page_fits_is_readable_and_is_kept(shown, kept, name):
    page, addresses = shown
    page.emulate_media(color_scheme="light", media="screen")
    page.set_viewport_size({"width": 390, "height": 844})
    answer = page.goto(addresses[name])
    assert answer.status == 200
    assert page.url.endswith(addresses[name])
    assert page.title() not in {"", "None"}
    faults = found(page)
    if addresses[name].startswith(THUMB_ROOMS):
        faults += page.evaluate(SMALL_TARGETS)
    for width, height in WIDTHS.values():
        page.set_viewport_size({"width": width, "height": height})
        if page.evaluate(TOO_WIDE) > 0:
            faults.append(f"runs off the page at {width} px")
        faults += page.evaluate(MUTE_SCROLLERS)
        keep(page, kept, f"{name}.{width}")
    if name in MAIN:
        faults += in_the_dark(page, kept, name)
        on_paper(page, kept, name)
    assert faults == []


def found(page):
    """What axe-core finds: the rule and the element."""
    answer = Axe().run(page, options=AXE).response
    return [
        f"{fault['id']}: {node['html'][:120]}"
        for fault in answer["violations"]
        for node in fault["nodes"]
    ]


def in_the_dark(page, kept, name):
    page.emulate_media(color_scheme="dark")
    for width, height in (WIDTHS["desktop"], WIDTHS["phone"]):
        page.set_viewport_size({"width": width, "height": height})
        keep(page, kept, f"{name}.{width}-dark")
    return found(page)


def on_paper(page, kept, name):
    """What paper keeps of a page: its title and no way around the program."""
    page.emulate_media(color_scheme="light", media="print")
    page.set_viewport_size({"width": 720, "height": 1018})
    assert page.locator("h1").first.is_visible()
    assert not page.get_by_role("navigation").first.is_visible()
    keep(page, kept, f"{name}.paper")


def keep(page, folder, name):
    if folder is not None:
        page.screenshot(
            path=folder / f"{name}.jpg", type="jpeg", quality=60, full_page=True
        )


def test_pictures_of_the_pages_are_not_kept_in_the_repository():
    ignored = (settings.BASE_DIR / ".gitignore").read_text(encoding="utf-8")
    assert "/build/" in ignored.split()
