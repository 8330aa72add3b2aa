"""The pages of shops: visits, deliveries, statements."""

import datetime
from decimal import Decimal

import pytest
from django.urls import reverse

from inventory import consignment, ledger
from inventory.consignment import ShopFigures
from inventory.ledger import Stamp
from inventory.models import ConsignmentVisit
from tests.factories import NOW, TODAY, make_lot, make_outlet, make_price, make_product

pytestmark = pytest.mark.django_db

STAMP = Stamp(on=TODAY, at=NOW)
NEXT = TODAY + datetime.timedelta(days=20)


def page(client, view, *args, **query):
    response = client.get(reverse(f"inventory:{view}", args=args), query)
    assert response.status_code == 200
    return response.content.decode()


def post(client, view, *args, **data):
    return client.post(reverse(f"inventory:{view}", args=args), data)


@pytest.fixture
def shop():
    return make_outlet(
        kind="consignment", name="Corner Shop", commission=Decimal("0.30")
    )


@pytest.fixture
def lot():
    product = make_product(name="Plum jam")
    make_price(product, price=Decimal("8.00"), outlet_kind="consignment")
    make_price(product, price=Decimal("5.00"), outlet_kind="wholesale")
    return make_lot(product=product, quantity=24, released_at=NOW)


@pytest.fixture
def first(shop, lot):
    return consignment.visit(
        shop=ConsignmentVisit(outlet=shop, on=TODAY, commission=Decimal("0.30")),
        figures={lot: ShopFigures(left=12)},
        stamp=STAMP,
    )


def test_a_first_visit_leaves_jars(owner_client, shop, lot):
    data = {"on": "2026-06-10", "commission": "0.30", f"left-{lot.pk}": "12"}
    response = post(owner_client, "visit-add", shop.pk, **data)
    assert response.url == shop.visits.get().get_absolute_url()
    assert ledger.balance(lot, shop) == 12


def test_a_statement_says_what_is_due(owner_client, shop, lot, first):
    """12 left, 7 sold, 4 returned, 1 missing; 7 x 8.00 x 70 % = 39.20 due."""
    assert "12 were there" in page(owner_client, "visit-add", shop.pk)
    data = {
        "on": str(NEXT),
        "commission": "0.30",
        f"sold-{lot.pk}": "7",
        f"returned-{lot.pk}": "4",
        f"price-{lot.pk}": "8.00",
    }
    post(owner_client, "visit-add", shop.pk, **data)
    visit = shop.visits.get(on=NEXT)
    for view in ("visit-detail", "visit-print"):
        text = page(owner_client, view, visit.pk)
        assert "$39.20" in text
        assert "$16.80" in text
    assert "Test Kitchen" in page(owner_client, "visit-print", visit.pk)
    assert "$39.20" in page(owner_client, "visit-list", outlet=shop.pk)


def test_more_found_than_left_keeps_what_was_typed(owner_client, shop, lot, first):
    data = {"on": str(NEXT), "commission": "0.30", f"sold-{lot.pk}": "15"}
    text = post(owner_client, "visit-add", shop.pk, **data).content.decode()
    assert "but 12 were left; count again." in text
    assert 'value="15"' in text


def test_what_is_due_is_marked_as_paid(owner_client, first):
    assert "not paid yet" in page(owner_client, "visit-list", paid="no")
    post(owner_client, "visit-paid", first.pk)
    first.refresh_from_db()
    assert first.paid_on is not None
    page(owner_client, "visit-list")  # the message is read
    assert "$0.00" not in page(owner_client, "visit-list", paid="no")
    post(owner_client, "visit-paid", first.pk)
    first.refresh_from_db()
    assert first.paid_on is None
    url = reverse("inventory:visit-paid", args=[first.pk])
    assert owner_client.get(url).status_code == 405


def test_a_shop_that_buys_is_delivered_to(owner_client, lot):
    buyer = make_outlet(kind="wholesale", name="Wide Shop")
    data = {"on": "2026-06-10", f"jars-{lot.pk}": "10"}
    response = post(owner_client, "delivery-add", buyer.pk, **data)
    assert response.status_code == 302
    assert "$50.00" in page(owner_client, "visit-detail", buyer.visits.get().pk)
    text = post(owner_client, "delivery-add", buyer.pk, **{**data, "on": ""})
    assert "This field is required." in text.content.decode()


def test_each_kind_of_shop_has_its_own_page(owner_client, shop):
    url = reverse("inventory:delivery-add", args=[shop.pk])
    assert owner_client.get(url).status_code == 404
    text = page(owner_client, "outlet-detail", shop.pk)
    assert reverse("inventory:visit-add", args=[shop.pk]) in text
    assert "30.0 %" in text


@pytest.mark.parametrize("view", ["visit-detail", "visit-print", "visit-paid"])
def test_a_helper_settles_nothing(helper_client, first, view):
    url = reverse(f"inventory:{view}", args=[first.pk])
    assert helper_client.post(url).status_code == 403
    assert (
        helper_client.get(
            reverse("inventory:visit-add", args=[first.outlet_id])
        ).status_code
        == 403
    )


def test_the_list_of_visits_needs_few_queries(
    owner_client, shop, django_assert_max_num_queries
):
    for number in range(20):
        on = TODAY + datetime.timedelta(days=number)
        ConsignmentVisit.objects.create(outlet=shop, on=on, commission=0)
    with django_assert_max_num_queries(10):
        page(owner_client, "visit-list")
