"""What is kept of a jar at each outlet, and what a day at an outlet earns.

Costs of a day (stall fee, drive, hours) belong to the day and are spread over the
jars expected to sell there only to compare outlets; the break-even uses them whole.
Sales tax is no part of any figure here.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from inventory.words import say
from production.pricing import (
    NeverBreaksEvenError,
    PriceFees,
    PricingError,
    break_even_jars,
    margin,
    markup,
    price_for_margin,
)

__all__ = [
    "CardFees",
    "DayCosts",
    "Kept",
    "KeptInput",
    "KeptTerm",
    "OutletRecord",
    "OutletTerms",
    "WholesaleFloor",
    "kept_of_a_jar",
    "money_per_hour",
    "threshold_fee",
    "wholesale_floor",
]

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class CardFees:
    """What a card sale costs.

    Attributes:
        fraction: share of the sale.
        fixed: money for each sale, spread over its jars.
        share_of_sales: share of the sales that are paid by card.
        jars_per_sale: jars in a usual sale.
    """

    fraction: Decimal = ZERO
    fixed: Decimal = ZERO
    share_of_sales: Decimal = Decimal(1)
    jars_per_sale: Decimal = Decimal(1)

    def __post_init__(self) -> None:
        if self.jars_per_sale <= 0:
            raise PricingError(
                say(
                    "a sale of {jars_per_sale} jars: enter how many a usual sale has",
                    jars_per_sale=self.jars_per_sale,
                )
            )

    def of_sale(self, amount: Decimal) -> Decimal:
        """Fee of one sale of an amount paid by card, unrounded."""
        return amount * self.fraction + self.fixed

    @property
    def as_price_fees(self) -> PriceFees:
        """The fees of an average jar, card and cash sales together."""
        return PriceFees(
            fraction=self.fraction * self.share_of_sales,
            per_jar=self.fixed * self.share_of_sales / self.jars_per_sale,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class DayCosts:
    """What a day at an outlet costs before a jar is sold.

    Attributes:
        stall_fee: money for the place.
        distance_km: the drive there and back.
        km_rate: money a kilometre.
        hours: all hours of the day, the drive included.
        hourly_rate: what an hour of the seller is worth to them.
    """

    stall_fee: Decimal = ZERO
    distance_km: Decimal = ZERO
    km_rate: Decimal = ZERO
    hours: Decimal = ZERO
    hourly_rate: Decimal = ZERO

    @property
    def driving_cost(self) -> Decimal:
        """The drive."""
        return self.distance_km * self.km_rate

    @property
    def hours_cost(self) -> Decimal:
        """The seller's hours of that day."""
        return self.hours * self.hourly_rate

    @property
    def total_cost(self) -> Decimal:
        """All of it, unrounded."""
        return self.stall_fee + self.driving_cost + self.hours_cost


@dataclass(frozen=True, slots=True, kw_only=True)
class OutletTerms:
    """How an outlet takes its part.

    Attributes:
        name: the outlet.
        commission: share of the price it keeps.
        card: what card sales cost there.
        day: what a day there costs.
        jars_per_day: jars expected to sell on such a day; nought where no day
            is spent (a shop).
        loss_share: jars sampled, broken or missing for each one sold.
    """

    name: str
    commission: Decimal = ZERO
    card: CardFees = CardFees(share_of_sales=ZERO)
    day: DayCosts = DayCosts()
    jars_per_day: Decimal = ZERO
    loss_share: Decimal = ZERO

    @property
    def price_fees(self) -> PriceFees:
        """Commission and card together, as they come out of one jar's price."""
        card = self.card.as_price_fees
        return PriceFees(fraction=card.fraction + self.commission, per_jar=card.per_jar)

    @property
    def day_cost_per_jar(self) -> Decimal:
        """The day's costs over the jars expected to sell, unrounded."""
        if self.day.total_cost == 0:
            return ZERO
        if self.jars_per_day <= 0:
            raise PricingError(
                say(
                    "a day at {name} costs {total_cost:.2f} and no jars are expected "
                    "there: enter how many a day sells",
                    name=self.name,
                    total_cost=self.day.total_cost,
                )
            )
        return self.day.total_cost / self.jars_per_day


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptInput:
    """One product at one outlet."""

    product: str
    price: Decimal
    cost: Decimal
    outlet: OutletTerms


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptTerm:
    """One thing that comes off the price, as a figure above nought."""

    name: str
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What is kept of a jar's price, with everything that came off it.

    Attributes:
        given: what was asked.
        jar_terms: cost, commission, card and losses, each per jar.
        day_terms: the day's costs per jar.
    """

    given: KeptInput
    jar_terms: tuple[KeptTerm, ...]
    day_terms: tuple[KeptTerm, ...]

    @property
    def contribution(self) -> Decimal:
        """What a jar leaves towards the costs of the day and the year."""
        return self.given.price - sum((t.amount for t in self.jar_terms), ZERO)

    @property
    def kept(self) -> Decimal:
        """What is left of a jar after everything, its part of the day included."""
        return self.contribution - sum((t.amount for t in self.day_terms), ZERO)

    @property
    def kept_margin(self) -> Decimal | None:
        """What is kept as a share of the price; None where nothing is charged."""
        return self.kept / self.given.price if self.given.price > 0 else None

    @property
    def gross_margin(self) -> Decimal | None:
        """Margin on the jar's own cost alone, before fees and the day."""
        price = self.given.price
        return margin(price, self.given.cost) if price > 0 else None

    @property
    def gross_markup(self) -> Decimal | None:
        """Markup on the jar's own cost."""
        cost = self.given.cost
        return markup(self.given.price, cost) if cost > 0 else None

    @property
    def loses_money(self) -> bool:
        """Whether selling the jar there costs more than it brings."""
        return self.kept < 0

    @property
    def break_even_jars(self) -> int | None:
        """Jars that pay for a day there; None when no number does."""
        try:
            return break_even_jars(self.given.outlet.day.total_cost, self.contribution)
        except NeverBreaksEvenError:
            return None

    @property
    def break_even_price(self) -> Decimal | None:
        """Price at which nothing is kept and nothing lost; None if no price does."""
        outlet = self.given.outlet
        cost = self.given.cost * (1 + outlet.loss_share) + outlet.day_cost_per_jar
        try:
            return price_for_margin(cost, ZERO, fees=outlet.price_fees)
        except PricingError:
            return None


