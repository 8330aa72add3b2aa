"""Canadian rounding, the direct-sale exemption and the front symbol's test."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from labels.statements.nutrition_us_rounding import nearest

__all__ = ["Sale", "calories", "grams_text", "protein_text", "symbol_due", "table_due"]

HALF = Decimal("0.5")
SUGARS_DAILY_VALUE_G = Decimal(100)
"""Daily value of sugars, g (table of daily values, from memory)."""
SMALL_REFERENCE = Decimal(30)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sale:
    """Where a product is sold.

    Attributes:
        only_by_maker_in_person: only at a stand, fair or farmers' market by
            the individual who prepared it.
    """

    only_by_maker_in_person: bool


def calories(value: Decimal) -> Decimal:
    """Round Calories: 1 below 5, 5 to 50, 10 above (B.01.401 table, item 2)."""
    if value < 5:
        return nearest(value, 1)
    return nearest(value, 5) if value <= 50 else nearest(value, 10)


def grams_text(value: Decimal) -> str:
    """Round sugars and carbohydrate: "0 g" below 0.5, else 1 g (items 9, 11)."""
    return "0 g" if value < HALF else f"{nearest(value, 1)} g"


def protein_text(value: Decimal) -> str:
    """Round protein: 0.1 g below 0.5 g, else 1 g (item 12)."""
    if value >= HALF:
        return f"{nearest(value, 1)} g"
    return f"{value.quantize(Decimal('0.1'), ROUND_HALF_UP).normalize():f} g"


def table_due(sale: Sale, claims: Iterable[str] = ()) -> bool:
    """Say whether a nutrition facts table is due (B.01.401(2)(b), (3))."""
    return bool(tuple(claims)) or not sale.only_by_maker_in_person


def symbol_due(sugars_g: Decimal, reference_amount: Decimal, *, table: bool) -> bool:
    """Say whether the front-of-pack symbol for sugars is due (B.01.350).

    From 10 % of the daily value where the reference amount is at most 30 g or
    ml, else 15 %; only where a table is due.
    """
    threshold = (
        Decimal("0.10") if reference_amount <= SMALL_REFERENCE else Decimal("0.15")
    )
    return table and sugars_g / SUGARS_DAILY_VALUE_G >= threshold
