"""The pages of the stall."""

import datetime
import uuid
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from inventory import ledger, markets
from inventory.ledger import Stamp
from inventory.models import MarketDay, Movement, Outlet
from inventory.reconciliation import DayCount
from tests.factories import (
    NOW,
    TODAY,
    make_lot,
    make_market_day,
    make_outlet,
    make_price,
    make_product,
)

pytestmark = pytest.mark.django_db

STAMP = Stamp(on=TODAY, at=NOW)


def page(client, view, *args, **query):
    response = client.get(reverse(f"inventory:{view}", args=args), query)
    assert response.status_code == 200
    return response.content.decode()


def post(client, view, *args, **data):
    return client.post(reverse(f"inventory:{view}", args=args), data)


@pytest.fixture
def product():
    product = make_product(name="Plum jam")
    make_price(product, price=Decimal("9.00"))
    make_price(product, price=Decimal("8.00"), outlet_kind="gate")
    return product


@pytest.fixture
def lot(product):
    return make_lot(product=product, quantity=30, released_at=NOW, code="26150AA")


@pytest.fixture
def day():
    return make_market_day(outlet=make_outlet(name="Mill Square"))


@pytest.fixture
def out(day, lot):
    markets.take_out(day=day, taken={lot: 24}, stamp=STAMP)
    return day


@pytest.fixture
def counted(out, lot):
    figures = {"taken": 24, "sold": 17, "sampled": 1, "back": 6}
    count = DayCount(**{name: Decimal(value) for name, value in figures.items()})
    return markets.count_back(day=out, counts={lot: count}, stamp=STAMP)


LISTS = ["stall", "outlet-list", "marketday-list", "marketday-add", "hand-out"]
DAY_PAGES = [
    "marketday-detail",
    "marketday-pack",
    "packing-list",
    "count-out",
    "count-back",
    "at-the-stall",
    "marketday-cash",
]


@pytest.mark.parametrize("view", LISTS)
def test_an_empty_stall_has_pages_that_teach(helper_client, view):
    assert "<h1>" in page(helper_client, view)


@pytest.mark.parametrize("view", DAY_PAGES)
def test_a_day_has_its_pages_from_the_beginning(helper_client, day, view):
    assert "Mill Square" in page(helper_client, view, day.pk)


@pytest.mark.parametrize("view", [*LISTS, "visit-list", "outlet-add"])
def test_signed_out_goes_to_the_door(client, view):
    response = client.get(reverse(f"inventory:{view}"))
    assert response.status_code == 302
    assert response.url.startswith(reverse("login"))


@pytest.mark.parametrize("view", DAY_PAGES)
def test_a_day_that_is_not_there_is_not_found(owner_client, view):
    url = reverse(f"inventory:{view}", args=[404])
    assert owner_client.get(url).status_code == 404


@pytest.mark.parametrize("view", ["stall-touch", "sold-out", "marketday-cancel"])
def test_touches_are_posts(owner_client, day, view):
    url = reverse(f"inventory:{view}", args=[day.pk])
    assert owner_client.get(url).status_code == 405


@pytest.mark.parametrize("view", ["outlet-add", "visit-list"])
def test_a_helper_sees_no_terms(helper_client, view):
    assert helper_client.get(reverse(f"inventory:{view}")).status_code == 403


def test_a_helper_sees_no_fee(helper_client, owner_client):
    make_outlet(day_fee=Decimal("35.77"))
    assert "35.77" not in page(helper_client, "outlet-list")
    assert "35.77" in page(owner_client, "outlet-list")


