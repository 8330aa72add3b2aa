"""The verbs of a plan: make it, wish, set a demand, accept it."""

import datetime as dt
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.contrib.auth.models import User
from django.db import transaction

from inventory import markets
from inventory.models import MarketDay, Outlet, Product
from inventory.words import say
from production import batches
from production.models import (
    Batch,
    DemandOverride,
    KitchenDay,
    Plan,
    PlanWish,
    Recipe,
)
from production.planning.week import Effort, solve
from production.selectors.kitchen import current_version
from production.selectors.week_answer import answer_week
from production.selectors.week_inputs import read_week
from production.selectors.week_planned import WEEK_PLAN_NOTE, planned_product

__all__ = [
    "Accepted",
    "PlanError",
    "accept",
    "forbid",
    "let_be",
    "make_week",
    "pack_market",
    "pin",
    "set_demand",
    "set_hours",
]

MOST_DAYS = 14
MOST_PINNED = 6


class PlanError(ValueError):
    """A plan or a wish that cannot be."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Accepted:
    """What accepting a plan changed: batches planned, batches no longer planned."""

    planned: tuple[Batch, ...]
    dropped: int


def make_week(
    *,
    first: dt.date,
    at: dt.datetime,
    person: User | None,
    days: int = 7,
    effort: Effort | None = None,
) -> Plan:
    """Solve a market week and keep the answer; an older one not accepted gives way.

    Args:
        first: the week's first day.
        at: the moment.
        person: who asks.
        days: how many days.
        effort: limits of the search.

    Raises:
        PlanError: more days than a week's plan can hold, or none.
    """
    if not 1 <= days <= MOST_DAYS:
        raise PlanError(
            say(
                "a week's plan covers 1 to {most_days} days, not {days}",
                most_days=MOST_DAYS,
                days=days,
            )
        )
    book = read_week(first=first, days=days)
    answer = solve(book.problem, effort)
    data = answer_week(book, answer)
    with transaction.atomic():
        Plan.objects.filter(
            kind=Plan.Kind.WEEK, starts_on=first, accepted_at__isnull=True
        ).delete()
        plan = Plan(
            kind=Plan.Kind.WEEK,
            starts_on=first,
            days=days,
            made_at=at,
            made_by=person,
            objective=Decimal(data["objective"]),
            bound=Decimal(data["bound"]),
            answer=data,
        )
        plan.full_clean()
        plan.save()
    return plan


@transaction.atomic
def pin(
    *,
    first: dt.date,
    product: Product,
    batches_wanted: int = 1,
    on: dt.date | None = None,
) -> PlanWish:
    """Ask for a product to be made in the week, on a day or on any.

    Raises:
        PlanError: no batch, or more than a week could hold.
    """
    if not 1 <= batches_wanted <= MOST_PINNED:
        raise PlanError(
            say(
                "pin 1 to {most_pinned} batches of {product}, not {batches_wanted}",
                most_pinned=MOST_PINNED,
                product=product,
                batches_wanted=batches_wanted,
            )
        )
    return _wish(first, product, PlanWish.Wish.PIN, batches_wanted, on)


@transaction.atomic
def forbid(*, first: dt.date, product: Product) -> PlanWish:
    """Ask for a product to be left out of the week."""
    return _wish(first, product, PlanWish.Wish.FORBID, 0, None)


def _wish(
    first: dt.date, product: Product, wish: str, count: int, on: dt.date | None
) -> PlanWish:
    row, _ = PlanWish.objects.update_or_create(
        starts_on=first,
        product=product,
        defaults={"wish": wish, "batches": count, "on": on},
    )
    return row


@transaction.atomic
def let_be(*, first: dt.date, product: Product) -> None:
    """Take a wish back."""
    PlanWish.objects.filter(
        starts_on__gt=first - dt.timedelta(days=7),
        starts_on__lte=first,
        product=product,
    ).delete()


@transaction.atomic
def set_demand(
    *, outlet: Outlet, product: Product, on: dt.date, mean: Decimal | None
) -> DemandOverride | None:
    """Put one's own figure in place of the estimate; None takes it back.

    Raises:
        PlanError: a figure below zero or beyond a market day.
    """
    rows = DemandOverride.objects.filter(outlet=outlet, product=product, on=on)
    if mean is None:
        rows.delete()
        return None
    if not 0 <= mean <= 2000:
        raise PlanError(
            say(
                "{mean} jars of {product} on one day: enter 0 to 2000",
                mean=mean,
                product=product,
            )
        )
    row, _ = DemandOverride.objects.update_or_create(
        outlet=outlet, product=product, on=on, defaults={"mean": mean}
    )
    return row


@transaction.atomic
def set_hours(
    *,
    on: dt.date,
    starts_at: dt.time,
    minutes: int,
    every_week: bool,
    again_at: dt.time | None = None,
    again_minutes: int = 0,
) -> KitchenDay:
    """Say when the kitchen is free on a day, or on its weekday every week.

    Args:
        on: the day.
        starts_at: from when.
        minutes: for how long.
        every_week: on its weekday, not on this date alone.
        again_at: when it is free once more, later the same day.
        again_minutes: for how long then.

    Raises:
        PlanError: less than none, beyond midnight, or free again before it was not.
    """
    ends = _check_hours(on, starts_at, minutes)
    if again_at is not None:
        _check_hours(on, again_at, again_minutes)
        if again_at.hour * 60 + again_at.minute < ends:
            raise PlanError(
                say(
                    "free again from {again_at:%H:%M} lies before the first time is over; "
                    "enter a later hour, or more minutes for the first",
                    again_at=again_at,
                )
            )
    whose = {"weekday": on.weekday()} if every_week else {"on": on}
    if every_week:
        KitchenDay.objects.filter(on=on).delete()
    row, _ = KitchenDay.objects.update_or_create(
        **whose,
        defaults={
            "starts_at": starts_at,
            "minutes": minutes,
            "again_at": again_at if again_minutes else None,
            "again_minutes": again_minutes if again_at else 0,
        },
    )
    return row


def _check_hours(on: dt.date, starts_at: dt.time, minutes: int) -> int:
    """Return the minute of the day a time ends, or refuse it."""
    ends = starts_at.hour * 60 + starts_at.minute + minutes
    if minutes < 0 or ends > 24 * 60:
        raise PlanError(
            say(
                "{minutes} minutes from {starts_at:%H:%M} on {on:%A} do not end by "
                "midnight; enter fewer, or 0 for a closed kitchen",
                minutes=minutes,
                starts_at=starts_at,
                on=on,
            )
        )
    return ends


@transaction.atomic
def accept(*, plan: Plan, at: dt.datetime) -> Accepted:
    """Plan the batches of a week's plan; those it no longer holds are dropped.

    Batches planned by hand, begun or done are left alone.

    Raises:
        PlanError: the plan is not of a week, or was accepted before.
    """
    plan = Plan.objects.select_for_update().get(pk=plan.pk)
    if plan.kind != Plan.Kind.WEEK:
        raise PlanError(
            say("{plan} is not of a week; only a week's plan is accepted", plan=plan)
        )
    if plan.accepted_at is not None:
        raise PlanError(
            say("{plan} was accepted already; plan again to change it", plan=plan)
        )
    wanted = Counter(
        (
            row["product"],
            dt.date.fromisoformat(row["on"][0]),
            Decimal(row.get("share", "1")),
        )
        for row in plan.answer["batches"]
        if row["on"] and not row["begun"]
    )
    dropped = _drop_surplus(plan, wanted)
    what = _what_is_cooked(plan)
    planned = []
    for key, count in sorted(wanted.items(), key=lambda item: item[0][1::-1]):
        code, on, share = key
        for _ in range(count):
            planned.append(_plan_batch(*what[code], on, share))  # noqa: PERF401  it writes
    plan.accepted_at = at
    plan.save(update_fields=["accepted_at"])
    return Accepted(planned=tuple(planned), dropped=dropped)


def _drop_surplus(plan: Plan, wanted: Counter[tuple[str, dt.date, Decimal]]) -> int:
    """Drop batches of an earlier plan that are not wanted; count off those kept."""
    last = plan.starts_on + dt.timedelta(days=plan.days - 1)
    rows = Batch.objects.filter(
        status=Batch.Status.PLANNED,
        planned_on__range=(plan.starts_on, last),
    ).select_related("product", "version__recipe__makes_material")
    dropped = 0
    for batch in rows.order_by("planned_on", "pk"):
        key = (planned_product(batch), batch.planned_on, batch.factor)
        if wanted[key] > 0:
            wanted[key] -= 1
        elif batch.note == WEEK_PLAN_NOTE:
            batches.cancel(batch=batch)
            dropped += 1
    return dropped


def _what_is_cooked(plan: Plan) -> dict[str, tuple[Recipe, Product | None]]:
    """The recipe of every product, or material to be made, of a plan; its product."""
    rows = plan.answer["batches"]
    products = Product.objects.select_related("filling__recipe").in_bulk(
        [row["product"] for row in rows], field_name="code"
    )
    made = {row["recipe"] for row in rows if row["product"] not in products}
    recipes = Recipe.objects.in_bulk(made, field_name="name")
    for name in sorted(made - set(recipes)):
        raise PlanError(
            say("{recipe} is no longer in the book; plan the week again", recipe=name)
        )
    return {
        row["product"]: (
            (products[row["product"]].filling.recipe, products[row["product"]])
            if row["product"] in products
            else (recipes[row["recipe"]], None)
        )
        for row in rows
    }


def _plan_batch(
    recipe: Recipe, product: Product | None, on: dt.date, share: Decimal
) -> Batch:
    version = current_version(recipe, on=on)
    return batches.plan(
        version=version,
        product=product,
        planned_on=on,
        factor=share,
        note=WEEK_PLAN_NOTE,
    )


@transaction.atomic
def pack_market(
    *, packing: Mapping[str, Any], bad_weather: bool = False
) -> tuple[MarketDay, dict[Product, int]]:
    """Write one packing list of a plan into its market day.

    Args:
        packing: the list as the plan's answer holds it.
        bad_weather: take the shorter list.

    Returns:
        The market day, and what is short of each product on the shelf today.
    """
    on = dt.date.fromisoformat(packing["on"])
    outlet = Outlet.objects.get(name=packing["outlet"])
    day = markets.plan_day(outlet=outlet, on=on)
    which = "bad_weather_jars" if bad_weather else "jars"
    codes = [line["product"] for line in packing["lines"]]
    products = Product.objects.in_bulk(codes, field_name="code")
    wanted = {
        products[line["product"]]: int(line[which])
        for line in packing["lines"]
        if line["product"] in products
    }
    return day, markets.pack_products(day=day, jars=wanted)
