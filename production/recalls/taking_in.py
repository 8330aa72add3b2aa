"""Jars that come back in a recall, and those destroyed where they stand."""

from dataclasses import replace
from decimal import Decimal

from django.db import transaction

from inventory import ledger
from inventory.models import Lot, Movement, Outlet
from inventory.words import say
from production.models import EffectivenessCheck, Recall
from production.recalls.opening import RecallError

__all__ = ["take_in"]


@transaction.atomic
def take_in(
    *,
    recall: Recall,
    lot: Lot,
    jars: int,
    stamp: ledger.Stamp,
    outlet: Outlet | None = None,
    from_buyers: bool = False,
) -> Movement:
    """Write recalled jars off: each is destroyed and counted as recalled.

    Args:
        recall: open.
        lot: jars under the recall's stop-sale.
        jars: how many.
        stamp: when and by whom.
        outlet: the shop or stall that had them; empty for at home.
        from_buyers: whether buyers brought them back; else they were still in stock
            there.

    Returns:
        The ledger row that took them out.

    Raises:
        RecallError: closed, or the lot is not under this recall.
        LedgerError: not so many are there.
    """
    if recall.closed_at is not None:
        raise RecallError(say("the {recall} is closed", recall=recall))
    if not recall.stop_sale.lots.filter(pk=lot.pk).exists():
        raise RecallError(
            say("{lot} is not under this recall; choose one of its lots", lot=lot)
        )
    count = Decimal(jars)
    if from_buyers:
        back = replace(stamp, cause=f"recall {recall.pk}")
        ledger.take_back(lot=lot, quantity=count, stamp=back, place=outlet)
    row = ledger.write_off(
        lot=lot,
        quantity=count,
        stamp=replace(stamp, cause=f"recall {recall.pk}", token=None),
        reason=Movement.Reason.RECALLED,
        place=outlet,
    )
    if outlet is not None:
        check = EffectivenessCheck.objects.filter(recall=recall, outlet=outlet).first()
        if check is not None:
            check.jars_returned += jars
            check.jars_destroyed += jars
            check.save(update_fields=["jars_returned", "jars_destroyed"])
    return row
