"""Where a batch's materials come from: lots, oldest best-by first."""

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from inventory.ledger import unit_cost
from inventory.models import Lot, Material
from production.models import Batch, RecipeLine, RecipeVersion
from production.selectors.recipe_page import lines_of

__all__ = [
    "LotPart",
    "ProposedDraw",
    "drawn_cost",
    "is_kept_in_lots",
    "needed_as_bought",
    "packaging_parts",
    "proposed_draws",
    "quantities_of",
]

TENTH = Decimal("0.1")
FROM_THE_TAP = ("water", "tap water")


@dataclass(frozen=True, slots=True, kw_only=True)
class LotPart:
    """So much of one lot."""

    lot: Lot
    quantity: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class ProposedDraw:
    """Where one line of a recipe would come from, oldest best-by first.

    Attributes:
        line: the recipe line.
        needed: in the material's unit, as bought (trimmings included).
        parts: the lots and how much of each.
        at_hand: every lot of the material that may be cooked with, and all of it.
    """

    line: RecipeLine
    needed: Decimal
    parts: tuple[LotPart, ...]
    at_hand: tuple[LotPart, ...] = ()

    @property
    def short(self) -> Decimal:
        """What the lots at home lack."""
        return self.needed - sum((part.quantity for part in self.parts), Decimal(0))


def is_kept_in_lots(material: Material) -> bool:
    """Whether a material is bought in lots; water comes from the tap."""
    return material.printed_name.casefold() not in FROM_THE_TAP


def needed_as_bought(line: RecipeLine, factor: Decimal) -> Decimal:
    """What a line takes from a lot: edible grams over the edible share, to 0.1 g."""
    grams = line.grams * factor / line.material.edible_yield
    return grams.quantize(TENTH, ROUND_HALF_UP)


def proposed_draws(
    version: RecipeVersion, *, factor: Decimal, on: datetime.date
) -> list[ProposedDraw]:
    """Where each line of a version would come from on a day.

    Two lines of one material share its lots; nothing is promised twice.
    """
    lines = [line for line in lines_of(version) if is_kept_in_lots(line.material)]
    left = _usable_lots([line.material_id for line in lines], on=on)
    at_hand = {material: tuple(parts) for material, parts in left.items()}
    draws = []
    for line in lines:
        needed = needed_as_bought(line, factor)
        parts = _take(left[line.material_id], needed)
        draws.append(
            ProposedDraw(
                line=line,
                needed=needed,
                parts=parts,
                at_hand=at_hand[line.material_id],
            )
        )
    return draws


def _usable_lots(
    materials: Sequence[int], *, on: datetime.date
) -> dict[int, list[LotPart]]:
    lots: dict[int, list[LotPart]] = {each: [] for each in materials}
    usable = Lot.objects.filter(material_id__in=materials).usable(on=on)
    for lot in usable.filter(received_on__lte=on).select_related("material"):
        lots[lot.material_id or 0].append(
            LotPart(lot=lot, quantity=lot.home_balance)  # type: ignore[attr-defined] # annotated
        )
    return lots


def _take(lots: list[LotPart], needed: Decimal) -> tuple[LotPart, ...]:
    """Take from the front of `lots`, which is changed to what is left."""
    taken = []
    while needed > 0 and lots:
        first = lots.pop(0)
        amount = min(first.quantity, needed)
        taken.append(LotPart(lot=first.lot, quantity=amount))
        needed -= amount
        if first.quantity > amount:
            lots.insert(0, LotPart(lot=first.lot, quantity=first.quantity - amount))
    return tuple(taken)


def packaging_parts(
    material: Material | None, pieces: Decimal, *, on: datetime.date
) -> tuple[LotPart, ...]:
    """Lots that jars or lids come from: as many as are at home, oldest first."""
    if material is None:
        return ()
    lots = [
        LotPart(lot=lot, quantity=lot.home_balance)  # type: ignore[attr-defined] # annotated
        for lot in Lot.objects.filter(material=material).usable(on=on)
    ]
    return _take(lots, pieces)


def quantities_of(parts: Iterable[LotPart]) -> Decimal:
    """Sum of the parts."""
    return sum((part.quantity for part in parts), Decimal(0))


def drawn_cost(batch: Batch) -> Decimal:
    """Cost of everything the batch drew, by each lot's own cost, unrounded."""
    inputs = batch.inputs.select_related("movement__lot")
    return sum(
        (unit_cost(each.movement.lot) * -each.movement.quantity for each in inputs),
        Decimal(0),
    )
