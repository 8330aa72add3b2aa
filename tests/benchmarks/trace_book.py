"""A large book to trace in, written straight into the tables.

Per batch twelve ledger rows: five draws (fruit or purée, sugar, pectin, jars, lids),
one make, and six of jars carried, sold and broken. A fruit lot feeds two batches,
sugar, pectin, jars and lids forty each; every tenth batch is a frozen purée that five
later ones draw.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from django.db import connection
from django.db.models import Model

from inventory.models import Lot, Movement
from production.batch_codes import BATCH_LETTERS, make_code
from production.models import Batch, BatchInput, BatchOutput
from tests.factories import (
    make_fruit,
    make_material,
    make_outlet,
    make_product,
    make_purchase,
    make_version,
)
from tests.guards import _sqlite

FIRST_DAY = date(2001, 1, 1)
SHARED = 40
MAKES_PUREE = 10
CHUNK = 20_000

LOT = (
    *("id", "code", "material_id", "product_id", "purchase_id", "received_on"),
    *("supplier_mark", "origin", "as_typed", "cost", "is_frozen", "note"),
)
MOVEMENT = (
    *("id", "lot_id", "quantity", "reason", "on", "at", "place_id", "sales_tax"),
    *("cause", "note"),
)
BATCH = (
    *("id", "code", "version_id", "product_id", "factor", "status", "planned_on"),
    *("made_on", "canner", "decision_reason", "overrides", "note"),
)
INPUT = ("id", "batch_id", "movement_id")
OUTPUT = ("id", "batch_id", "lot_id", "filled")


@dataclass(frozen=True, slots=True, kw_only=True)
class Parents:
    """Rows the large tables point at."""

    fruit: int
    things: tuple[int, int, int, int]
    product: int
    version: int
    outlet: int
    purchase: int


def write_book(batches: int) -> None:
    """Fill the tables with a book of so many batches."""
    parents = Parents(
        fruit=make_fruit().pk,
        things=tuple(make_material().pk for _ in range(4)),
        product=make_product().pk,
        version=make_version().pk,
        outlet=make_outlet().pk,
        purchase=make_purchase().pk,
    )
    down, up = _guards()
    with connection.cursor() as cursor:
        for command in down:
            cursor.execute(command)
    _load(Batch, BATCH, _batches(batches, parents))
    _load(Lot, LOT, _lots(batches, parents))
    _load(Movement, MOVEMENT, _movements(batches, parents))
    _load(BatchInput, INPUT, _inputs(batches))
    _load(BatchOutput, OUTPUT, _outputs(batches))
    with connection.cursor() as cursor:
        for command in up:
            cursor.execute(command)
        cursor.execute("ANALYZE")


def _guards() -> tuple[list[str], list[str]]:
    """Commands that take the guards of the tables down, and put them up again."""
    if connection.vendor == "postgresql":
        role = "SET session_replication_role"
        return [f"{role} = replica"], [f"{role} = DEFAULT"]
    return _sqlite()


def day_of(number: int) -> date:
    return FIRST_DAY + timedelta(days=number // len(BATCH_LETTERS))


def is_puree(number: int) -> bool:
    return number % MAKES_PUREE == 0


def lots_drawn(number: int) -> tuple[int, ...]:
    """Numbers of the lots a batch draws; lots of batches follow the bought ones."""
    shared = number // SHARED
    first = puree_of(number)
    fruit = number // 2 * 10 + 1 if first is None else made_lot(first)
    return (fruit, *(shared * 100 + kind for kind in (2, 3, 4, 5)))


def puree_of(number: int) -> int | None:
    """The purée batch a batch draws, if it draws one: five of the next nine do."""
    before = number % MAKES_PUREE
    return number - before if 0 < before <= 5 else None


def made_lot(number: int) -> int:
    return MADE + number


MADE = 50_000_000


def _batches(count: int, parents: Parents) -> Iterator[tuple[object, ...]]:
    for n in range(count):
        day = day_of(n).isoformat()
        code = make_code(day_of(n), BATCH_LETTERS[n % len(BATCH_LETTERS)])
        product = None if is_puree(n) else parents.product
        yield (
            *(n + 1, code, parents.version, product, "1", "released", day, day),
            *("", "", "[]", ""),
        )


def _lots(count: int, parents: Parents) -> Iterator[tuple[object, ...]]:
    seen: set[int] = set()
    for n in range(count):
        day = day_of(n).isoformat()
        for lot in lots_drawn(n):
            if lot < MADE and lot not in seen:
                seen.add(lot)
                kind = parents.fruit if lot % 10 == 1 else parents.things[lot % 10 - 2]
                yield _lot(lot, f"B{lot}", kind, None, parents.purchase, day)
        product = None if is_puree(n) else parents.product
        material = parents.fruit if is_puree(n) else None
        yield _lot(made_lot(n), f"M{n}", material, product, None, day)


def _lot(
    number: int,
    code: str,
    material: int | None,
    product: int | None,
    purchase: int | None,
    day: str,
) -> tuple[object, ...]:
    return (
        *(number, code, material, product, purchase, day),
        *("", "", "", "1", False, ""),
    )


def _movements(count: int, parents: Parents) -> Iterator[tuple[object, ...]]:
    for n in range(count):
        on = day_of(n)
        at = datetime.combine(on, datetime.min.time(), UTC).isoformat(" ")
        base, lot = n * 12, made_lot(n)
        rows = [(drawn, -10, "drawn", None) for drawn in lots_drawn(n)]
        rows.append((lot, 100 if is_puree(n) else 24, "made", None))
        if is_puree(n):
            rows += [(lot, -1, "trimmed", None)] * 6
        else:
            rows += [
                *((lot, -8, "moved", None), (lot, 8, "moved", parents.outlet)),
                *((lot, -7, "sold", parents.outlet), (lot, -1, "broken", None)),
                *((lot, -3, "given", None), (lot, -1, "own_use", None)),
            ]
        for at_row, (of, quantity, reason, place) in enumerate(rows):
            day = on.isoformat()
            yield (
                *(base + at_row + 1, of, str(quantity), reason, day, at, place, "0"),
                *("", ""),
            )


def _inputs(count: int) -> Iterator[tuple[object, ...]]:
    for n in range(count):
        for draw in range(5):
            yield (n * 5 + draw + 1, n + 1, n * 12 + draw + 1)


def _outputs(count: int) -> Iterator[tuple[object, ...]]:
    for n in range(count):
        yield (n + 1, n + 1, made_lot(n), "24")


def _load(
    model: type[Model], columns: tuple[str, ...], rows: Iterable[tuple[object, ...]]
) -> None:
    """Write rows; what a row leaves out gets the model's default."""
    extra = [
        field
        for field in model._meta.concrete_fields
        if field.column not in columns and not field.null
    ]
    rest = tuple(
        field.get_db_prep_save(field.get_default(), connection) for field in extra
    )
    names = ", ".join(f'"{c}"' for c in (*columns, *(field.column for field in extra)))
    table = f'"{model._meta.db_table}" ({names})'
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            with cursor.copy(f"COPY {table} FROM STDIN") as copy:
                for row in rows:
                    copy.write_row((*row, *rest))
            return
        marks = ", ".join("?" for _ in (*columns, *rest))
        insert = f"INSERT INTO {table} VALUES ({marks})"  # noqa: S608
        connection.connection.cursor().executemany(insert, ((*r, *rest) for r in rows))
