"""One cost, several outputs: juice from a jam fruit, peel, two fruits in one trip.

A rule says how the cost is shared and is shown beside the shares. The last coin is
never lost: the shares of a sum of money add up to it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from inventory.money import allocate
from inventory.words import say, to_say
from production.costing.breakdown import CostingError

__all__ = ["Output", "SharedCost", "SharedOutput", "SharingRule", "share_cost"]

ZERO = Decimal(0)


class SharingRule(StrEnum):
    """What a joint cost is shared by."""

    WEIGHT = to_say("weight")
    VALUE = to_say("value")
    PIECES = to_say("pieces")
    BY_PRODUCT = "by_product"

    @property
    def sentence(self) -> str:
        """The rule as a page states it."""
        return {
            SharingRule.WEIGHT: say("shared by weight"),
            SharingRule.VALUE: say("shared by what each will sell for"),
            SharingRule.PIECES: say("shared by the number of pieces"),
            SharingRule.BY_PRODUCT: say(
                "by-products carry what they will sell for, the main products share "
                "the rest by weight"
            ),
        }[self]


@dataclass(frozen=True, slots=True, kw_only=True)
class Output:
    """One thing that came of the cost.

    Attributes:
        weight_g: its weight.
        value: what all of it will sell for, less what selling it still costs.
        pieces: how many.
        is_by_product: whether it came along and was not the aim.
    """

    name: str
    weight_g: Decimal = ZERO
    value: Decimal = ZERO
    pieces: Decimal = ZERO
    is_by_product: bool = False

    def __post_init__(self) -> None:
        if min(self.weight_g, self.value, self.pieces) < 0:
            raise CostingError(
                say("{name} has a weight, value or number below nought", name=self.name)
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class SharedOutput:
    """An output with the money it carries."""

    output: Output
    cost: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class SharedCost:
    """A joint cost, the rule, and the shares that add up to it."""

    cost: Decimal
    rule: SharingRule
    shares: tuple[SharedOutput, ...]

    def fraction_of(self, name: str) -> Decimal:
        """Share of the cost one output carries, 0 to 1."""
        carried = sum((s.cost for s in self.shares if s.output.name == name), ZERO)
        return carried / self.cost if self.cost else ZERO


def share_cost(
    cost: Decimal,
    outputs: Sequence[Output],
    *,
    rule: SharingRule,
    currency: str = "USD",
) -> SharedCost:
    """Share a joint cost by a stated rule.

    Args:
        cost: money, in whole coins.
        outputs: what came of it, in any order.
        rule: weight, value, pieces, or by-products first.
        currency: ISO 4217 code.

    Raises:
        CostingError: nothing to share by, or by-products worth more than the cost.
    """
    if rule is SharingRule.BY_PRODUCT:
        amounts = _after_by_products(cost, outputs, currency=currency)
    else:
        weights = [_weight(output, rule) for output in outputs]
        amounts = _by_weight(cost, outputs, weights, rule=rule, currency=currency)
    shares = (
        SharedOutput(output=output, cost=amount)
        for output, amount in zip(outputs, amounts, strict=True)
    )
    return SharedCost(cost=cost, rule=rule, shares=tuple(shares))


def _weight(output: Output, rule: SharingRule) -> Decimal:
    return {
        SharingRule.WEIGHT: output.weight_g,
        SharingRule.VALUE: output.value,
        SharingRule.PIECES: output.pieces,
    }[rule]


def _by_weight(
    cost: Decimal,
    outputs: Sequence[Output],
    weights: Sequence[Decimal],
    *,
    rule: SharingRule,
    currency: str,
) -> list[Decimal]:
    if not any(weights):
        names = ", ".join(output.name for output in outputs) or "nothing"
        raise CostingError(
            say(
                "a cost {sentence} needs that figure for at least one of: {names}",
                sentence=rule.sentence,
                names=names,
            )
        )
    return list(allocate(cost, weights, currency=currency))


def _after_by_products(
    cost: Decimal, outputs: Sequence[Output], *, currency: str
) -> list[Decimal]:
    credit = sum((o.value for o in outputs if o.is_by_product), ZERO)
    if credit > cost:
        raise CostingError(
            say(
                "the by-products are worth {credit}, more than the cost of {cost}: "
                "share by value instead",
                credit=credit,
                cost=cost,
            )
        )
    main = [o for o in outputs if not o.is_by_product]
    weights = [o.weight_g for o in main]
    rest = iter(
        _by_weight(
            cost - credit, main, weights, rule=SharingRule.BY_PRODUCT, currency=currency
        )
    )
    return [o.value if o.is_by_product else next(rest) for o in outputs]
