"""What a gram or a piece of each material costs today: the newest price known."""

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from inventory.models import Material, Pack
from inventory.words import say
from production.costing.breakdown import CostingError, Source
from production.costing.lot_costs import LotCosts, LotFact
from production.costing.lot_sources import source_of
from production.selectors.lot_facts import lot_costs

__all__ = ["MaterialPrice", "NoPriceError", "PriceList", "current_prices"]

ZERO = Decimal(0)


class NoPriceError(CostingError):
    """A jar cannot be costed because nobody knows what something in it costs."""

    def __init__(self, materials: Iterable[str]) -> None:
        self.materials = tuple(materials)
        super().__init__(
            say(
                "no price is known for {materials}: enter a purchase or a pack "
                "with its price",
                materials=", ".join(self.materials),
            )
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialPrice:
    """Price of one gram or piece as bought, and the record it comes from."""

    unit_price: Decimal
    priced_on: datetime.date
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceList:
    """The newest price of every material on a day."""

    on: datetime.date
    prices: dict[int, MaterialPrice]

    def of(self, material: Material) -> MaterialPrice:
        """Price of a material.

        Raises:
            NoPriceError: it was never bought and nobody offers it.
        """
        if material.pk not in self.prices:
            raise NoPriceError([material.name])
        return self.prices[material.pk]


def current_prices(*, on: datetime.date, costs: LotCosts | None = None) -> PriceList:
    """The newest price of every material: bought, offered, or made here.

    Args:
        on: the day; later purchases are not known yet.
        costs: every lot, if the caller has read them already.
    """
    costs = costs or lot_costs()
    lots = [
        (number, fact)
        for number, fact in costs.lots.items()
        if fact.material is not None and fact.received_on and fact.received_on <= on
    ]
    lots.sort(key=lambda lot: (lot[1].received_on, lot[0]))
    found: dict[int, MaterialPrice] = {}
    for material, price in _made(lots, costs):
        _keep_newest(found, material, price)
    for material, price in _offered(on):
        _keep_newest(found, material, price)
    for material, price in _bought(lots):
        _keep_newest(found, material, price)
    return PriceList(on=on, prices=found)


def _keep_newest(
    found: dict[int, MaterialPrice], material: int, price: MaterialPrice
) -> None:
    known = found.get(material)
    if known is None or price.priced_on >= known.priced_on:
        found[material] = price


def _bought(lots: Sequence[tuple[int, LotFact]]) -> Iterable[tuple[int, MaterialPrice]]:
    for _, lot in lots:
        is_bought = lot.split_from is None and lot.made_by is None
        has_price = lot.cost != 0 or lot.bought_on is not None
        if not is_bought or not has_price or lot.received <= 0:
            continue
        unit_price = lot.cost / lot.received
        where = say(" from {supplier}", supplier=lot.supplier) if lot.supplier else ""
        source = Source(
            text=say(
                "lot {lot}, bought {received_on:%d %b %Y}{where}",
                lot=lot.code,
                received_on=lot.received_on,
                where=where,
            ),
            key=f"lot:{lot.code}",
            quantity=lot.received,
            unit_cost=unit_price,
            unit=lot.unit,
        )
        yield from _priced(lot, unit_price, source)


def _priced(
    lot: LotFact, unit_price: Decimal, source: Source
) -> Iterable[tuple[int, MaterialPrice]]:
    if lot.material is not None and lot.received_on is not None:
        yield (
            lot.material,
            MaterialPrice(
                unit_price=unit_price, priced_on=lot.received_on, source=source
            ),
        )


def _offered(on: datetime.date) -> Iterable[tuple[int, MaterialPrice]]:
    packs = Pack.objects.filter(priced_on__lte=on, is_current=True)
    for pack in packs.select_related("supplier", "material").order_by(
        "priced_on", "-price"
    ):
        unit_price = pack.price / pack.quantity
        source = Source(
            text=say(
                "{as_typed} from {supplier}, price of {priced_on:%d %b %Y}",
                as_typed=pack.as_typed,
                supplier=pack.supplier,
                priced_on=pack.priced_on,
            ),
            key=f"material:{pack.material_id}",
            quantity=pack.quantity,
            unit_cost=unit_price,
            unit=pack.material.unit,
        )
        yield (
            pack.material_id,
            MaterialPrice(
                unit_price=unit_price, priced_on=pack.priced_on, source=source
            ),
        )


def _made(
    lots: Sequence[tuple[int, LotFact]], costs: LotCosts
) -> Iterable[tuple[int, MaterialPrice]]:
    """The newest lot of each material that is made here, opened to what it took."""
    newest = {
        lot.material: (number, lot)
        for number, lot in lots
        if lot.made_by is not None and costs.unit_cost(number) > 0
    }
    for number, lot in newest.values():
        source = source_of(number, lot.filled, costs)
        yield from _priced(lot, costs.unit_cost(number), source)
