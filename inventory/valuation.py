"""What the stock is worth and what left it cost, from a history of movements.

Two methods a seller may choose for the books, kept the same from year to year:
first in, first out (each lot at its own cost, the oldest leaving first) and the
weighted average, made anew at each receipt. The periodic average and the last cost
stand beside them for comparison. Nothing here rounds: round what is shown, once.

Left out: which method the tax authority accepts; the owner's time, which is never
part of the value of stock.
"""

import datetime
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from enum import StrEnum
from types import MappingProxyType

from inventory.words import say

__all__ = [
    "Draw",
    "Entry",
    "Layer",
    "Method",
    "Movement",
    "PeriodicAverage",
    "ShortStockError",
    "UnknownCostError",
    "Valuation",
    "ValuationError",
    "last_cost",
    "periodic_average",
    "value_history",
]

ZERO = Decimal(0)


class Method(StrEnum):
    """How cost leaves the stock."""

    FIFO = "fifo"
    AVERAGE = "average"


class ValuationError(ValueError):
    """A history of movements that cannot be valued."""


class ShortStockError(ValuationError):
    """More left than was there."""

    def __init__(self, item: str, ref: str, wanted: Decimal, present: Decimal) -> None:
        self.item, self.ref = item, ref
        self.wanted, self.present = wanted, present
        super().__init__(
            say(
                "{wanted} of {item} left in {ref} but only {present} was there: "
                "check the order and the amounts of its movements",
                wanted=wanted,
                item=item,
                ref=ref,
                present=present,
            )
        )


