"""Counts of a market day from pasted text, as balances of its lots."""

from decimal import Decimal

from inventory.models import Lot, MarketDay
from inventory.reconciliation import DayCount
from inventory.words import say
from production.counts import CountError, read_counts

__all__ = ["counts_from_text"]


def counts_from_text(day: MarketDay, text: str) -> dict[Lot, DayCount]:
    """Balances of a market day: what was not brought back was sold.

    Jars brought back are of the newest lots, since the oldest are sold first.
    Products without a line came back empty.

    Raises:
        CountError: a line cannot be read, or more came back than were taken.
    """
    lines = list(day.lines.select_related("lot__product__jar_size").order_by("lot__best_by", "lot"))  # fmt: skip
    names: dict[str, list[str]] = {}
    for line in lines:
        product = line.lot.product
        assert product is not None  # noqa: S101  only jars go to market
        names[product.code] = [product.code, product.name, str(product)]
    back = {each.key: each.jars for each in read_counts(text, names=names)}
    counts = {}
    for line in reversed(lines):
        assert line.lot.product is not None  # noqa: S101  as above
        code = line.lot.product.code
        left = line.taken - line.sampled - line.broken - line.given
        returned = min(back.get(code, 0), left)
        back[code] = back.get(code, 0) - returned
        counts[line.lot] = DayCount(
            taken=Decimal(line.taken),
            sold=Decimal(left - returned),
            sampled=Decimal(line.sampled),
            broken=Decimal(line.broken),
            given=Decimal(line.given),
            back=Decimal(returned),
        )
    for code, surplus in back.items():
        if surplus > 0:
            raise CountError(
                say(
                    "{surplus} more jars of {code} came back than were taken; count "
                    "again",
                    surplus=surplus,
                    code=code,
                )
            )
    return counts
