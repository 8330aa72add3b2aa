"""Cost of goods of a year and the stock it leaves, agreed with the ledger.

The ledger is valued twice: as it stood when the year began and as it stands at its
end. What lies between is the year, so what was bought, what is left and what left
agree to the cent.
"""

import datetime
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from inventory.models import Business, Material, Movement
from inventory.money import allocate, round_money
from inventory.valuation import Method, Valuation
from inventory.words import say, to_say
from production.costing.lot_costs import LotFact
from production.models import Expense
from production.selectors.stock_value import Ledger, pot_times, read_ledger
from production.selectors.year_ledger import (
    IN_BATCHES,
    YearLedger,
    in_pots_cost,
    read_choices,
)
from production.year import CostOfGoods

__all__ = [
    "REASON_WORDS",
    "ItemNames",
    "LedgerCheck",
    "StockLine",
    "StockOnDay",
    "cost_of_goods",
    "stock_lines",
    "stock_on",
]

ZERO = Decimal(0)
Reason = Movement.Reason
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


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemNames:
    """What the items and lots of the ledger are called."""

    lots: Mapping[int, LotFact]
    items: Mapping[str, LotFact]
    currency: str

    @classmethod
    def of(cls, ledger: Ledger, *, currency: str) -> "ItemNames":
        """Take them from the lots of a ledger."""
        lots = ledger.lots.lots
        items = {lot.item: lot for lot in lots.values()}
        return cls(lots=lots, items=items, currency=currency)

    def line(self, item: str, quantity: Decimal, cost: Decimal) -> StockLine:
        """An item of the ledger as a line people can read."""
        lot = self.items[item]
        kind = lot.kind
        return StockLine(
            name=lot.name,
            kind=kind if lot.material is None else str(Material.Kind(kind).label),
            quantity=quantity,
            unit=lot.unit,
            cost=cost,
        )

    def is_packaging(self, item: str) -> bool:
        """Whether an item is jars, lids or boxes."""
        return self.items[item].kind == Material.Kind.PACKAGING


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
    ledger: YearLedger, names: ItemNames
) -> tuple[CostOfGoods, LedgerCheck]:
    """Cost of goods sold in a year, with what the ledger says left.

    Args:
        ledger: the year's.
        names: what its items and lots are called, and the currency.
    """

    def coins(amount: Decimal) -> Decimal:
        return round_money(amount, currency=names.currency)

    then, now = _bought(ledger.before, names), _bought(ledger.after, names)
    bought = {key: now[key] - then[key] for key in ("opening", "purchases", "supplies")}
    opening, began = ledger.opening()
    left = ledger.left()
    left[RESTATED] = opening - began
    spent = _expenses(ledger.expenses)
    method, last_method = ledger.method, ledger.choices.method(ledger.year - 1)
    goods = CostOfGoods(
        method=say("cost, first in, first out")
        if method is Method.FIFO
        else say("cost, weighted average"),
        method_changed=method is not last_method,
        opening_cost=coins(opening + bought["opening"]),
        purchases_cost=coins(bought["purchases"]),
        own_use_cost=coins(left.get(Reason.OWN_USE, ZERO)),
        labour_cost=coins(spent[Expense.Kind.LABOUR]),
        supplies_cost=coins(bought["supplies"]) + coins(spent[Expense.Kind.SUPPLIES]),
        other_cost=coins(spent[Expense.Kind.OTHER]),
        closing_cost=coins(ledger.after.on_hand_cost + ledger.in_pots_cost),
    )
    between = (
        goods.opening_cost
        + goods.purchases_cost
        + coins(bought["supplies"])
        - goods.closing_cost
    )
    return goods, LedgerCheck(
        between=between, left=_shown_left(left, between, names.currency)
    )


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


def _expenses(rows: Iterable[Expense]) -> dict[str, Decimal]:
    spent: dict[str, Decimal] = dict.fromkeys(Expense.Kind.values, ZERO)
    for row in rows:
        spent[row.kind] += row.amount
    return spent


def stock_lines(value: Valuation, names: ItemNames) -> tuple[StockLine, ...]:
    """What is on hand by item, its cost rounded so that it adds to the whole."""
    costs = value.cost_by_item()
    quantities: defaultdict[str, Decimal] = defaultdict(lambda: ZERO)
    for layer in value.layers:
        quantities[layer.item] += layer.quantity
    items = [item for item, quantity in quantities.items() if quantity]
    total = round_money(value.on_hand_cost, currency=names.currency)
    weights = [max(costs[item], ZERO) for item in items]
    shown = (
        allocate(total, weights, currency=names.currency)
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
    ledger, currency = read_ledger(until=on), Business.current().currency
    method = read_choices().method(on.year)
    value = ledger.value(method=method)
    return StockOnDay(
        on=on,
        method=method,
        lines=stock_lines(value, ItemNames.of(ledger, currency=currency)),
        in_pots_cost=round_money(
            in_pots_cost(value, pot_times(), on=on), currency=currency
        ),
    )
