"""The lots of the book and what batches drew from them, read in one query."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db.models import F, FilteredRelation, Q

from inventory.models import Lot, Material, Movement
from production.costing.lot_costs import DrawFact, LotCosts, LotFact

__all__ = ["lot_costs"]

ZERO = Decimal(0)
Reason = Movement.Reason
READ = (*Movement.INCOMING, Reason.DRAWN)


def lot_costs() -> LotCosts:
    """Every lot, with what it takes to know its cost back to what was bought."""
    lots: dict[int, dict[str, Any]] = {}
    came_in: defaultdict[int, Decimal] = defaultdict(lambda: ZERO)
    draws = _Draws()
    for lot in _lots_and_rows():
        lots.setdefault(lot["pk"], lot)
        if lot["reason"] == Reason.DRAWN:
            draws.add(lot)
        elif lot["reason"] and (lot["quantity"] > 0 or (lot["corrected"] or 0) > 0):
            came_in[lot["pk"]] += lot["quantity"]
    shares = _shares(lots.values())
    facts = {
        number: _fact(lot, came_in[number], shares.get(number, Decimal(1)))
        for number, lot in lots.items()
    }
    return LotCosts(lots=facts, draws=draws.by_batch())


def _lots_and_rows() -> Iterable[dict[str, Any]]:
    """Each lot once for every row that brought it in or drew from it, in order."""
    rows = Lot.objects.annotate(
        row=FilteredRelation("movements", condition=Q(movements__reason__in=READ)),
        reason=F("row__reason"),
        quantity=F("row__quantity"),
        movement=F("row__pk"),
        corrected=F("row__corrects__quantity"),
        corrects=F("row__corrects_id"),
        draw=F("row__batch_input__pk"),
        drawn_by=F("row__batch_input__batch_id"),
    )
    read: Iterable[Any] = rows.order_by("pk", "movement").values(
        "pk",
        "code",
        "cost",
        "split_from_id",
        "material_id",
        "product_id",
        "received_on",
        "material__name",
        "material__kind",
        "material__edible_yield",
        "product__name",
        "product__jar_size__name",
        "product__jar_size__brim_ml",
        "purchase__bought_on",
        "purchase__supplier__name",
        "batch_output__batch_id",
        "batch_output__filled",
        "batch_output__jar_size__brim_ml",
        "reason",
        "quantity",
        "movement",
        "corrected",
        "corrects",
        "draw",
        "drawn_by",
    )
    return read


@dataclass(slots=True)
class _Draws:
    """Draws as they are read; their corrections may come before or after."""

    rows: list[tuple[int, int, int, int, Decimal]]
    fixed: defaultdict[int, Decimal]

    def __init__(self) -> None:
        self.rows, self.fixed = [], defaultdict(lambda: ZERO)

    def add(self, row: dict[str, Any]) -> None:
        if row["draw"] is not None:
            self.rows.append(
                (
                    row["draw"],
                    row["drawn_by"],
                    row["movement"],
                    row["pk"],
                    row["quantity"],
                )
            )
        elif row["corrects"] is not None:
            self.fixed[row["corrects"]] += row["quantity"]

    def by_batch(self) -> dict[int, list[DrawFact]]:
        """What each batch drew, corrections taken in, in the order it drew."""
        found: defaultdict[int, list[DrawFact]] = defaultdict(list)
        for _, batch, movement, lot, quantity in sorted(self.rows):
            taken = -(quantity + self.fixed.get(movement, ZERO))
            if taken > 0:
                found[batch].append(DrawFact(lot=lot, quantity=taken))
        return dict(found)


def _shares(lots: Iterable[dict[str, Any]]) -> dict[int, Decimal]:
    """Part of its batch's cost that each made lot carries."""
    weights: dict[int, tuple[int, Decimal]] = {}
    totals: defaultdict[int, Decimal] = defaultdict(lambda: ZERO)
    for lot in lots:
        if lot["batch_output__batch_id"] is not None:
            weights[lot["pk"]] = lot["batch_output__batch_id"], _weight(lot)
            totals[lot["batch_output__batch_id"]] += _weight(lot)
    return {
        number: weight / totals[batch] if totals[batch] else Decimal(1)
        for number, (batch, weight) in weights.items()
    }


def _weight(lot: dict[str, Any]) -> Decimal:
    """Volume of all its jars, ml; of an intermediate its weight, g."""
    brim_ml = (
        lot["batch_output__jar_size__brim_ml"] or lot["product__jar_size__brim_ml"]
    )
    filled: Decimal = lot["batch_output__filled"]
    return filled if brim_ml is None else brim_ml * filled


def _fact(lot: dict[str, Any], received: Decimal, share: Decimal) -> LotFact:
    kind, name, unit = lot["material__kind"], lot["material__name"], "g"
    if lot["product_id"] is not None:
        kind, unit = "jars", "jars"
        name = f"{lot['product__name']}, {lot['product__jar_size__name']}"
    elif kind == Material.Kind.PACKAGING:
        unit = "pieces"
    return LotFact(
        code=lot["code"],
        received=received,
        cost=lot["cost"],
        split_from=lot["split_from_id"],
        made_by=lot["batch_output__batch_id"],
        share=share,
        filled=lot["batch_output__filled"] or ZERO,
        name=name,
        kind=kind,
        unit=unit,
        material=lot["material_id"],
        edible_yield=lot["material__edible_yield"] or Decimal(1),
        product=lot["product_id"],
        received_on=lot["received_on"],
        supplier=lot["purchase__supplier__name"] or "",
        bought_on=lot["purchase__bought_on"],
    )
