"""How long a page of a production list of 100,000 rows takes, beside its bare query.

As ``test_list_speed.py`` does for the inventory and the labels: the whole request of the
owner, first page, one in the middle, the last, and as the named baseline the plain SQL
of the page, ``SELECT id FROM table ORDER BY … LIMIT 25 OFFSET …``. ``LIST_ROWS`` sets
another size. A page fails that takes longer than a second.
"""

import datetime
import os
import statistics
import sys
import time
from decimal import Decimal

import pytest
from django.db import connection, transaction
from django.test import Client
from django.urls import reverse

from inventory.models import JarSize, Product
from production.models import (
    Batch,
    Complaint,
    Expense,
    Filling,
    Instrument,
    InstrumentCheck,
    MockRecall,
    Overhead,
    Recipe,
    RecipeVersion,
    StopSale,
)
from tests import factories

pytestmark = pytest.mark.django_db
ROWS = int(os.environ.get("LIST_ROWS", "100000"))
PAGE = 25
TIMES = 5
SLOWEST_MS = 1000
FIRST_DAY = datetime.date(1752, 1, 1)
NOW = factories.NOW
CODE_SIGNS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"


def say(words):
    sys.stdout.write(f"{words}\n")


def day(number):
    return FIRST_DAY + datetime.timedelta(days=number % 100_000)


def moment(number):
    return NOW - datetime.timedelta(hours=number)


def code(number):
    """A code of its own for every batch, seven signs long."""
    signs = ""
    for _ in range(7):
        number, sign = divmod(number, len(CODE_SIGNS))
        signs = CODE_SIGNS[sign] + signs
    return signs


def write(model, rows):
    """Write many rows, and say their keys in order."""
    return [row.pk for row in model.objects.bulk_create(rows, batch_size=5000)]


def write_kitchen():
    jar = factories.make_jar_size()
    size, measures = (
        jar.pk,
        {
            field.name: getattr(jar, field.name)
            for field in JarSize._meta.fields
            if field.name not in {"id", "name", "brim_ml"}
        },
    )
    recipes = write(
        Recipe,
        (
            Recipe(name=f"Jam {n:06}", slug=f"jam-{n}", kind="jam", identity="Jam")
            for n in range(ROWS)
        ),
    )
    versions = write(
        RecipeVersion,
        (RecipeVersion(recipe_id=r, number=1, written_on=day(0)) for r in recipes),
    )
    products = write(
        Product,
        (
            Product(code=f"jam-{n}", name=f"Jam {n:06}", jar_size_id=size)
            for n in range(ROWS)
        ),
    )
    write(
        Filling,
        (
            Filling(product_id=product, recipe_id=recipe)
            for product, recipe in zip(products, recipes, strict=True)
        ),
    )
    write(
        JarSize,
        (JarSize(name=f"Jar {n:06}", brim_ml=n + 1, **measures) for n in range(ROWS)),
    )
    # A kitchen of many years: what is not cooked yet is of the last weeks.
    return write(
        Batch,
        (
            Batch(
                code=code(n),
                version_id=versions[n % 500],
                product_id=products[n % 500],
                status="released" if n < ROWS - 40 else "held",
                planned_on=day(n),
                made_on=day(n),
            )
            for n in range(ROWS)
        ),
    )


def write_complaints(batches):
    write(
        Complaint,
        (
            Complaint(
                received_at=moment(n),
                batch_id=batches[n],
                symptom="ILL",
                severity="stop",
                closed_at=moment(n) if n > 50 else None,
            )
            for n in range(ROWS)
        ),
    )
    lot = factories.make_lot().pk
    stops = write(
        StopSale,
        (
            StopSale(
                set_at=moment(n),
                reason="a lid bulged",
                lifted_at=moment(n) if n > 30 else None,
                lift_reason="sound" if n > 30 else "",
            )
            for n in range(ROWS)
        ),
    )
    through = StopSale.lots.through
    through.objects.bulk_create(
        (through(stopsale_id=stop, lot_id=lot) for stop in stops), batch_size=5000
    )
    write(
        MockRecall,
        (
            MockRecall(
                batch_id=batches[n],
                started_at=moment(n),
                finished_at=moment(n - 1),
                made=10,
                found=10,
            )
            for n in range(ROWS)
        ),
    )


def write_books():
    write(
        Expense,
        (
            Expense(on=day(n), kind="supplies", text=f"Soap {n}", amount=Decimal(3))
            for n in range(ROWS)
        ),
    )
    write(
        Overhead,
        (
            Overhead(name=f"Permit {n:06}", amount=Decimal(9), starts_on=day(n))
            for n in range(ROWS)
        ),
    )
    meter = Instrument.objects.create(name="Thermometer", kind="thermometer").pk
    write(
        InstrumentCheck,
        (
            InstrumentCheck(
                instrument_id=meter,
                checked_at=moment(n),
                reference="boiling water",
                true_value=100,
                reading=100,
                passed=True,
            )
            for n in range(ROWS)
        ),
    )


@pytest.fixture(scope="module")
def owner_of_the_book(django_db_setup, django_db_blocker):
    """Everything is written once and rolled back at the end."""
    with django_db_blocker.unblock(), transaction.atomic():
        began = time.perf_counter()
        factories.make_business()
        write_complaints(write_kitchen())
        write_books()
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
    ("production:kitchen", "", Batch, "planned_on DESC, id DESC"),
    ("production:kitchen", "status=released", Batch, "planned_on DESC, id DESC"),
    ("production:kitchen", "sort=code", Batch, "made_on, code"),
    ("production:kitchen", "code=0AB", Batch, "planned_on DESC, id DESC"),
    ("production:recipe-list", "", Recipe, "name"),
    ("production:product-list", "", Product, "name, id"),
    ("production:jarsize-list", "", JarSize, "brim_ml, id"),
    ("production:complaint-list", "", Complaint, "received_at DESC, id DESC"),
    ("production:stopsale-list", "", StopSale, "set_at DESC, id DESC"),
    ("production:drill-list", "", MockRecall, "started_at DESC, id DESC"),
    ("production:expense-list", "", Expense, '"on" DESC, id DESC'),
    ("production:overhead-list", "", Overhead, "name"),
]

# Pages that read of a long table only what they show.
PAGES = ["production:instrument-list", "production:trace", "production:week"]


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


def opened_ms(client, path):
    assert client.get(path).status_code == 200
    return median_ms(lambda: client.get(path))


def test_pages_of_long_lists_beside_their_bare_queries(owner_of_the_book, benchmark):
    slow = []
    say(f"{'list':44} {'page':>6} {'ms':>7} {'bare ms':>8}")
    for name, asked, model, order in LISTS:
        for page, offset in (
            ("1", 0),
            (str(ROWS // 2 // PAGE), ROWS // 2),
            ("last", max(0, model.objects.count() - PAGE)),
        ):
            path = f"{reverse(name)}?{asked}&page={page}"
            took = opened_ms(owner_of_the_book, path)
            base = median_ms(lambda: bare(model, order, offset))  # noqa: B023
            say(f"{name + ' ' + asked:44} {page:>6} {took:7.0f} {base:8.1f}")
            if took > SLOWEST_MS:
                slow.append(f"{path}: {took:.0f} ms")
    for name in PAGES:
        took = opened_ms(owner_of_the_book, reverse(name))
        say(f"{name:44} {'':>6} {took:7.0f}")
        if took > SLOWEST_MS:
            slow.append(f"{name}: {took:.0f} ms")
    benchmark(owner_of_the_book.get, reverse("production:kitchen"))
    assert slow == []
