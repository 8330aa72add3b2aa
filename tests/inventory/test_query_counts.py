"""No page of the inventory asks more than twelve queries, on the demonstration's book."""

import datetime

import pytest
from django.urls import reverse

from inventory.models import ConsignmentLine, ConsignmentVisit, MarketLine, Paper
from tests import factories, page_queries

IMPORTS = """
from django.db.models import Q
from inventory.models import *
"""
SAMPLES = {
    "lot-detail": "Lot.objects.values_list('code', flat=True)",
    "lot-edit": (
        "Lot.objects.filter(material__isnull=False, split_from=None)"
        ".values_list('code', flat=True)"
    ),
    "lot-freeze": (
        "Lot.objects.filter(material__freezable=True, is_frozen=False)"
        ".values_list('code', flat=True)"
    ),
    "lot-write-off": "Lot.objects.values_list('code', flat=True)",
    "lot-return": (
        "Lot.objects.filter(product__isnull=False).values_list('code', flat=True)"
    ),
    "lot-count": "Lot.objects.values_list('code', flat=True)",
    "movement-undo": "Movement.objects.values_list('pk', flat=True)",
    "movement-correct": "Movement.objects.values_list('pk', flat=True)",
    "material-detail": "Material.objects.values_list('pk', flat=True)",
    "material-edit": "Material.objects.values_list('pk', flat=True)",
    "pack-add": "Material.objects.values_list('pk', flat=True)",
    "pack-edit": "Pack.objects.values_list('pk', flat=True)",
    "season-add": "Material.objects.values_list('pk', flat=True)",
    "season-edit": "SeasonWindow.objects.values_list('pk', flat=True)",
    "season-delete": "SeasonWindow.objects.values_list('pk', flat=True)",
    "weighing-add": "Material.objects.values_list('pk', flat=True)",
    "supplier-detail": "Supplier.objects.values_list('pk', flat=True)",
    "supplier-edit": "Supplier.objects.values_list('pk', flat=True)",
    "purchase-detail": "Purchase.objects.values_list('pk', flat=True)",
    "purchase-receipt": (
        "Purchase.objects.exclude(receipt='').values_list('pk', flat=True)"
    ),
    "paper-edit": "Paper.objects.values_list('pk', flat=True)",
    "paper-file": "Paper.objects.exclude(file='').values_list('pk', flat=True)",
    "paper-delete": "Paper.objects.values_list('pk', flat=True)",
    "history": (
        "[('inventory.material', 1), ('inventory.outlet', 1), ('inventory.product', 1)]"
    ),
    "outlet-detail": "Outlet.objects.values_list('pk', flat=True)",
    "outlet-edit": "Outlet.objects.values_list('pk', flat=True)",
    "visit-add": "Outlet.objects.filter(kind='consignment').values_list('pk', flat=True)",
    "delivery-add": (
        "Outlet.objects.filter(kind='wholesale').values_list('pk', flat=True)"
    ),
    **dict.fromkeys(("marketday-detail", "marketday-edit", "marketday-pack", "packing-list", "count-out", "at-the-stall", "stall-touch", "sold-out", "count-back", "marketday-cash", "marketday-cancel"), "MarketDay.objects.values_list('pk', flat=True)"),
    **dict.fromkeys(("visit-detail", "visit-print", "visit-paid"), "ConsignmentVisit.objects.values_list('pk', flat=True)"),
    "choose": "['material', 'ingredient', 'packaging', 'product']",
    "hand-out-undo": "Movement.objects.values_list('pk', flat=True)",
}  # fmt: skip


@pytest.fixture(scope="module")
def counted(told_book):
    return page_queries.count_pages(
        told_book, "inventory", samples=SAMPLES, imports=IMPORTS
    )


def test_no_page_asks_more_than_twelve_queries(counted):
    pages, untold = counted
    assert untold == []
    assert page_queries.too_many(pages) == []


def test_every_page_was_shown(counted):
    pages, _ = counted
    assert [str(page) for page in pages if page.status not in {200, 302, 405}] == []
    assert len([page for page in pages if page.status == 200]) > 60


def day(number):
    return factories.TODAY + datetime.timedelta(days=number)


def one_lot(number):
    factories.make_lot(
        material=factories.make_fruit(), best_by=day(number), is_frozen=True
    )
    factories.make_lot(product=factories.make_product(), best_by=day(number))


def one_offer(_number):
    factories.make_pack(factories.make_material())


def one_purchase(_number):
    lot = factories.make_lot(purchase=factories.make_purchase())
    factories.make_lot(purchase=lot.purchase)


def one_day(number):
    market_day = factories.make_market_day(on=day(number))
    lot = factories.make_lot(product=factories.make_product())
    MarketLine.objects.create(day=market_day, lot=lot, packed=20, taken=20, sold=number)


def one_day_there(number):
    outlet = factories.Outlet.objects.first() or factories.make_outlet()
    factories.make_market_day(outlet=outlet, on=day(number))


def one_line(_number):
    market_day = factories.MarketDay.objects.first() or factories.make_market_day()
    lot = factories.make_lot(
        product=factories.make_product(), released_at=factories.NOW
    )
    MarketLine.objects.create(day=market_day, lot=lot, packed=6, taken=6, sold=2)


def one_visit(number):
    visit = ConsignmentVisit.objects.create(
        outlet=factories.make_outlet(kind="consignment"), on=day(number), commission=0
    )
    lot = factories.make_lot(product=factories.make_product())
    ConsignmentLine.objects.create(visit=visit, lot=lot, left=6, unit_price=9)


def one_paper(number):
    paper = Paper.objects.create(
        kind="other", name=f"Paper {number}", expires_on=day(number)
    )
    paper.outlets.add(factories.make_outlet())


def one_of_first_material(_number):
    material = factories.Material.objects.first() or factories.make_fruit()
    factories.make_lot(material=material)
    factories.make_pack(material)


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("view", "make_one"),
    [
        ("pantry", one_lot),
        ("lot-list", one_lot),
        ("ledger", one_lot),
        ("freezer", one_lot),
        ("material-list", one_lot),
        ("material-list", one_offer),
        ("supplier-list", one_purchase),
        ("purchase-list", one_purchase),
        ("outlet-list", one_day),
        ("marketday-list", one_day),
        ("stall", one_day),
        ("visit-list", one_visit),
        ("paper-list", one_paper),
        ("hand-out", one_line),
    ],
)
def test_a_longer_list_asks_no_more(owner_client, view, make_one):
    address = reverse(f"inventory:{view}")
    assert page_queries.grows(owner_client, address, make_one) == 0


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("view", "make_one"),
    [
        ("material-detail", one_of_first_material),
        ("outlet-detail", one_day_there),
        *(
            (view, one_line)
            for view in (
                "marketday-detail", "marketday-pack", "packing-list", "count-out",
                "at-the-stall", "count-back", "marketday-cash",
            )
        ),
    ],
)  # fmt: skip
def test_a_fuller_page_asks_no_more(owner_client, view, make_one):
    make_one(0)
    models = {
        one_line: factories.MarketDay,
        one_day_there: factories.Outlet,
        one_of_first_material: factories.Material,
    }
    number = models[make_one].objects.first().pk
    address = reverse(f"inventory:{view}", args=[number])
    assert page_queries.grows(owner_client, address, make_one) == 0
