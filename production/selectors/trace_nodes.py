"""Rows of the book become nodes and edges of a trace."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.urls import NoReverseMatch, reverse

from inventory.models import Lot, Movement
from inventory.words import say
from production.models import Batch
from production.selectors.whereabouts import LedgerSum
from production.trace_graph import Edge, Graph, Node, NodeKind, State

__all__ = ["TraceRows", "build_graph"]


@dataclass(frozen=True, slots=True, kw_only=True)
class TraceRows:
    """What was read for one trace.

    Attributes:
        lots: lots of the picture by number.
        batches: batches of the picture by number.
        draws: batch, lot and quantity drawn.
        makes: batch and lot made.
        ledger: sums of the lots whose jars are followed.
    """

    lots: Mapping[int, Lot]
    batches: Mapping[int, Batch]
    draws: Sequence[tuple[int, int, Decimal]]
    makes: Sequence[tuple[int, int]]
    ledger: Mapping[int, Sequence[LedgerSum]]


def build_graph(rows: TraceRows, *, subject: str) -> Graph:
    """Build the graph of a trace.

    Args:
        rows: what was read.
        subject: key of the node that was asked for.

    Returns:
        Suppliers, purchases, lots, batches, jars and outlets with their edges.
    """
    nodes = {node.key: node for node in _nodes(rows, subject)}
    edges = {(edge.tail, edge.head): edge for edge in _edges(rows)}
    inside = [e for e in edges.values() if e.tail in nodes and e.head in nodes]
    return Graph(nodes=tuple(nodes.values()), edges=tuple(inside))


def _nodes(rows: TraceRows, subject: str) -> Iterator[Node]:
    for lot in rows.lots.values():
        yield from _purchase_nodes(lot)
        yield _lot_node(lot, subject)
    for batch in rows.batches.values():
        yield _batch_node(batch, subject)
    for sums in rows.ledger.values():
        for row in sums:
            if row.outlet_id and _went_to(rows.lots, row):
                yield Node(
                    key=f"place:{row.outlet_id}",
                    kind=NodeKind.PLACE,
                    title=row.outlet,
                    address=_page("inventory:outlet-detail", row.outlet_id),
                )


def _edges(rows: TraceRows) -> Iterator[Edge]:
    for lot in rows.lots.values():
        yield from _purchase_edges(lot)
        if lot.split_from_id:
            source = rows.lots.get(lot.split_from_id)
            if source is not None:
                yield Edge(tail=lot_key(source), head=lot_key(lot))
    for batch, lot_id, quantity in rows.draws:
        if lot_id in rows.lots:
            lot = rows.lots[lot_id]
            amount = f"{quantity.normalize():f} {lot.unit}"
            yield Edge(tail=lot_key(lot), head=f"batch:{batch}", amount=amount)
    for batch, lot_id in rows.makes:
        yield Edge(tail=f"batch:{batch}", head=lot_key(rows.lots[lot_id]))
    yield from _recooked_edges(rows)
    yield from _place_edges(rows)


def _recooked_edges(rows: TraceRows) -> Iterator[Edge]:
    made = defaultdict(list)
    for batch, lot_id in rows.makes:
        made[batch].append(rows.lots[lot_id])
    for again in rows.batches.values():
        for lot in made.get(again.parent_id or 0, ()):
            yield Edge(tail=lot_key(lot), head=f"batch:{again.pk}")


def _place_edges(rows: TraceRows) -> Iterator[Edge]:
    went: dict[tuple[int, int], Decimal] = defaultdict(Decimal)
    for lot_id, sums in rows.ledger.items():
        for row in sums:
            if row.outlet_id and _went_to(rows.lots, row):
                went[lot_id, row.outlet_id] += row.quantity
    for (lot_id, outlet), jars in went.items():
        amount = say("{jars:f} jars", jars=jars.normalize())
        head = f"place:{outlet}"
        yield Edge(tail=lot_key(rows.lots[lot_id]), head=head, amount=amount)


def _went_to(lots: Mapping[int, Lot], row: LedgerSum) -> bool:
    """Whether jars were carried to an outlet, or back from it."""
    is_jars = lots[row.lot_id].product_id is not None
    return is_jars and row.reason == Movement.Reason.MOVED


def lot_key(lot: Lot) -> str:
    """Key of a lot's node."""
    return f"jars:{lot.pk}" if lot.product_id else f"lot:{lot.pk}"


def _lot_node(lot: Lot, subject: str) -> Node:
    key = lot_key(lot)
    state = State.SUBJECT if key == subject else State.PLAIN
    mark = f", {lot.supplier_mark}" if lot.supplier_mark else ""
    return Node(
        key=key,
        kind=NodeKind.JARS if lot.product_id else NodeKind.LOT,
        title=lot.name,
        detail=f"{lot.code}{mark}",
        address=_page("production:trace-lot", lot.code),
        state=State.STOPPED if lot.stopped_at else state,
        accent=lot.product.accent if lot.product else "",
    )


def _batch_node(batch: Batch, subject: str) -> Node:
    key = f"batch:{batch.pk}"
    states = {
        Batch.Status.HELD: State.HELD,
        Batch.Status.REJECTED: State.REJECTED,
        Batch.Status.RECALLED: State.RECALLED,
    }
    status = Batch.Status(batch.status)
    state = State.SUBJECT if key == subject else states.get(status, State.PLAIN)
    code = batch.code or say("planned")
    address = _page("production:trace-batch", batch.code) if batch.code else ""
    return Node(
        key=key,
        kind=NodeKind.BATCH,
        title=say("Batch {code}", code=code),
        detail=str(batch.product or batch.version.recipe),
        address=address,
        state=state,
        accent=batch.product.accent if batch.product else "",
    )


def _purchase_nodes(lot: Lot) -> Iterator[Node]:
    purchase = lot.purchase
    if purchase is None:
        return
    supplier = purchase.supplier
    yield Node(
        key=f"supplier:{supplier.pk}",
        kind=NodeKind.SUPPLIER,
        title=str(supplier),
        address=_page("inventory:supplier-detail", supplier.pk),
    )
    yield Node(
        key=f"purchase:{purchase.pk}",
        kind=NodeKind.PURCHASE,
        title=say("Bought {bought_on:%d %b %Y}", bought_on=purchase.bought_on),
        detail=purchase.reference,
        address=_page("inventory:purchase-detail", purchase.pk),
    )


def _purchase_edges(lot: Lot) -> Iterator[Edge]:
    purchase = lot.purchase
    if purchase is None:
        return
    key = f"purchase:{purchase.pk}"
    yield Edge(tail=f"supplier:{purchase.supplier_id}", head=key)
    if not lot.split_from_id:
        yield Edge(tail=key, head=lot_key(lot))


def _page(name: str, key: object) -> str:
    try:
        return reverse(name, args=[key])
    except NoReverseMatch:
        return ""
