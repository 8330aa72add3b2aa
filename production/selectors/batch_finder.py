"""From what a buyer can say to a batch: a code, a part of it, a slip, a sale."""

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from django.db.models import Q, QuerySet, Sum

from inventory.models import Lot, Movement, Outlet, Product
from inventory.words import say
from production.batch_codes import (
    BatchCode,
    BatchCodeError,
    MistypedCodeError,
    ShortCodeError,
    Slip,
    codes_two_apart,
    near_codes,
    read_code,
    read_fragment,
)
from production.models import Batch
from production.selectors.lineage import id_rows
from production.trace_answer import count_text

__all__ = ["Candidate", "Finding", "Match", "Purchased", "find", "find_by_sale"]

MOST = 20


class Match(StrEnum):
    """How sure the finding is."""

    BATCH = "batch"
    LOT = "lot"
    CHOICE = "choice"
    NOTHING = "nothing"


@dataclass(frozen=True, slots=True, kw_only=True)
class Purchased:
    """What a buyer remembers of the purchase; every part may be missing.

    Attributes:
        product: what was bought.
        outlet: where.
        first: earliest day.
        last: latest day.
    """

    product: Product | None = None
    outlet: Outlet | None = None
    first: datetime.date | None = None
    last: datetime.date | None = None

    @property
    def is_empty(self) -> bool:
        """Whether nothing is remembered."""
        return not any((self.product, self.outlet, self.first, self.last))


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """A batch that may be meant.

    Attributes:
        batch: the batch.
        why: what speaks for it, in words.
        jars_sold: jars of it sold where and when the buyer says.
    """

    batch: Batch
    why: str
    jars_sold: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """What was found, and the sentence to show for it."""

    match: Match
    sentence: str = ""
    batch: Batch | None = None
    lot: Lot | None = None
    candidates: Sequence[Candidate] = ()


def find(text: str, *, bought: Purchased | None = None) -> Finding:
    """Find a batch or a lot from what was read or told.

    Args:
        text: batch code, part of one, mistyped one, lot code, or a supplier's lot
            mark; may be empty when the purchase is remembered.
        bought: what the buyer remembers; ranks the candidates.

    Returns:
        One batch or lot, a choice, or nothing, with a sentence.
    """
    bought = bought or Purchased()
    asked = text.strip()
    if not asked:
        return find_by_sale(bought)
    lots = _lots_named(asked)
    if len(lots) == 1:
        return _of_lot(lots[0])
    try:
        code = read_code(asked)
    except MistypedCodeError as error:
        return _near(
            asked,
            bought,
            say("{error}. One of these may be meant:", error=_capital(error)),
        )
    except ShortCodeError:
        return _part(asked, bought, lots)
    batch = _batches(code=code.text).first()
    if batch is not None:
        return Finding(match=Match.BATCH, batch=batch)
    return _of_no_batch(code, bought)


def find_by_sale(bought: Purchased) -> Finding:
    """Rank batches by how many of their jars were sold where and when a buyer says."""
    if bought.is_empty:
        return Finding(
            match=Match.NOTHING,
            sentence=say("Give a code, or what was bought, where and when."),
        )
    rows = (
        _sales(bought)
        .order_by()
        .values_list("lot__batch_output__batch")
        .annotate(total=Sum("quantity"))
        .order_by("total", "-lot__batch_output__batch")[:MOST]
    )
    sold = {batch: -total for batch, total in rows if batch and total < 0}
    batches = {batch.pk: batch for batch in _batches(pk__in=list(sold))}
    candidates = [
        Candidate(batch=batches[pk], why=_sold_words(jars, bought), jars_sold=jars)
        for pk, jars in sold.items()
    ]
    if not candidates:
        return Finding(
            match=Match.NOTHING,
            sentence=say(
                "No jar in the book was sold like that; leave the day or the place "
                "open and look again."
            ),
        )
    return Finding(
        match=Match.CHOICE,
        sentence=say("Ranked by the jars sold there and then:"),
        candidates=candidates,
    )


def _lots_named(text: str) -> Sequence[Lot]:
    by_code = Q(code__iexact=text) & ~Q(batch_output__isnull=False, product=None)
    named = Lot.objects.filter(by_code | Q(supplier_mark__iexact=text))
    return list(
        named.select_related("material", "product__jar_size", "batch_output__batch")[
            :MOST
        ]
    )


def _of_lot(lot: Lot) -> Finding:
    output = getattr(lot, "batch_output", None)
    if output is not None and lot.product_id:
        batch = _batches(pk=output.batch_id).get()
        return Finding(match=Match.BATCH, batch=batch, lot=lot)
    return Finding(match=Match.LOT, lot=lot)