def test_an_outlet_is_added_and_changed(owner_client):
    data = {
        "name": "Mill Square",
        "kind": "market",
        "weekday": "5",
        "day_fee": "35",
        "commission": "0",
        "sales_tax": "0",
        "distance_km": "64",
        "hours": "6",
        "table_jars": "120",
        "min_life_fraction": "0.25",
    }
    response = post(owner_client, "outlet-add", **data)
    outlet = Outlet.objects.get()
    assert response.url == outlet.get_absolute_url()
    post(owner_client, "outlet-edit", outlet.pk, **{**data, "day_fee": "40"})
    assert "$40.00" in page(owner_client, "outlet-detail", outlet.pk)
    text = post(owner_client, "outlet-add", **{**data, "commission": "3"})
    assert "less than or equal to 1" in text.content.decode()


def test_a_day_is_planned_once(helper_client):
    outlet = make_outlet()
    data = {"outlet": outlet.pk, "on": "2026-06-13"}
    first = post(helper_client, "marketday-add", **data)
    assert post(helper_client, "marketday-add", **data).url == first.url
    assert MarketDay.objects.count() == 1


def test_the_stall_shows_what_is_next_and_what_is_still_out(owner_client, lot):
    today = timezone.localdate()
    late = make_market_day(on=today - datetime.timedelta(days=2))
    markets.take_out(day=late, taken={lot: 2}, stamp=STAMP)
    coming = make_market_day(on=today + datetime.timedelta(days=2))
    text = page(owner_client, "stall")
    assert "the jars are still out" in text
    assert reverse("inventory:count-back", args=[late.pk]) in text
    assert reverse("inventory:marketday-pack", args=[coming.pk]) in text


def test_the_facts_of_a_day_are_the_owners(owner_client, helper_client, day):
    data = {"day_fee": "35", "distance_km": "64", "hours": "6.5", "weather": "rain"}
    assert post(helper_client, "marketday-edit", day.pk, **data).status_code == 403
    post(owner_client, "marketday-edit", day.pk, **data)
    day.refresh_from_db()
    assert (day.day_fee, day.hours, day.weather) == (35, Decimal("6.5"), "rain")
    assert "$35.00" in page(owner_client, "marketday-detail", day.pk)
    assert "$35.00" not in page(helper_client, "marketday-detail", day.pk)


def test_packing_chooses_the_lots(helper_client, day, product, lot):
    post(helper_client, "marketday-pack", day.pk, **{f"jars-{product.pk}": "12"})
    assert [(line.lot, line.packed) for line in day.lines.all()] == [(lot, 12)]


def test_packing_more_than_there_is_says_what_is_short(owner_client, day, product, lot):
    url = reverse("inventory:marketday-pack", args=[day.pk])
    response = owner_client.post(url, {f"jars-{product.pk}": "34"}, follow=True)
    assert "4 jars of Plum jam" in response.content.decode()
    assert day.lines.get().packed == 30


def test_a_day_that_is_counted_is_not_packed(owner_client, counted, product):
    data = {f"jars-{product.pk}": "3"}
    text = post(owner_client, "marketday-pack", counted.pk, **data).content.decode()
    assert "nothing can be packed." in text


def test_the_packing_list_prints_ticks_and_crates(owner_client, day, product, lot):
    markets.pack_product(day=day, product=product, jars=20)
    text = page(owner_client, "packing-list", day.pk)
    assert "Crate 2" in text
    assert "20 jars in 2 crates" in text
    assert 'class="tick"' in text
    assert "26150AA" in text


def test_a_plus_key_works_without_scripts(helper_client, day, product, lot):
    markets.pack_product(day=day, product=product, jars=12)
    field = f"taken-{lot.pk}"
    text = post(
        helper_client, "count-out", day.pk, **{field: "12", "step": f"{field}:+1"}
    ).content.decode()
    assert f'name="{field}" value="13"' in text
    text = post(
        helper_client, "count-out", day.pk, **{field: "0", "step": f"{field}:-1"}
    ).content.decode()
    assert f'name="{field}" value="0"' in text
    assert not Movement.objects.filter(market_day=day).exists()


def test_counting_out_twice_counts_once(helper_client, day, product, lot):
    markets.pack_product(day=day, product=product, jars=12)
    for _ in range(2):
        post(helper_client, "count-out", day.pk, **{f"taken-{lot.pk}": "10"})
    assert ledger.balance(lot, day.outlet) == 10
    day.refresh_from_db()
    assert day.status == "out"