class UnknownCostError(ValuationError):
    """Something came in and nothing says what it cost."""

    def __init__(self, item: str, ref: str) -> None:
        self.item, self.ref = item, ref
        super().__init__(
            say(
                "{ref} brings in {item} without a cost, a batch that made it or an "
                "earlier receipt to take the cost from: enter what it cost",
                ref=ref,
                item=item,
            )
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """One row of the stock ledger, as far as its value is concerned.

    Attributes:
        ref: name of the row, unique in the history.
        item: what moved; averages are taken over one item.
        quantity: g or pieces, positive in, negative out, never nought.
        lot: the lot that moved; empty when lots are not told apart.
        cost: what a receipt cost in all; None for everything else.
        reason: why it moved; costs that leave are summed by reason.
        batch: the batch that took it (quantity below nought) or made it.
        share: part of the batch's cost that this output carries, 0 to 1.
        undoes: ref of the earlier row that this one takes back, in part or whole.
        on: the day it happened, for sums over months.
    """

    ref: str
    item: str
    quantity: Decimal
    lot: str = ""
    cost: Decimal | None = None
    reason: str = ""
    batch: str = ""
    share: Decimal = Decimal(1)
    undoes: str = ""
    on: datetime.date | None = None

    def __post_init__(self) -> None:
        if self.quantity == 0:
            raise ValuationError(
                say("{ref} moves nothing: leave the row out", ref=self.ref)
            )
        if self.cost is not None and (self.cost < 0 or self.quantity < 0):
            raise ValuationError(
                say(
                    "{ref} gives a cost of {cost} to {quantity}: only what comes in "
                    "carries a cost of its own, and never below nought",
                    ref=self.ref,
                    cost=self.cost,
                    quantity=self.quantity,
                )
            )
        if not 0 <= self.share <= 1:
            raise ValuationError(
                say(
                    "{ref} carries {share} of its batch: the share lies between 0 and 1",
                    ref=self.ref,
                    share=self.share,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """What is left of one receipt: quantity and its cost, unrounded."""

    ref: str
    item: str
    lot: str
    quantity: Decimal
    cost: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Draw:
    """A part of what left, and the receipt it came from."""

    ref: str
    quantity: Decimal
    cost: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A movement with the cost it carried, never below nought."""

    movement: Movement
    cost: Decimal
    draws: tuple[Draw, ...] = ()

    @property
    def unit_cost(self) -> Decimal:
        """Cost of one gram or piece moved."""
        return self.cost / abs(self.movement.quantity)


@dataclass(frozen=True, slots=True, kw_only=True)
class Valuation:
    """A valued history: every row with its cost, and what is left.

    Attributes:
        entries: one per movement, in the order given.
        layers: what is on hand, by receipt.
        in_work: cost drawn by batches and not yet carried by what they made.
    """

    entries: tuple[Entry, ...]
    layers: tuple[Layer, ...]
    in_work: Mapping[str, Decimal]

    @property
    def on_hand_cost(self) -> Decimal:
        """Value of everything on the shelf."""
        return sum((layer.cost for layer in self.layers), ZERO)

    @property
    def bought_cost(self) -> Decimal:
        """What came in from outside, at what it cost."""
        return sum((e.cost for e in self.entries if e.movement.cost is not None), ZERO)

    @property
    def left_cost(self) -> Decimal:
        """What left for good: sold, given, spoiled; less what came back."""
        return sum(self.left_cost_by_reason().values(), ZERO)

    def left_cost_by_reason(self) -> dict[str, Decimal]:
        """What left for good by reason, with what came back taken off its reason."""
        left: defaultdict[str, Decimal] = defaultdict(lambda: ZERO)
        for entry in self.entries:
            movement = entry.movement
            if movement.batch or movement.cost is not None:
                continue
            sign = 1 if movement.quantity < 0 else -1
            left[movement.reason] += sign * entry.cost
        return dict(left)

    def cost_by_item(self) -> dict[str, Decimal]:
        """Value on hand by item."""
        return _summed((layer.item, layer.cost) for layer in self.layers)

    def cost_by_lot(self) -> dict[str, Decimal]:
        """Value on hand by lot."""
        return _summed((layer.lot, layer.cost) for layer in self.layers)

    def quantity_by_lot(self) -> dict[str, Decimal]:
        """Quantity on hand by lot."""
        return _summed((layer.lot, layer.quantity) for layer in self.layers)


def _summed(pairs: Iterable[tuple[str, Decimal]]) -> dict[str, Decimal]:
    sums: defaultdict[str, Decimal] = defaultdict(lambda: ZERO)
    for key, amount in pairs:
        sums[key] += amount
    return dict(sums)


@dataclass(slots=True)
class _Book:
    """The running state of one valuation."""

    method: Method
    shelves: dict[str, list[Layer]] = field(default_factory=dict)
    entries: dict[str, Entry] = field(default_factory=dict)
    unit_costs: dict[tuple[str, str], Decimal] = field(default_factory=dict)
    drawn: dict[str, Decimal] = field(default_factory=lambda: defaultdict(lambda: ZERO))
    carried: dict[str, Decimal] = field(
        default_factory=lambda: defaultdict(lambda: ZERO)
    )

    def post(self, movement: Movement) -> None:
        if movement.ref in self.entries:
            raise ValuationError(
                say("two rows are called {ref}: name them apart", ref=movement.ref)
            )
        if movement.quantity > 0:
            entry = self._receive(movement)
        else:
            entry = self._issue(movement)
        self.entries[movement.ref] = entry

    def _receive(self, movement: Movement) -> Entry:
        cost = self._incoming_cost(movement)
        shelf = self.shelves.setdefault(movement.item, [])
        shelf.append(
            Layer(
                ref=movement.ref,
                item=movement.item,
                lot=movement.lot,
                quantity=movement.quantity,
                cost=cost,
            )
        )
        if self.method is Method.AVERAGE:
            shelf[:] = _averaged(shelf)
        for key in ((movement.item, movement.lot), (movement.item, "")):
            self.unit_costs[key] = cost / movement.quantity
        return Entry(movement=movement, cost=cost)

    def _incoming_cost(self, movement: Movement) -> Decimal:
        if movement.cost is not None:
            return movement.cost
        if movement.undoes in self.entries:
            undone = self.entries[movement.undoes]
            cost = undone.unit_cost * movement.quantity
            if movement.batch:
                self.drawn[movement.batch] -= cost
            return cost
        if movement.batch:
            cost = movement.share * self.drawn[movement.batch]
            self.carried[movement.batch] += cost
            return cost
        for key in ((movement.item, movement.lot), (movement.item, "")):
            if key in self.unit_costs:
                return self.unit_costs[key] * movement.quantity
        raise UnknownCostError(movement.item, movement.ref)

    def _issue(self, movement: Movement) -> Entry:
        draws = self._draw(movement)
        cost = sum((draw.cost for draw in draws), ZERO)
        undoes = self.entries.get(movement.undoes)
        if movement.batch and undoes and undoes.movement.quantity > 0:
            self.carried[movement.batch] -= cost
        elif movement.batch:
            self.drawn[movement.batch] += cost
        return Entry(movement=movement, cost=cost, draws=tuple(draws))

    def _draw(self, movement: Movement) -> list[Draw]:
        shelf = self.shelves.get(movement.item, [])
        open_layers = sorted(
            (layer for layer in shelf if not movement.lot or layer.lot == movement.lot),
            key=lambda layer: layer.ref != movement.undoes,
        )
        wanted = -movement.quantity
        present = sum((layer.quantity for layer in open_layers), ZERO)
        if wanted > present:
            raise ShortStockError(movement.item, movement.ref, wanted, present)
        draws: list[Draw] = []
        for layer in open_layers:
            if wanted == 0:
                break
            taken = min(wanted, layer.quantity)
            whole = taken == layer.quantity
            cost = layer.cost if whole else layer.cost * taken / layer.quantity
            draws.append(Draw(ref=layer.ref, quantity=taken, cost=cost))
            wanted -= taken
            place = shelf.index(layer)
            shelf[place : place + 1] = [] if whole else [_left_of(layer, taken, cost)]
        return draws

    def result(self) -> Valuation:
        causes = self.drawn.keys() | self.carried.keys()
        in_work = {c: self.drawn[c] - self.carried[c] for c in sorted(causes)}
        return Valuation(
            entries=tuple(self.entries.values()),
            layers=tuple(layer for shelf in self.shelves.values() for layer in shelf),
            in_work=MappingProxyType({c: v for c, v in in_work.items() if v != 0}),
        )


def _left_of(layer: Layer, taken: Decimal, cost: Decimal) -> Layer:
    return replace(layer, quantity=layer.quantity - taken, cost=layer.cost - cost)


def _averaged(shelf: Sequence[Layer]) -> list[Layer]:
    """Give every layer the same unit cost; the last takes what division leaves."""
    quantity = sum((layer.quantity for layer in shelf), ZERO)
    value = sum((layer.cost for layer in shelf), ZERO)
    costs = [value * layer.quantity / quantity for layer in shelf[:-1]]
    costs.append(value - sum(costs, ZERO))
    return [replace(layer, cost=cost) for layer, cost in zip(shelf, costs, strict=True)]


def value_history(movements: Iterable[Movement], *, method: Method) -> Valuation:
    """Value a history of movements, of one item or of the whole book.

    What leaves a lot takes that lot's cost; where no lot is named the oldest
    receipt leaves first. A batch gathers the cost of what it draws and hands it
    to what it makes, by each output's share. What comes back comes back at the
    cost it left with; what is merely found takes its lot's last cost.

    Args:
        movements: rows in the order they happened.
        method: first in, first out, or the average made anew at each receipt.

    Returns:
        Every row with its cost, and what is left, unrounded. What was bought is
        what is on hand, in work and gone: nothing is lost on the way.

    Raises:
        ShortStockError: more leaves than is there.
        UnknownCostError: something comes in whose cost nothing tells.
    """
    book = _Book(method)
    for movement in movements:
        book.post(movement)
    return book.result()


@dataclass(frozen=True, slots=True, kw_only=True)
class PeriodicAverage:
    """One average for a whole period, and what it makes of what left and stayed."""

    available_quantity: Decimal
    available_cost: Decimal
    left_quantity: Decimal

    @property
    def unit_cost(self) -> Decimal:
        """Opening value and purchases over opening and bought quantity."""
        return self.available_cost / self.available_quantity

    @property
    def left_cost(self) -> Decimal:
        """Cost of what left in the period."""
        return self.left_quantity * self.unit_cost

    @property
    def on_hand_cost(self) -> Decimal:
        """Value of what is left at the end."""
        return self.available_cost - self.left_cost


def periodic_average(movements: Sequence[Movement]) -> PeriodicAverage:
    """Average one item over one period, its opening stock entered as a receipt.

    Raises:
        UnknownCostError: a receipt has no cost.
        ShortStockError: more left than was ever there.
    """
    received = [m for m in movements if m.quantity > 0]
    costs = []
    for movement in received:
        if movement.cost is None:
            raise UnknownCostError(movement.item, movement.ref)
        costs.append(movement.cost)
    available = sum((m.quantity for m in received), ZERO)
    left = -sum((m.quantity for m in movements if m.quantity < 0), ZERO)
    if left > available or not received:
        item = movements[-1].item if movements else say("the item")
        raise ShortStockError(item, say("the period"), left, available)
    return PeriodicAverage(
        available_quantity=available,
        available_cost=sum(costs, ZERO),
        left_quantity=left,
    )


def last_cost(movements: Sequence[Movement]) -> Decimal:
    """Unit cost of the newest purchase: right for a quotation, wrong for the books.

    Raises:
        ValuationError: nothing was ever bought.
    """
    for movement in reversed(movements):
        if movement.cost is not None:
            return movement.cost / movement.quantity
    raise ValuationError(say("nothing was bought yet: enter a purchase with its cost"))
