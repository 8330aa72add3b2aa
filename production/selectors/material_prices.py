"""What a gram or a piece of each material costs today: the newest price known."""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from inventory.models import Lot, Material, Pack
from inventory.words import say
from production.costing.breakdown import CostingError, Source
from production.costing.lot_costs import LotCosts
from production.models import BatchOutput
from production.selectors.lot_sources import source_of
from production.selectors.stock_value import lot_costs

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
        costs: unit costs of lots, if the caller has read them already.
    """
    found: dict[int, MaterialPrice] = {}
    for material, price in _made(on, costs or lot_costs()):
        _keep_newest(found, material, price)
    for material, price in _offered(on):
        _keep_newest(found, material, price)
    for material, price in _bought(on):
        _keep_newest(found, material, price)
    return PriceList(on=on, prices=found)


def _keep_newest(
    found: dict[int, MaterialPrice], material: int, price: MaterialPrice
) -> None:
    known = found.get(material)
    if known is None or price.priced_on >= known.priced_on:
        found[material] = price


def _bought(on: datetime.date) -> Iterable[tuple[int, MaterialPrice]]:
    lots = (
        Lot.objects.with_received()
        .filter(
            material__isnull=False,
            split_from__isnull=True,
            batch_output__isnull=True,
            received_on__lte=on,
        )
        .select_related("purchase__supplier", "material")
        .order_by("received_on", "pk")
    )
    for lot in lots:
        received = Decimal(lot.received)  # type: ignore[attr-defined] # annotated
        if received <= 0 or (lot.cost == 0 and lot.purchase_id is None):
            continue
        unit_price = lot.cost / received
        where = (
            say(" from {supplier}", supplier=lot.purchase.supplier)
            if lot.purchase
            else ""
        )
        source = Source(
            text=say(
                "lot {lot}, bought {received_on:%d %b %Y}{where}",
                lot=lot.code,
                received_on=lot.received_on,
                where=where,
            ),
            key=f"lot:{lot.code}",
            quantity=received,
            unit_cost=unit_price,
            unit=lot.unit,
        )
        yield (
            lot.material_id or 0,
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


def _made(on: datetime.date, costs: LotCosts) -> Iterable[tuple[int, MaterialPrice]]:
    """The newest lot of each material that is made here, opened to what it took."""
    outputs = (
        BatchOutput.objects.filter(
            lot__material__isnull=False, lot__received_on__lte=on
        )
        .select_related("lot__material")
        .order_by("lot__received_on", "pk")
    )
    newest = {
        output.lot.material_id: output
        for output in outputs
        if costs.unit_cost(output.lot_id) > 0
    }
    for material, output in newest.items():
        price = MaterialPrice(
            unit_price=costs.unit_cost(output.lot_id),
            priced_on=output.lot.received_on,
            source=source_of(output.lot, output.filled, costs),
        )
        yield material or 0, price
