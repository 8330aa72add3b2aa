"""What cannot be taken back is asked for with its consequence in numbers; the rest is undone."""

from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse

from inventory import ledger
from inventory.models import MarketLine
from inventory.selectors.consequences import reach_of
from production.models import Batch
from tests import factories
from tests.production import kitchen as book

pytestmark = pytest.mark.django_db


def now(**more):
    return ledger.Stamp(on=factories.TODAY, at=factories.NOW, **more)


def send(client, name, *args, **data):
    return client.post(reverse(name, args=args), data, follow=True).content.decode()


@pytest.fixture
def spread():
    """31 jars at two places, 12 of them packed for Saturday."""
    product = factories.make_product(name="Plum jam")
    lot = factories.make_lot(
        product=product, quantity=31, cost=Decimal(62), released_at=factories.NOW
    )
    shop = factories.make_outlet(name="Corner Shop", kind="consignment")
    ledger.move(lot=lot, quantity=Decimal(10), stamp=now(), target=shop)
    day = factories.make_market_day(outlet=factories.make_outlet(name="Mill Square"))
    MarketLine.objects.create(day=day, lot=lot, packed=12)
    return lot


def test_jars_are_told_by_place_by_market_and_by_worth(spread):
    told = " ".join(reach_of([spread]).sentences())
    assert (
        "31 jars are left: 21 jars at home, the others at 1 place (Corner Shop)."
        in told
    )
    assert "12 of them are packed for Mill Square" in told
    assert "What is left cost $62.00." in told
    assert "cost" not in " ".join(reach_of([spread]).sentences(with_cost=False))


def test_nothing_left_is_said(spread):
    empty = factories.make_lot(quantity=0)
    assert reach_of([empty]).sentences() == [
        "Nothing of it is left anywhere, by the book."
    ]


def test_a_stop_says_what_it_reaches_before_it_is_set(
    owner_client, helper_client, spread
):
    address = reverse("production:stopsale-create")
    seen = owner_client.get(address, {"lot": spread.code}).content.decode()
    assert "31 jars are left" in seen
    assert "$62.00" in seen
    assert (
        "$62.00"
        not in helper_client.get(address, {"lot": spread.code}).content.decode()
    )


def test_rejecting_asks_with_what_is_written_off(owner, owner_client):
    batch = book.make_held(owner)
    asked = send(
        owner_client, "production:batch-reject", batch.pk, reason="mould found"
    )
    assert "6 jars are left, all at home." in asked
    assert 'value="mould found"' in asked
    batch.refresh_from_db()
    assert batch.status == Batch.Status.HELD
    send(
        owner_client,
        "production:batch-reject",
        batch.pk,
        reason="mould found",
        confirmed="yes",
    )
    batch.refresh_from_db()
    assert batch.status == Batch.Status.REJECTED


def test_a_pot_that_made_nothing_says_what_it_drew(owner, owner_client):
    batch = book.make_cooking(owner)
    asked = send(
        owner_client, "production:batch-reject", batch.pk, reason="burnt black"
    )
    assert "does not come back" in asked
    assert "$" in asked


def test_a_wrong_answer_is_no_yes(owner, owner_client):
    batch = book.make_planned()
    asked = send(owner_client, "production:batch-cancel", batch.pk, confirmed="perhaps")
    assert "Nothing was drawn for it yet" in asked
    assert Batch.objects.filter(pk=batch.pk).exists()


def test_a_write_off_says_its_worth_while_it_is_typed_and_is_undone(owner_client):
    lot = factories.make_lot(
        material=factories.make_fruit(name="Apricots"), quantity=5000
    )
    typed = {"amount": "4200 g", "reason": "spoiled"}
    told = send(
        owner_client, "inventory:lot-write-off", lot.code, check="amount", **typed
    )
    assert "That is worth $8.40." in told
    assert ledger.balance(lot) == 5000
    shown = send(owner_client, "inventory:lot-write-off", lot.code, **typed)
    row = lot.movements.last()
    assert ledger.balance(lot) == 800
    assert reverse("inventory:movement-undo", args=[row.pk]) in shown
    assert "is as before" in send(owner_client, "inventory:movement-undo", row.pk)
    assert ledger.balance(lot) == 5000
    again = send(owner_client, "inventory:movement-undo", row.pk)
    assert "That is the figure in the book already" in again


def test_a_helper_is_not_told_the_worth(helper_client):
    lot = factories.make_lot(quantity=5000)
    told = send(
        helper_client, "inventory:lot-write-off", lot.code,
        check="amount", amount="4200 g", reason="spoiled",
    )  # fmt: skip
    assert "would be left." in told
    assert "$" not in told


def test_a_jar_brought_back_and_thrown_away_is_undone_as_one_touch(owner_client):
    lot = factories.make_lot(
        product=factories.make_product(), quantity=5, released_at=factories.NOW
    )
    send(owner_client, "inventory:lot-return", lot.code, amount="1", note="leaked")
    assert lot.movements.count() == 3
    send(owner_client, "inventory:movement-undo", lot.movements.last().pk)
    assert ledger.balance(lot) == 5
    assert lot.movements.count() == 5


def test_what_was_drawn_is_not_undone_from_the_lot_page(owner_client):
    lot = factories.make_lot(quantity=500)
    row = ledger.draw(lot=lot, quantity=Decimal(100), stamp=now())
    said = send(owner_client, "inventory:movement-undo", row.pk)
    assert "put it right where it was entered" in said
    address = reverse("inventory:movement-undo", args=[row.pk])
    assert owner_client.get(address).status_code == 405
    assert Client().post(address).status_code == 302
    assert (
        owner_client.post(reverse("inventory:movement-undo", args=[999])).status_code
        == 404
    )
