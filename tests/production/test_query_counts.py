"""No page of production asks more than twelve queries, on the demonstration's book."""

from decimal import Decimal

import pytest
from django.urls import reverse

from inventory.models import Movement
from production.models import (
    Batch,
    BatchOutput,
    Complaint,
    Expense,
    Instrument,
    InstrumentCheck,
    MockRecall,
    Overhead,
    Recall,
    RecipeVersion,
    StopSale,
)
from tests import page_queries
from tests.factories import (
    NOW,
    TODAY,
    make_filling,
    make_fruit,
    make_jar_size,
    make_line,
    make_lot,
    make_market_day,
    make_outlet,
    make_price,
    make_product,
    make_purchase,
    make_step,
    make_version,
)
from tests.production.books_scene import make_row

D = Decimal

IMPORTS = """
from decimal import Decimal
from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone
from inventory.models import *
from production import batches, recalls, stop_sale
from production.models import *
from production.workbook.layout import sheets

now, today = timezone.now(), timezone.localdate()
person = User.objects.get(username="owner")
made = Batch.objects.filter(status="released", outputs__lot__product__isnull=False)
newest = made.order_by("-made_on", "-pk")[0]

# what the year of the demonstration ends without
def plan(like):
    return batches.plan(version=like.version, product=like.product, planned_on=today)

def cook():
    for like in made.order_by("-made_on", "-pk"):
        try:
            with transaction.atomic():
                return batches.start(batch=plan(like), at=now, person=person)
        except batches.BatchError:  # the pantry may be short of something
            continue

plan(newest), cook()
Overhead.objects.create(
    name="Stall permit", amount=Decimal(80), key="takings", starts_on=today
)
Expense.objects.create(on=today, kind="supplies", text="Dish soap", amount=Decimal(12))
stopped = stop_sale.stop_batches(
    batches=[made.order_by("made_on", "pk")[0]], reason="a lid bulged", at=now,
    person=person,
)
recalls.open_recall(stop_sale=stopped, reason="a lid bulged", at=now, person=person)

coded = Batch.objects.filter(code__isnull=False).order_by("pk")
by_status = tuple(
    pk
    for status in Batch.Status.values
    for pk in few(Batch.objects.filter(status=status).values_list("pk", flat=True))
)
weeks = Plan.objects.filter(kind="week")
"""
PRODUCTS = "Product.objects.values_list('code', flat=True)"
RECIPES = "Recipe.objects.values_list('slug', flat=True)"
YEARS = "sorted({day.year for day in Movement.objects.dates('on', 'year')})"
STOPS = "StopSale.objects.values_list('pk', flat=True)"
RECALLS = "Recall.objects.values_list('pk', flat=True)"
COMPLAINTS = "Complaint.objects.values_list('pk', flat=True)"
DRILLS = "MockRecall.objects.values_list('pk', flat=True)"
SAMPLES = {
    **dict.fromkeys(["week-accept", "week-calendar", "week-paper"],
                    "weeks.values_list('pk', flat=True)"),
    "week-pack": "[(pk, 0) for pk in weeks.values_list('pk', flat=True)]",
    **dict.fromkeys(
        ["batch-detail", "batch-cancel", "batch-start", "batch-release", "batch-hold",
         "batch-reject", "batch-recook", "batch-add", "batch-finish",
         "batch-unfinish", "batch-unstart",
         "reading-record", "batch-sheet", "batch-record", "batch-cost"],
        "by_status",
    ),
    "choose": "['lot', 'offered', 'batch', 'recipe']",
    "batch-take-out": "[(pk, 1) for pk in by_status]",
    "step-touch": "[(pk, 1, 'begin') for pk in by_status]",
    "reading-undo": "Reading.objects.values_list('batch_id', 'pk')",
    **dict.fromkeys(["seal-check", "seal-undo", "jar-weights"],
                    "BatchOutput.objects.values_list('batch_id', 'pk')"),
    "instrument-check": "Instrument.objects.values_list('pk', flat=True)",
    **dict.fromkeys(
        ["recipe-detail", "recipe-prediction", "recipeversion-create", "recipe-retire"],
        RECIPES,
    ),
    "recipeversion-detail": "RecipeVersion.objects.values_list('recipe__slug', 'number')",
    **dict.fromkeys(["product-detail", "product-edit", "price-create", "jar-cost"],
                    PRODUCTS),
    "jarsize-edit": "JarSize.objects.values_list('pk', flat=True)",
    **dict.fromkeys(["books-year", "books-year-choose", "books-workbook"], YEARS),
    "overhead-edit": "Overhead.objects.values_list('pk', flat=True)",
    **dict.fromkeys(
        ["complaint-detail", "complaint-point", "complaint-close", "complaint-photo"],
        COMPLAINTS,
    ),
    **dict.fromkeys(["stopsale-detail", "stopsale-lift", "recall-create"], STOPS),
    **dict.fromkeys(
        ["recall-detail", "recall-notice", "recall-take-in", "recall-authority",
         "recall-close"], RECALLS),
    **dict.fromkeys(
        ["recall-check", "recall-letter"],
        "EffectivenessCheck.objects.values_list('recall_id', 'outlet_id')",
    ),
    "recall-paper": "[(pk, 'sign') for pk in Recall.objects.values_list('pk', flat=True)]",
    **dict.fromkeys(["drill-detail", "drill-paper"], DRILLS),
    "trace-batch": "coded.values_list('code', flat=True)",
    "trace-lot": "Lot.objects.values_list('code', flat=True)",
    "workbook-confirm": "['none']",
    "separated-save": "tuple(sheet.key for sheet in sheets())",
    "calendar-feed": "['none']",
}  # fmt: skip