def kept_of_a_jar(given: KeptInput) -> Kept:
    """Work out what is kept of one jar's price at one outlet.

    Raises:
        PricingError: the outlet's day costs something and no jars are expected.
    """
    outlet, price = given.outlet, given.price
    card = outlet.card.as_price_fees
    jar_terms = (
        KeptTerm(name=say("cost of the jar"), amount=given.cost),
        KeptTerm(
            name=say("samples, breakage, missing"),
            amount=given.cost * outlet.loss_share,
        ),
        KeptTerm(name=say("commission"), amount=price * outlet.commission),
        KeptTerm(
            name=say("card fees"), amount=card.taken_from(price) if price else ZERO
        ),
    )
    return Kept(given=given, jar_terms=jar_terms, day_terms=_day_terms(outlet))


def _day_terms(outlet: OutletTerms) -> tuple[KeptTerm, ...]:
    if outlet.day_cost_per_jar == 0:
        return ()
    day, jars = outlet.day, outlet.jars_per_day
    return (
        KeptTerm(name=say("stall fee"), amount=day.stall_fee / jars),
        KeptTerm(name=say("drive"), amount=day.driving_cost / jars),
        KeptTerm(name=say("hours of the day"), amount=day.hours_cost / jars),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class WholesaleFloor:
    """The least a shop may pay, and the shelf price that implies.

    Attributes:
        floor_price: least price to the shop that leaves the wanted margin.
        shelf_price: least price on the shop's shelf.
    """

    floor_price: Decimal
    shelf_price: Decimal


def wholesale_floor(
    cost: Decimal, *, wanted_margin: Decimal, shop_margin: Decimal
) -> WholesaleFloor:
    """Least price to a shop for a wanted margin, and what its shelf must then say.

    Raises:
        ImpossiblePriceError: either margin is the whole price.
    """
    floor = price_for_margin(cost, wanted_margin)
    return WholesaleFloor(
        floor_price=floor, shelf_price=price_for_margin(floor, shop_margin)
    )


def money_per_hour(contribution: Decimal, *, jars: Decimal, hours: Decimal) -> Decimal:
    """Money a scarce hour brings: rank products by this when hours bind."""
    if hours <= 0:
        raise PricingError(
            say("{hours} hours: enter the hands-on hours of a batch", hours=hours)
        )
    return contribution * jars / hours


@dataclass(frozen=True, slots=True, kw_only=True)
class OutletRecord:
    """What an outlet brought over some days attended; days missed are not counted.

    Attributes:
        name: the outlet.
        days: days attended.
        takings: what was sold there, without sales tax.
        fees: stall fees, commission and card fees.
        driving_cost: the drives.
        product_cost: cost of the jars sold, sampled, broken and missing.
        hours: all hours, the drive included.
    """

    name: str
    days: int
    takings: Decimal
    fees: Decimal
    driving_cost: Decimal
    product_cost: Decimal
    hours: Decimal

    @property
    def contribution(self) -> Decimal:
        """What the outlet left for the hours spent on it."""
        return self.takings - self.fees - self.driving_cost - self.product_cost

    @property
    def takings_per_hour(self) -> Decimal | None:
        """Takings of an hour, the drive included; None where no hour was spent."""
        return self.takings / self.hours if self.hours else None

    @property
    def contribution_per_hour(self) -> Decimal | None:
        """What an hour left; None where no hour was spent."""
        return self.contribution / self.hours if self.hours else None

    @property
    def takings_per_day(self) -> Decimal | None:
        """Takings of a day attended; None where no day was."""
        return self.takings / self.days if self.days else None


def threshold_fee(sales: Decimal, tiers: Sequence[tuple[Decimal, Decimal]]) -> Decimal:
    """Fee due on a year's sales when each tier starts strictly above its amount.

    Args:
        sales: sales of the period.
        tiers: (amount that must be exceeded, fee then due), in any order.
    """
    due = [fee for amount, fee in sorted(tiers) if sales > amount]
    return due[-1] if due else ZERO