def test_more_than_there_is_cannot_be_counted_out(helper_client, day, product, lot):
    markets.pack_product(day=day, product=product, jars=12)
    text = post(
        helper_client, "count-out", day.pk, **{f"taken-{lot.pk}": "99"}
    ).content.decode()
    assert "30 jars are there; take less, or count the lot." in text
    assert 'value="99"' in text


def test_sold_is_what_is_left_by_difference(helper_client, out, lot):
    data = {f"back-{lot.pk}": "6", f"sampled-{lot.pk}": "1", f"sold-{lot.pk}": ""}
    post(helper_client, "count-back", out.pk, **data)
    line = out.lines.get()
    assert (line.sold, line.unaccounted) == (17, 0)
    assert "17" in page(helper_client, "marketday-detail", out.pk)


def test_an_own_tally_shows_what_is_unaccounted(helper_client, out, lot):
    data = {f"back-{lot.pk}": "6", f"sampled-{lot.pk}": "1", f"sold-{lot.pk}": "16"}
    post(helper_client, "count-back", out.pk, **data)
    assert "Unaccounted: 1." in page(helper_client, "marketday-detail", out.pk)


def test_more_back_than_taken_keeps_what_was_typed(helper_client, out, lot):
    data = {f"back-{lot.pk}": "26"}
    text = post(helper_client, "count-back", out.pk, **data).content.decode()
    assert "26 jars are accounted for but 24 were taken." in text
    assert 'value="26"' in text


def test_a_count_can_be_put_right(helper_client, counted, lot):
    text = page(helper_client, "count-back", counted.pk)
    assert f'name="sold-{lot.pk}" value="17"' in text
    data = {f"back-{lot.pk}": "7", f"sampled-{lot.pk}": "1", f"sold-{lot.pk}": "16"}
    post(helper_client, "count-back", counted.pk, **data)
    assert ledger.balance(lot) == 30 - 24 + 7


def test_one_touch_samples_a_jar_once(helper_client, out, lot):
    data = {"lot": lot.pk, "reason": "sampled", "token": str(uuid.uuid4())}
    for _ in range(2):
        post(helper_client, "stall-touch", out.pk, **data)
    assert out.lines.get().sampled == 1
    back = {**data, "token": str(uuid.uuid4()), "back": "1"}
    post(helper_client, "stall-touch", out.pk, **back)
    assert out.lines.get().sampled == 0


def test_a_touch_of_something_else_says_so(owner_client, out, lot):
    url = reverse("inventory:stall-touch", args=[out.pk])
    text = owner_client.post(url, {"lot": "77", "reason": "x"}, follow=True)
    assert "not in the book" in text.content.decode()
    text = owner_client.post(url, {"lot": lot.pk, "reason": "sold"}, follow=True)
    assert "one of sampled, broken, given." in text.content.decode()


def test_sold_out_is_one_touch_with_its_hour(helper_client, out, product):
    data = {"product": product.pk}
    post(helper_client, "sold-out", out.pk, **data)
    assert out.sold_out_marks.get().at is not None
    post(helper_client, "sold-out", out.pk, at="10:40", **data)
    assert out.sold_out_marks.get().at == datetime.time(10, 40)
    assert "10:40" in page(helper_client, "at-the-stall", out.pk)
    post(helper_client, "sold-out", out.pk, back="1", **data)
    assert not out.sold_out_marks.exists()


def test_a_wrong_hour_is_refused(owner_client, out, product):
    url = reverse("inventory:sold-out", args=[out.pk])
    response = owner_client.post(
        url, {"product": product.pk, "at": "late"}, follow=True
    )
    assert "Enter the hour like 10:40." in response.content.decode()
    assert not out.sold_out_marks.exists()


