"""A kitchen free in the morning and in the evening, and nothing on the stove between."""

import datetime as dt
from dataclasses import replace
from decimal import Decimal

import pytest

from production.planning.kitchen import Equipment, KitchenDay, Part, PlanningError, Task
from production.planning.week import Effort, solve
from production.planning.week_problem import Candidate, ProductWeek, WeekProblem
from tests.production.planning import invented, verifier

EXACT = Effort(gap=0.0, seconds=10)
SEVEN, EIGHT, SIX = 7 * 60, 8 * 60, 18 * 60


def day(away=(EIGHT, SIX), closes=SIX + 60):
    return KitchenDay(on=invented.MONDAY, opens_min=SEVEN, closes_min=closes, away=away)


def week(*tasks, most=1, on=None):
    jam = Candidate(
        key="plum", product="plum", jars=6, parts=(Part(tasks=tasks),), most=most
    )
    return WeekProblem(
        days=(on or day(),),
        equipment=Equipment(),
        products=(ProductWeek(key="plum", later=((30, Decimal(2)),)),),
        candidates=(jam,),
    )


def task(hands, idle=0, wait=None):
    return Task(label="work", hands_min=hands, idle_min=idle, wait_max_min=wait)


def test_the_pause_is_no_kitchen_time():
    assert day().minutes == 120
    assert day(away=None).minutes == 12 * 60
    assert day().longer(30).minutes == 150


@pytest.mark.parametrize("away", [(SEVEN, EIGHT), (EIGHT, EIGHT), (EIGHT, 20 * 60)])
def test_a_pause_lies_within_the_hours(away):
    with pytest.raises(PlanningError, match="does not lie within"):
        day(away=away)


def test_work_longer_than_either_time_is_not_made_unless_it_can_be_put_down():
    whole = week(task(90))
    assert not solve(whole, EXACT).batches
    parted = week(task(50), task(40))
    plan = solve(parted, EXACT)
    assert len(plan.batches) == 1
    assert not verifier.faults(parted, plan)
    assert not solve(week(task(50), task(40, wait=60)), EXACT).batches


def test_nothing_simmers_while_nobody_is_there():
    simmer = week(task(30, idle=40))
    assert not solve(simmer, EXACT).batches
    longer = week(task(30, idle=40), on=day(closes=SIX + 80))
    plan = solve(longer, EXACT)
    assert [slot.begins_min >= SIX for slot in plan.slots] == [True]
    assert not verifier.faults(longer, plan)


def test_two_batches_are_a_morning_s_and_an_evening_s():
    both = week(task(60), most=3)
    plan = solve(both, EXACT)
    assert sorted(slot.begins_min for slot in plan.slots) == [SEVEN, SIX]
    assert not verifier.faults(both, plan)


def test_the_verifier_sees_work_in_the_pause():
    both = week(task(60))
    plan = solve(both, EXACT)
    moved = tuple(
        replace(s, begins_min=EIGHT, hands_until_min=EIGHT + 60, ends_min=EIGHT + 60)
        for s in plan.slots
    )
    (fault,) = verifier.faults(both, replace(plan, slots=moved))
    assert "nobody is there" in fault


@pytest.mark.parametrize("seed", range(3))
def test_invented_weeks_with_pauses_keep_every_rule(seed):
    problem = invented.week(seed, products=10)
    days = tuple(
        replace(d, away=(d.opens_min + d.minutes // 3, d.opens_min + d.minutes // 2))
        if d.minutes
        else d
        for d in problem.days
    )
    paused = replace(problem, days=days)
    plan = solve(paused, Effort(seconds=20))
    assert plan.batches
    assert not verifier.faults(paused, plan)
    assert plan.objective <= solve(problem, Effort(seconds=20)).bound + Decimal("0.01")
    assert {d.on for d in paused.days} == {
        invented.MONDAY + dt.timedelta(days=n) for n in range(7)
    }
