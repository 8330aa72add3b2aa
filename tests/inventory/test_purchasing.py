"""Buying: a receipt and its lots, weighed as the cook wrote them."""

import datetime
from decimal import Decimal

import pytest

from inventory import ledger, purchasing
from inventory.ledger import Stamp
from inventory.models import Lot, Purchase
from inventory.purchasing import BoughtLine, PurchasingError
from inventory.quantities import QuantityError
from tests.factories import (
    NOW,
    TODAY,
    make_fruit,
    make_material,
    make_packaging,
    make_supplier,
)

pytestmark = pytest.mark.django_db

STAMP = Stamp(on=TODAY, at=NOW)


def receipt(**values):
    return Purchase(supplier=make_supplier(), bought_on=TODAY, **values)


def test_each_line_of_a_receipt_is_a_lot():
    fruit = make_fruit(fresh_days=3)
    purchase = purchasing.buy(
        purchase=receipt(reference="R-17"),
        lines=[
            BoughtLine(
                material=fruit,
                as_typed="2 x 12 lb",
                cost=Decimal(56),
                supplier_mark="A7",
                origin="Hill Farm",
            ),
            BoughtLine(
                material=make_packaging(), as_typed="2 dozen", cost=Decimal("18.00")
            ),
        ],
        stamp=STAMP,
    )
    lot = purchase.lots.get(material=fruit)
    assert ledger.balance(lot) == Decimal("10886.217")
    assert (lot.as_typed, lot.supplier_mark, lot.origin) == (
        "2 x 12 lb",
        "A7",
        "Hill Farm",
    )
    assert lot.best_by == TODAY + datetime.timedelta(days=3)
    assert ledger.balance(purchase.lots.exclude(material=fruit).get()) == 24


def test_freight_is_shared_by_cost_to_the_cent():
    """Trade figures: 50 lb for 50.00 and 25.00 freight make 1.50 a lb."""
    material = make_material()
    purchase = purchasing.buy(
        purchase=receipt(),
        lines=[BoughtLine(material=material, as_typed="50 lb", cost=Decimal(50))],
        stamp=STAMP,
        freight=Decimal(25),
    )
    assert purchase.lots.get().cost / 50 == Decimal("1.50")


def test_freight_of_free_goods_is_shared_evenly():
    lines = [
        BoughtLine(material=make_material(), as_typed="1 kg", cost=Decimal(0))
        for _ in range(3)
    ]
    purchase = purchasing.buy(
        purchase=receipt(), lines=lines, stamp=STAMP, freight=Decimal("1.00")
    )
    costs = sorted(purchase.lots.values_list("cost", flat=True))
    assert costs == [Decimal("0.33"), Decimal("0.33"), Decimal("0.34")]


def test_a_line_that_cannot_be_weighed_leaves_nothing_behind():
    lines = [
        BoughtLine(material=make_material(), as_typed="1 kg", cost=Decimal(1)),
        BoughtLine(material=make_fruit(name="Lemons"), as_typed="4", cost=Decimal(1)),
    ]
    with pytest.raises(QuantityError):
        purchasing.buy(purchase=receipt(), lines=lines, stamp=STAMP)
    assert not Lot.objects.exists()
    assert not Purchase.objects.exists()


def test_a_receipt_has_lines_and_no_cost_below_zero():
    with pytest.raises(PurchasingError, match="without lines"):
        purchasing.buy(purchase=receipt(), lines=[], stamp=STAMP)
    with pytest.raises(PurchasingError, match="cannot be -1"):
        BoughtLine(material=make_material(), as_typed="1 kg", cost=Decimal(-1))


def test_opening_stock_has_its_own_reason():
    line = BoughtLine(material=make_material(), as_typed="3 kg", cost=Decimal(6))
    lot = purchasing.enter_opening_stock(line=line, stamp=STAMP)
    assert lot.purchase is None
    assert lot.movements.get().reason == "opening"