# Papers and files are read whole: their queries are told beside them, and do not grow.
FILES = {"batch-record": 14, "workbook-save": 40}


@pytest.fixture(scope="module")
def counted(told_book):
    return page_queries.count_pages(
        told_book, "production", samples=SAMPLES, imports=IMPORTS
    )


def test_no_page_asks_more_than_twelve_queries(counted):
    pages, untold = counted
    assert untold == []
    assert page_queries.too_many(p for p in pages if p.page not in FILES) == []


def test_files_ask_a_fixed_number_of_times(counted):
    pages, _ = counted
    files = [page for page in pages if page.page in FILES]
    assert {page.page for page in files} == set(FILES)
    assert [str(page) for page in files if page.count > FILES[page.page]] == []


def test_every_page_was_shown(counted):
    pages, _ = counted
    shown = {200, 302, 404, 405}
    assert [str(page) for page in pages if page.status not in shown] == []
    missing = {page.page for page in pages if page.status == 404}
    assert missing <= {"complaint-photo", "workbook-confirm", "calendar-feed"}
    assert len([page for page in pages if page.status == 200]) > 120


def one_batch(number):
    size = make_jar_size(name=f"jar {number}")
    batch = Batch.objects.create(
        code=f"26{number:05}", version=make_version(), status="released",
        product=make_product(jar_size=size), planned_on=TODAY, made_on=TODAY,
        started_at=NOW, finished_at=NOW, expected_jars=D(8),
    )  # fmt: skip
    lot = make_lot(product=batch.product, released_at=NOW)
    BatchOutput.objects.create(batch=batch, lot=lot, jar_size=size, filled=8)
    return batch


def one_recipe(_number):
    make_filling(make_product(), make_version().recipe)


def one_complaint(number):
    Complaint.objects.create(
        received_at=NOW, batch=one_batch(number), symptom="ILL", severity="stop",
        product=make_product(jar_size=make_jar_size(name=f"odd {number}")),
    )  # fmt: skip


def one_stop(number):
    stop = StopSale.objects.create(set_at=NOW, reason="a lid bulged")
    stop.lots.add(one_batch(number).outputs.get().lot)
    Recall.objects.create(stop_sale=stop, opened_at=NOW, reason="a lid bulged")


def one_drill(number):
    MockRecall.objects.create(
        batch=one_batch(number), started_at=NOW, finished_at=NOW, made=8, found=8
    )


def one_cost(number):
    Expense.objects.create(on=TODAY, kind="supplies", text="Soap", amount=D(3))
    Overhead.objects.create(
        name=f"Permit {number}", amount=D(9), starts_on=TODAY, key="takings"
    )


def one_instrument(number):
    instrument = Instrument.objects.create(name=f"Meter {number}", kind="ph_meter")
    for _ in range(2):
        InstrumentCheck.objects.create(
            instrument=instrument, checked_at=NOW, reference="buffer 4.01",
            true_value=4, reading=4, passed=True,
        )  # fmt: skip


def one_sale(number):
    """A product at an outlet of its own, made of what was bought, sold and costed."""
    fruit, outlet = make_fruit(), make_outlet(kind="market")
    make_lot(material=fruit, cost=D(9), purchase=make_purchase())
    batch = one_batch(number)
    make_line(batch.version, material=fruit)
    make_step(batch.version)
    make_filling(batch.product, batch.version.recipe)
    make_price(batch.product, outlet_kind="market")
    day = make_market_day(
        outlet=outlet, on=TODAY, status="counted", float_in=D(10), cash_counted=D(99)
    )
    make_row(
        batch.outputs.get().lot, -2, Movement.Reason.SOLD, market_day=day, unit_price=9
    )
    one_cost(number)


def one_line(_number):
    version = RecipeVersion.objects.first() or make_version()
    make_line(version, material=make_fruit())
    make_step(version)


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("view", "make_one"),
    [
        ("kitchen", one_batch),
        ("recipe-list", one_recipe),
        ("product-list", one_recipe),
        ("jarsize-list", one_batch),
        ("instrument-list", one_instrument),
        ("complaint-list", one_complaint),
        ("complaint-suspects", one_complaint),
        ("stopsale-list", one_stop),
        ("drill-list", one_drill),
        ("expense-list", one_cost),
        ("overhead-list", one_cost),
        ("week", one_sale),
        ("week-demand", one_sale),
        ("books", one_sale),
        ("books-what-if", one_sale),
        ("books-outlets", one_sale),
        ("books-this-year", one_sale),
        ("books-stock", one_sale),
        ("books-history", one_sale),
        ("books-stocktake", one_sale),
    ],
)
def test_a_longer_list_asks_no_more(owner_client, view, make_one):
    address = reverse(f"production:{view}")
    assert page_queries.grows(owner_client, address, make_one) <= 0


@pytest.mark.django_db
def test_a_longer_recipe_asks_no_more(owner_client):
    batch = one_batch(99)
    Batch.objects.filter(pk=batch.pk).update(status="planned")
    for address in (batch.version.get_absolute_url(), batch.get_absolute_url()):
        assert page_queries.grows(owner_client, address, one_line) <= 0
