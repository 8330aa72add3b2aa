"""Each of the four questions, from the first page to paper in hand, by clicking.

Only what a person sees is clicked, at the three widths, in the demonstration. A page
that is printed goes through its print style; a file is opened and read.
"""

import re
from io import BytesIO

import pypdf
import pytest
from playwright.sync_api import expect

from tests.browser import told
from tests.browser.conftest import WIDTHS

MOST_CLICKS = 4


class Hand:
    """A hand that clicks what the eye sees, and counts."""

    def __init__(self, page):
        self.page = page
        self.clicks = 0

    def click(self, what):
        expect(what).to_be_visible()
        what.click()
        self.clicks += 1

    def place(self, name):
        """Go to one of the places in the head of every page."""
        places = self.page.get_by_role("navigation", name="Places")
        self.click(places.get_by_role("link", name=name, exact=True))

    def fetch(self, what):
        """Click what leads to a paper, and read it."""
        with self.page.expect_response(is_paper) as answer:
            self.click(what)
        return words_of(self.page.request.get(answer.value.url).body())

    def print(self):
        """Press the page's own print key; what the paper then says."""
        self.click(self.page.get_by_role("button", name="Print", exact=True))
        assert self.page.evaluate("window.printed") == 1
        return words_of(self.page.pdf(format="Letter"))


def is_paper(answer):
    return answer.headers.get("content-type") == "application/pdf"


def words_of(data):
    """The text of a PDF, its blanks as single ones."""
    pages = pypdf.PdfReader(BytesIO(data)).pages
    return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pages))


@pytest.fixture(scope="module")
def book(told_book, tmp_path_factory, browser):
    """A told book of this module's own, served, and what signing in leaves."""
    copied = told.copy_book(told_book, tmp_path_factory.mktemp("four") / "book")
    with told.served(copied) as there:
        yield there, told.sign_in_state(browser, there.address)


@pytest.fixture(params=WIDTHS, ids=list(WIDTHS))
def hand(request, book, browser):
    """Somebody on the first page, at one of the widths."""
    there, state = book
    width, height = WIDTHS[request.param]
    context = browser.new_context(
        base_url=there.address,
        storage_state=state,
        viewport={"width": width, "height": height},
        reduced_motion="reduce",
    )
    context.add_init_script(
        "window.printed = 0; window.print = () => { window.printed += 1; }"
    )
    page = context.new_page()
    page.set_default_timeout(15_000)
    page.goto("/")
    yield Hand(page)
    context.close()


def test_what_do_i_make_for_the_coming_market_week(hand):
    page = hand.page
    made = page.locator("section[aria-labelledby=plan] tbody tr td.name")
    names = [name.strip() for name in made.all_inner_texts()]
    hand.click(page.get_by_role("link", name="To print"))
    said = hand.print()
    assert names
    for name in names:
        assert name.split(",")[0] in said
    for part in ("The week from", "To buy and to fetch", "To pack"):
        assert part in said
    assert "Back to the book" not in said
    assert hand.clicks <= MOST_CLICKS


def test_what_does_a_jar_cost(hand):
    page = hand.page
    hand.place("Books")
    hand.click(page.get_by_role("link", name="Apple butter, half-pint").first)
    cost = page.locator(".figure").first.inner_text().split()[0]
    said = hand.print()
    assert re.fullmatch(r"\$\d+\.\d\d", cost)
    assert said.count(cost) >= 2
    for part in ("Apple butter, half-pint", "Ingredients", "my time", "Kept"):
        assert part in said
    assert "Try a price" not in said
    assert hand.clicks <= MOST_CLICKS


def test_is_this_label_right_and_print_it(hand):
    page = hand.page
    hand.place("Labels")
    hand.click(page.get_by_role("button", name="Print", exact=True).first)
    expect(page.get_by_text(re.compile("[Nn]othing missing that"))).to_be_visible()
    code = page.locator("dl.facts a").first.inner_text()
    page.get_by_label("Labels", exact=False).first.fill("1")
    hand.click(page.get_by_role("button", name="Print labels"))
    said = hand.fetch(page.get_by_role("button", name="Open the sheets (PDF)"))
    for part in (code, "Ingredients:", "Net Wt", "Quillwater Preserves"):
        assert part in said
    assert "DRAFT" not in said.upper()
    assert hand.clicks <= MOST_CLICKS


def test_where_did_this_jar_come_from_and_where_are_its_sisters(hand, book):
    page = hand.page
    code = newest_code(book)
    hand.place("Complaints")
    page.get_by_role("combobox", name="Code on the label or the lid").fill(code)
    hand.click(page.get_by_role("button", name="Find the batch"))
    expect(page.get_by_role("heading", level=1)).to_contain_text(code)
    sisters = page.locator("#sisters a.code").all_inner_texts()
    said = hand.fetch(page.get_by_role("button", name="Paper (PDF)"))
    assert code in said
    assert sisters
    assert sum(sister in said for sister in sisters[:4]) == len(sisters[:4])
    assert hand.clicks <= MOST_CLICKS


def newest_code(book):
    there, _ = book
    program = (
        "from production.models import Batch;"
        "print(Batch.objects.filter(status='released').latest('made_on').code)"
    )
    return there.book.run("shell", "-v", "0", "-c", program).stdout.split()[-1]
