"""No page loads more than 60 kB beside fonts, compressed, with nothing kept from before.

Measured in a real browser on the demonstration's book as ``make serve`` serves it: what
came over the wire, headings included, for the page, its styles, scripts and pictures.
"""

import pytest

from tests.browser.told import served, sign_in_state

MOST_KB = 60
FONT = "Font"
PAGES = (
    "/week/", "/week/demand/", "/week/hours/", "/kitchen/", "/kitchen/recipes/",
    "/kitchen/products/", "/pantry/", "/pantry/lots/", "/pantry/ledger/",
    "/pantry/materials/", "/pantry/purchases/", "/pantry/purchases/add/", "/stall/",
    "/stall/days/", "/stall/hand-out/", "/labels/", "/labels/checks/",
    "/labels/places/", "/labels/look/", "/complaints/", "/books/", "/records/",
    "/style/", "/glossary/", "/business/",
)  # fmt: skip


@pytest.fixture(scope="module")
def book(told_book):
    with served(told_book) as served_book:
        yield served_book


@pytest.fixture(scope="module")
def state(browser, book):
    return sign_in_state(browser, book.address)


def loaded(browser, state, address):
    """Kilobytes over the wire by kind, with an empty cache; the answer's number."""
    context = browser.new_context(storage_state=state, service_workers="block")
    page = context.new_page()
    protocol = context.new_cdp_session(page)
    kinds, sizes = {}, {}
    protocol.on(
        "Network.responseReceived", lambda e: kinds.update({e["requestId"]: e["type"]})
    )
    protocol.on(
        "Network.loadingFinished",
        lambda e: sizes.update({e["requestId"]: e["encodedDataLength"]}),
    )
    protocol.send("Network.enable")
    status = page.goto(address).status
    page.wait_for_load_state("networkidle")
    context.close()
    by_kind = {}
    for number, kind in kinds.items():
        by_kind[kind] = by_kind.get(kind, 0) + sizes.get(number, 0) / 1000
    return status, by_kind


@pytest.mark.parametrize("path", PAGES)
def test_a_page_loads_no_more_than_it_may(browser, state, book, path):
    status, by_kind = loaded(browser, state, f"{book.address}{path}")
    assert status == 200
    assert by_kind["Stylesheet"] > 5, "nothing was measured"
    total = sum(size for kind, size in by_kind.items() if kind != FONT)
    assert total <= MOST_KB, by_kind
    assert by_kind.get(FONT, 0) <= 120, by_kind
