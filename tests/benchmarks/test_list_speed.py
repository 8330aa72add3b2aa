"""How long a page of a list of 100,000 rows takes, beside the bare query of that page.

Each list of the inventory and the labels is opened as the owner sees it, whole request:
the first page, one in the middle, the last. The named baseline is the plain SQL of the
page, ``SELECT key FROM table ORDER BY … LIMIT 25 OFFSET …``, without joins, figures or
HTML. ``LIST_ROWS`` sets another size. Nothing here fails by the clock alone: a page
fails that takes longer than a second.
"""

import datetime
import os
import statistics
import sys
import time
from decimal import Decimal

import pytest
from django.db import connection
from django.test import Client
from django.urls import reverse

from inventory.models import (
    ConsignmentLine,
    ConsignmentVisit,
    Lot,
    MarketDay,
    MarketLine,
    Material,
    Movement,
    Outlet,
    Paper,
    Product,
    Purchase,
    Supplier,
)
from labels.models import LabelSheet, LabelTally, PlaceProfile, PrintRun
from production.models import Batch
from tests import factories

pytestmark = pytest.mark.django_db
ROWS = int(os.environ.get("LIST_ROWS", "100000"))
PAGE = 25
TIMES = 5
SLOWEST_MS = 1000
FIRST_DAY = datetime.date(1752, 1, 1)
NOW = factories.NOW


def say(words):
    sys.stdout.write(f"{words}\n")


def day(number):
    return FIRST_DAY + datetime.timedelta(days=number % 100_000)


def write(model, rows):
    """Write many rows, and say their keys in order."""
    made = model.objects.bulk_create(rows, batch_size=5000)
    return [row.pk for row in made]


def write_pantry():
    fruit = factories.make_fruit().pk
    suppliers = write(
        Supplier, (Supplier(name=f"Farm {number:06}") for number in range(ROWS))
    )
    write(
        Material,
        (Material(name=f"Plum {number:06}", kind="fruit") for number in range(ROWS)),
    )
    purchases = write(
        Purchase,
        (Purchase(supplier_id=suppliers[n], bought_on=day(n)) for n in range(ROWS)),
    )
    lots = write(
        Lot,
        (
            Lot(
                code=f"L{number:06}",
                material_id=fruit,
                purchase_id=purchases[number],
                received_on=day(number),
                best_by=day(number + 30),
                cost=Decimal(10),
            )
            for number in range(ROWS)
        ),
    )
    # Of ten lots nine are used up, as in a book of many years.
    received = ((lot, 1000, Movement.Reason.RECEIVED) for lot in lots)
    used = ((lot, -1000, Movement.Reason.DRAWN) for lot in lots if lot % 10)
    for rows in (received, used):
        write(
            Movement,
            (
                Movement(lot_id=lot, quantity=grams, reason=why, on=day(lot), at=NOW)
                for lot, grams, why in rows
            ),
        )


def write_stall():
    outlets = write(
        Outlet,
        (Outlet(name=f"Market {n:06}", kind="market") for n in range(ROWS)),
    )
    shop = factories.make_outlet(kind="consignment").pk
    products = write_products()
    jars = factories.make_lot(product=Product.objects.get(pk=products[0])).pk
    days = write(
        MarketDay, (MarketDay(outlet_id=outlets[n], on=day(n)) for n in range(ROWS))
    )
    write(
        MarketLine,
        (
            MarketLine(day_id=each, lot_id=jars, taken=10, sold=8, unit_price=9)
            for each in days
        ),
    )
    visits = write(
        ConsignmentVisit,
        (
            ConsignmentVisit(outlet_id=shop, on=day(n), commission=Decimal("0.3"))
            for n in range(ROWS)
        ),
    )
    write(
        ConsignmentLine,
        (ConsignmentLine(visit_id=v, lot_id=jars, unit_price=9) for v in visits),
    )
    write(
        Paper,
        (
            Paper(
                kind="other",
                name=f"Paper {n}",
                expires_on=day(n),
                remind_on=day(n),
            )
            for n in range(ROWS)
        ),
    )


def write_products():
    size = factories.make_jar_size().pk
    return write(
        Product,
        (
            Product(code=f"jam-{n}", name=f"Jam {n:06}", jar_size_id=size)
            for n in range(ROWS)
        ),
    )


