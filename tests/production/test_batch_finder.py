"""Finding the batch a buyer means."""

import datetime
from decimal import Decimal

import pytest

from inventory.models import Movement
from production.batch_codes import make_code
from production.selectors.batch_finder import Match, Purchased, find
from tests.factories import make_lot, make_outlet, make_product
from tests.trace_factories import enter, jars_of, make_traced_batch

pytestmark = pytest.mark.django_db
DAY = datetime.date(2026, 7, 15)


def batch_of(on=DAY, letter="A", **more):
    return make_traced_batch(code=make_code(on, letter), made_on=on, **more)


def sell(batch, jars, outlet, on=DAY):
    enter(jars_of(batch), -jars, Movement.Reason.SOLD, on=on)
    row = Movement.objects.last()
    return row if outlet is None else _at(batch, jars, outlet, on)


def _at(batch, jars, outlet, on):
    enter(jars_of(batch), jars, Movement.Reason.CORRECTION, on=on)
    enter(jars_of(batch), -jars, Movement.Reason.MOVED, on=on)
    enter(jars_of(batch), jars, Movement.Reason.MOVED, on=on, place=outlet)
    return enter(jars_of(batch), -jars, Movement.Reason.SOLD, on=on, place=outlet)


@pytest.mark.parametrize("typed", ["26196AM", "26-196-am", " 26l96am "])
def test_a_code_is_found_however_it_is_written(typed):
    batch = batch_of()
    found = find(typed)
    assert (found.match, found.batch) == (Match.BATCH, batch)


@pytest.mark.parametrize("typed", ["26198AM", "26916AM", "2619?AM", "2G196AM"])
def test_a_wrong_code_offers_the_one_that_exists(typed):
    batch = batch_of()
    found = find(typed)
    assert found.match is Match.CHOICE
    assert "typing mistake" in found.sentence
    assert [each.batch for each in found.candidates] == [batch]


def test_a_wrong_code_with_nothing_near_says_both():
    found = find("26198AM")
    assert found.match is Match.NOTHING
    assert "typing mistake" in found.sentence
    assert "No batch in the book is near it" in found.sentence


def test_a_good_code_of_no_batch_says_so_and_offers_the_nearest():
    batch = batch_of(letter="B")
    found = find("26196AM")
    assert "no batch in the book has it" in found.sentence
    assert [each.batch for each in found.candidates] == [batch]


@pytest.mark.parametrize("typed", ["6196A", "26196", "96-am"])
def test_a_part_offers_the_codes_that_hold_it(typed):
    batch = batch_of()
    batch_of(on=datetime.date(2026, 1, 3))
    assert [each.batch for each in find(typed).candidates] == [batch]


def test_a_code_with_a_character_missing_is_found():
    batch = batch_of()
    assert batch in [each.batch for each in find("2616AM").candidates]


def test_a_lot_code_or_a_suppliers_mark_leads_to_the_lot():
    lot = make_lot(code="26150-3", supplier_mark="L-77/2")
    assert find("26150-3").lot == lot
    assert find("l-77/2").match is Match.LOT


def test_a_mark_on_several_lots_names_them():
    make_lot(code="S-1", supplier_mark="SUGAR9")
    make_lot(code="S-2", supplier_mark="SUGAR9")
    found = find("sugar9")
    assert found.match is Match.NOTHING
    assert "S-1" in found.sentence


def test_the_second_jar_size_of_a_batch_leads_to_the_batch():
    batch = batch_of()
    lot = make_lot(code="26196AM-2", product=make_product(), quantity=6)
    batch.outputs.create(lot=lot, filled=Decimal(6))
    found = find("26196am-2")
    assert (found.match, found.batch, found.lot) == (Match.BATCH, batch, lot)


def test_without_a_code_batches_are_ranked_by_what_was_sold_there():
    stall, product = make_outlet(), make_product()
    few, many = batch_of(product=product), batch_of(letter="B", product=product)
    elsewhere = batch_of(letter="C", product=product)
    sell(few, 2, stall)
    sell(many, 9, stall)
    sell(elsewhere, 9, make_outlet())
    bought = Purchased(product=product, outlet=stall, first=DAY, last=DAY)
    found = find("", bought=bought)
    assert [each.batch for each in found.candidates] == [many, few]
    assert found.candidates[0].jars_sold == 9
    assert f"9 jars sold at {stall}" in found.candidates[0].why


def test_where_it_was_bought_ranks_the_near_codes():
    stall = make_outlet()
    batches = [batch_of(), batch_of(letter="B")]
    sell(batches[1], 3, stall)
    found = find("26196", bought=Purchased(outlet=stall))
    assert found.candidates[0].batch == batches[1]


def test_nothing_given_asks_for_something():
    assert "Give a code" in find("").sentence


def test_a_sale_nobody_wrote_down_says_so():
    assert "No jar in the book" in find("", bought=Purchased(first=DAY)).sentence


def test_what_is_no_code_at_all_is_refused_in_words():
    found = find("jam")
    assert found.match is Match.NOTHING
    assert found.sentence
