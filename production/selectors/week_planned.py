"""What the book has planned for a week already, and what the seller wishes."""

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal

from production.models import Batch, PlanWish
from production.planning.part_batch import candidate_key
from production.planning.week_problem import Candidate, Wish
from production.selectors.week_kettles import Kettle, part_batch
from production.selectors.week_makers import making

__all__ = [
    "WEEK_PLAN_NOTE",
    "before",
    "by_hand",
    "planned",
    "planned_product",
    "shares_by_hand",
    "wishes",
]

WEEK_PLAN_NOTE = "from the week's plan"


def planned(first: dt.date, last: dt.date) -> Sequence[Batch]:
    """The batches planned for the days, not begun."""
    rows = Batch.objects.filter(
        status=Batch.Status.PLANNED, planned_on__gte=first, planned_on__lte=last
    )
    return list(rows.select_related("product", "version__recipe__makes_material"))


def planned_product(batch: Batch) -> str:
    """The product of a planned batch as the week's question has it."""
    material = batch.version.recipe.makes_material
    if batch.product is None and material is not None:
        return making(material)
    return batch.product.code if batch.product else ""


def _mine(rows: Iterable[Batch]) -> list[Batch]:
    """Those the seller planned by hand."""
    return [batch for batch in rows if batch.note != WEEK_PLAN_NOTE]


def wishes(rows: Iterable[Batch], first: dt.date, last: dt.date) -> tuple[Wish, ...]:
    """What the seller pinned and forbade; a batch planned by hand is pinned."""
    found = {}
    said = PlanWish.objects.filter(
        starts_on__gt=first - dt.timedelta(days=7), starts_on__lte=last
    )
    for row in said.select_related("product").order_by("starts_on"):
        forbids = row.wish == PlanWish.Wish.FORBID
        on = row.on if row.on and first <= row.on <= last else None
        found[row.product.code] = Wish(
            product=row.product.code, batches=0 if forbids else row.batches, on=on
        )
    for batch in _mine(rows):
        code = planned_product(batch)
        if code not in found:
            found[code] = Wish(product=code, batches=1, on=batch.planned_on)
    return tuple(found.values())


def shares_by_hand(rows: Iterable[Batch]) -> dict[str, set[Decimal]]:
    """The shares of the tested batch the seller planned by hand, by product."""
    found: dict[str, set[Decimal]] = {}
    for batch in _mine(rows):
        found.setdefault(planned_product(batch), set()).add(batch.factor.normalize())
    return found


def by_hand(
    kettles: Mapping[str, Kettle], rows: Iterable[Batch]
) -> dict[str, list[Candidate]]:
    """Batches of the shares the seller planned by hand, for products so planned.

    Such a product is offered in these shares alone: the plan's batch is the seller's.
    """
    found = {}
    for code, shares in shares_by_hand(rows).items():
        if code in kettles:
            batches = [part_batch(kettles[code], share) for share in sorted(shares)]
            found[code] = [batch for batch in batches if batch is not None]
    return found


def before(rows: Iterable[Batch]) -> dict[tuple[str, dt.date], int]:
    """Batches of products the book has planned, which a new plan keeps unless it gains.

    What is made to be cooked with follows the batches that need it.
    """
    return dict(
        Counter(
            (candidate_key(batch.product.code, batch.factor), batch.planned_on)
            for batch in rows
            if batch.product
        )
    )
