"""What an act of the kitchen or a recall means, in numbers, before it is done."""

from collections.abc import Sequence
from decimal import Decimal

from inventory.models import Lot
from inventory.quantities import format_amount
from inventory.selectors.consequences import money_text, reach_of, worth_text
from inventory.stocktake import CountLine
from inventory.words import say, say_count
from production.models import Batch, Recall, StopSale
from production.selectors import recall_scope
from production.selectors.draws import drawn_cost

__all__ = [
    "closing",
    "counting",
    "dropping",
    "lifting",
    "recalling",
    "recooking",
    "rejecting",
]

ZERO = Decimal(0)


def dropping(batch: Batch) -> list[str]:
    """What dropping a planned batch takes off the plan."""
    told = [say("Nothing was drawn for it yet; no material is lost.")]
    if batch.expected_jars:
        jars = format_amount(batch.expected_jars.quantize(Decimal(1)), "jars")
        told.insert(0, say("About {jars} fewer are made.", jars=jars))
    return told


def rejecting(batch: Batch) -> list[str]:
    """What rejecting writes off; a pot that made nothing yet loses what it drew."""
    lots = list(_made(batch))
    if not lots:
        cost = money_text(drawn_cost(batch))
        return [
            say("What was drawn for it, worth {cost}, does not come back.", cost=cost)
        ]
    reach = reach_of(lots)
    home = [say("What is left at home is written off; nobody can take that back.")]
    return [*reach.sentences(), *home]


def recooking(batch: Batch) -> list[str]:
    """What cooking again opens."""
    reach = reach_of(_made(batch))
    return [
        *reach.sentences(),
        say(
            "What is left at home is opened into a new batch with a code of its own; "
            "this one is closed as rejected."
        ),
    ]


def lifting(stop_sale: StopSale) -> list[str]:
    """What may be sold again."""
    lots = stop_sale.lots.count()
    told = say_count(
        "{count} lot may be drawn, carried and sold again.",
        "{count} lots may be drawn, carried and sold again.",
        lots,
    )
    return [told, *reach_of(stop_sale.lots.all()).sentences()]


def recalling(stop_sale: StopSale) -> list[str]:
    """Whom a recall reaches."""
    scope = recall_scope.read(stop_sale)
    public = format_amount(sum((each.jars for each in scope.public), ZERO), "jars")
    shops = sum((shop.jars for shop in scope.shops), ZERO)
    return [
        say_count(
            "{count} shop is to be told; it got {jars}.",
            "{count} shops are to be told; they got {jars}.",
            len(scope.shops),
            jars=format_amount(shops, "jars"),
        ),
        say("{jars} went to people nobody has an address of.", jars=public),
        *reach_of(stop_sale.lots.all()).sentences(),
        say("Released batches become recalled; a recall is closed, never taken back."),
    ]


def closing(recall: Recall) -> list[str]:
    """How far a recall came."""
    balance = recall_scope.read(recall.stop_sale).balance
    checks = recall.checks.all()
    answered = sum(check.answered for check in checks)
    return [
        say(
            "{answered} of {shops} shops answered.",
            answered=answered,
            shops=len(checks),
        ),
        say(
            "{back} of {made} came back; {gone} were sold and did not.",
            back=format_amount(balance.recalled, "jars"),
            made=format_amount(balance.made, "jars"),
            gone=format_amount(balance.sold, "jars"),
        ),
        say("A closed recall is not opened again."),
    ]


def counting(lines: Sequence[CountLine]) -> list[str]:
    """What a count changes: every difference, and what the missing was worth."""
    counted = [line for line in lines if line.counted is not None]
    off = [line for line in counted if line.difference]
    told = [
        say(
            "{counted} lots were counted; {off} differ from the book.",
            counted=len(counted),
            off=len(off),
        )
    ]
    told += [
        say(
            "{lot}: {difference} against the book, worth {cost}.",
            lot=line.lot,
            difference=format_amount(line.difference, line.lot.unit),
            cost=worth_text(line.lot, abs(line.difference)),
        )
        for line in off[:12]
    ]
    if len(off) > 12:
        told.append(say("And {more} more.", more=len(off) - 12))
    return told


def _made(batch: Batch) -> Sequence[Lot]:
    return list(Lot.objects.filter(batch_output__batch=batch))
