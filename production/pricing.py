"""Prices: margin, markup, what a shop can pay, what fees take, when a day breaks even.

A margin is a share of the price, a markup a share of the cost; the two are never one
number. Percentages along a chain multiply, they never add. Nothing is rounded here
but jars, which are whole.

Source: the definitions follow M. Cannella, Mark-up and Margins to Set Prices,
University of Vermont Extension 2013, and Alberta Agriculture, Pricing Processed Food
Products, Agdex 845-3, 2016.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from inventory.words import say

__all__ = [
    "ImpossiblePriceError",
    "NeverBreaksEvenError",
    "PriceFees",
    "PricingError",
    "SalesTax",
    "TaxedPrice",
    "break_even_jars",
    "break_even_sales",
    "chain_price",
    "commission_left",
    "margin",
    "margin_from_markup",
    "margin_of_safety",
    "markup",
    "markup_from_margin",
    "price_for_margin",
    "price_for_markup",
    "price_shop_can_pay",
    "taxed_price",
]

ZERO = Decimal(0)
ONE = Decimal(1)


class PricingError(ValueError):
    """A price that cannot be worked out."""


class ImpossiblePriceError(PricingError):
    """No price leaves the wanted margin."""

    def __init__(self, wanted: Decimal, fees: Decimal) -> None:
        self.wanted, self.fees = wanted, fees
        super().__init__(
            say(
                "no price leaves a margin of {wanted:.1%} when {fees:.2%} of it "
                "goes in fees: margin and fees together must stay below 100 %",
                wanted=wanted,
                fees=fees,
            )
        )


class NeverBreaksEvenError(PricingError):
    """Every jar sold adds to the loss."""

    def __init__(self, contribution: Decimal) -> None:
        self.contribution = contribution
        super().__init__(
            say(
                "each jar brings {contribution:.2f} towards the fixed costs, so no "
                "number of jars pays for them: raise the price or lower the cost",
                contribution=contribution,
            )
        )


def margin(price: Decimal, cost: Decimal) -> Decimal:
    """Share of the price that is left after the cost, a fraction of the price."""
    if price <= 0:
        raise PricingError(
            say("a price of {price} has no margin: enter one above nought", price=price)
        )
    return (price - cost) / price


def markup(price: Decimal, cost: Decimal) -> Decimal:
    """What was put on top of the cost, a fraction of the cost."""
    if cost <= 0:
        raise PricingError(
            say("a cost of {cost} has no markup: enter one above nought", cost=cost)
        )
    return (price - cost) / cost


def margin_from_markup(markup_fraction: Decimal) -> Decimal:
    """The margin a markup amounts to: 25 % on the cost is 20 % of the price."""
    return markup_fraction / (ONE + markup_fraction)


def markup_from_margin(margin_fraction: Decimal) -> Decimal:
    """The markup a margin amounts to: 40 % of the price is 66.7 % on the cost."""
    if margin_fraction >= 1:
        raise ImpossiblePriceError(margin_fraction, ZERO)
    return margin_fraction / (ONE - margin_fraction)


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceFees:
    """What selling a jar takes out of its price.

    Attributes:
        fraction: all percentage fees together, a fraction of the price.
        per_jar: money for each jar.
    """

    fraction: Decimal = ZERO
    per_jar: Decimal = ZERO

    def __post_init__(self) -> None:
        if self.per_jar < 0 or not 0 <= self.fraction <= 1:
            raise PricingError(
                say(
                    "fees of {fraction:%} and {per_jar} a jar: a share lies between 0 "
                    "and 100 %, money is nought or more",
                    fraction=self.fraction,
                    per_jar=self.per_jar,
                )
            )

    def taken_from(self, price: Decimal) -> Decimal:
        """Money the fees take out of one jar's price."""
        return price * self.fraction + self.per_jar


NO_FEES = PriceFees()


def price_for_markup(cost: Decimal, markup_fraction: Decimal) -> Decimal:
    """Price that puts a markup on the cost."""
    return cost * (ONE + markup_fraction)


def price_for_margin(
    cost: Decimal, wanted_margin: Decimal, *, fees: PriceFees = NO_FEES
) -> Decimal:
    """Price that leaves a wanted margin after cost and fees, unrounded.

    Raises:
        ImpossiblePriceError: margin and percentage fees reach the whole price.
    """
    left = ONE - wanted_margin - fees.fraction
    if left <= 0:
        raise ImpossiblePriceError(wanted_margin, fees.fraction)
    return (cost + fees.per_jar) / left


def price_shop_can_pay(shelf_price: Decimal, shop_margin: Decimal) -> Decimal:
    """Most a shop pays that wants a margin of its shelf price."""
    return shelf_price * (ONE - shop_margin)


def commission_left(shelf_price: Decimal, commission: Decimal) -> Decimal:
    """What is left of the shelf price when the shop sells it for you."""
    return shelf_price * (ONE - commission)


def chain_price(start: Decimal, markups: Iterable[Decimal]) -> Decimal:
    """Price after each link of a chain put its own markup on what it paid."""
    price = start
    for fraction in markups:
        price *= ONE + fraction
    return price


def break_even_jars(
    fixed_cost: Decimal, contribution: Decimal, *, goal: Decimal = ZERO
) -> int:
    """Whole jars that pay the fixed cost, and a profit on top if one is wanted.

    Args:
        fixed_cost: money of the day or the year that no single jar causes.
        contribution: what one jar leaves after its own cost and fees.
        goal: profit wanted beyond the fixed cost.

    Raises:
        NeverBreaksEvenError: a jar leaves nothing.
    """
    if contribution <= 0:
        raise NeverBreaksEvenError(contribution)
    jars = ((fixed_cost + goal) / contribution).to_integral_value(ROUND_CEILING)
    return max(0, int(jars))


def break_even_sales(
    fixed_cost: Decimal, contribution: Decimal, price: Decimal
) -> Decimal:
    """Takings that pay the fixed cost, unrounded."""
    if contribution <= 0:
        raise NeverBreaksEvenError(contribution)
    return fixed_cost / (contribution / price)


def margin_of_safety(sold: Decimal, break_even: Decimal) -> Decimal:
    """Share by which sales may fall before the day earns nothing."""
    if sold <= 0:
        raise PricingError(
            say("{sold} sold has no margin of safety: enter what was sold", sold=sold)
        )
    return (sold - break_even) / sold


@dataclass(frozen=True, slots=True, kw_only=True)
class SalesTax:
    """How a sale is taxed, as the seller was told.

    Attributes:
        fraction: rate at this outlet, a fraction of the price before tax.
        is_due: whether this jar's recipe is taxable there.
        is_included: whether the price on the sign holds the tax already.
    """

    fraction: Decimal
    is_due: bool = True
    is_included: bool = False

    def __post_init__(self) -> None:
        if not 0 <= self.fraction < 1:
            raise PricingError(
                say(
                    "a sales tax of {fraction:%}: enter a share between 0 and 100 %",
                    fraction=self.fraction,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class TaxedPrice:
    """Price, tax and total: three figures, never one. The tax is not takings."""

    price: Decimal
    tax: Decimal

    @property
    def total(self) -> Decimal:
        """What the customer pays."""
        return self.price + self.tax


def taxed_price(sign_price: Decimal, tax: SalesTax) -> TaxedPrice:
    """Split what the customer pays into price and tax, unrounded."""
    rate = tax.fraction if tax.is_due else ZERO
    if tax.is_included:
        price = sign_price / (ONE + rate)
        return TaxedPrice(price=price, tax=sign_price - price)
    return TaxedPrice(price=sign_price, tax=sign_price * rate)
