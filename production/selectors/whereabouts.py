"""Where jars are and how they ended, from the ledger, in one query."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import Sum

from inventory.models import Movement
from inventory.words import to_say
from production.jar_balance import JarBalance
from production.selectors.lineage import id_rows

__all__ = ["LedgerSum", "balance_of", "ledger_sums", "whereabouts_of"]

Reason = Movement.Reason
ZERO = Decimal(0)
_TERMS: Mapping[str, str] = {
    Reason.SOLD: "sold",
    Reason.SAMPLED: "sampled",
    Reason.TRIMMED: "sampled",
    Reason.GIVEN: "given",
    Reason.OWN_USE: "given",
    Reason.BROKEN: "written_off",
    Reason.SEAL: "written_off",
    Reason.SPOILED: "written_off",
    Reason.EXPIRED: "written_off",
    Reason.REJECTED: "written_off",
    Reason.RECALLED: "recalled",
    Reason.DRAWN: "used",
}
"""Term of the balance each reason adds to; what is not here stays unaccounted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerSum:
    """What the ledger says of one lot, for one reason, place and day."""

    lot_id: int
    reason: str
    outlet_id: int | None
    outlet: str
    on: date
    quantity: Decimal


def ledger_sums(lot_ids: Iterable[int]) -> Mapping[int, Sequence[LedgerSum]]:
    """Read the ledger of some lots, summed by reason, place and day.

    Args:
        lot_ids: row numbers.

    Returns:
        For each lot its sums, earliest first; a correction counts with the reason
        of the row it corrects, on the day it was made.
    """
    rows = (
        Movement.objects.filter(lot_id__in=id_rows(lot_ids))
        .order_by("on")
        .values_list("lot_id", "reason", "place_id", "place__name", "on")
        .annotate(total=Sum("quantity"))
    )
    found: dict[int, list[LedgerSum]] = defaultdict(list)
    for lot_id, reason, outlet_id, outlet, on, total in rows:
        found[lot_id].append(
            LedgerSum(
                lot_id=lot_id,
                reason=reason,
                outlet_id=outlet_id,
                outlet=outlet or "",
                on=on,
                quantity=total,
            )
        )
    return found


def balance_of(sums: Iterable[LedgerSum]) -> JarBalance:
    """Balance the jars, grams or pieces of lots.

    Args:
        sums: the ledger of one lot or of several.

    Returns:
        made = found + unaccounted; stocktake differences and jars missing are what
        stays unaccounted.
    """
    terms: dict[str, Decimal] = defaultdict(Decimal)
    for row in sums:
        terms["at_outlets" if row.outlet_id else "on_shelf"] += row.quantity
        if row.reason in Movement.INCOMING and row.quantity > 0:
            terms["made"] += row.quantity
        elif row.reason == Reason.SPLIT:
            terms["used"] -= row.quantity
        elif row.reason == Reason.RETURNED:
            terms["returned"] += row.quantity
            terms["sold"] -= row.quantity
        elif row.reason in _TERMS:
            terms[_TERMS[row.reason]] -= row.quantity
    terms.setdefault("made", ZERO)
    return JarBalance(**terms)


def whereabouts_of(sums: Iterable[LedgerSum]) -> Sequence[tuple[LedgerSum, str]]:
    """Say where the jars of one lot are, then how the others ended.

    Args:
        sums: the ledger of one lot.

    Returns:
        A row and the words for it; what is there now first, its quantity above
        zero; moves between places are left out.
    """
    there: dict[int | None, LedgerSum] = {}
    ended = []
    for row in sums:
        known = there.get(row.outlet_id)
        total = row.quantity + (known.quantity if known else ZERO)
        there[row.outlet_id] = _with(row, total)
        if row.reason not in {*Movement.INCOMING, Reason.MOVED} and row.quantity:
            ended.append((_with(row, -row.quantity), str(Reason(row.reason).label)))
    now = [
        (row, to_say("at an outlet") if row.outlet_id else to_say("on the shelf"))
        for row in there.values()
        if row.quantity
    ]
    return [*now, *((row, str(words)) for row, words in ended)]


def _with(row: LedgerSum, quantity: Decimal) -> LedgerSum:
    return LedgerSum(
        lot_id=row.lot_id,
        reason=row.reason,
        outlet_id=row.outlet_id,
        outlet=row.outlet,
        on=row.on,
        quantity=quantity,
    )
