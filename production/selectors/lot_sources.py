"""A quantity of a lot as a source that opens to the purchases behind it."""

from decimal import Decimal

from inventory.models import Lot
from inventory.words import say
from production.costing.breakdown import Source
from production.costing.lot_costs import LotCosts

__all__ = ["source_of"]

DEEPEST_SOURCE = 6


def source_of(
    lot: Lot, quantity: Decimal, costs: LotCosts, *, depth: int = 0
) -> Source:
    """A quantity of a lot as a source, opened to the purchases behind it."""
    fact = costs.lots[lot.pk]
    parts: tuple[Source, ...] = ()
    text = say("lot {lot}", lot=lot.code)
    if depth < DEEPEST_SOURCE:
        if fact.split_from is not None and lot.split_from is not None:
            text = say("lot {lot}, frozen or taken from another", lot=lot.code)
            parts = (source_of(lot.split_from, quantity, costs, depth=depth + 1),)
        elif fact.made_by is not None and fact.received:
            text = say("lot {lot}, made here", lot=lot.code)
            used = quantity * fact.share / fact.received
            draws = costs.draws.get(fact.made_by, ())
            drawn = Lot.objects.select_related(
                "material",
                "product__jar_size",
                "purchase__supplier",
                "split_from__material",
                "split_from__purchase__supplier",
            ).in_bulk([draw.lot for draw in draws])
            parts = tuple(
                source_of(drawn[d.lot], d.quantity * used, costs, depth=depth + 1)
                for d in draws
            )
        elif lot.purchase is not None:
            text = say(
                "lot {lot} from {supplier}, bought {bought_on:%d %b %Y}",
                lot=lot.code,
                supplier=lot.purchase.supplier,
                bought_on=lot.purchase.bought_on,
            )
    return Source(
        text=f"{lot.name}: {text}",
        key=f"lot:{lot.code}",
        quantity=quantity,
        unit_cost=costs.unit_cost(lot.pk),
        unit=lot.unit,
        parts=parts,
    )
