"""Plans of invented weeks: sound, best, and never worse for having more."""

import datetime as dt
import random
from dataclasses import replace
from decimal import Decimal

import pytest

from production.planning.kitchen import Equipment, KitchenDay, Part, PlanningError, Task
from production.planning.week import Effort, solve
from production.planning.week_problem import (
    Candidate,
    Market,
    ProductWeek,
    WeekProblem,
    Wish,
)
from tests.production.planning import independent, invented, verifier

EXACT = Effort(gap=0.0, seconds=10)
MONDAY = invented.MONDAY


def small(seed):
    """A week of up to four products without purchases; work one after another."""
    rng = random.Random(seed)
    days = rng.choice([2, 3, 4])
    markets = [
        Market(
            key="late",
            on=MONDAY + dt.timedelta(days=days),
            places=rng.choice([None, 20]),
        )
    ]
    if rng.random() < 0.5:
        markets.append(Market(key="early", on=MONDAY + dt.timedelta(days=days - 1)))
    products, candidates = [], []
    for n in range(rng.choice([1, 2, 3, 4])):
        worths = {
            m.key: tuple(
                sorted(
                    (
                        Decimal(rng.randint(0, 900)) / 100
                        for _ in range(rng.randint(0, 14))
                    ),
                    reverse=True,
                )
            )
            for m in markets
        }
        later = tuple((rng.randint(0, 8), Decimal(w)) for w in ("1.50", "0.40"))
        products.append(
            ProductWeek(
                key=f"p{n}", stock=rng.choice([0, 0, 3, 9]), worths=worths, later=later
            )
        )
        one = Part(
            tasks=(
                Task(label="cook", hands_min=rng.randint(20, 80)),
                Task(label="can", hands_min=5, canners=1),
            )
        )
        parts = (one,)
        if rng.random() < 0.4:
            soak = Part(tasks=(Task(label="slice", hands_min=rng.randint(10, 50)),))
            parts = (soak, replace(one, rest_min_h=8, rest_max_h=40, vessel=True))
        candidates.append(
            Candidate(
                key=f"p{n}",
                product=f"p{n}",
                jars=rng.randint(4, 9),
                parts=parts,
                cost=Decimal(rng.randint(0, 1200)) / 100,
                most=rng.randint(1, 3),
            )
        )
    return WeekProblem(
        days=tuple(
            KitchenDay(
                on=MONDAY + dt.timedelta(days=n),
                opens_min=600,
                closes_min=600 + rng.choice([0, 90, 150, 200]),
                loads=rng.choice([1, 2, 3]),
            )
            for n in range(days)
        ),
        equipment=Equipment(vessels=rng.choice([0, 1, 2])),
        products=tuple(products),
        candidates=tuple(candidates),
        markets=tuple(markets),
    )


@pytest.mark.parametrize("start", range(0, 200, 20))
def test_small_weeks_reach_the_optimum_of_another_solver(start):
    for seed in range(start, start + 20):
        problem = small(seed)
        plan = solve(problem, EXACT)
        assert float(plan.objective) == pytest.approx(
            independent.best(problem), abs=0.006
        ), seed
        assert verifier.faults(problem, plan) == [], seed


@pytest.mark.parametrize("seed", range(4))
def test_plans_of_invented_weeks_keep_every_rule(seed):
    problem = invented.week(seed, products=6)
    plan = solve(problem)
    assert plan.batches
    assert verifier.faults(problem, plan) == []
    assert sum(plan.terms.values()) == plan.objective
    assert plan.objective <= plan.bound + Decimal("0.01")


def test_the_verifier_sees_a_cook_in_two_places():
    problem = invented.week(0, products=4)
    plan = solve(problem)
    hands = [s for s in plan.slots if s.hands_until_min > s.begins_min]
    moved = replace(
        hands[0],
        begins_min=hands[1].begins_min,
        hands_until_min=hands[1].hands_until_min,
    )
    bad = replace(plan, slots=tuple(moved if s == hands[0] else s for s in plan.slots))
    assert verifier.faults(problem, bad)


@pytest.mark.parametrize("seed", range(3))
def test_more_hours_never_earn_less(seed):
    problem = small(seed + 500)
    roomier = tuple(day.longer(60) if day.minutes else day for day in problem.days)
    wider = tuple(replace(day, loads=day.loads + 1) for day in roomier)
    before = solve(problem, EXACT).objective
    assert solve(replace(problem, days=roomier), EXACT).objective >= before
    assert solve(replace(problem, days=wider), EXACT).objective >= before


def test_a_pin_is_kept_and_a_forbidden_batch_is_not_made():
    problem = invented.week(1, products=3)
    free = solve(problem)
    made = free.batches[0].candidate
    without = solve(replace(problem, wishes=(Wish(product=made, batches=0),)))
    assert without.batches_of(made) == 0
    assert without.objective <= free.bound
    pinned = solve(replace(problem, wishes=(Wish(product=made, batches=1),)))
    assert pinned.batches_of(made) >= 1


def one_day_week(minutes=100, **facts):
    work = Part(tasks=(Task(label="cook", hands_min=60),))
    candidate = Candidate(key="plum", product="plum", jars=6, parts=(work,), most=3)
    facts = {"candidates": (candidate,)} | facts
    return WeekProblem(
        days=(KitchenDay(on=MONDAY, opens_min=600, closes_min=600 + minutes),),
        equipment=Equipment(),
        products=(ProductWeek(key="plum", later=((9, Decimal(2)),)),),
        **facts,
    )


def test_pins_that_cannot_be_kept_are_said_and_the_rest_is_planned():
    wish = Wish(product="plum", batches=2)
    plan = solve(one_day_week(wishes=(wish,)))
    assert plan.batches_of("plum") == 1
    assert plan.relaxed == ("1 pinned batch of plum does not fit and is left out",)


def test_a_pinned_day_gives_way_before_the_pinned_batch():
    closed = MONDAY + dt.timedelta(days=1)
    week = one_day_week()
    days = (*week.days, KitchenDay(on=closed))
    wish = Wish(product="plum", batches=1, on=closed)
    plan = solve(replace(week, days=days, wishes=(wish,)))
    assert plan.batches_of("plum") == 1
    assert plan.relaxed == ("plum could not be made on Tuesday as pinned",)


def test_a_begun_batch_is_finished_past_closing_time():
    week = one_day_week(minutes=45)
    begun = replace(week.candidates[0], begun=True, most=1)
    plan = solve(replace(week, candidates=(begun,)))
    assert plan.batches_of("plum") == 1
    assert plan.relaxed == ("on Monday the kitchen is needed 30 minutes longer",)


def test_nothing_to_make_is_an_answer():
    plan = solve(one_day_week(minutes=0))
    assert (plan.batches, plan.objective, plan.relaxed) == ((), 0, ())


def test_a_new_plan_keeps_the_old_one_unless_it_earns_more():
    week = one_day_week(minutes=60)
    two = (*week.days, replace(week.days[0], on=MONDAY + dt.timedelta(days=1)))
    before = {("plum", two[1].on): 1}
    kept = solve(replace(week, days=two, before=before, change_cost=Decimal(1)))
    first = [b.first_day for b in kept.batches]
    assert 1 in first


def test_a_worth_that_rises_is_refused():
    with pytest.raises(PlanningError, match="may not rise"):
        ProductWeek(key="plum", worths={"stall": (Decimal(1), Decimal(2))})
