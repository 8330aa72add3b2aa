"""A season's plan as data with stable keys: for pages, papers and JSON."""

from typing import Any

from production.planning.season import SeasonPlan, WeekBooks
from production.selectors.season_inputs import SeasonBook

__all__ = ["answer_season"]


def answer_season(book: SeasonBook, plan: SeasonPlan) -> dict[str, Any]:
    """The plan with names, days and figures as text."""
    made = {each.key: each.makes_kg for each in book.problem.kettles if each.makes}
    return {
        "starts_on": book.first.isoformat(),
        "weeks": book.problem.weeks,
        "status": plan.status,
        "objective": str(plan.objective),
        "bound": str(plan.bound),
        "gap": str(plan.gap),
        "seconds": round(plan.seconds, 1),
        "relaxed": list(plan.relaxed),
        "batches": [
            {
                "week": each.week,
                "week_of": book.monday(each.week).isoformat(),
                "product": each.key,
                "name": book.name(each.key),
                "batches": each.batches,
                "jars": each.jars,
                "makes_kg": str(made[each.key] * each.batches)
                if each.key in made
                else None,
            }
            for each in plan.cooked
        ],
        "books": [_week(book, week) for week in plan.weeks],
        "purchases": [
            {
                "week_of": book.monday(week.week).isoformat(),
                "material": key,
                "kg": str(kg),
                "to_freeze_kg": str(week.frozen_kg.get(key, 0)),
            }
            for week in plan.weeks
            for key, kg in sorted(week.bought_kg.items())
        ],
        "binding": [
            {
                "what": each.what,
                "week_of": (
                    book.monday(each.week).isoformat() if each.week is not None else ""
                ),
                "worth": str(each.worth),
                "unit": each.unit,
            }
            for each in plan.bindings
        ],
        "left_out": [
            {"product": key, "name": book.name(key), "reason": reason}
            for key, reason in sorted(plan.left_out.items())
        ],
        "seasons": _seasons(book),
    }


def _week(book: SeasonBook, week: WeekBooks) -> dict[str, Any]:
    return {
        "week_of": book.monday(week.week).isoformat(),
        "minutes": week.minutes,
        "stock_jars": str(sum(week.stock.values())),
        "sold_jars": str(sum(week.sold.values())),
        "freezer_kg": str(week.freezer_kg),
        "cash": None if week.cash is None else str(week.cash),
        "cases": week.cases,
        "stock": {key: str(jars) for key, jars in week.stock.items()},
    }


def _seasons(book: SeasonBook) -> list[dict[str, Any]]:
    """Weeks in which each fruit can be had, as runs of weeks."""
    found = []
    for fruit in book.problem.fruits:
        open_weeks = [n for n, price in enumerate(fruit.prices) if price is not None]
        if open_weeks and len(open_weeks) < book.problem.weeks:
            found.append({"material": fruit.key, "runs": _runs(open_weeks)})
    return found


def _runs(weeks: list[int]) -> list[list[int]]:
    runs: list[list[int]] = []
    for week in weeks:
        if runs and week == runs[-1][1] + 1:
            runs[-1][1] = week
        else:
            runs.append([week, week])
    return runs
