"""Sales tax of a sale: the outlet's rate, unless the jars are exempt.

The rate belongs to the place of the sale, the exemption to the recipe the jars were
cooked by; price and tax are kept apart. What is due where is the seller's to ask.
"""

from decimal import Decimal

from inventory.models import Lot, Outlet
from inventory.money import round_money

__all__ = ["sales_tax_of"]


def sales_tax_of(amount: Decimal, *, outlet: Outlet, lot: Lot) -> Decimal:
    """Tax on an amount of jars sold at an outlet, rounded half-up.

    Args:
        amount: jars times price, without tax.
        outlet: where they are sold; its rate is a fraction of the price.
        lot: the jars.
    """
    if lot.is_tax_exempt:
        return Decimal(0)
    return round_money(amount * outlet.sales_tax)
