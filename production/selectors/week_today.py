"""What today asks for, before any plan: the stove, the shelf, the next market."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from inventory.models import MarketDay
from inventory.selectors import stall
from production.models import Batch, Plan, PlanWish

__all__ = ["Today", "current_plan", "read_today", "wishes_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Today:
    """What waits today.

    Attributes:
        cooking: on the stove or standing overnight.
        held: cooled or cooling, waiting for seal check, labels and release.
        to_cook: planned for today.
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
    """Read what today asks for."""
    rows = Batch.objects.select_related("version__recipe", "product__jar_size")
    planned = rows.filter(status=Batch.Status.PLANNED).order_by("planned_on", "pk")
    return Today(
        cooking=list(rows.filter(status=Batch.Status.COOKING).order_by("pk")),
        held=list(rows.filter(status=Batch.Status.HELD).order_by("pk")),
        to_cook=list(planned.filter(planned_on=on)),
        overdue=list(planned.filter(planned_on__lt=on)),
        next_market=stall.next_days(on=on).first(),
        uncounted=list(stall.open_days(on=on)),
    )


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
