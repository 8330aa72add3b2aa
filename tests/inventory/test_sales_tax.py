"""Sales tax by place and by recipe, kept apart from the price."""

from decimal import Decimal

import pytest

from inventory import markets
from inventory.ledger import Stamp
from inventory.sales_tax import sales_tax_of
from tests.factories import NOW, TODAY, make_lot, make_outlet, make_price, make_product

pytestmark = pytest.mark.django_db
D = Decimal
STAMP = Stamp(on=TODAY, at=NOW)


def make_jars(**overrides):
    product = make_product()
    make_price(product, outlet_kind="gate", price=D("9.00"))
    return make_lot(product=product, quantity=12, released_at=NOW, **overrides)


def test_the_same_jar_is_taxed_at_one_outlet_and_not_at_another():
    jars = make_jars()
    taxed = make_outlet(sales_tax=D("0.07"))
    free = make_outlet(sales_tax=D(0))
    assert sales_tax_of(D(9), outlet=taxed, lot=jars) == D("0.63")
    assert sales_tax_of(D(9), outlet=free, lot=jars) == D("0.00")


def test_an_exempt_recipe_is_taxed_nowhere():
    jars = make_jars(is_tax_exempt=True)
    taxed = make_outlet(sales_tax=D("0.07"))
    assert sales_tax_of(D(9), outlet=taxed, lot=jars) == 0


def test_tax_rounds_half_up_to_the_coin():
    taxed = make_outlet(sales_tax=D("0.05"))
    assert sales_tax_of(D("4.50"), outlet=taxed, lot=make_jars()) == D("0.23")


@pytest.mark.parametrize(("exempt", "tax"), [(False, "1.26"), (True, "0")])
def test_price_tax_and_total_are_three_figures_of_a_sale(exempt, tax):
    outlet = make_outlet(kind="gate", sales_tax=D("0.07"))
    sold = markets.sell_direct(
        outlet=outlet, lot=make_jars(is_tax_exempt=exempt), jars=2, stamp=STAMP
    )
    assert (sold.unit_price, sold.sales_tax) == (D("9.00"), D(tax))
