"""Every page of the program, each with a row of the demonstration to show.

The addresses come from the apps themselves, so that a new page is looked at too. A
page with a number or a code in its address takes its row from ``ROWS``; what is no
page (a button's address, a file) is named in ``NO_PAGES``.
"""

import json
from importlib import import_module

APPS = ("inventory", "production", "labels")

# The name of a page to a Python expression of its arguments, in the book's shell.
ROWS = {
    **dict.fromkeys(
        ["lot-detail", "lot-write-off", "lot-count", "lot-edit"],
        "[Lot.objects.filter(material__isnull=False, split_from=None)[0].code]",
    ),
    "lot-freeze": "[Lot.objects.filter(material__freezable=True, is_frozen=False)[0].code]",
    "lot-return": "[jars.code]",
    "movement-correct": "[jars.movements.first().pk]",
    **dict.fromkeys(
        ["material-detail", "material-edit", "pack-add", "season-add", "weighing-add"],
        "[season.material_id]",
    ),
    "pack-edit": "[Pack.objects.first().pk]",
    "season-edit": "[season.pk]",
    "supplier-detail": "[Supplier.objects.first().pk]",
    "supplier-edit": "[Supplier.objects.first().pk]",
    "purchase-detail": "[Purchase.objects.latest('pk').pk]",
    "outlet-detail": "[Outlet.objects.first().pk]",
    "outlet-edit": "[Outlet.objects.first().pk]",
    "visit-add": "[Outlet.objects.filter(kind='consignment')[0].pk]",
    "delivery-add": "[Outlet.objects.filter(kind='wholesale')[0].pk]",
    **dict.fromkeys(
        ["marketday-detail", "marketday-edit", "marketday-pack", "packing-list",
         "count-out"],
        "[days.filter(status='planned').earliest('on').pk]",
    ),
    **dict.fromkeys(
        ["at-the-stall", "count-back", "marketday-cash"],
        "[days.filter(status='out')[0].pk]",
    ),
    **dict.fromkeys(
        ["visit-detail", "visit-print"], "[ConsignmentVisit.objects.latest('pk').pk]"
    ),
    "paper-edit": "[Paper.objects.first().pk]",
    "history": "['inventory.material', season.material_id]",
    "week-paper": "[Plan.objects.latest('pk').pk]",
    "batch-detail": "[cooking.pk]",
    "jar-weights": "[batch.pk, batch.outputs.first().pk]",
    "instrument-check": "[Instrument.objects.first().pk]",
    **dict.fromkeys(
        ["recipe-detail", "recipe-prediction", "recipeversion-create"],
        "[batch.version.recipe.slug]",
    ),
    "recipeversion-detail": "[batch.version.recipe.slug, batch.version.number]",
    **dict.fromkeys(
        ["product-detail", "product-edit", "jar-cost", "productlabel-edit"],
        "[batch.product.code]",
    ),
    "jarsize-edit": "[JarSize.objects.first().pk]",
    "batch-cost": "[batch.pk]",
    "books-year": "[today.year]",
    "overhead-edit": "[Overhead.objects.first().pk]",
    "complaint-detail": "[Complaint.objects.first().pk]",
    "stopsale-detail": "[StopSale.objects.first().pk]",
    "recall-detail": "[Recall.objects.first().pk]",
    "drill-detail": "[MockRecall.objects.first().pk]",
    "trace-batch": "[batch.code]",
    "trace-lot": "[batch.inputs.first().movement.lot.code]",
    "check": "[batch.code]",
    "place-detail": "[PlaceProfile.objects.filter(completeness='ready')[0].code]",
    "place-edit": "[PlaceProfile.objects.filter(completeness='own')[0].code]",
    "place-sign": (
        "[next(p.code for p in PlaceProfile.objects.all()"
        " if p.as_place().sign and p.as_place().sign.text)]"
    ),
    "print": "[batch.code]",
    "sheet-detail": "[LabelSheet.objects.first().name]",
    "sheet-edit": "[LabelSheet.objects.first().name]",
    "printrun-detail": "[PrintRun.objects.latest('pk').pk]",
}  # fmt: skip

# One page in further states of its row.
STATES = {
    "batch-detail": {
        "planned": "[planned.pk]",
        "held": "[held.pk]",
        "released": "[batch.pk]",
    },
    "marketday-detail": {"counted": "[days.filter(status='counted')[0].pk]"},
    "lot-detail": {"jars": "[jars.code]"},
}

