"""Cost of goods of a year and the stock it leaves, agreed with the ledger.

The ledger is valued twice: as it stood when the year began and as it stands at its
end. What lies between is the year, so what was bought, what is left and what left
agree to the cent.
"""

import datetime
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Sum

from inventory.models import (
    Business,
    Lot,
    Material,
    Movement,
    Product,
    ValuationYear,
)
from inventory.money import allocate, round_money
from inventory.valuation import Method, Valuation
from inventory.words import say, to_say
from production.models import Expense
from production.selectors.stock_value import unfinished_batches, value_stock
from production.year import CostOfGoods

__all__ = [
    "REASON_WORDS",
    "ItemNames",
    "LedgerCheck",
    "StockLine",
    "StockOnDay",
    "cost_of_goods",
    "in_pots_cost",
    "method_of",
    "stock_lines",
    "stock_on",
]

ZERO = Decimal(0)
Reason = Movement.Reason
IN_BATCHES = "in_batches"
RESTATED = "restated"
REASON_WORDS = {
    **dict(Reason.choices),
    IN_BATCHES: to_say("lost in batches, or corrected after they were finished"),
    RESTATED: to_say("change of method or of the opening value"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class StockLine:
    """One item on hand, at cost."""

    name: str
    kind: str
    quantity: Decimal
    unit: str
    cost: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerCheck:
    """Opening and purchases less closing, beside what the ledger says left.

    Attributes:
        between: opening + purchases + supplies - closing, in whole coins.
        left: what left, by reason in words, in whole coins; adds up to ``between``.
    """

    between: Decimal
    left: Mapping[str, Decimal]


def method_of(year: int) -> Method:
    """How a year's stock is valued: as chosen, else as the last year that chose."""
    chosen = ValuationYear.objects.filter(year__lte=year).order_by("-year").first()
    return Method(chosen.method) if chosen else Method.FIFO


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemNames:
    """What the items and lots of the ledger are called."""

    materials: Mapping[int, Material]
    products: Mapping[int, Product]
    lots: Mapping[int, Lot]
    currency: str

    @classmethod
    def read(cls) -> "ItemNames":
        """Read all of them."""
        return cls(
            materials=Material.objects.in_bulk(),
            products=Product.objects.select_related("jar_size").in_bulk(),
            lots=Lot.objects.in_bulk(),
            currency=Business.current().currency,
        )

    def line(self, item: str, quantity: Decimal, cost: Decimal) -> StockLine:
        """An item of the ledger as a line people can read."""
        kind, _, number = item.partition(":")
        if kind == "product":
            product = self.products[int(number)]
            return StockLine(
                name=str(product),
                kind="jars",
                quantity=quantity,
                unit="jars",
                cost=cost,
            )
        material = self.materials[int(number)]
        return StockLine(
            name=material.name,
            kind=material.get_kind_display(),
            quantity=quantity,
            unit=material.unit,
            cost=cost,
        )

    def is_packaging(self, item: str) -> bool:
        """Whether an item is jars, lids or boxes."""
        kind, _, number = item.partition(":")
        return (
            kind == "material"
            and self.materials[int(number)].kind == Material.Kind.PACKAGING
        )


def in_pots_cost(value: Valuation, on: datetime.date) -> Decimal:
    """Cost of what is in the pot at the end of a day."""
    cooking = unfinished_batches(on=on)
    return sum((v for key, v in value.in_work.items() if key in cooking), ZERO)


def _lost_in_batches(value: Valuation, on: datetime.date) -> Decimal:
    return sum(value.in_work.values(), ZERO) - in_pots_cost(value, on)


def _bought(value: Valuation, names: ItemNames) -> dict[str, Decimal]:
    """What was bought, as opening stock, supplies and purchases."""
    sums: defaultdict[str, Decimal] = defaultdict(lambda: ZERO)
    for entry in value.entries:
        if entry.movement.cost is None:
            continue
        if entry.movement.reason == Reason.OPENING:
            sums["opening"] += entry.cost
        elif names.is_packaging(entry.movement.item):
            sums["supplies"] += entry.cost
        else:
            sums["purchases"] += entry.cost
    return sums


def cost_of_goods(
    *,
    year: int,
    before: Valuation,
    after: Valuation,
    as_of: datetime.date,
    names: ItemNames,
    business: Business,
) -> tuple[CostOfGoods, LedgerCheck]:
    """Cost of goods sold in a year, with what the ledger says left.

    Args:
        year: calendar year.
        before: the ledger valued at the end of the year before.
        after: the ledger valued at ``as_of``.
        as_of: last day taken in.
        names: what items and lots are called.
        business: currency.
    """
    eve = datetime.date(year - 1, 12, 31)

    def coins(amount: Decimal) -> Decimal:
        return round_money(amount, currency=business.currency)

    then, now = _bought(before, names), _bought(after, names)
    bought = {key: now[key] - then[key] for key in ("opening", "purchases", "supplies")}
    began = before.on_hand_cost + in_pots_cost(before, eve)
    opening = _opening(year, began, eve)
    left = _left(before, after, eve, as_of)
    left[RESTATED] = opening - began
    own_use = coins(left.get(Reason.OWN_USE, ZERO))
    spent = _expenses(year, as_of)
    goods = CostOfGoods(
        method=say("cost, first in, first out")
        if method_of(year) is Method.FIFO
        else say("cost, weighted average"),
        method_changed=method_of(year) is not method_of(year - 1),
        opening_cost=coins(opening + bought["opening"]),
        purchases_cost=coins(bought["purchases"]),
        own_use_cost=own_use,
        labour_cost=coins(spent[Expense.Kind.LABOUR]),
        supplies_cost=coins(bought["supplies"]) + coins(spent[Expense.Kind.SUPPLIES]),
        other_cost=coins(spent[Expense.Kind.OTHER]),
        closing_cost=coins(after.on_hand_cost + in_pots_cost(after, as_of)),
    )
    between = (
        goods.opening_cost
        + goods.purchases_cost
        + coins(bought["supplies"])
        - goods.closing_cost
    )
    return goods, LedgerCheck(
        between=between, left=_shown_left(left, between, business.currency)
    )


def _opening(year: int, began: Decimal, eve: datetime.date) -> Decimal:
    """Opening value: as entered, else last year's closing by last year's method."""
    chosen = ValuationYear.objects.filter(year=year).first()
    if chosen is not None and chosen.opening_value is not None:
        return chosen.opening_value
    if method_of(year - 1) is method_of(year):
        return began
    last_year = value_stock(method=method_of(year - 1), until=eve)
    return last_year.on_hand_cost + in_pots_cost(last_year, eve)


def _left(
    before: Valuation, after: Valuation, eve: datetime.date, as_of: datetime.date
) -> dict[str, Decimal]:
    """What left for good in the year by reason, unrounded."""
    then, now = before.left_cost_by_reason(), after.left_cost_by_reason()
    left = {key: now[key] - then.get(key, ZERO) for key in now}
    lost = _lost_in_batches(after, as_of) - _lost_in_batches(before, eve)
    left[IN_BATCHES] = lost
    return {key: amount for key, amount in left.items() if amount != 0}


def _shown_left(
    left: Mapping[str, Decimal], between: Decimal, currency: str
) -> dict[str, Decimal]:
    """Round what left so that it adds to what lies between opening and closing."""
    less = {k: round_money(v, currency=currency) for k, v in left.items() if v < 0}
    more = {k: v for k, v in left.items() if v > 0}
    shown = dict(less)
    if more:
        total = between - sum(less.values(), ZERO)
        shares = allocate(total, list(more.values()), currency=currency)
        shown |= dict(zip(more, shares, strict=True))
    order = sorted(shown, key=lambda key: -shown[key])
    return {
        say(str(REASON_WORDS.get(key, key))): shown[key] for key in order if shown[key]
    }


def _expenses(year: int, as_of: datetime.date) -> dict[str, Decimal]:
    rows = (
        Expense.objects.filter(on__year=year, on__lte=as_of)
        .order_by()
        .values_list("kind")
        .annotate(total=Sum("amount"))
    )
    return dict.fromkeys(Expense.Kind.values, ZERO) | dict(rows)


def stock_lines(
    value: Valuation, names: ItemNames, business: Business
) -> tuple[StockLine, ...]:
    """What is on hand by item, its cost rounded so that it adds to the whole."""
    costs = value.cost_by_item()
    quantities: defaultdict[str, Decimal] = defaultdict(lambda: ZERO)
    for layer in value.layers:
        quantities[layer.item] += layer.quantity
    items = [item for item, quantity in quantities.items() if quantity]
    total = round_money(value.on_hand_cost, currency=business.currency)
    weights = [max(costs[item], ZERO) for item in items]
    shown = (
        allocate(total, weights, currency=business.currency)
        if any(weights)
        else [ZERO] * len(items)
    )
    lines = [
        names.line(item, quantities[item], cost)
        for item, cost in zip(items, shown, strict=True)
    ]
    return tuple(sorted(lines, key=lambda line: (line.kind, line.name)))


@dataclass(frozen=True, slots=True, kw_only=True)
class StockOnDay:
    """Stock at cost at the end of a day, by item."""

    on: datetime.date
    method: Method
    lines: tuple[StockLine, ...]
    in_pots_cost: Decimal

    @property
    def total_cost(self) -> Decimal:
        """Everything on the shelf and in the pot."""
        return sum((line.cost for line in self.lines), ZERO) + self.in_pots_cost


def stock_on(on: datetime.date) -> StockOnDay:
    """What was on hand at the end of a day, valued as that year's stock is.

    Raises:
        ValuationError: the ledger cannot be valued; its sentence says where.
    """
    method, business = method_of(on.year), Business.current()
    value = value_stock(method=method, until=on)
    return StockOnDay(
        on=on,
        method=method,
        lines=stock_lines(value, ItemNames.read(), business),
        in_pots_cost=round_money(in_pots_cost(value, on), currency=business.currency),
    )
