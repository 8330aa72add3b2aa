"""Whom a recall reaches: shops that got jars, and market days where they were sold."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import Sum

from inventory.models import Lot, Movement, Outlet, OutletKind
from inventory.words import say
from production.jar_balance import JarBalance
from production.models import StopSale
from production.recall_rules import RecalledProduct
from production.selectors.lineage import id_rows
from production.selectors.whereabouts import LedgerSum, balance_of, ledger_sums

__all__ = ["PublicSale", "RecallScope", "Shop", "read"]

SHOPS = frozenset({OutletKind.CONSIGNMENT, OutletKind.WHOLESALE})
Reason = Movement.Reason


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """A shop that got recalled jars: a consignee who can be told.

    Attributes:
        outlet_id: row number.
        name: its name.
        contact: person, address and telephone in one line.
        jars: jars it got, less those brought home.
        still_there: jars it still has, by the book.
    """

    outlet_id: int
    name: str
    contact: str
    jars: Decimal
    still_there: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class PublicSale:
    """Jars sold or given to people nobody has an address of."""

    outlet: str
    on: date
    what: str
    jars: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class RecallScope:
    """What is recalled, who has it, and how the jars add up."""

    products: Sequence[RecalledProduct]
    shops: Sequence[Shop]
    public: Sequence[PublicSale]
    balance: JarBalance

    @property
    def sold_where(self) -> tuple[str, ...]:
        """Places and days of sale for the public notice."""
        days = defaultdict(set)
        for sale in self.public:
            days[sale.outlet or say("at the door")].add(sale.on)
        return tuple(
            f"{place}, {', '.join(say('{on:%d %b %Y}', on=on) for on in sorted(found))}"
            for place, found in sorted(days.items())
        )


def read(stop_sale: StopSale) -> RecallScope:
    """Read whom a recall of stopped jars reaches.

    Args:
        stop_sale: its jars; fruit and other lots among them are left out.
    """
    lots = list(
        stop_sale.lots.filter(product__isnull=False)
        .select_related("product__jar_size")
        .order_by("code")
    )
    sums = ledger_sums(lot.pk for lot in lots)
    rows = [row for found in sums.values() for row in found]
    outlets = Outlet.objects.in_bulk({r.outlet_id for r in rows if r.outlet_id})
    return RecallScope(
        products=_products(lots),
        shops=_shops(rows, outlets),
        public=_public(rows, outlets),
        balance=balance_of(rows),
    )


def _products(lots: Sequence[Lot]) -> Sequence[RecalledProduct]:
    made = (
        Movement.objects.filter(lot_id__in=id_rows(lot.pk for lot in lots))
        .filter(reason__in=Movement.INCOMING, quantity__gt=0)
        .order_by()
        .values_list("lot_id")
        .annotate(total=Sum("quantity"))
    )
    jars = dict(made)
    grouped: dict[str, list[Lot]] = defaultdict(list)
    for lot in lots:
        grouped[lot.name].append(lot)
    return [
        RecalledProduct(
            name=name,
            codes=tuple(lot.code for lot in found),
            jars=int(sum(jars.get(lot.pk, Decimal(0)) for lot in found)),
            best_by=tuple(sorted({lot.best_by for lot in found if lot.best_by})),
        )
        for name, found in grouped.items()
    ]


def _shops(rows: Sequence[LedgerSum], outlets: dict[int, Outlet]) -> Sequence[Shop]:
    got: dict[int, Decimal] = defaultdict(Decimal)
    there: dict[int, Decimal] = defaultdict(Decimal)
    for row in rows:
        if row.outlet_id and outlets[row.outlet_id].kind in SHOPS:
            there[row.outlet_id] += row.quantity
            if row.reason == Reason.MOVED:
                got[row.outlet_id] += row.quantity
    return [
        Shop(
            outlet_id=number,
            name=str(outlets[number]),
            contact=_contact(outlets[number]),
            jars=jars,
            still_there=there[number],
        )
        for number, jars in sorted(got.items(), key=lambda e: str(outlets[e[0]]))
        if jars > 0
    ]


def _public(
    rows: Sequence[LedgerSum], outlets: dict[int, Outlet]
) -> Sequence[PublicSale]:
    sold: dict[tuple[str, date, str], Decimal] = defaultdict(Decimal)
    for row in rows:
        shop = row.outlet_id and outlets[row.outlet_id].kind in SHOPS
        if row.reason in {Reason.SOLD, Reason.GIVEN, Reason.SAMPLED} and not shop:
            what = str(Reason(row.reason).label)
            sold[row.outlet, row.on, what] -= row.quantity
    return [
        PublicSale(outlet=outlet, on=on, what=what, jars=jars)
        for (outlet, on, what), jars in sorted(sold.items(), key=lambda e: e[0][1])
        if jars
    ]


def _contact(outlet: Outlet) -> str:
    parts = (outlet.contact, outlet.phone, outlet.address)
    return ", ".join(part for part in parts if part)
