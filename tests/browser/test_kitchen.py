"""Two batches from plan to released jars on a tablet, low down and high up."""

import datetime
import re
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from production.models import Batch, Reading
from production.selectors import kitchen
from tests import factories
from tests.browser.conftest import sign_in
from tests.production import kitchen as book

pytestmark = pytest.mark.django_db(transaction=True)

# Altitude, finishing temperature of a marmalade cooked 5 °C above boiling water,
# and processing minutes by the published bands for a recipe of 10 min at sea level.
KITCHENS = [
    pytest.param(1240, "218.7 °F", "15 min", id="1240 ft"),
    pytest.param(7000, "208.2 °F", "20 min", id="7000 ft"),
]


@pytest.fixture
def tablet(page, client):
    """A tablet in the hand of the owner, and every complaint of its console."""
    factories.make_business()
    owner = factories.make_owner(username="cook")
    page.set_viewport_size({"width": 820, "height": 1180})
    page.set_default_timeout(8000)
    said = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    sign_in(page, owner, client)
    yield page
    assert said == []


def plan(page, product):
    page.goto(reverse("production:kitchen"))
    page.get_by_role("button", name="Plan a batch").click()
    page.get_by_label("Product").fill(str(product))
    page.get_by_role("button", name="Plan it").click()
    page.get_by_role("button", name="Start cooking").click()
    return Batch.objects.get(product=product)


def write_down(page, kind, value, *, earlier=None):
    """Type a reading into its big field."""
    part = page.locator(f"#reading-{kind}")
    if earlier is not None:
        part.get_by_text("It was earlier").click()
        part.get_by_label("When").fill(f"{earlier:%Y-%m-%dT%H:%M}")
    part.locator("input[name=value]").fill(value)
    part.get_by_role("button", name="Write down").click()
    assert page.locator(f"#reading-{kind}.read").is_visible()


def touch(page, step, name):
    page.locator(f"#step-{step}").get_by_role("button", name=name).click()


def finish_and_release(page, batch, *, minutes, ph=None):
    """From full pot to released jars, the canner 14 hours ago."""
    then = timezone.now() - datetime.timedelta(hours=14)
    write_down(page, "headspace", "1/4")
    write_down(page, "process_min", minutes, earlier=then)
    page.get_by_label(re.compile("Jars of")).fill("6")
    page.get_by_role("button", name="Finish cooking").click()
    page.get_by_label("Sealed:", exact=True).fill("5")
    page.get_by_label("Not sealed").fill("1")
    page.get_by_label("The unsealed jars").select_option("refrigerate")
    page.get_by_role("button", name="Record the seal check").click()
    if ph:
        write_down(page, "ph", ph)
    page.get_by_role("button", name="Release the batch").click()
    batch.refresh_from_db()
    assert batch.status == Batch.Status.RELEASED


@pytest.mark.parametrize(("feet", "finish", "minutes"), KITCHENS)
def test_a_two_day_marmalade(tablet, feet, finish, minutes):
    version = book.make_marmalade(altitude_ft=feet)
    product = book.make_jam_product(version)
    batch = plan(tablet, product)
    assert finish in tablet.locator("#today-finish").inner_text()
    assert tablet.locator("#today-process").inner_text() == minutes
    touch(tablet, 2, "Begin")
    before = tablet.locator("#step-2 output").inner_text()
    tablet.reload()
    after = tablet.locator("#step-2 output").inner_text()
    assert re.match(r"1[12]:\d\d:\d\d", before)
    assert after <= before
    touch(tablet, 2, "Done")
    touch(tablet, 2, "Undo")
    touch(tablet, 2, "Done")
    write_down(tablet, "finish_temperature", finish.split()[0])
    finish_and_release(tablet, batch, minutes=minutes.split()[0])
    assert batch.outputs.get().lot.released_at is not None


@pytest.mark.parametrize(("feet", "finish", "minutes"), KITCHENS)
def test_a_pepper_jelly_with_its_ph(tablet, feet, finish, minutes):
    version = book.make_low_acid_recipe(
        altitude_ft=feet, ph_required=True, ph_limit=Decimal("4.2")
    )
    product = book.make_jam_product(version)
    book.make_calibration(at=timezone.now())
    batch = plan(tablet, product)
    point = kitchen.gate_limits(batch).finish_c
    write_down(tablet, "finish_temperature", f"{point * 9 / 5 + 32:.1f}")
    assert tablet.locator("#today-process").inner_text() == minutes
    finish_and_release(tablet, batch, minutes=minutes.split()[0], ph="3.4")
    assert batch.ph_measured == Decimal("3.40")


def test_a_bad_ph_is_asked_twice_and_then_bars_the_release(tablet):
    owner = factories.make_owner()
    batch = book.make_ready(owner, book.make_low_acid_recipe())
    book.make_calibration(at=timezone.now())
    tablet.goto(batch.get_absolute_url())
    part = tablet.locator("#reading-ph")
    part.locator("input[name=value]").fill("4.9")
    part.get_by_role("button", name="Write down").click()
    assert "never be released" in part.get_by_role("alert").inner_text()
    assert not Reading.objects.filter(kind="ph").exists()
    part.get_by_role("button", name="Yes, that is what it shows").click()
    assert tablet.get_by_text("nobody can override that").is_visible()
    assert tablet.get_by_role("button", name="Release the batch").count() == 0


def test_the_page_fits_every_width(any_width, client):
    factories.make_business()
    owner = factories.make_owner()
    sign_in(any_width, owner, client)
    batch = book.make_held(owner)
    for address in (batch.get_absolute_url(), reverse("production:kitchen")):
        any_width.goto(address)
        wide = "document.documentElement.scrollWidth - window.innerWidth"
        assert any_width.evaluate(wide) <= 0
