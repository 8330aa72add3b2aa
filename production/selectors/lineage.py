"""Who came from whom: walks over the lots, to any depth, in one query each.

A lot leads to another when a batch drew from the one and made the other, when the
other was split from it, or when its batch was cooked again. The walk is a recursive
query; its text differs between the engines, because SQLite lets the recursion be
named in several branches and PostgreSQL only once, in a lateral part. No step
filters beyond its keys: one more condition, and SQLite reads the whole table first
to build a filter for it.
"""

import json
from collections import defaultdict
from collections.abc import Iterable, Mapping

from django.db import connection
from django.db.models.expressions import RawSQL

__all__ = [
    "downstream_by_origin",
    "id_rows",
    "lots_downstream",
    "lots_upstream",
]

_DOWN = (
    (
        "SELECT made.lot_id FROM {here} inventory_movement took"
        " {join} production_batchinput into_it ON into_it.movement_id = took.id"
        " {join} production_batchoutput made ON made.batch_id = into_it.batch_id"
        " WHERE took.lot_id = {lot}"
    ),
    "SELECT part.id FROM {here} inventory_lot part WHERE part.split_from_id = {lot}",
    (
        "SELECT again_made.lot_id FROM {here} production_batchoutput first_made"
        " {join} production_batch again ON again.parent_id = first_made.batch_id"
        " {join} production_batchoutput again_made ON again_made.batch_id = again.id"
        " WHERE first_made.lot_id = {lot}"
    ),
)
_UP = (
    (
        "SELECT took.lot_id FROM {here} production_batchoutput made"
        " {join} production_batchinput into_it ON into_it.batch_id = made.batch_id"
        " {join} inventory_movement took ON took.id = into_it.movement_id"
        " WHERE made.lot_id = {lot}"
    ),
    ("SELECT part.split_from_id FROM {here} inventory_lot part WHERE part.id = {lot}"),
    (
        "SELECT first_made.lot_id FROM {here} production_batchoutput again_made"
        " {join} production_batch again ON again.id = again_made.batch_id"
        " {join} production_batchoutput first_made"
        " ON first_made.batch_id = again.parent_id"
        " WHERE again_made.lot_id = {lot}"
    ),
)


def lots_downstream(lots: Iterable[int]) -> frozenset[int]:
    """Numbers of the lots that came, at any remove, from these; without them."""
    starts = frozenset(lots)
    return _walk(_DOWN, starts) - starts


def lots_upstream(lots: Iterable[int]) -> frozenset[int]:
    """Numbers of the lots that went, at any remove, into these; without them."""
    starts = frozenset(lots)
    return _walk(_UP, starts) - starts


def downstream_by_origin(lots: Iterable[int]) -> Mapping[int, frozenset[int]]:
    """The lots that came from each of these, told apart, in one query.

    Args:
        lots: numbers of the lots to start from.

    Returns:
        For each of them the numbers of its descendants, itself left out.
    """
    starts = frozenset(lots)
    found: dict[int, set[int]] = defaultdict(set)
    for origin, lot in _rows(_recursion(_DOWN, with_origin=True), starts):
        if origin != lot:
            found[origin].add(lot)
    return {lot: frozenset(found[lot]) for lot in starts}


def id_rows(numbers: Iterable[int]) -> RawSQL:
    """Give row numbers to a filter as one parameter: ``pk__in=id_rows(...)``.

    A list of parameters would meet the engine's limit once an answer is large.

    Args:
        numbers: row numbers, any count of them.
    """
    return RawSQL(_numbers_sql(), [_parameter(numbers)])  # noqa: S611 - no outside text


def _walk(steps: tuple[str, ...], starts: frozenset[int]) -> frozenset[int]:
    rows = _rows(_recursion(steps, with_origin=False), starts)
    return frozenset(row[0] for row in rows)


def _rows(sql: str, starts: frozenset[int]) -> list[tuple[int, ...]]:
    with connection.cursor() as cursor:
        cursor.execute(sql, [_parameter(starts)])
        return list(cursor.fetchall())


def _parameter(numbers: Iterable[int]) -> list[int] | str:
    """Numbers as the one parameter of ``_numbers_sql``."""
    listed = sorted(numbers)
    return listed if connection.vendor == "postgresql" else json.dumps(listed)


def _numbers_sql() -> str:
    if connection.vendor == "postgresql":
        return "SELECT unnest(%s::bigint[]) AS value"
    return "SELECT value FROM json_each(%s)"


def _recursion(steps: tuple[str, ...], *, with_origin: bool) -> str:
    """The whole query; ``with_origin`` keeps where each walk began."""
    seed = f"SELECT value AS origin, value AS id FROM ({_numbers_sql()}) AS given"  # noqa: S608 - no outside text
    names = "origin, id"
    if not with_origin:
        seed = seed.replace("value AS origin, ", "")
        names = "id"
    branches = (
        _lateral(steps, with_origin=with_origin)
        if connection.vendor == "postgresql"
        else _branches(steps, with_origin=with_origin)
    )
    return (
        f"WITH RECURSIVE reached({names}) AS ({seed} UNION {branches})"  # noqa: S608 - no outside text
        f" SELECT {names} FROM reached WHERE id IS NOT NULL"
    )


def _lateral(steps: tuple[str, ...], *, with_origin: bool) -> str:
    union = " UNION ALL ".join(
        step.format(here="", join="JOIN", lot="reached.id") for step in steps
    )
    origin = "reached.origin, " if with_origin else ""
    return (
        f"SELECT {origin}onward.lot FROM reached"  # noqa: S608 - no outside text
        f" CROSS JOIN LATERAL ({union} OFFSET 0) AS onward(lot)"
    )


def _branches(steps: tuple[str, ...], *, with_origin: bool) -> str:
    here = "reached CROSS JOIN"
    branches = [
        step.format(here=here, join="CROSS JOIN", lot="reached.id") for step in steps
    ]
    if with_origin:
        branches = [
            b.replace("SELECT ", "SELECT reached.origin, ", 1) for b in branches
        ]
    return " UNION ".join(branches)
