"""What today asks for, before any plan: the stove, the shelf, the next market."""

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import Exists, OuterRef, QuerySet, Subquery

from inventory.models import MarketDay
from inventory.selectors import stall
from production.models import Batch, Plan, PlanWish, RecipeStep, StepRecord

__all__ = ["Errand", "Today", "current_plan", "errands", "read_today", "wishes_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Errand:
    """What must be bought at one place, and by when.

    Attributes:
        supplier: where.
        by: the first day one of them is needed on.
        materials: what, in the order of the list.
    """

    supplier: str
    by: dt.date
    materials: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Today:
    """What waits today.

    Attributes:
        cooking: on the stove or standing overnight; each with ``next_step``.
        held: cooled or cooling, waiting for seal check, labels and release.
        to_cook: planned for today; each with ``next_step``, the first.
        overdue: planned for a day that is over.
        next_market: the next day at an outlet, or None.
        uncounted: market days that are over and were never counted back.
    """

    cooking: Sequence[Batch]
    held: Sequence[Batch]
    to_cook: Sequence[Batch]
    overdue: Sequence[Batch]
    next_market: MarketDay | None
    uncounted: Sequence[MarketDay]

    @property
    def is_quiet(self) -> bool:
        """Whether nothing waits in the kitchen."""
        return not (self.cooking or self.held or self.to_cook or self.overdue)


def read_today(*, on: dt.date) -> Today:
    """Read what today asks for, in two queries."""
    rows = list(_unfinished(on))
    planned = [row for row in rows if row.status == Batch.Status.PLANNED]
    uncounted, next_market = stall.days_that_wait(on=on)
    return Today(
        cooking=[row for row in rows if row.status == Batch.Status.COOKING],
        held=[row for row in rows if row.status == Batch.Status.HELD],
        to_cook=[row for row in planned if row.planned_on == on],
        overdue=[row for row in planned if row.planned_on < on],
        next_market=next_market,
        uncounted=uncounted,
    )


def _unfinished(on: dt.date) -> QuerySet[Batch]:
    """Batches that wait for somebody, with the text of their next step."""
    done = StepRecord.objects.filter(
        batch=OuterRef(OuterRef("pk")), step=OuterRef("pk"), done_at__isnull=False
    )
    ahead = (
        RecipeStep.objects.filter(version=OuterRef("version"))
        .exclude(Exists(done))
        .order_by("position")
    )
    waiting = Batch.objects.filter(
        status__in=[Batch.Status.COOKING, Batch.Status.HELD]
    ) | Batch.objects.filter(status=Batch.Status.PLANNED, planned_on__lte=on)
    return (
        waiting.select_related("version__recipe", "product__jar_size")
        .annotate(next_step=Subquery(ahead.values("text")[:1]))
        .order_by("planned_on", "pk")
    )


def errands(purchases: Iterable[Mapping[str, Any]]) -> list[Errand]:
    """What a plan says must be bought, supplier by supplier, the first due first.

    Args:
        purchases: the plan's, with ``supplier``, ``on`` and ``material``.
    """
    places: dict[str, list[Mapping[str, Any]]] = {}
    for row in purchases:
        places.setdefault(row["supplier"], []).append(row)
    found = [
        Errand(
            supplier=supplier,
            by=min(row["on"] for row in rows),
            materials=tuple(str(row["material"]) for row in rows),
        )
        for supplier, rows in places.items()
    ]
    return sorted(found, key=lambda errand: (errand.by, errand.supplier))


def current_plan(*, on: dt.date) -> Plan | None:
    """The newest plan of a week that a day falls into."""
    plans = Plan.objects.filter(
        kind=Plan.Kind.WEEK, starts_on__lte=on, starts_on__gt=on - dt.timedelta(days=14)
    )
    for plan in plans.order_by("-starts_on", "-made_at"):
        if on < plan.starts_on + dt.timedelta(days=plan.days):
            return plan
    return None


def wishes_of(*, first: dt.date) -> Sequence[PlanWish]:
    """What the seller pinned and forbade for the week that holds a day."""
    rows = PlanWish.objects.filter(
        starts_on__gt=first - dt.timedelta(days=7), starts_on__lte=first
    )
    return list(rows.select_related("product__jar_size").order_by("product__name"))
