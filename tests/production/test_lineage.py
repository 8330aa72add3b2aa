"""Walks over the lots equal those over the same graph in networkx."""

import networkx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from inventory.models import Lot
from production.selectors import lineage
from tests.factories import make_lot, make_material, make_version
from tests.trace_factories import jars_of, make_traced_batch, put_into

pytestmark = pytest.mark.django_db


def test_frozen_puree_leads_both_ways():
    """Two fruit lots become a purée; two batches draw it and one of them sugar."""
    fruits = [make_lot(), make_lot()]
    sugar, puree = make_lot(), make_lot(quantity=0)
    make_traced_batch(inputs=fruits, output=puree, jars=4000)
    jelly = make_traced_batch(inputs=[puree, sugar])
    other = make_traced_batch(inputs=[puree])
    back = lineage.lots_upstream([jars_of(jelly).pk])
    assert back == {fruits[0].pk, fruits[1].pk, puree.pk, sugar.pk}
    forward = lineage.lots_downstream([fruits[0].pk])
    assert forward == {puree.pk, jars_of(jelly).pk, jars_of(other).pk}


def test_a_split_lot_leads_on():
    fruit = make_lot()
    frozen = make_lot(split_from=fruit, material=fruit.material)
    batch = make_traced_batch(inputs=[frozen])
    assert lineage.lots_downstream([fruit.pk]) == {frozen.pk, jars_of(batch).pk}
    assert lineage.lots_upstream([jars_of(batch).pk]) == {frozen.pk, fruit.pk}


def test_a_batch_cooked_again_leads_back_to_the_first():
    fruit = make_lot()
    first = make_traced_batch(inputs=[fruit])
    again = make_traced_batch(parent=first)
    assert lineage.lots_upstream([jars_of(again).pk]) == {jars_of(first).pk, fruit.pk}
    assert lineage.lots_downstream([jars_of(first).pk]) == {jars_of(again).pk}


def test_origins_are_told_apart():
    one, other = make_lot(), make_lot()
    shared = make_traced_batch(inputs=[one, other])
    alone = make_traced_batch(inputs=[other])
    assert lineage.downstream_by_origin([one.pk, other.pk]) == {
        one.pk: {jars_of(shared).pk},
        other.pk: {jars_of(shared).pk, jars_of(alone).pk},
    }


@pytest.mark.parametrize("depth", [1, 6, 20])
def test_one_query_whatever_the_depth(depth, django_assert_num_queries):
    first = lot = make_lot()
    for _ in range(depth):
        onward = make_lot(quantity=0)
        make_traced_batch(inputs=[lot], output=onward)
        lot = onward
    with django_assert_num_queries(1):
        found = lineage.lots_downstream([first.pk])
    assert len(found) == depth
    with django_assert_num_queries(1):
        assert len(lineage.lots_upstream([lot.pk])) == depth


def test_nothing_leads_nowhere():
    assert lineage.lots_downstream([]) == frozenset()
    assert lineage.downstream_by_origin([]) == {}


def test_any_count_of_numbers_is_one_parameter():
    lot = make_lot()
    numbers = [lot.pk, *range(lot.pk + 1000, lot.pk + 60000)]
    assert list(Lot.objects.filter(pk__in=lineage.id_rows(numbers))) == [lot]


class RandomBooks(TestCase):
    """Random acyclic books: batches of several inputs, and splits."""

    @settings(max_examples=20, deadline=None)
    @given(
        st.lists(
            st.tuples(
                st.sets(st.integers(0, 11), min_size=1, max_size=3), st.booleans()
            ),
            min_size=1,
            max_size=10,
        )
    )
    def test_closures_equal_networkx(self, steps):
        self.material, self.version = make_material(), make_version()
        graph, lots = networkx.DiGraph(), [self.new_lot()]
        for wanted, is_split in steps:
            inputs = [lots[number % len(lots)] for number in wanted]
            lots.append(self.step(graph, inputs, is_split=is_split))
        graph.add_nodes_from(lot.pk for lot in lots)
        every = lineage.downstream_by_origin([lot.pk for lot in lots])
        for lot in lots:
            below = networkx.descendants(graph, lot.pk)
            assert lineage.lots_downstream([lot.pk]) == below == every[lot.pk]
            assert lineage.lots_upstream([lot.pk]) == networkx.ancestors(graph, lot.pk)

    def new_lot(self, **more):
        return make_lot(material=self.material, **more)

    def step(self, graph, inputs, *, is_split):
        if is_split:
            made = self.new_lot(split_from=inputs[0])
            graph.add_edge(inputs[0].pk, made.pk)
            return made
        made = self.new_lot()
        batch = make_traced_batch(output=made, version=self.version)
        for lot in set(inputs):
            put_into(batch, lot)
            graph.add_edge(lot.pk, made.pk)
        return made