def _of_no_batch(code: BatchCode, bought: Purchased) -> Finding:
    near = {each.text: say("two characters differ") for each in codes_two_apart(code)}
    sentence = say(
        "{code} is a well-formed code of {cooked_on:%d %b %Y}, but no "
        "batch in the book has it.",
        code=code,
        cooked_on=code.cooked_on,
    )
    return _choice(near, bought, sentence)


def _near(text: str, bought: Purchased, sentence: str) -> Finding:
    near = {each.code.text: _slip_words(each.slip) for each in near_codes(text)}
    return _choice(near, bought, sentence)


def _part(text: str, bought: Purchased, lots: Sequence[Lot]) -> Finding:
    if lots:
        names = ", ".join(str(lot) for lot in lots)
        return Finding(
            match=Match.NOTHING,
            sentence=say(
                "Several lots carry that mark: {names}. Type one of the codes.",
                names=names,
            ),
        )
    near = {each.code.text: _slip_words(each.slip) for each in near_codes(text)}
    try:
        part = read_fragment(text)
    except BatchCodeError as error:
        if near:
            return _choice(near, bought, f"{_capital(error)}.")
        return Finding(match=Match.NOTHING, sentence=f"{_capital(error)}.")
    holding = _batches(code__contains=part).order_by("-made_on", "-pk")[:MOST]
    words = {batch.code or "": say("holds {part}", part=part) for batch in holding}
    return _choice(words | near, bought, say("Codes that hold {part}:", part=part))


def _choice(why: dict[str, str], bought: Purchased, sentence: str) -> Finding:
    """Keep the codes that are batches; rank by slip, then sales, then the newest."""
    batches = list(_batches(code__in=list(why)))
    if not batches:
        plain = sentence.removesuffix(" One of these may be meant:")
        return Finding(
            match=Match.NOTHING,
            sentence=say(
                "{plain} No batch in the book is near it.", plain=plain.rstrip(":")
            ),
        )
    sold = {} if bought.is_empty else _sold(batches, bought)
    order = list(dict.fromkeys(why.values()))
    candidates = [
        Candidate(
            batch=batch,
            why=why[batch.code or ""],
            jars_sold=sold.get(batch.pk, Decimal(0)),
        )
        for batch in batches
    ]
    candidates.sort(
        key=lambda each: (
            not each.jars_sold,
            order.index(each.why),
            -each.batch.planned_on.toordinal(),
        )
    )
    return Finding(match=Match.CHOICE, sentence=sentence, candidates=candidates[:MOST])


def _sold(batches: Iterable[Batch], bought: Purchased) -> dict[int, Decimal]:
    numbers = [batch.pk for batch in batches]
    rows = (
        _sales(bought)
        .filter(lot__batch_output__batch__in=id_rows(numbers))
        .order_by()
        .values_list("lot__batch_output__batch")
        .annotate(total=Sum("quantity"))
    )
    return {batch: -total for batch, total in rows}


def _sales(bought: Purchased) -> QuerySet[Movement]:
    sales = Movement.objects.filter(
        reason__in=[Movement.Reason.SOLD, Movement.Reason.GIVEN]
    )
    if bought.product:
        sales = sales.filter(lot__product=bought.product)
    if bought.outlet:
        sales = sales.filter(place=bought.outlet)
    if bought.first:
        sales = sales.filter(on__gte=bought.first)
    if bought.last:
        sales = sales.filter(on__lte=bought.last)
    return sales


def _batches(**which: object) -> QuerySet[Batch]:
    return Batch.objects.filter(**which).select_related(
        "product__jar_size", "version__recipe"
    )


def _slip_words(slip: Slip) -> str:
    return {
        Slip.LOOK_ALIKE: say("one character looks like another"),
        Slip.SWAP: say("two neighbours are swapped"),
        Slip.WRONG_CHARACTER: say("one character differs"),
        Slip.MISSING_CHARACTER: say("one character is missing"),
        Slip.EXTRA_CHARACTER: say("one character is too many"),
    }[slip]


def _sold_words(jars: Decimal, bought: Purchased) -> str:
    where = say(" at {outlet}", outlet=bought.outlet) if bought.outlet else ""
    when = say(" in that time") if bought.first or bought.last else ""
    return say(
        "{jars} sold{where}{when}", jars=count_text(jars), where=where, when=when
    )


def _capital(error: Exception) -> str:
    words = str(error)
    return words[:1].upper() + words[1:]
