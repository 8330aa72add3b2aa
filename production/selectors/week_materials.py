"""Materials of a week: what lies there and how long, what can be had and when."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from decimal import Decimal

from inventory.models import Lot, Material, Pack
from inventory.selectors.stock import home_balance
from inventory.words import say
from production.planning.week_problem import Candidate, Offer, Stock
from production.planning.week_problem import Material as WeekMaterial

__all__ = ["week_materials"]

KEPT_SHARE = Decimal("0.95")
KEPT_SHARE_FRUIT = Decimal("0.50")
"""What an unused gram is worth at the end of the week, as a share of its price:
stores keep, fruit partly. Common practice: our own choice."""


def week_materials(
    candidates: Iterable[Candidate], *, first: dt.date, last: dt.date
) -> tuple[WeekMaterial, ...]:
    """Every material the week's batches ask for."""
    names = {need.material for c in candidates for need in c.needs}
    lots = defaultdict(list)
    usable = Lot.objects.usable(on=first).filter(material__name__in=names)
    for lot in usable.select_related("material"):
        lots[lot.material_id].append(lot)
    rows = Material.objects.filter(name__in=names).prefetch_related(
        "seasons", "packs__supplier"
    )
    return tuple(_material(row, lots[row.pk], first, last) for row in rows)


def _material(
    row: Material, lots: Iterable[Lot], first: dt.date, last: dt.date
) -> WeekMaterial:
    offers = tuple(
        _offer(row, pack, first, last) for pack in row.packs.all() if pack.is_current
    )
    price = min((offer.price / offer.pack for offer in offers), default=Decimal(0))
    spoils = row.fresh_days is not None and row.fresh_days < 7
    share = KEPT_SHARE_FRUIT if row.kind == Material.Kind.FRUIT else KEPT_SHARE
    if spoils and not row.freezable:
        share = Decimal(0)
    return WeekMaterial(
        key=row.name,
        stocks=tuple(
            Stock(
                amount=int(home_balance(lot)),
                use_by=lot.best_by if lot.best_by and lot.best_by < last else None,
                frozen=lot.is_frozen,
            )
            for lot in lots
        ),
        offers=offers,
        kept_worth=price * share,
        season=", ".join(
            say("{first} to {last}", first=window.start_text, last=window.end_text)
            for window in row.seasons.all()
        ),
    )


def _offer(row: Material, pack: Pack, first: dt.date, last: dt.date) -> Offer:
    windows = list(row.seasons.all())
    days = [first + dt.timedelta(days=n) for n in range((last - first).days + 1)]
    lead = first + dt.timedelta(days=pack.supplier.lead_days)
    to_be_had = [
        day
        for day in days
        if day >= lead and (not windows or any(w.is_open(day) for w in windows))
    ]
    weekly = [w.kg_per_week for w in windows if w.kg_per_week and w.is_open(first)]
    most = int(max(weekly) * 1000 / pack.quantity) if weekly else None
    return Offer(
        supplier=pack.supplier.name,
        pack=max(int(pack.quantity), 1),
        price=pack.price,
        days=tuple(to_be_had),
        keeps_days=row.fresh_days if row.fresh_days and row.fresh_days < 7 else None,
        most=(most if to_be_had else 0),
        pack_name=pack.as_typed,
    )
