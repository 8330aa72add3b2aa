"""The verbs of a season's plan: begin a search, stop it, keep what it found."""

import datetime as dt
from collections.abc import Callable
from decimal import Decimal
from typing import Any

from django.contrib.auth.models import User
from django.db import transaction

from inventory.words import say
from production.models import Plan
from production.planning.season import SeasonPlan, plan_season
from production.planning.season_problem import SeasonError
from production.selectors.season_answer import answer_season
from production.selectors.season_inputs import SeasonBook, read_season
from production.selectors.year_books import cap_of_place, gross_sales

__all__ = ["begin", "find", "search", "stop"]

SEARCHING = "searching"
Say = Callable[[float, float, float], bool]


def find(
    *,
    first: dt.date,
    weeks: int,
    cash: Decimal | None = None,
    seconds: float = 60.0,
    gap: float = 0.02,
    tell: Say | None = None,
) -> tuple[SeasonBook, SeasonPlan]:
    """Read the season's question from the book and solve it.

    Raises:
        SeasonError: not 1 to 80 weeks.
    """
    if not 1 <= weeks <= 80:
        raise SeasonError(
            say(
                "{weeks} weeks cannot be planned; choose 1 to 80 (18 months)",
                weeks=weeks,
            )
        )
    book = read_season(
        first=first,
        weeks=weeks,
        cash=cash,
        cap=cap_of_place(on=first),
        sold_this_year=gross_sales(first.replace(month=1, day=1), first),
    )
    return book, plan_season(book.problem, gap=gap, seconds=seconds, tell=tell)


@transaction.atomic
def begin(
    *,
    first: dt.date,
    weeks: int,
    at: dt.datetime,
    person: User | None,
    cash: Decimal | None = None,
) -> Plan:
    """Put a search into the book before it runs; one not accepted gives way."""
    Plan.objects.filter(kind=Plan.Kind.SEASON, accepted_at__isnull=True).delete()
    plan = Plan(
        kind=Plan.Kind.SEASON,
        starts_on=first,
        days=weeks * 7,
        made_at=at,
        made_by=person,
        objective=Decimal(0),
        bound=Decimal(0),
        answer={
            "state": SEARCHING,
            "stop": False,
            "cash": None if cash is None else str(cash),
            "progress": [],
        },
    )
    plan.full_clean()
    plan.save()
    return plan


def search(plan: Plan, *, seconds: float = 60.0) -> Plan:
    """Run a search that was begun, telling its progress in the book as it goes."""
    told = 0.0

    def tell(elapsed: float, best: float, bound: float) -> bool:
        nonlocal told
        if elapsed - told < 1.0:
            return False
        told = elapsed
        return _tell(plan.pk, elapsed, best, bound)

    cash = plan.answer.get("cash")
    book, found = find(
        first=plan.starts_on,
        weeks=plan.days // 7,
        cash=None if cash is None else Decimal(cash),
        seconds=seconds,
        tell=tell,
    )
    _keep(plan, book, found)
    return plan


@transaction.atomic
def _tell(pk: int, elapsed: float, best: float, bound: float) -> bool:
    """Write the progress down; True when the seller wants it stopped."""
    plan = Plan.objects.select_for_update().filter(pk=pk).first()
    if plan is None:
        return True
    known = best > -1e15
    plan.answer["progress"].append(
        {
            "seconds": round(elapsed),
            "plan": str(round(best, 2)) if known else "",
            "bound": str(round(bound, 2)),
        }
    )
    plan.answer["progress"] = plan.answer["progress"][-5:]
    plan.save(update_fields=["answer"])
    return bool(plan.answer["stop"]) and known


@transaction.atomic
def stop(*, plan: Plan) -> Plan:
    """Ask a running search to stop and keep the best so far."""
    plan = Plan.objects.select_for_update().get(pk=plan.pk)
    if plan.answer.get("state") == SEARCHING:
        plan.answer["stop"] = True
        plan.save(update_fields=["answer"])
    return plan


def _keep(plan: Plan, book: SeasonBook, found: SeasonPlan) -> None:
    answer: dict[str, Any] = answer_season(book, found)
    plan.objective, plan.bound = found.objective, found.bound
    plan.answer = {**answer, "state": "found"}
    plan.full_clean()
    plan.save(update_fields=["objective", "bound", "answer"])
