"""The answer of a week as plain data: kept with the plan, shown, printed, sent.

Money is text with two places, weights are whole grams, dates and times ISO 8601.
The keys are listed in DEVELOPERS.md.
"""

import datetime as dt
from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from inventory.models import Business
from production.planning.day_sheet import DayLine, day_sheets
from production.planning.demand import Estimate
from production.planning.part_batch import share_of
from production.planning.shopping import ShoppingList, shopping_list
from production.planning.weather import BadWeather
from production.planning.week_problem import PlannedBatch, WeekPlan
from production.planning.why import LeftOut, OneMore, binding, left_out
from production.selectors.week_inputs import WeekBook
from production.selectors.week_packing import MarketPacking, pack_week

__all__ = ["answer_week", "as_data"]

CENT = Decimal("0.01")


def answer_week(
    book: WeekBook, plan: WeekPlan, *, with_binding: bool = True
) -> dict[str, Any]:
    """Everything the week's plan says, as data.

    Args:
        book: the question with what its keys stand for.
        plan: its answer.
        with_binding: solve again for what one more unit of each scarce thing
            would earn (a few seconds).
    """
    scarce = binding(book.problem, plan) if with_binding else ()
    return as_data(book, plan, scarce)


def as_data(
    book: WeekBook, plan: WeekPlan, scarce: Sequence[OneMore]
) -> dict[str, Any]:
    """The plan and what follows from it, as data."""
    problem = book.problem
    shopping = shopping_list(problem, plan)
    hands = sum(problem.candidate(b.candidate).hands_min for b in plan.batches)
    return {
        "kind": "week",
        "from": problem.days[0].on.isoformat(),
        "days": len(problem.days),
        "currency": Business.current().currency,
        "objective": money(plan.objective),
        "bound": money(max(plan.bound, plan.objective)),
        "gap": f"{plan.gap:.4f}",
        "proven": plan.proven,
        "relaxed": list(plan.relaxed),
        "seconds": plan.seconds,
        "hands_min": hands,
        "batches": [_batch(book, batch) for batch in plan.batches],
        "timetable": [
            {
                "on": sheet.on.isoformat(),
                "hands_min": sheet.hands_min,
                "lines": [_line(book, plan, line) for line in sheet.lines],
            }
            for sheet in day_sheets(problem, plan)
        ],
        "purchases": _purchases(shopping, book),
        "purchases_cost": money(shopping.cost),
        "freezer": [
            {
                "material": row.material,
                "amount": row.amount,
                "needed_on": row.needed_on.isoformat(),
            }
            for row in shopping.freezer
        ],
        "labels": [
            {"product": key, "name": book.name(key), "count": count}
            for key, count in shopping.labels.items()
        ],
        "packing": [_packing(book, row) for row in pack_week(book, plan)],
        "left_out": [_left_out(book, row) for row in left_out(problem, plan)],
        "binding": [
            {"resource": r.resource, "amount": r.amount, "worth": money(r.worth)}
            for r in scarce
        ],
        "demand": [
            _estimate(book, key, book.estimates[product, key])
            for product, key in book.estimates
            if (product, key) in book.net_prices
        ],
    }


def money(amount: Decimal | float) -> str:
    """Money as text, rounded once, half-up."""
    return str(Decimal(amount).quantize(CENT, ROUND_HALF_UP))


def _batch(book: WeekBook, batch: PlannedBatch) -> dict[str, Any]:
    candidate = book.problem.candidate(batch.candidate)
    days = [book.problem.days[n].on for n in batch.days if n is not None]
    light = candidate.parts[-1].light
    done = batch.days[-1]
    cooking = days[:-1] if light and done is not None else days
    labelled = days[-1] if light and done is not None else None
    version = book.versions[candidate.product]
    pinned = any(
        wish.product == candidate.product and not wish.forbids
        for wish in book.problem.wishes
    )
    return {
        "product": candidate.product,
        "name": book.name(candidate.product),
        "accent": book.accent(candidate.product),
        "recipe": str(version.recipe),
        "batch": batch.number,
        "begun": candidate.begun,
        "on": [day.isoformat() for day in cooking],
        "labelled_on": labelled.isoformat() if labelled else None,
        "share": f"{share_of(candidate.key):f}",
        "jars": candidate.jars,
        "makes": candidate.makes
        and {
            "material": candidate.makes.material,
            "amount": candidate.makes.amount,
        },
        "hands_min": candidate.hands_min,
        "pinned": pinned,
    }


