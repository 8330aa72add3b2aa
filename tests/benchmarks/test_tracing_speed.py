"""How long a trace takes, and how much of it is the bare recursive query.

``make benchmarks`` runs the size of ten busy years (5,000 batches, 60,000 ledger
rows); ``TRACE_BATCHES=500000`` runs a hundred times that. On PostgreSQL set
``DATABASE_URL``. Nothing here fails by the clock: it reports.
"""

import os
import statistics
import sys
import time

import pytest
from django.db import connection

from production.models import Batch
from production.selectors import lineage, tracing
from tests.benchmarks import trace_book

pytestmark = pytest.mark.django_db
BATCHES = int(os.environ.get("TRACE_BATCHES", "5000"))
ASKED = 25


def say(words):
    sys.stdout.write(f"{words}\n")


@pytest.fixture(scope="module")
def book(django_db_setup, django_db_blocker):
    """The book is written once and rolled back at the end."""
    from django.db import transaction
    from django.urls import reverse

    reverse("production:trace")  # every page is read in before the clock runs
    with django_db_blocker.unblock(), transaction.atomic():
        began = time.perf_counter()
        trace_book.write_book(BATCHES)
        seconds = time.perf_counter() - began
        say(f"\n{connection.vendor}: {BATCHES} batches written in {seconds:.0f} s")
        yield [BATCHES * n // (ASKED + 1) // 10 * 10 + 3 for n in range(1, ASKED + 1)]
        transaction.set_rollback(True)


def median_ms(work, numbers):
    times = []
    for number in numbers:
        began = time.perf_counter()
        work(number)
        times.append(1000 * (time.perf_counter() - began))
    return statistics.median(times), max(times)


def batch_of(number):
    return Batch.objects.select_related("product__jar_size", "version__recipe").get(
        pk=number + 1
    )


def answer(number):
    return tracing.trace_batch(batch_of(number))


def bare(number):
    lot = trace_book.made_lot(number)
    back = lineage.lots_upstream([lot])
    return lineage.downstream_by_origin([lot, *back])


def test_a_trace_beside_the_bare_query_inside_it(book, benchmark):
    found = benchmark(answer, book[0])
    say(
        f"answer: {len(found.sources)} sources, {len(found.affected)} affected,"
        f" {len(found.sisters)} sisters, {len(found.graph.nodes)} nodes"
    )
    whole, worst = median_ms(answer, book)
    query, _ = median_ms(bare, book)
    say(f"trace {whole:.1f} ms median, {worst:.1f} ms worst of {ASKED}")
    say(f"bare recursive query {query:.1f} ms; ratio {whole / query:.1f}")
    assert len(found.sisters) > 30