def test_cashing_up_shows_the_difference(helper_client, counted):
    """Common practice: float 60 + expected 153 - card 54 = 159; 157 counted, -2."""
    assert "$153.00" in page(helper_client, "marketday-cash", counted.pk)
    data = {"float_in": "60", "counted": "157", "card": "54"}
    post(helper_client, "marketday-cash", counted.pk, **data)
    text = page(helper_client, "marketday-detail", counted.pk)
    assert "$159.00" in text
    assert "-$2.00" in text


def test_the_float_of_the_last_day_is_offered(helper_client, counted):
    data = {"float_in": "60", "counted": "157", "float_out": "45"}
    post(helper_client, "marketday-cash", counted.pk, **data)
    tomorrow = make_market_day(on=TODAY + datetime.timedelta(days=7))
    assert 'value="45.00"' in page(helper_client, "marketday-cash", tomorrow.pk)


def test_a_figure_below_zero_is_refused(helper_client, counted):
    data = {"float_in": "-60", "counted": "157"}
    text = post(helper_client, "marketday-cash", counted.pk, **data).content.decode()
    assert "greater than or equal to 0" in text
    assert 'value="-60"' in text


def test_a_day_is_called_off_unless_jars_are_out(owner_client, day, out):
    url = reverse("inventory:marketday-cancel", args=[out.pk])
    text = owner_client.post(url, follow=True).content.decode()
    assert "count them back before calling it off." in text
    other = make_market_day(on=TODAY + datetime.timedelta(days=1))
    asked = post(owner_client, "marketday-cancel", other.pk).content.decode()
    assert "Nothing is packed for it yet." in asked
    post(owner_client, "marketday-cancel", other.pk, confirmed="yes")
    other.refresh_from_db()
    assert other.status == "cancelled"


def test_days_are_filtered_with_few_queries(
    owner_client, counted, django_assert_max_num_queries
):
    for number in range(1, 20):
        make_market_day(on=TODAY + datetime.timedelta(days=number))
    with django_assert_max_num_queries(9):
        text = page(owner_client, "marketday-list", status="counted")
    assert "$153.00" in text
    assert text.count("Mill Square") >= 1


def test_one_touch_at_home_gives_a_jar_once(helper_client, lot):
    data = {"lot": lot.pk, "reason": "own_use", "token": str(uuid.uuid4())}
    for _ in range(2):
        post(helper_client, "hand-out-touch", **data)
    assert ledger.balance(lot) == 29
    row = Movement.objects.get(reason="own_use")
    assert "own use" in page(helper_client, "hand-out")
    post(helper_client, "hand-out-undo", row.pk)
    assert ledger.balance(lot) == 30
    assert "Take it back" not in page(helper_client, "hand-out")


def test_a_jar_is_sold_at_the_gate(helper_client, lot):
    gate = make_outlet(kind="gate", name="Garden gate")
    assert "Sold at Garden gate" in page(helper_client, "hand-out")
    data = {"lot": lot.pk, "reason": "sold", "gate": gate.pk}
    post(helper_client, "hand-out-touch", **data)
    sale = Movement.objects.get(reason="sold")
    assert (sale.place, sale.unit_price) == (gate, 8)


def test_what_cannot_be_handed_out_says_why(owner_client, lot):
    url = reverse("inventory:hand-out-touch")
    wrong = owner_client.post(url, {"lot": lot.pk, "reason": "sold"}, follow=True)
    assert "is no reason here" in wrong.content.decode()
    none = owner_client.post(url, {"lot": "77", "reason": "given"}, follow=True)
    assert "not in the book" in none.content.decode()
    assert owner_client.get(url).status_code == 405


def test_a_touch_is_taken_back_once(owner_client, lot):
    row = ledger.write_off(lot=lot, quantity=1, stamp=STAMP, reason="given")
    url = reverse("inventory:hand-out-undo", args=[row.pk])
    owner_client.post(url)
    text = owner_client.post(url, follow=True).content.decode()
    assert "the figure in the book already; enter the right one." in text
