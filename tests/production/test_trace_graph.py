"""The graph of a trace and its picture."""

import networkx
import pytest
from defusedxml.ElementTree import fromstring
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.pictures import as_svg
from production.trace_graph import Edge, Graph, GraphError, Node, NodeKind, State
from production.trace_picture import (
    BOX_HEIGHT,
    BOX_WIDTH,
    draw_graph,
    order_columns,
    place_nodes,
)

KINDS = list(NodeKind)


@st.composite
def graphs(draw, most=14):
    """Acyclic graphs: edges go from lower to higher numbers."""
    size = draw(st.integers(1, most))
    kinds = [draw(st.sampled_from(KINDS[:-1])) for _ in range(size)]
    pairs = st.tuples(st.integers(0, size - 1), st.integers(0, size - 1))
    edges = {p for p in draw(st.lists(pairs, max_size=3 * size)) if p[0] < p[1]}
    return make(kinds, edges)


def make(kinds, pairs):
    nodes = [Node(key=f"n{i}", kind=k, title=f"Node {i}") for i, k in enumerate(kinds)]
    edges = [Edge(tail=f"n{a}", head=f"n{b}") for a, b in pairs]
    return Graph(nodes=tuple(nodes), edges=tuple(edges))


def as_networkx(graph):
    other = networkx.DiGraph()
    other.add_nodes_from(node.key for node in graph.nodes)
    other.add_edges_from((edge.tail, edge.head) for edge in graph.edges)
    return other


@given(graphs())
def test_closures_equal_networkx(graph):
    other = as_networkx(graph)
    for node in graph.nodes:
        assert graph.downstream([node.key]) == networkx.descendants(other, node.key)
        assert graph.upstream([node.key]) == networkx.ancestors(other, node.key)


@given(graphs())
def test_every_edge_goes_to_a_higher_level(graph):
    levels = graph.levels()
    assert all(levels[edge.tail] < levels[edge.head] for edge in graph.edges)
    assert set(levels.values()) == set(range(len(set(levels.values()))))


@given(graphs(), st.sets(st.sampled_from(KINDS), max_size=3))
def test_folding_keeps_who_reaches_whom(graph, kinds):
    folded = graph.folded(kinds)
    kept = {node.key for node in folded.nodes}
    for key in kept:
        assert folded.downstream([key]) == graph.downstream([key]) & kept


@given(graphs())
def test_the_order_of_columns_keeps_every_node_once(graph):
    keys = [key for column in order_columns(graph) for key in column]
    assert sorted(keys) == sorted(node.key for node in graph.nodes)


@given(graphs())
def test_no_two_boxes_touch_and_all_are_inside(graph):
    spots, width, height = place_nodes(graph)
    placed = list(spots.values())
    for at, one in enumerate(placed):
        assert 0 <= one.left <= width - BOX_WIDTH
        assert 0 <= one.bottom <= height - BOX_HEIGHT
        for other in placed[at + 1 :]:
            apart = abs(one.left - other.left) >= BOX_WIDTH
            assert apart or abs(one.bottom - other.bottom) >= BOX_HEIGHT


def test_places_stand_last_and_suppliers_first():
    kinds = [NodeKind.SUPPLIER, NodeKind.LOT, NodeKind.BATCH, NodeKind.PLACE]
    levels = make(kinds, {(0, 1), (1, 2)}).levels()
    assert levels == {"n0": 0, "n1": 1, "n2": 2, "n3": 3}


def test_a_cycle_in_a_broken_record_still_gets_a_picture():
    graph = make([NodeKind.LOT, NodeKind.BATCH], {(0, 1), (1, 0)})
    assert graph.downstream(["n0"]) == {"n1"}
    assert draw_graph(graph).contents


def test_an_edge_to_nowhere_is_refused():
    node = Node(key="a", kind=NodeKind.LOT, title="a")
    with pytest.raises(GraphError, match="leads out"):
        Graph(nodes=(node,), edges=(Edge(tail="a", head="b"),))
    with pytest.raises(GraphError, match="twice"):
        Graph(nodes=(node, node), edges=())


def test_folding_goes_round_a_cycle_of_folded_nodes():
    kinds = [NodeKind.LOT, NodeKind.PURCHASE, NodeKind.PURCHASE, NodeKind.BATCH]
    graph = make(kinds, {(0, 1), (1, 2), (2, 1), (2, 3)})
    assert graph.folded({NodeKind.PURCHASE}).edges == (Edge(tail="n0", head="n3"),)


@settings(max_examples=20)
@given(graphs(most=8))
def test_the_picture_names_every_node(graph):
    svg = as_svg(draw_graph(graph), title="t", description="d")
    for node in graph.nodes:
        assert node.title in svg


def test_three_hundred_nodes_stay_readable():
    kinds = [NodeKind.LOT] * 60 + [NodeKind.BATCH] * 120 + [NodeKind.JARS] * 120
    pairs = {(n % 60, 60 + n) for n in range(120)} | {
        (60 + n, 180 + n) for n in range(120)
    }
    svg = as_svg(draw_graph(make(kinds, pairs)), title="t", description="d")
    sizes = {
        float(each.get("font-size").rstrip("px"))
        for each in fromstring(svg).iter("{http://www.w3.org/2000/svg}text")
    }
    assert min(sizes) >= 11


def test_state_is_said_in_words_and_links_lead_to_pages():
    node = Node(
        key="lot:1",
        kind=NodeKind.JARS,
        title="A very long name of a product that cannot fit into its box",
        detail="24 jars",
        address="/lot/1/",
        state=State.STOPPED,
    )
    svg = as_svg(draw_graph(Graph(nodes=(node,), edges=())), title="t", description="d")
    assert "stopped: 24 jars" in svg
    assert 'href="/lot/1/"' in svg
    assert "…" in svg
