"""The stocktake: count what is there, and set the book right with a reason a row.

A difference without a better word becomes a row "stocktake difference"; what is
known to be broken, spoiled, eaten or missing is written off under that reason.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from django.db import transaction
from django.db.models import Sum

from inventory import ledger
from inventory.ledger import LedgerError, Stamp
from inventory.models import Lot, Movement, Outlet, StockCount
from inventory.words import say

__all__ = ["REASONS", "CountLine", "StocktakeError", "lines_to_count", "record"]

ZERO = Decimal(0)
LEDGER_STEP = Decimal("0.001")
Reason = Movement.Reason
REASONS = (
    Reason.COUNTED,
    Reason.BROKEN,
    Reason.SPOILED,
    Reason.EXPIRED,
    Reason.OWN_USE,
    Reason.GIVEN,
    Reason.MISSING,
    Reason.TRIMMED,
)


class StocktakeError(LedgerError):
    """A count that cannot be taken in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CountLine:
    """One lot at one place: what the book says, and what was counted.

    Attributes:
        place: the outlet; None at home.
        expected: grams, pieces or jars by the book.
        counted: what is really there; None when it was not counted.
        reason: why it differs, one of ``REASONS``.
    """

    lot: Lot
    place: Outlet | None
    expected: Decimal
    counted: Decimal | None = None
    reason: str = Reason.COUNTED

    @property
    def difference(self) -> Decimal:
        """Counted less expected; 0 when it was not counted."""
        return ZERO if self.counted is None else self.counted - self.expected


def lines_to_count() -> list[CountLine]:
    """Every lot that the book says is somewhere, by place, then by what it is."""
    balances = (
        Movement.objects.order_by()
        .values("lot", "place")
        .annotate(left=Sum("quantity"))
    )
    rows = [row | {"left": _exact(row["left"])} for row in balances]
    rows = [row for row in rows if row["left"]]
    lots = Lot.objects.select_related("material", "product__jar_size").in_bulk(
        {row["lot"] for row in rows}
    )
    places = Outlet.objects.in_bulk({row["place"] for row in rows if row["place"]})
    lines = [
        CountLine(
            lot=lots[row["lot"]],
            place=places.get(row["place"]),
            expected=row["left"],
        )
        for row in rows
    ]
    return sorted(
        lines,
        key=lambda line: (
            line.place.name if line.place else "",
            line.lot.unit,
            line.lot.name,
            line.lot.code,
        ),
    )


def _exact(quantity: Decimal) -> Decimal:
    """A sum as the ledger means it: the database may add in binary fractions."""
    return quantity.quantize(LEDGER_STEP)


@transaction.atomic
def record(*, lines: Sequence[CountLine], stamp: Stamp, note: str = "") -> StockCount:
    """Take a count in: every difference becomes one row of the ledger.

    Args:
        lines: what was counted; those not counted are left alone.
        stamp: when and by whom.
        note: anything to remember of this count.

    Returns:
        The stocktake its rows point at.

    Raises:
        StocktakeError: nothing was counted, the book moved meanwhile, or more was
            found under a reason that only takes away.
    """
    counted = [line for line in lines if line.counted is not None]
    if not counted:
        raise StocktakeError(say("nothing was counted yet; enter at least one figure"))
    stocktake = StockCount(counted_on=stamp.on, note=note)
    stocktake.full_clean()
    stocktake.save()
    for line in counted:
        _set_right(line, replace(stamp, count=stocktake, token=None))
    return stocktake


def _set_right(line: CountLine, stamp: Stamp) -> None:
    if line.counted is None or line.difference == 0:
        return
    now = _exact(ledger.balance(line.lot, line.place))
    if now != line.expected:
        raise StocktakeError(
            say(
                "the book of {lot} moved from {expected:f} to {now:f} while you "
                "counted; open the sheet again",
                lot=line.lot,
                expected=line.expected.normalize(),
                now=now.normalize(),
            )
        )
    if line.reason == Reason.COUNTED:
        ledger.count(lot=line.lot, counted=line.counted, stamp=stamp, place=line.place)
        return
    if line.difference > 0:
        raise StocktakeError(
            say(
                "{difference:f} more of {lot} was found; that is a stocktake "
                "difference, not {reason}",
                difference=line.difference.normalize(),
                lot=line.lot,
                reason=Reason(line.reason).label,
            )
        )
    ledger.write_off(
        lot=line.lot,
        quantity=-line.difference,
        stamp=stamp,
        reason=line.reason,
        place=line.place,
    )
