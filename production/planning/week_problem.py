"""The question of a market week, and its answer, as values.

``week`` solves it, ``cook_day`` sets the minutes, ``why`` explains,
``shopping`` lists. Money is Decimal; amounts of materials are whole grams or
pieces; worths of jars are rounded to the cent.
"""

import datetime as dt
import itertools
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from inventory.words import say
from production.planning.kitchen import (
    Equipment,
    KitchenDay,
    Part,
    PlanningError,
)

__all__ = [
    "MAKING",
    "Candidate",
    "Made",
    "Market",
    "Material",
    "Need",
    "Offer",
    "PlannedBatch",
    "ProductWeek",
    "Purchase",
    "Slot",
    "Stock",
    "Taken",
    "WeekPlan",
    "WeekProblem",
    "Wish",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """What one batch takes of a material, as bought, in grams or pieces.

    Attributes:
        part: the part of the batch it goes into, from 0.
    """

    material: str
    amount: int
    part: int = 0


MAKING = "making "
"""Stands before a material's name in the key of a batch that makes it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """What a batch makes to be cooked with: juice, purée, pectin stock.

    Fit to use once its last part is done, on the same day already.

    Attributes:
        amount: grams.
        keeps_days: days it stays fit after that day; ``None``: past the week.
    """

    material: str
    amount: int
    keeps_days: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """A batch that may be made.

    Attributes:
        key: its own name; several candidates may fill one product.
        product: the product its jars are.
        jars: jars it fills.
        parts: its work, day by day; seal check and labels are the last, light.
        needs: materials.
        cost: what it costs beside the materials listed, money.
        most: most batches in the week.
        begun: it is on the stove already and must be finished.
        makes: what it makes instead of jars; its product is then ``MAKING`` and
            the material's name.
    """

    key: str
    product: str
    jars: int
    parts: tuple[Part, ...]
    needs: tuple[Need, ...] = ()
    cost: Decimal = Decimal(0)
    most: int = 2
    begun: bool = False
    makes: Made | None = None

    def __post_init__(self) -> None:
        gives = self.jars if self.makes is None else self.makes.amount
        if gives <= 0 or self.most < 0 or not self.parts:
            raise PlanningError(
                say(
                    "{key}: a batch fills at least one jar and has at least one step",
                    key=self.key,
                )
            )

    @property
    def hands_min(self) -> int:
        """Minutes a cook is at it, all days together."""
        return sum(part.hands_min for part in self.parts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """An amount on hand.

    Attributes:
        use_by: last day it is fit to use, or ``None``.
        frozen: it lies in the freezer.
    """

    amount: int
    use_by: dt.date | None = None
    frozen: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """What can be bought.

    Attributes:
        pack: grams or pieces in a pack.
        price: money a pack.
        days: days of the week it can be had.
        keeps_days: days it stays fit after the day of buying; ``None``: past
            the week.
        most: most packs in the week, or ``None``.
    """

    supplier: str
    pack: int
    price: Decimal
    days: tuple[dt.date, ...]
    keeps_days: int | None = None
    most: int | None = None
    pack_name: str = ""

    def __post_init__(self) -> None:
        if self.pack <= 0 or self.price < 0:
            raise PlanningError(
                say(
                    "{supplier}: a pack of {pack} at {price} cannot be bought",
                    supplier=self.supplier,
                    pack=self.pack,
                    price=self.price,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """A material in the week: what lies there, what can be had.

    Attributes:
        kept_worth: what a gram or piece left at the end is worth, money.
        season: when it can be had, for the reason a batch is left out.
    """

    key: str
    stocks: tuple[Stock, ...] = ()
    offers: tuple[Offer, ...] = ()
    kept_worth: Decimal = Decimal(0)
    season: str = ""

    @property
    def on_hand(self) -> int:
        """Grams or pieces that lie there."""
        return sum(stock.amount for stock in self.stocks)


@dataclass(frozen=True, slots=True, kw_only=True)
class Market:
    """A market day, or any outlet's day, of the week.

    Attributes:
        places: jars that fit the table and the crates, or ``None``.
    """

    key: str
    on: dt.date
    places: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ProductWeek:
    """A product in the week: what is there and what more jars are worth.

    Attributes:
        stock: jars ready now.
        coming: jars made but not ready, by the day they will be.
        worths: for each market, what its first, second, ... jar earns there,
            money, not rising.
        later: (jars, worth each) for jars kept beyond the week, not rising;
            jars beyond the last step are worth nothing.
        name: what it is called in sentences; its key where empty.
    """

    key: str
    stock: int = 0
    coming: tuple[tuple[dt.date, int], ...] = ()
    worths: Mapping[str, tuple[Decimal, ...]] = field(default_factory=dict)
    later: tuple[tuple[int, Decimal], ...] = ()
    name: str = ""

    def __post_init__(self) -> None:
        for rows in (*self.worths.values(), tuple(w for _, w in self.later)):
            if any(after > before for before, after in itertools.pairwise(rows)):
                raise PlanningError(
                    say("{key}: the worth of the next jar may not rise", key=self.key)
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """A batch pinned or forbidden by the maker.

    Attributes:
        batches: at least so many when pinned; none when 0 (forbidden).
        on: its first day, or ``None`` for any.
    """

    product: str
    batches: int
    on: dt.date | None = None

    @property
    def forbids(self) -> bool:
        """Whether it forbids."""
        return self.batches == 0


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekProblem:
    """Everything a week's plan depends on.

    Attributes:
        days: the days of the week, in order, none missing.
        hour_cost: what an hour of hands is priced at, money.
        cash: most that may be spent on materials, or ``None``.
        before: batches of the plan kept so far: (candidate, first day) ->
            batches. The new plan departs from it only for gain.
        change_cost: gain a departure must bring, money a batch.
    """

    days: tuple[KitchenDay, ...]
    equipment: Equipment
    products: tuple[ProductWeek, ...]
    candidates: tuple[Candidate, ...]
    markets: tuple[Market, ...] = ()
    materials: tuple[Material, ...] = ()
    wishes: tuple[Wish, ...] = ()
    hour_cost: Decimal = Decimal(0)
    cash: Decimal | None = None
    before: Mapping[tuple[str, dt.date], int] = field(default_factory=dict)
    change_cost: Decimal = Decimal(0)

    def __post_init__(self) -> None:
        if not self.days:
            raise PlanningError(say("a plan needs at least one day"))
        first = self.days[0].on
        for n, day in enumerate(self.days):
            if day.on != first + dt.timedelta(days=n):
                raise PlanningError(
                    say("{on} does not follow the day before", on=day.on)
                )
        self._check_known()

    def _check_known(self) -> None:
        known = {material.key for material in self.materials}
        products = {product.key for product in self.products}
        for candidate in self.candidates:
            if candidate.makes is None and candidate.product not in products:
                raise PlanningError(
                    say("{key}: its product is not in the week", key=candidate.key)
                )
            named = [need.material for need in candidate.needs]
            if candidate.makes is not None:
                named.append(candidate.makes.material)
            for material in named:
                if material not in known:
                    raise PlanningError(
                        say(
                            "{key}: nothing is known of {material}",
                            key=candidate.key,
                            material=material,
                        )
                    )

    def product(self, key: str) -> ProductWeek:
        """Return a product's week."""
        return next(p for p in self.products if p.key == key)

    def name_of(self, product: str) -> str:
        """Return what a product, or a batch made to be cooked with, is called."""
        names = {p.key: p.name for p in self.products}
        return names.get(product) or product.removeprefix(MAKING)

    def makers(self, material: str) -> tuple[Candidate, ...]:
        """Return the candidates that make a material."""
        return tuple(
            c
            for c in self.candidates
            if c.makes is not None and c.makes.material == material
        )

    def candidate(self, key: str) -> Candidate:
        """Return a candidate."""
        return next(c for c in self.candidates if c.key == key)

    def material(self, key: str) -> Material:
        """Return a material."""
        return next(m for m in self.materials if m.key == key)

    def number(self, on: dt.date) -> int:
        """Return the place of a date among the days, from 0."""
        return (on - self.days[0].on).days


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedBatch:
    """One batch of the plan.

    Attributes:
        number: from 1, batches of one candidate told apart.
        days: number of the day of each part; ``None`` for a light part that
            falls after the week.
    """

    candidate: str
    number: int
    days: tuple[int | None, ...]

    @property
    def first_day(self) -> int:
        """Number of the day it is begun."""
        first = self.days[0]
        return first if first is not None else 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Purchase:
    """Packs to buy."""

    material: str
    offer: Offer
    on: dt.date
    packs: int

    @property
    def cost(self) -> Decimal:
        """Money for the packs."""
        return self.offer.price * self.packs


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """Jars of a product the plan reckons with at a market."""

    product: str
    market: str
    jars: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """One task of one batch in the timetable, minutes from the first midnight."""

    candidate: str
    number: int
    part: int
    task: int
    label: str
    begins_min: int
    hands_until_min: int
    ends_min: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekPlan:
    """The answer of a week.

    Attributes:
        batches: what is made, by first day.
        purchases: what is bought.
        taken: jars reckoned with at each market.
        kept: jars of each product left at the end of the week.
        used: grams or pieces of each material used.
        slots: the timetable, by time.
        terms: the objective's parts, money; they add up to ``objective``.
        objective: what the plan earns, money.
        bound: no plan can earn more, money.
        relaxed: what of the wishes or hours was given up, in words; empty
            when everything was kept.
        proven: the plan is the best, or within the gap asked for.
        cuts: day sheets that did not fit and were ruled out on the way.
        seconds: time the solver took.
    """

    batches: tuple[PlannedBatch, ...]
    purchases: tuple[Purchase, ...]
    taken: tuple[Taken, ...]
    kept: Mapping[str, int]
    used: Mapping[str, int]
    slots: tuple[Slot, ...]
    terms: Mapping[str, Decimal]
    objective: Decimal
    bound: Decimal
    relaxed: tuple[str, ...] = ()
    proven: bool = True
    cuts: int = 0
    seconds: float = 0.0

    @property
    def gap(self) -> Decimal:
        """Share by which a better plan could still earn more."""
        missing = max(self.bound - self.objective, Decimal(0))
        return missing / max(abs(self.bound), Decimal("0.01"))

    def batches_of(self, candidate: str) -> int:
        """Return how many batches of a candidate are made."""
        return sum(batch.candidate == candidate for batch in self.batches)