def write_labels():
    product, version = Product.objects.first(), factories.make_version()
    batch = Batch.objects.create(
        product=product,
        version=version,
        status="released",
        code="26161AZ",
        planned_on=factories.TODAY,
        made_on=factories.TODAY,
    )
    mm = Decimal(50)
    measures = {
        "rows": 2,
        "columns": 2,
        "page_width_mm": Decimal(216),
        "page_height_mm": Decimal(279),
        "label_width_mm": mm,
        "label_height_mm": mm,
        "left_margin_mm": mm,
        "top_margin_mm": mm,
        "column_pitch_mm": mm,
        "row_pitch_mm": mm,
        "corner_radius_mm": Decimal(0),
    }
    sheets = write(
        LabelSheet, (LabelSheet(name=f"sheet-{n}", **measures) for n in range(ROWS))
    )
    runs = write(
        PrintRun,
        (
            PrintRun(
                batch=batch,
                sheet_id=sheets[0],
                printed_at=NOW + datetime.timedelta(minutes=n),
                count=10,
                design="plain",
            )
            for n in range(ROWS)
        ),
    )
    write(LabelTally, (LabelTally(run_id=run, at=NOW, used=9) for run in runs))
    write(
        PlaceProfile,
        (
            PlaceProfile(
                code=f"own-{n}",
                place=f"Place {n:06}",
                country="US",
                completeness="own",
                status="own",
                read_on=factories.TODAY,
            )
            for n in range(ROWS)
        ),
    )


@pytest.fixture(scope="module")
def owner_of_the_book(django_db_setup, django_db_blocker):
    """Everything is written once and rolled back at the end."""
    from django.db import transaction

    with django_db_blocker.unblock(), transaction.atomic():
        began = time.perf_counter()
        factories.make_business()
        for room in (write_pantry, write_stall, write_labels):
            room()
        with connection.cursor() as cursor:
            cursor.execute("ANALYZE")
        seconds = time.perf_counter() - began
        say(f"\n{connection.vendor}: {ROWS} rows of each list in {seconds:.0f} s")
        client = Client()
        client.force_login(factories.make_owner())
        yield client
        transaction.set_rollback(True)


# The list, what is asked of it, its table and the order its first page is read in.
LISTS = [
    ("inventory:lot-list", "here=all", Lot, "received_on DESC, id DESC"),
    ("inventory:lot-list", "", Lot, "received_on DESC, id DESC"),
    ("inventory:ledger", "", Movement, "id DESC"),
    ("inventory:ledger", "reason=drawn", Movement, "id DESC"),
    ("inventory:material-list", "", Material, "name"),
    ("inventory:supplier-list", "", Supplier, "name"),
    ("inventory:purchase-list", "", Purchase, "bought_on DESC, id DESC"),
    (
        "inventory:purchase-list",
        "since=2000-01-01",
        Purchase,
        "bought_on DESC, id DESC",
    ),
    ("inventory:outlet-list", "", Outlet, "name"),
    ("inventory:marketday-list", "", MarketDay, '"on" DESC, id DESC'),
    ("inventory:visit-list", "", ConsignmentVisit, '"on" DESC, id DESC'),
    ("inventory:paper-list", "", Paper, "expires_on, name"),
    ("labels:printrun-list", "", PrintRun, "printed_at DESC, id DESC"),
    ("labels:productlabel-list", "", Product, "name, id"),
    ("labels:check-list", "", Product, "name, id"),
    ("labels:place-list", "", PlaceProfile, "place, id"),
    ("labels:sheet-list", "", LabelSheet, "name"),
]


def median_ms(work):
    times = []
    for _ in range(TIMES):
        began = time.perf_counter()
        work()
        times.append(1000 * (time.perf_counter() - began))
    return statistics.median(times)


def bare(model, order, offset):
    """The baseline: the keys of the page, and nothing else."""
    table = model._meta.db_table
    sql = f"SELECT id FROM {table} ORDER BY {order} LIMIT {PAGE} OFFSET {offset}"  # noqa: S608
    with connection.cursor() as cursor:
        cursor.execute(sql)
        return cursor.fetchall()


def test_pages_of_long_lists_beside_their_bare_queries(owner_of_the_book, benchmark):
    slow = []
    say(f"{'list':44} {'page':>6} {'ms':>7} {'bare ms':>8}")
    for name, asked, model, order in LISTS:
        address = reverse(name)
        for page, offset in (
            ("1", 0),
            (str(ROWS // 2 // PAGE), ROWS // 2),
            ("last", max(0, model.objects.count() - PAGE)),
        ):
            path = f"{address}?{asked}&page={page}"
            assert owner_of_the_book.get(path).status_code == 200
            took = median_ms(lambda path=path: owner_of_the_book.get(path))
            base = median_ms(lambda: bare(model, order, offset))  # noqa: B023
            say(f"{name + ' ' + asked:44} {page:>6} {took:7.0f} {base:8.1f}")
            if took > SLOWEST_MS:
                slow.append(f"{path}: {took:.0f} ms")
    benchmark(owner_of_the_book.get, reverse("inventory:lot-list"))
    assert slow == []
