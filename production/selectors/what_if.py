"""What would be kept of a jar at an outlet if a figure were another."""

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from inventory.folding import best_fits, fold
from inventory.measures import Measure, rate
from inventory.models import Outlet, OutletKind, Product
from inventory.selectors.choosing import MOST, Shelf
from inventory.words import say
from production.costing.breakdown import CostingError, JarCost
from production.costing.jar import JarCostInput, MaterialUse, cost_of_jar
from production.costing.what_if import (
    GRAMS_PER_KG,
    Change,
    change_input,
    main_material,
)
from production.margins import Kept, KeptInput, OutletTerms, kept_of_a_jar
from production.pricing import PricingError, price_for_margin
from production.selectors.cost_book import read_cost_book
from production.selectors.outlet_margins import outlet_terms, with_days_attended
from production.selectors.selling_prices import PricedProduct, priced_products

__all__ = [
    "NothingToTry",
    "Offer",
    "OfferedProducts",
    "Tried",
    "WhatIf",
    "read_offer",
    "starting_figures",
    "try_figures",
]

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIf:
    """One product at one outlet as it stands today."""

    product: Product
    outlet: Outlet
    given: JarCostInput
    main: MaterialUse
    terms: OutletTerms
    price: Decimal
    hourly_rate: Decimal

    def figures(self) -> dict[str, Decimal]:
        """Today's figures, by the names of the sliders; fruit a lb or a kg."""
        return {
            "price": self.price,
            "fruit_price": rate(self.main.unit_price * GRAMS_PER_KG, Measure.GOODS),
            "labour_rate": self.hourly_rate,
            "jars": self.given.jars,
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class NothingToTry:
    """Why no figures can be tried yet."""

    problem: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """Today beside what was tried.

    Attributes:
        margin_prices: price that would leave each of some margins, None where no
            price does.
    """

    cost: JarCost
    kept: Kept
    cost_today: JarCost
    kept_today: Kept
    margin_prices: dict[int, Decimal | None]

    @property
    def difference(self) -> Decimal:
        """What is kept more than today, or less."""
        return self.kept.kept - self.kept_today.kept


class OfferedProducts(Shelf[Product]):
    """Products that were read already, chosen by typing without asking the book."""

    def __init__(self, products: Iterable[Product]) -> None:
        super().__init__(Product.objects.none())
        self.known = {product.pk: product for product in products}

    def names(self) -> Iterable[tuple[int, str]]:
        """Key and every name it is known by."""
        for key, product in self.known.items():
            yield key, str(product)
            yield key, product.code

    def find(self, typed: str, *, most: int = MOST) -> list[Product]:
        """Products that answer what was typed, the best first."""
        if not typed.strip():
            return list(self.known.values())[:most]
        return [self.known[k] for k in best_fits(typed, self.names(), most=most)]

    def named(self, typed: str) -> list[Product]:
        """Products whose own words were typed."""
        wanted = fold(typed)
        keys = {key: None for key, name in self.names() if fold(name) == wanted}
        return [self.known[key] for key in keys]


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """What may be tried: products with their prices, and the outlets open today."""

    on: datetime.date
    products: Sequence[PricedProduct]
    outlets: Sequence[Outlet]

    @property
    def shelf(self) -> OfferedProducts:
        """The products to choose from."""
        return OfferedProducts(row.product for row in self.products)

    def priced(self, typed: str) -> PricedProduct | None:
        """The product meant by a text, or the first offered that has a price."""
        shelf = self.shelf
        found = (shelf.named(typed) or shelf.find(typed)) if typed.strip() else []
        if len(found) == 1:
            return next(row for row in self.products if row.product == found[0])
        offered = (
            row
            for row in self.products
            if row.prices
            and not (row.product.withdrawn_on and row.product.withdrawn_on <= self.on)
        )
        return next(offered, None)

    def outlet(self, number: int | None, priced: PricedProduct) -> Outlet | None:
        """The outlet of a number, or the first with a price for the jar."""
        named = (outlet for outlet in self.outlets if outlet.pk == number)
        selling = (o for o in self.outlets if o.kind in priced.prices)
        return next(named, None) or next(selling, None)


def read_offer(*, on: datetime.date) -> Offer:
    """Read products, prices and outlets, in two queries."""
    open_outlets = Outlet.objects.filter(closed_on__isnull=True)
    outlets = open_outlets.exclude(kind=OutletKind.GIFTS)
    return Offer(
        on=on,
        products=priced_products(Product.objects.all(), on=on),
        outlets=list(with_days_attended(outlets, on=on)),
    )


def starting_figures(
    offer: Offer, *, product: str = "", outlet: int | None = None
) -> WhatIf | NothingToTry:
    """Today's figures of a pair, or of the first pair that has a price.

    Args:
        offer: what may be tried.
        product: name or code as typed.
        outlet: its number.
    """
    priced = offer.priced(product)
    if priced is None:
        return NothingToTry(problem=say("No product has a price yet: set one first."))
    there = offer.outlet(outlet, priced)
    if there is None:
        return NothingToTry(
            problem=say("No outlet is open yet: enter one under Stall.")
        )
    book = read_cost_book(on=offer.on)
    try:
        given = book.standard_input(priced)
        main = main_material(given)
    except CostingError as error:
        return NothingToTry(problem=f"{error}.")
    terms = outlet_terms([there], on=offer.on, business=book.business)
    return WhatIf(
        product=priced.product,
        outlet=there,
        given=given,
        main=main,
        terms=terms[there.pk],
        price=priced.prices.get(there.kind, ZERO),
        hourly_rate=book.business.labour_rate,
    )


def try_figures(pair: WhatIf, change: Change, *, price: Decimal) -> Tried:
    """Cost and what is kept with the figures tried, beside today's."""
    today, cost = cost_of_jar(pair.given), cost_of_jar(change_input(pair.given, change))
    kept = _kept(pair, cost, price)
    return Tried(
        cost=cost,
        kept=kept,
        cost_today=today,
        kept_today=_kept(pair, today, pair.price),
        margin_prices={
            percent: _price_for(pair, cost, percent) for percent in (0, 20, 40, 50)
        },
    )


def _kept(pair: WhatIf, cost: JarCost, price: Decimal) -> Kept:
    return kept_of_a_jar(
        KeptInput(
            product=str(pair.product),
            price=price,
            cost=cost.total_cost,
            outlet=pair.terms,
        )
    )


def _price_for(pair: WhatIf, cost: JarCost, percent: int) -> Decimal | None:
    """Price that leaves a margin after everything, the day's part included."""
    terms = pair.terms
    whole = cost.total_cost * (1 + terms.loss_share) + terms.day_cost_per_jar
    try:
        return price_for_margin(whole, Decimal(percent) / 100, fees=terms.price_fees)
    except PricingError:
        return None
