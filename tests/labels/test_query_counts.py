"""No page of the labels asks more than twelve queries, on the demonstration's book."""

import datetime

import pytest
from django.urls import reverse

from labels.models import LabelSheet, LabelTally, PlaceProfile, PrintRun
from tests import factories, page_queries
from tests.labels import printing_scene

IMPORTS = """
from inventory.models import Product
from labels.models import LabelSheet, PlaceProfile, PrintRun
from production.models import Batch
coded = Batch.objects.filter(code__isnull=False).order_by('pk')
"""
CODES = "coded.filter(product__isnull=False).values_list('code', flat=True)"
PRODUCTS = "Product.objects.values_list('code', flat=True)"
PLACES = "PlaceProfile.objects.values_list('code', flat=True)"
SHEETS = "LabelSheet.objects.values_list('name', flat=True)"
RUNS = "PrintRun.objects.values_list('pk', flat=True)"
SAMPLES = {
    "check": f"[*few({CODES}), *few({PRODUCTS})]",
    **dict.fromkeys(["place-detail", "place-words", "place-choose"], PLACES),
    "place-edit": (
        "PlaceProfile.objects.filter(completeness='own').values_list('code', flat=True)"
    ),
    "place-sign": (
        "[p.code for p in PlaceProfile.objects.all()"
        " if p.as_place().sign and p.as_place().sign.text]"
    ),
    "print": CODES,
    "proof": f"[(code, '?sheet=' + PrintRun.objects.first().sheet.name) for code in {CODES}]",
    "print-preview": CODES,
    "productlabel-edit": PRODUCTS,
    "productlabel-preview": (
        "[(code, '?design=band&arrangement=wrap&compound_style=nested&jurisdiction=US')"
        f" for code in {PRODUCTS}]"
    ),
    **dict.fromkeys(
        ["sheet-detail", "sheet-edit", "sheet-offset", "sheet-calibration"], SHEETS
    ),
    **dict.fromkeys(["printrun-detail", "printrun-file", "printrun-tally"], RUNS),
}


@pytest.fixture(scope="module")
def counted(told_book):
    return page_queries.count_pages(
        told_book, "labels", samples=SAMPLES, imports=IMPORTS
    )


def test_no_page_asks_more_than_twelve_queries(counted):
    pages, untold = counted
    assert untold == []
    assert page_queries.too_many(pages) == []


def test_every_page_was_shown(counted):
    pages, _ = counted
    assert [str(page) for page in pages if page.status not in {200, 302, 405}] == []
    assert len([page for page in pages if page.status == 200]) > 30


def one_batch(number):
    on = factories.TODAY + datetime.timedelta(days=number)
    batch = printing_scene.make_batch(letter="ABCDEFGHJKMN"[number - 1])
    factories.make_price(batch.product, valid_from=on)
    printing_scene.make_look(batch.product)


def one_run(number):
    sheet = printing_scene.load_sheets()
    run = PrintRun.objects.create(
        batch=printing_scene.make_batch(letter="ABCDEFGHJKMN"[number - 1]),
        sheet=sheet,
        printed_at=factories.NOW,
        count=12,
        is_draft=False,
        arrangement="wrap",
        text={},
    )
    LabelTally.objects.create(run=run, at=factories.NOW, used=number)


def one_place(number):
    PlaceProfile.objects.create(
        code=f"own-{number}",
        place=f"Place {number}",
        country="US",
        completeness="own",
        status="own",
        read_on=factories.TODAY,
    )


def one_sheet(number):
    like = LabelSheet.objects.first() or printing_scene.load_sheets()
    like.pk, like.name = None, f"measured-{number}"
    like.save(force_insert=True)


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("view", "make_one"),
    [
        ("check-list", one_batch),
        ("home", one_batch),
        ("home", one_run),
        ("productlabel-list", one_batch),
        ("printrun-list", one_run),
        ("place-list", one_place),
        ("sheet-list", one_sheet),
    ],
)
def test_a_longer_list_asks_no_more(owner_client, view, make_one):
    address = reverse(f"labels:{view}")
    assert page_queries.grows(owner_client, address, make_one) == 0
