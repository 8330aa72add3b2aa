"""What would be kept of a jar at an outlet if a figure were another."""

import datetime
from dataclasses import dataclass
from decimal import Decimal

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
from production.selectors.outlet_margins import outlet_terms, prices_in_force

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
        """Today's figures, by the names of the sliders."""
        return {
            "price": self.price,
            "fruit_price": self.main.unit_price * GRAMS_PER_KG,
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
    book = read_cost_book(on=on)
    prices = prices_in_force(on=on)
    open_outlets = list(
        Outlet.objects.filter(closed_on__isnull=True).exclude(kind=OutletKind.GIFTS)
    )
    if product is None:
        priced = {number for number, _ in prices}
        product = Product.objects.offered(on=on).filter(pk__in=priced).first()
    if product is None:
        return NothingToTry(problem=say("No product has a price yet: set one first."))
    product = Product.objects.select_related(
        "jar_size__jar", "jar_size__lid", "filling__recipe"
    ).get(pk=product.pk)
    if outlet is None:
        outlet = next((o for o in open_outlets if (product.pk, o.kind) in prices), None)
    if outlet is None:
        return NothingToTry(
            problem=say("No outlet is open yet: enter one under Stall.")
        )
    try:
        given = book.standard_input(product)
        main = main_material(given)
    except CostingError as error:
        return NothingToTry(problem=f"{error}.")
    terms = outlet_terms([outlet], on=on, business=book.business)[outlet.pk]
    return WhatIf(
        product=product,
        outlet=outlet,
        given=given,
        main=main,
        terms=terms,
        price=prices.get((product.pk, outlet.kind), ZERO),
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