def _line(book: WeekBook, plan: WeekPlan, line: DayLine) -> dict[str, Any]:
    return {
        "from": f"{line.begins_at:%H:%M}",
        "to": f"{line.ends_at:%H:%M}",
        "begins_min": line.begins_min,
        "hands_min": line.hands_min,
        "alone_min": line.idle_min,
        "step": line.label,
        "station": line.station,
        "candidate": line.candidate,
        "name": book.short_name(line.candidate),
        "accent": book.accent(line.candidate),
        "batch": line.batch,
        "batches": plan.batches_of(line.candidate),
    }


def _purchases(shopping: ShoppingList, book: WeekBook) -> list[dict[str, Any]]:
    packaging = {
        material.name
        for product in book.products.values()
        for material in (product.jar_size.jar, product.jar_size.lid)
        if material is not None
    }
    return [
        {
            "supplier": supplier,
            "on": row.on.isoformat(),
            "material": row.material,
            "packs": row.packs,
            "pack": row.pack_name,
            "amount": row.amount,
            "unit": "pieces" if row.material in packaging else "g",
            "need": row.need,
            "on_hand": row.on_hand,
            "cost": money(row.cost),
        }
        for supplier, rows in shopping.by_supplier.items()
        for row in rows
    ]


def _packing(book: WeekBook, row: MarketPacking) -> dict[str, Any]:
    day = book.markets[row.market]
    foul = {line.product: line.jars for line in row.foul.lines}
    return {
        "market": row.market,
        "outlet": day.outlet.name,
        "on": day.on.isoformat(),
        "market_day": day.day.pk if day.day else None,
        "places": row.fair.places,
        "jars": row.fair.jars,
        "bad_weather_jars": row.foul.jars,
        "bad_weather": _weather(book.weather[day.outlet.name]),
        "next_place_worth": money(row.fair.space_worth),
        "lines": [
            {
                "product": line.product,
                "name": book.name(line.product),
                "accent": book.accent(line.product),
                "ready": row.ready[line.product],
                "jars": line.jars,
                "bad_weather_jars": foul.get(line.product, 0),
                "next_worth": money(line.next_worth),
                "held_by": line.held_by,
            }
            for line in row.fair.lines
        ],
    }


def _weather(row: BadWeather) -> dict[str, Any]:
    return {
        "share": str(row.share),
        "days": row.days,
        "seen": None if row.seen is None else str(row.seen),
        "usual": str(row.usual),
    }


def _left_out(book: WeekBook, row: LeftOut) -> dict[str, Any]:
    return {
        "product": row.product,
        "name": book.name(row.product),
        "reason": row.reason.value,
        "detail": row.detail,
        "worth": money(row.worth),
    }


def _estimate(book: WeekBook, market: str, row: Estimate) -> dict[str, Any]:
    day: dt.date = row.on
    return {
        "product": row.product,
        "name": book.name(row.product),
        "market": market,
        "outlet": row.outlet,
        "on": day.isoformat(),
        "basis": row.basis.value,
        "mean": None if row.mean is None else f"{row.mean:.1f}",
        "low": row.demand.quantile(0.1),
        "high": row.demand.quantile(0.9),
        "days": row.days,
        "sold_out_days": row.sold_out_days,
        "plain_mean": None if row.plain_mean is None else f"{row.plain_mean:.1f}",
        "said": row.said,
    }
