"""What an act would reach, in numbers: how much is left where, worth what, packed for what."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Sum

from inventory.models import Business, Lot, MarketDay, MarketLine, Movement
from inventory.money import format_money
from inventory.quantities import format_amount
from inventory.words import say, say_count

__all__ = ["Reach", "money_text", "packed_text", "reach_of", "worth_text"]

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """What is left of some lots.

    Attributes:
        jars: filled jars left, wherever they are.
        home_jars: of these at home.
        places: outlets where some of them are.
        other: what is left of the other lots, with its unit, in words.
        cost: what all that is left cost, unrounded.
        packed: day and jars, for market days still to come.
    """

    jars: Decimal
    home_jars: Decimal
    places: Sequence[str]
    other: Sequence[str]
    cost: Decimal
    packed: Sequence[tuple[MarketDay, int]]

    def sentences(self, *, with_cost: bool = True) -> list[str]:
        """The same as sentences; helpers are not told what things cost."""
        told = []
        if self.jars:
            told.append(self._where())
        told += [
            say("{jars} of them are packed for {day}.", jars=jars, day=day)
            for day, jars in self.packed
        ]
        if self.other:
            told.append(say("Left of it: {lots}.", lots="; ".join(self.other)))
        if self.cost and with_cost:
            told.append(say("What is left cost {cost}.", cost=money_text(self.cost)))
        return told or [say("Nothing of it is left anywhere, by the book.")]

    def _where(self) -> str:
        jars = format_amount(self.jars, "jars")
        home = format_amount(self.home_jars, "jars")
        if not self.places:
            return say("{jars} are left, all at home.", jars=jars)
        return say_count(
            "{jars} are left: {home} at home, the others at {count} place ({places}).",
            "{jars} are left: {home} at home, the others at {count} places ({places}).",
            len(self.places),
            jars=jars,
            home=home,
            places=", ".join(self.places),
        )


def reach_of(lots: Iterable[Lot]) -> Reach:
    """What is left of some lots, and where, in a handful of queries.

    Args:
        lots: any.
    """
    keys = [lot.pk for lot in lots]
    found = Lot.objects.filter(pk__in=keys).with_received()
    known = {
        lot.pk: lot for lot in found.select_related("material", "product__jar_size")
    }
    rows = (
        Movement.objects.filter(lot__in=known)
        .order_by()
        .values_list("lot", "place__name")
        .annotate(left=Sum("quantity"))
    )
    here = [(known[lot], place, left) for lot, place, left in rows if left > 0]
    jars = [row for row in here if row[0].product_id]
    other = [(lot, left) for lot, _place, left in here if not lot.product_id]
    return Reach(
        jars=sum((left for _, _, left in jars), ZERO),
        home_jars=sum((left for _, place, left in jars if not place), ZERO),
        places=sorted({place for _, place, _ in jars if place}),
        other=[f"{format_amount(left, lot.unit)} {lot}" for lot, left in other],
        cost=sum((_cost(lot) * left for lot, _, left in here), ZERO),
        packed=_packed(known),
    )


def packed_text(day: MarketDay) -> list[str]:
    """What calling a day off loses: its packing list, with the jars on it."""
    lines = [line.packed for line in day.lines.all() if line.packed]
    if not lines:
        return [say("Nothing is packed for it yet.")]
    return [
        say_count(
            "Its packing list of {jars} in {count} lot is emptied; the jars stay home.",
            "Its packing list of {jars} in {count} lots is emptied; the jars stay home.",
            len(lines),
            jars=format_amount(Decimal(sum(lines)), "jars"),
        )
    ]


def worth_text(lot: Lot, quantity: Decimal) -> str:
    """What a part of a lot cost, as money."""
    (known,) = Lot.objects.filter(pk=lot.pk).with_received()
    return money_text(_cost(known) * quantity)


def money_text(amount: Decimal) -> str:
    """Money as the seller writes it."""
    business = Business.current()
    return format_money(amount, currency=business.currency, locale=business.locale)


def _cost(lot: Lot) -> Decimal:
    received: Decimal = lot.received  # type: ignore[attr-defined]  # annotated
    return lot.cost / received if received > 0 else ZERO


def _packed(lots: Iterable[int]) -> list[tuple[MarketDay, int]]:
    lines = MarketLine.objects.filter(
        lot__in=lots, day__status=MarketDay.Status.PLANNED, packed__gt=0
    ).select_related("day__outlet")
    days: dict[MarketDay, int] = {}
    for line in lines.order_by("day__on", "day"):
        days[line.day] = days.get(line.day, 0) + line.packed
    return list(days.items())
