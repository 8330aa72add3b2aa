"""What would be kept of a jar at an outlet if a figure were another."""

import datetime
from dataclasses import dataclass
from decimal import Decimal

from inventory.measures import Measure, rate
from inventory.models import Outlet, OutletKind, Product
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

__all__ = ["NothingToTry", "Tried", "WhatIf", "starting_figures", "try_figures"]

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


def starting_figures(
    product: Product | None, outlet: Outlet | None, *, on: datetime.date
) -> WhatIf | NothingToTry:
    """Today's figures of a pair, or of the first pair that has a price."""
    priced = _priced(product, on=on)
    if priced is None:
        return NothingToTry(problem=say("No product has a price yet: set one first."))
    outlet = _outlet(outlet, priced, on=on)
    if outlet is None:
        return NothingToTry(
            problem=say("No outlet is open yet: enter one under Stall.")
        )
    book = read_cost_book(on=on)
    try:
        given = book.standard_input(priced)
        main = main_material(given)
    except CostingError as error:
        return NothingToTry(problem=f"{error}.")
    terms = outlet_terms([outlet], on=on, business=book.business)[outlet.pk]
    return WhatIf(
        product=priced.product,
        outlet=outlet,
        given=given,
        main=main,
        terms=terms,
        price=priced.prices.get(outlet.kind, ZERO),
        hourly_rate=book.business.labour_rate,
    )


def _priced(product: Product | None, *, on: datetime.date) -> PricedProduct | None:
    """The product asked for, or the first that has a price."""
    if product is not None:
        products = Product.objects.filter(pk=product.pk)
        return priced_products(products, on=on)[0]
    offered = priced_products(Product.objects.offered(on=on), on=on)
    return next((row for row in offered if row.prices), None)


def _outlet(
    outlet: Outlet | None, priced: PricedProduct, *, on: datetime.date
) -> Outlet | None:
    """The outlet asked for, or the first open one with a price for the jar."""
    if outlet is not None:
        return with_days_attended(Outlet.objects.filter(pk=outlet.pk), on=on).first()
    open_outlets = Outlet.objects.filter(closed_on__isnull=True)
    outlets = with_days_attended(open_outlets.exclude(kind=OutletKind.GIFTS), on=on)
    return next((o for o in outlets if o.kind in priced.prices), None)


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
