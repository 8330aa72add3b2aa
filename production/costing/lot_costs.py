"""What one gram, piece or jar of a lot cost, back through batches to what was bought.

A bought lot costs what was paid for it; a split lot what its parent cost; a made lot
its share of everything its batch drew. This is the cost of the physical lots, which
is what a batch's actual cost means; the books may value the stock by another method.
"""

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from inventory.words import say
from production.costing.breakdown import CostingError

__all__ = ["DrawFact", "LotCosts", "LotFact"]

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class LotFact:
    """What the book knows of a lot: what it is, where it came from, what it cost.

    Attributes:
        code: the lot.
        received: g, pieces or jars that came in, corrections taken in.
        cost: what all of it cost when bought.
        split_from: number of the lot it was taken from.
        made_by: number of the batch that made it.
        share: part of that batch's cost it carries, 0 to 1.
        filled: what the batch filled, g or jars.
        name: what it is a lot of.
        kind: "jars", or the kind of its material.
        unit: of its quantities.
        material: number of its material; None for jars.
        edible_yield: part of it, as bought, that can be eaten, 0 to 1.
        product: number of its product; None for material.
        received_on: the day it came in.
        supplier: whom it was bought from; empty where it was not.
        bought_on: the day of that purchase.
    """

    code: str
    received: Decimal
    cost: Decimal = ZERO
    split_from: int | None = None
    made_by: int | None = None
    share: Decimal = Decimal(1)
    filled: Decimal = ZERO
    name: str = ""
    kind: str = ""
    unit: str = "g"
    material: int | None = None
    edible_yield: Decimal = Decimal(1)
    product: int | None = None
    received_on: datetime.date | None = None
    supplier: str = ""
    bought_on: datetime.date | None = None

    @property
    def item(self) -> str:
        """What it is a lot of, as one word: averages are taken over it."""
        if self.product is not None:
            return f"product:{self.product}"
        return f"material:{self.material}"


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawFact:
    """So much of a lot that a batch drew, corrections taken in."""

    lot: int
    quantity: Decimal


@dataclass(slots=True)
class LotCosts:
    """Answers what a lot's unit cost is; each answer is worked out once.

    Attributes:
        lots: facts by lot number.
        draws: what each batch drew, by batch number.
    """

    lots: Mapping[int, LotFact]
    draws: Mapping[int, Sequence[DrawFact]]
    _known: dict[int, Decimal] = field(default_factory=dict)
    _asked: set[int] = field(default_factory=set)

    def unit_cost(self, lot: int) -> Decimal:
        """Cost of one gram, piece or jar, unrounded.

        Raises:
            CostingError: the lot was made from itself.
        """
        if lot in self._known:
            return self._known[lot]
        fact = self.lots[lot]
        if lot in self._asked:
            raise CostingError(
                say(
                    "lot {fact} was made from itself: correct what its batch drew",
                    fact=fact.code,
                )
            )
        self._asked.add(lot)
        self._known[lot] = self._work_out(fact)
        self._asked.discard(lot)
        return self._known[lot]

    def batch_cost(self, batch: int) -> Decimal:
        """Cost of everything a batch drew, unrounded."""
        return sum(
            (
                draw.quantity * self.unit_cost(draw.lot)
                for draw in self.draws.get(batch, ())
            ),
            ZERO,
        )

    def _work_out(self, fact: LotFact) -> Decimal:
        if fact.split_from is not None:
            return self.unit_cost(fact.split_from)
        if fact.received <= 0:
            return ZERO
        if fact.made_by is not None and fact.made_by in self.draws:
            return self.batch_cost(fact.made_by) * fact.share / fact.received
        return fact.cost / fact.received