NO_PAGES = {
    # buttons
    "week-plan", "week-wish", "week-accept", "week-pack", "season-search",
    "season-stop", "batch-cancel", "batch-start", "batch-release", "batch-hold",
    "batch-reject", "batch-recook", "batch-add", "batch-finish", "step-touch",
    "batch-unfinish", "movement-undo", "batch-unstart", "batch-take-out", "reading-record", "reading-undo", "seal-check", "seal-undo", "recipe-retire",
    "books-year-choose", "complaint-point", "complaint-close", "stopsale-lift",
    "recall-create", "recall-notice", "recall-check", "recall-take-in",
    "recall-authority", "recall-close", "drill-start", "workbook-load",
    "workbook-confirm", "separated-load", "calendar-address", "backup-save",
    "stall-touch", "sold-out", "marketday-cancel", "visit-paid", "hand-out-touch",
    "hand-out-undo", "paper-delete", "season-delete", "place-words", "place-choose",
    "sheet-offset", "printrun-tally", "demonstration", "price-create",
    # the questions of an empty book; the others lead to the first page
    "begin",
    # files
    "worker", "purchase-receipt", "paper-file", "week-calendar", "batch-sheet",
    "batch-record", "books-workbook", "complaint-photo", "recall-letter",
    "recall-paper", "drill-paper", "workbook-template", "workbook-save",
    "separated-save", "calendar-save", "calendar-feed", "proof", "sheet-calibration",
    "printrun-file",
    # parts of pages, and a second address of one
    "season-progress", "print-preview", "productlabel-preview", "week-here",
    "books-this-year", "weigh", "choose",
}  # fmt: skip

# What the year of the demonstration ends without: rows to show on every page.
PROGRAM = """
import datetime, json
from decimal import Decimal
from django.contrib.auth.models import User
from django.core.exceptions import ObjectDoesNotExist
from django.urls import reverse
from django.utils import timezone
from inventory import markets
from inventory.ledger import Stamp
from inventory.models import *
from labels.models import *
from production import batches, recalls, stop_sale
from production.models import *

now, today = timezone.now(), timezone.localdate()
owner = User.objects.get(username="owner")
released = Batch.objects.filter(
    status="released", product__isnull=False, outputs__isnull=False
).order_by("-made_on", "-pk")
batch, stopped = released[0], released[3]
jars = batch.outputs.first().lot
season = SeasonWindow.objects.first()
days = MarketDay.objects.all()
held = Batch.objects.filter(status="held").last() or batch

def plan():
    return batches.plan(version=batch.version, product=batch.product, planned_on=today)

planned, cooking = plan(), plan()
try:
    cooking = batches.start(batch=cooking, at=now, person=owner)
except batches.BatchError:  # the pantry may be short of something
    cooking = batch
day = days.filter(status="planned").earliest("on")
markets.pack_products(day=day, jars={{b.product: 6 for b in released[4:9]}})
markets.take_out(
    day=day,
    taken={{line.lot: line.packed for line in day.lines.all()}},
    stamp=Stamp(on=today, at=now, person=owner),
)
profile = PlaceProfile.objects.filter(completeness="ready")[0]
profile.pk, profile.code, profile.completeness = None, "own-place", "own"
profile.save()
Outlet.objects.create(name="Corner Shop", kind="wholesale")
Overhead.objects.create(name="Canner", amount=Decimal(180), years=6, starts_on=today)
Expense.objects.create(on=today, kind="supplies", text="Dish soap", amount=Decimal(12))
Paper.objects.create(kind="training", name="Kitchen course", expires_on=today)
stop = stop_sale.stop_batches(batches=[stopped], reason="a lid bulged", at=now, person=owner)
recalls.open_recall(stop_sale=stop, reason="a lid bulged", at=now, person=owner)
told, untold = {{}}, []
for label, (name, row) in {rows!r}.items():
    try:
        told[label] = reverse(name, args=eval(row))
    except (IndexError, AttributeError, ObjectDoesNotExist) as error:
        untold.append(f"{{label}} {{row}}: {{error}}")
print("\\n" + json.dumps([told, untold]))
"""


def patterns():
    """Every address of the three apps: app, name, whether it takes arguments."""
    for app in APPS:
        for pattern in import_module(f"{app}.urls").urlpatterns:
            yield app, pattern.name, bool(pattern.pattern.converters)


def pages():
    """Every page: what it is called here, its address's name and its row."""
    for app, name, takes in patterns():
        if name in NO_PAGES or (takes and name not in ROWS):
            continue
        yield f"{app}-{name}", f"{app}:{name}", ROWS.get(name, "[]")
        for state, row in STATES.get(name, {}).items():
            yield f"{app}-{name}-{state}", f"{app}:{name}", row


NAMES = [label for label, _, _ in pages()]


def addresses(book):
    """The address of every page in a book; writes what the pages are to show.

    Args:
        book: a copy of the told book, which is written to.

    Returns:
        What a page is called here, to its path.

    Raises:
        AssertionError: the book lacks a row for a page.
    """
    rows = {label: (name, row) for label, name, row in pages()}
    told = book.run("shell", "--verbosity", "0", "-c", PROGRAM.format(rows=rows)).stdout
    paths, untold = json.loads(told.strip().splitlines()[-1])
    assert untold == [], untold
    return paths
