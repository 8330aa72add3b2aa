"""No page of the inventory asks more than twelve queries, on the demonstration's book."""

import pytest

from tests import page_queries

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
    **{
        name: "MarketDay.objects.values_list('pk', flat=True)"
        for name in (
            "marketday-detail", "marketday-edit", "marketday-pack", "packing-list",
            "count-out", "at-the-stall", "stall-touch", "sold-out", "count-back",
            "marketday-cash", "marketday-cancel",
        )
    },
    **{
        name: "ConsignmentVisit.objects.values_list('pk', flat=True)"
        for name in ("visit-detail", "visit-print", "visit-paid")
    },
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
