import pytest
from playwright.sync_api import expect

pytestmark = pytest.mark.django_db(transaction=True)


def test_a_seller_signs_in_and_out(page, owner):
    page.goto("/glossary/")
    page.get_by_label("Username").fill(owner.username)
    page.get_by_label("Password").fill("jam")
    page.get_by_role("button", name="Open the book").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Words of the trade")
    page.get_by_role("button", name="Sign out").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Sign in")


def test_the_door_fits_every_width(any_width):
    any_width.goto("/sign-in/")
    overflow = any_width.evaluate(
        "document.documentElement.scrollWidth - document.documentElement.clientWidth"
    )
    assert overflow <= 0
