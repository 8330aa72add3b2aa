"""The graph of a trace: suppliers, purchases, lots, batches, jars, places.

Edges point the way food travels. The graph answers what lies upstream and
downstream of a node, on which level of a picture each node stands, and what the
same graph looks like with kinds of node folded away. It knows nothing of where its
nodes were read from.
"""

from collections import defaultdict, deque
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

from inventory.words import say, to_say

__all__ = ["Edge", "Graph", "GraphError", "Node", "NodeKind", "State"]


class GraphError(ValueError):
    """An edge points at a node that is not in the graph, or a key stands twice."""


class NodeKind(StrEnum):
    """What a node stands for, in the order food travels."""

    SUPPLIER = to_say("supplier")
    PURCHASE = to_say("purchase")
    LOT = to_say("lot")
    BATCH = to_say("batch")
    JARS = to_say("jars")
    PLACE = to_say("place")


class State(StrEnum):
    """What must be seen of a node at a glance."""

    PLAIN = ""
    SUBJECT = to_say("asked for")
    HELD = to_say("held")
    STOPPED = to_say("stopped")
    REJECTED = to_say("rejected")
    RECALLED = to_say("recalled")


@dataclass(frozen=True, slots=True, kw_only=True)
class Node:
    """One thing of the trace.

    Attributes:
        key: unique in the graph ("lot:12", "batch:3", "place:1").
        kind: what it stands for.
        title: short name, shown in the picture.
        detail: second line: date, quantity, supplier's mark.
        address: page of the thing; may be empty.
        state: what must be seen at a glance.
        accent: fruit colour of its product; empty where there is none.
    """

    key: str
    kind: NodeKind
    title: str
    detail: str = ""
    address: str = ""
    state: State = State.PLAIN
    accent: str = ""


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class Edge:
    """So much went from one node into another."""

    tail: str
    head: str
    amount: str = ""


@dataclass(frozen=True, kw_only=True)
class Graph:
    """Nodes and edges; refuses edges to nowhere."""

    nodes: tuple[Node, ...]
    edges: tuple[Edge, ...]

    def __post_init__(self) -> None:
        keys = {node.key for node in self.nodes}
        if len(keys) != len(self.nodes):
            raise GraphError(say("a node stands twice in the graph"))
        for edge in self.edges:
            if edge.tail not in keys or edge.head not in keys:
                raise GraphError(
                    say(
                        "{tail} to {head} leads out of the graph",
                        tail=edge.tail,
                        head=edge.head,
                    )
                )

    @cached_property
    def by_key(self) -> Mapping[str, Node]:
        """Nodes by their keys."""
        return {node.key: node for node in self.nodes}

    @cached_property
    def children(self) -> Mapping[str, tuple[str, ...]]:
        """Heads of the edges of each tail."""
        return _grouped((edge.tail, edge.head) for edge in self.edges)

    @cached_property
    def parents(self) -> Mapping[str, tuple[str, ...]]:
        """Tails of the edges of each head."""
        return _grouped((edge.head, edge.tail) for edge in self.edges)

    def upstream(self, starts: Iterable[str]) -> frozenset[str]:
        """Keys of everything that went into the starts, without them."""
        return _closure(starts, self.parents)

    def downstream(self, starts: Iterable[str]) -> frozenset[str]:
        """Keys of everything the starts went into, without them."""
        return _closure(starts, self.children)

    def levels(self) -> Mapping[str, int]:
        """Column of every node, from 0; every edge goes to a higher column.

        Suppliers stand first and places last; in between a node stands one column
        behind the last of what went into it. Nodes of a cycle, which only a broken
        record can hold, keep the column of their kind.
        """
        order = list(NodeKind)
        level = {node.key: order.index(node.kind) for node in self.nodes}
        waiting = {key: len(self.parents.get(key, ())) for key in level}
        ready = deque(key for key, count in waiting.items() if count == 0)
        while ready:
            key = ready.popleft()
            for child in self.children.get(key, ()):
                level[child] = max(level[child], level[key] + 1)
                waiting[child] -= 1
                if waiting[child] == 0:
                    ready.append(child)
        last = max(level.values(), default=0)
        places = {n.key: last for n in self.nodes if n.kind is NodeKind.PLACE}
        return _without_gaps(level | places)

    def folded(self, kinds: Collection[NodeKind]) -> "Graph":
        """The same graph without nodes of some kinds, their neighbours joined.

        Args:
            kinds: kinds to leave out, as suppliers or places when the picture is
                full.

        Returns:
            A graph in which a path through folded nodes is one edge.
        """
        gone = {node.key for node in self.nodes if node.kind in kinds}
        kept = [node for node in self.nodes if node.key not in gone]
        edges = {edge for edge in self.edges if not {edge.tail, edge.head} & gone}
        joined = {(edge.tail, edge.head) for edge in edges}
        for node in kept:
            for head in self._beyond(node.key, gone):
                if (node.key, head) not in joined:
                    edges.add(Edge(tail=node.key, head=head))
        return Graph(nodes=tuple(kept), edges=tuple(sorted(edges)))

    def _beyond(self, key: str, gone: Collection[str]) -> set[str]:
        found: set[str] = set()
        seen: set[str] = set()
        stack = [child for child in self.children.get(key, ()) if child in gone]
        while stack:
            folded = stack.pop()
            if folded in seen:
                continue
            seen.add(folded)
            for child in self.children.get(folded, ()):
                (stack.append if child in gone else found.add)(child)
        return found - {key}


def _grouped(pairs: Iterable[tuple[str, str]]) -> dict[str, tuple[str, ...]]:
    found: dict[str, dict[str, None]] = defaultdict(dict)
    for one, other in pairs:
        found[one][other] = None
    return {one: tuple(others) for one, others in found.items()}


def _closure(
    starts: Iterable[str], steps: Mapping[str, tuple[str, ...]]
) -> frozenset[str]:
    first = set(starts)
    found: set[str] = set()
    stack = list(first)
    while stack:
        for key in steps.get(stack.pop(), ()):
            if key not in found:
                found.add(key)
                stack.append(key)
    return frozenset(found - first)


def _without_gaps(level: Mapping[str, int]) -> dict[str, int]:
    used = {value: place for place, value in enumerate(sorted(set(level.values())))}
    return {key: used[value] for key, value in level.items()}
