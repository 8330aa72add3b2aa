"""A quantity of a lot as a source that opens to the purchases behind it."""

from decimal import Decimal

from inventory.words import say
from production.costing.breakdown import Source
from production.costing.lot_costs import LotCosts, LotFact

__all__ = ["source_of"]

DEEPEST_SOURCE = 6


def source_of(
    lot: int, quantity: Decimal, costs: LotCosts, *, depth: int = 0
) -> Source:
    """A quantity of a lot as a source, opened to the purchases behind it.

    Args:
        lot: its number.
        quantity: g, pieces or jars of it.
        costs: every lot, with what batches drew.
        depth: how far below the first lot this one stands.
    """
    fact = costs.lots[lot]
    text = say("lot {lot}", lot=fact.code)
    parts: tuple[Source, ...] = ()
    if depth < DEEPEST_SOURCE:
        text = _told(fact)
        parts = tuple(
            source_of(behind, part, costs, depth=depth + 1)
            for behind, part in _behind(fact, quantity, costs)
        )
    return Source(
        text=f"{fact.name}: {text}",
        key=f"lot:{fact.code}",
        quantity=quantity,
        unit_cost=costs.unit_cost(lot),
        unit=fact.unit,
        parts=parts,
    )


def _told(fact: LotFact) -> str:
    if fact.split_from is not None:
        return say("lot {lot}, frozen or taken from another", lot=fact.code)
    if fact.made_by is not None and fact.received:
        return say("lot {lot}, made here", lot=fact.code)
    if fact.supplier:
        return say(
            "lot {lot} from {supplier}, bought {bought_on:%d %b %Y}",
            lot=fact.code,
            supplier=fact.supplier,
            bought_on=fact.bought_on,
        )
    return say("lot {lot}", lot=fact.code)


def _behind(
    fact: LotFact, quantity: Decimal, costs: LotCosts
) -> list[tuple[int, Decimal]]:
    """The lots a quantity came out of, each with its part."""
    if fact.split_from is not None:
        return [(fact.split_from, quantity)]
    if fact.made_by is None or not fact.received:
        return []
    used = quantity * fact.share / fact.received
    return [(d.lot, d.quantity * used) for d in costs.draws.get(fact.made_by, ())]
