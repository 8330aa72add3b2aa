"""Buying: one receipt of one supplier, each of its lines a lot."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal

from django.db import transaction

from inventory import ledger
from inventory.ledger import Stamp
from inventory.models import Lot, Material, Movement, Purchase
from inventory.money import allocate
from inventory.words import say

__all__ = ["BoughtLine", "PurchasingError", "buy", "enter_opening_stock"]


class PurchasingError(ValueError):
    """A purchase that cannot be entered."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BoughtLine:
    """One line of a receipt.

    Attributes:
        material: what was bought.
        as_typed: the quantity as a cook writes it ("2 x 12 lb").
        cost: what the line cost, without its share of the freight.
        best_by: use by; empty means the days it keeps fresh, if known.
        supplier_mark: the supplier's own lot mark.
        origin: farm, orchard or country.
    """

    material: Material
    as_typed: str
    cost: Decimal
    best_by: date | None = None
    supplier_mark: str = ""
    origin: str = ""

    def __post_init__(self) -> None:
        if self.cost < 0:
            raise PurchasingError(
                say(
                    "the cost of {material} cannot be {cost}; enter 0 or more",
                    material=self.material,
                    cost=self.cost,
                )
            )


@transaction.atomic
def buy(
    *,
    purchase: Purchase,
    lines: Sequence[BoughtLine],
    stamp: Stamp,
    freight: Decimal = Decimal(0),
    currency: str = "USD",
) -> Purchase:
    """Enter a receipt: the purchase and a lot for each of its lines.

    Args:
        purchase: not saved yet: supplier, day, receipt number.
        lines: at least one.
        stamp: when and by whom.
        freight: delivery and deposits of the whole receipt, shared by the lines'
            cost to the cent (evenly when all cost nothing).
        currency: ISO 4217 code, for sharing the freight.

    Returns:
        The saved purchase; the one entered already when it is sent twice.

    Raises:
        PurchasingError: no lines.
        QuantityError: a line's quantity cannot be read or weighed.
    """
    if not lines:
        raise PurchasingError(say("a purchase without lines; enter what was bought"))
    if stamp.token is not None:
        known = Purchase.objects.filter(lots__movements__token=stamp.token).first()
        if known is not None:
            return known
    purchase.full_clean()
    purchase.save()
    costs = [line.cost for line in lines]
    weights = costs if any(costs) else [Decimal(1)] * len(lines)
    shares = allocate(freight, weights, currency=currency)
    stamp = replace(stamp, on=purchase.bought_on, cause=f"purchase {purchase.pk}")
    for line, share in zip(lines, shares, strict=True):
        ledger.receive(
            lot=_lot(
                line, purchase.bought_on, cost=line.cost + share, purchase=purchase
            ),
            quantity=line.material.read_amount(line.as_typed),
            stamp=stamp,
        )
        stamp = replace(stamp, token=None)  # the first line carries it
    return purchase


@transaction.atomic
def enter_opening_stock(*, line: BoughtLine, stamp: Stamp) -> Lot:
    """Enter what was there before the book began, with its cost as best known."""
    return ledger.receive(
        lot=_lot(line, stamp.on, cost=line.cost),
        quantity=line.material.read_amount(line.as_typed),
        stamp=stamp,
        reason=Movement.Reason.OPENING,
    )


def _lot(
    line: BoughtLine, on: date, *, cost: Decimal, purchase: Purchase | None = None
) -> Lot:
    best_by = line.best_by
    if best_by is None and line.material.fresh_days:
        best_by = on + timedelta(days=line.material.fresh_days)
    return Lot(
        material=line.material,
        purchase=purchase,
        received_on=on,
        supplier_mark=line.supplier_mark,
        origin=line.origin,
        as_typed=line.as_typed,
        cost=cost,
        best_by=best_by,
    )
