"""The database keeps the ledger by itself, under many writers, on both engines."""

from decimal import Decimal
from importlib import import_module

import pytest
from django.db import IntegrityError, connection, transaction

from inventory import ledger
from inventory.ledger import NotEnoughError, Stamp
from inventory.models import Lot, Movement
from tests.factories import NOW, TODAY, make_lot, make_outlet
from tests.writers import WRITERS, Writers

STAMP = Stamp(on=TODAY, at=NOW)


def row(lot, quantity, place=None):
    return Movement(
        lot=lot,
        quantity=Decimal(quantity),
        reason="drawn",
        on=TODAY,
        at=NOW,
        place=place,
    )


@pytest.mark.django_db
def test_a_row_cannot_be_changed():
    movement = make_lot().movements.get()
    with pytest.raises(IntegrityError, match="only grows"), transaction.atomic():
        Movement.objects.filter(pk=movement.pk).update(quantity=1)
    with pytest.raises(IntegrityError, match="only grows"), transaction.atomic():
        movement.save()


@pytest.mark.django_db
def test_a_row_cannot_be_deleted():
    movement = make_lot().movements.get()
    with pytest.raises(IntegrityError, match="only grows"), transaction.atomic():
        movement.delete()
    with pytest.raises(IntegrityError, match="only grows"), transaction.atomic():
        connection.cursor().execute("DELETE FROM inventory_movement")
    assert Movement.objects.count() == 1


@pytest.mark.django_db
def test_a_lot_cannot_fall_below_zero():
    lot = make_lot(quantity=1000)
    with pytest.raises(IntegrityError, match="below zero"), transaction.atomic():
        Movement.objects.bulk_create([row(lot, -600), row(lot, "-400.001")])
    Movement.objects.bulk_create([row(lot, -600), row(lot, -400)])
    assert ledger.balance(lot) == 0


@pytest.mark.django_db
def test_many_small_draws_empty_a_lot_exactly():
    """Tenths have no exact float; the guard of SQLite must not stumble over them."""
    lot = make_lot(quantity=0)
    Movement.objects.bulk_create([row(lot, 3), *[row(lot, "-0.1") for _ in range(30)]])
    with pytest.raises(IntegrityError, match="below zero"), transaction.atomic():
        row(lot, "-0.001").save()


@pytest.mark.django_db
def test_what_is_at_home_does_not_cover_what_is_at_a_stall():
    lot = make_lot(quantity=1000)
    with pytest.raises(IntegrityError, match="below zero"), transaction.atomic():
        row(lot, -1, place=make_outlet()).save()


@pytest.mark.django_db
def test_the_guards_can_be_taken_down_and_put_up_again():
    migration = import_module("inventory.migrations.0002_ledger_guards")
    editor = connection.SchemaEditorClass(connection)
    movement = make_lot(quantity=5).movements.get()
    migration.take_down(None, editor)
    Movement.objects.filter(pk=movement.pk).update(quantity=4)
    migration.put_up(None, editor)
    with pytest.raises(IntegrityError), transaction.atomic():
        Movement.objects.filter(pk=movement.pk).update(quantity=5)


@pytest.fixture
def writers(transactional_db, tmp_path):
    return Writers(tmp_path)


def test_writers_at_the_same_moment_share_what_there_is(writers):
    lot = make_lot(quantity=1000)
    answers = writers.at_once(
        lambda _: ledger.draw(lot=lot, quantity=Decimal(300), stamp=STAMP)
    )
    drawn = [answer for answer in answers if isinstance(answer, Movement)]
    refused = [answer for answer in answers if isinstance(answer, NotEnoughError)]
    assert (len(drawn), len(refused)) == (3, WRITERS - 3)
    assert writers.balance(lot) == 100


def test_writers_who_pass_the_verbs_by_are_stopped_by_the_database(writers):
    lot = make_lot(quantity=1000)

    def careless(_):
        with transaction.atomic():
            row(lot, -300).save()
        return True

    answers = writers.at_once(careless)
    refused = [answer for answer in answers if isinstance(answer, IntegrityError)]
    assert len(refused) == WRITERS - 3
    assert writers.balance(lot) == 100


def test_lots_received_at_the_same_moment_have_different_codes(writers):
    material = make_lot().material

    def receive(_):
        lot = Lot(material=material, received_on=TODAY)
        return ledger.receive(lot=lot, quantity=Decimal(1), stamp=STAMP).code

    codes = writers.at_once(receive)
    assert sorted(codes) == [f"26161-{number}" for number in range(1, WRITERS + 1)]
