"""Traces of batches and lots."""

import datetime
from decimal import Decimal

import pytest

from inventory.models import Movement
from production.models import Batch
from production.selectors import tracing
from tests.factories import (
    NOW,
    TODAY,
    make_lot,
    make_outlet,
    make_product,
    make_purchase,
    make_supplier,
    make_version,
)
from tests.trace_factories import enter, jars_of, make_traced_batch, new_code, put_into

pytestmark = pytest.mark.django_db
Reason = Movement.Reason


def carry(lot, outlet, jars):
    enter(lot, -jars, Reason.MOVED)
    enter(lot, jars, Reason.MOVED, place=outlet)


@pytest.fixture
def book():
    """Strawberries frozen and cooked twice, with sugar that a third batch shares."""
    grower = make_supplier(name="Hill Farm")
    purchase = make_purchase(supplier=grower)
    fruit = make_lot(code="F1", purchase=purchase, supplier_mark="L7")
    sugar, puree = make_lot(code="S1"), make_lot(code="P1", quantity=0)
    make_traced_batch(inputs=[fruit], output=puree, jars=4000)
    first = make_traced_batch(inputs=[puree, sugar])
    second = make_traced_batch(inputs=[puree])
    third = make_traced_batch(inputs=[sugar])
    return {"fruit": fruit, "sugar": sugar, "puree": puree} | {
        "first": first,
        "second": second,
        "third": third,
    }


def test_what_went_in_is_listed_with_where_it_came_from(book):
    sources = tracing.trace_batch(book["first"]).sources
    by_code = {lot.code: lot for lot in sources}
    assert set(by_code) == {"F1", "S1", "P1"}
    assert by_code["F1"].supplier == "Hill Farm"
    assert by_code["F1"].supplier_mark == "L7"
    assert by_code["F1"].used is None
    assert by_code["P1"].used == 10


def test_sisters_share_a_lot_at_any_remove(book):
    sisters = tracing.trace_batch(book["first"]).sisters
    shared = {sister.code: set(sister.shared) for sister in sisters}
    assert shared == {book["second"].code: {"F1", "P1"}, book["third"].code: {"S1"}}


def test_a_batch_still_cooking_is_a_sister_too(book):
    cooking = Batch.objects.create(
        version=make_version(),
        code=new_code(),
        planned_on=TODAY,
        status=Batch.Status.COOKING,
    )
    put_into(cooking, book["sugar"])
    codes = {s.code: s.state for s in tracing.trace_batch(book["first"]).sisters}
    assert codes[cooking.code] == "cooking"


def test_from_a_fruit_lot_every_batch_is_found(book):
    answer = tracing.trace_lot(book["fruit"])
    codes = {batch.code for batch in answer.affected if batch.balance.made}
    assert codes == {book["first"].code, book["second"].code}
    assert {row.code for row in answer.whereabouts} == codes


def test_every_jar_has_a_place_and_the_balance_holds(book):
    lot = jars_of(book["first"])
    stall, shop = make_outlet(name="Stall"), make_outlet(name="Shop")
    carry(lot, stall, 6)
    enter(lot, -5, Reason.SOLD, place=stall)
    enter(lot, -1, Reason.SAMPLED, place=stall)
    carry(lot, shop, 4)
    enter(lot, -2, Reason.BROKEN)
    enter(lot, -1, Reason.MISSING)
    answer = tracing.trace_batch(book["first"])
    balance = answer.balance
    assert (balance.on_shelf, balance.at_outlets, balance.sold) == (11, 4, 5)
    assert (balance.sampled, balance.written_off, balance.unaccounted) == (1, 2, 1)
    assert balance.accounted_percent == Decimal("95.83")
    told = {(row.what, row.place): row.jars for row in answer.whereabouts}
    assert told["on the shelf", ""] == 11
    assert told["at an outlet", "Shop"] == 4
    assert told["sold", "Stall"] == 5
    assert sum(told.values()) == 24


def test_a_jar_a_customer_brought_back_is_on_the_shelf(book):
    lot = jars_of(book["first"])
    enter(lot, -3, Reason.SOLD)
    enter(lot, 1, Reason.RETURNED)
    balance = tracing.trace_batch(book["first"]).balance
    assert (balance.on_shelf, balance.sold, balance.returned) == (22, 2, 1)
    assert balance.unaccounted == 0


def test_jars_cooked_again_are_not_lost(book):
    lot = jars_of(book["first"])
    again = make_traced_batch(inputs=[lot], parent=book["first"])
    answer = tracing.trace_batch(book["first"])
    assert answer.balance.used == 10
    assert answer.balance.unaccounted == 0
    assert again.code in {batch.code for batch in answer.affected}


def test_the_graph_leads_from_supplier_to_place(book):
    lot = jars_of(book["first"])
    outlet = make_outlet(name="Stall")
    carry(lot, outlet, 6)
    graph = tracing.trace_batch(book["first"]).graph
    supplier = f"supplier:{book['fruit'].purchase.supplier_id}"
    assert f"place:{outlet.pk}" in graph.downstream([supplier])
    assert f"batch:{book['third'].pk}" not in graph.by_key
    assert graph.by_key[f"batch:{book['first'].pk}"].state == "asked for"


def test_a_frozen_part_is_joined_to_the_lot_it_came_from(book):
    frozen = make_lot(
        code="FZ1", split_from=book["fruit"], material=book["fruit"].material
    )
    batch = make_traced_batch(inputs=[frozen])
    graph = tracing.trace_batch(batch).graph
    pairs = {(edge.tail, edge.head) for edge in graph.edges}
    assert (f"lot:{book['fruit'].pk}", f"lot:{frozen.pk}") in pairs


def test_stopped_jars_show_in_table_and_graph(book):
    lot = jars_of(book["first"])
    lot.stopped_at = NOW
    lot.save()
    answer = tracing.trace_lot(book["fruit"])
    stopped = {batch.code for batch in answer.affected if batch.is_stopped}
    assert stopped == {book["first"].code}
    assert answer.graph.by_key[f"jars:{lot.pk}"].state == "stopped"


def test_a_batch_that_is_still_cooking_can_be_traced(book):
    cooking = Batch.objects.create(
        version=make_version(),
        product=make_product(),
        code=new_code(),
        planned_on=TODAY,
        status=Batch.Status.COOKING,
    )
    put_into(cooking, book["puree"])
    answer = tracing.trace_batch(cooking)
    assert {lot.code for lot in answer.sources} == {"P1", "F1"}
    assert answer.balance.made == 0
    assert [batch.code for batch in answer.affected] == [cooking.code]


@pytest.mark.parametrize("depth", [1, 8])
def test_the_queries_do_not_grow_with_depth(depth, django_assert_max_num_queries):
    lot = make_lot()
    for _ in range(depth):
        onward = make_lot(quantity=0)
        make_traced_batch(inputs=[lot], output=onward)
        lot = onward
    batch = make_traced_batch(inputs=[lot])
    with django_assert_max_num_queries(11):
        answer = tracing.trace_batch(batch)
    assert len(answer.sources) == depth + 1


def test_the_data_has_stable_keys(book):
    data = tracing.trace_batch(book["first"]).as_data()
    assert list(data) == [
        "subject",
        "sources",
        "affected",
        "sisters",
        "whereabouts",
        "balance",
    ]
    assert data["balance"]["made"] == "24"
    assert data["subject"]["on"] == datetime.date.isoformat(TODAY)
