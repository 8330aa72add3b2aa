"""Juice and purée in the week: made when a batch needs them, before it needs them."""

import datetime as dt
import itertools
import random
from dataclasses import replace
from decimal import Decimal

import pytest

from production.planning.cook_day import fits, timetable
from production.planning.kitchen import Equipment, KitchenDay, Part, PlanningError, Task
from production.planning.shopping import shopping_list
from production.planning.week import Effort, solve
from production.planning.week_problem import (
    MAKING,
    Candidate,
    Made,
    Material,
    Need,
    Offer,
    PlannedBatch,
    ProductWeek,
    Stock,
    WeekProblem,
)
from production.planning.why import Reason, left_out
from tests.production.planning import verifier
from tests.production.planning.invented import MONDAY

EXACT = Effort(gap=0.0, seconds=10)
JELLY_WORTH = Decimal(5)
CENT = Decimal("0.01")


def part(minutes, **rest):
    return Part(tasks=(Task(label="cook", hands_min=minutes),), **rest)


def week(
    *,
    hours=(120, 120),
    made=2000,
    keeps=None,
    parts=None,
    juice=0,
    grapes=3,
    most=2,
    jelly_min=60,
    kept=Decimal(0),
):
    """Jelly of 1000 g of juice, worth 30; juice of 3000 g of grapes at 6 a pack."""
    days = tuple(
        KitchenDay(
            on=MONDAY + dt.timedelta(days=n), opens_min=600, closes_min=600 + minutes
        )
        for n, minutes in enumerate(hours)
    )
    offer = Offer(
        supplier="farm",
        pack=3000,
        price=Decimal(6),
        days=tuple(day.on for day in days),
        most=grapes,
    )
    jelly = Candidate(
        key="jelly",
        product="jelly",
        jars=6,
        parts=(part(jelly_min),),
        needs=(Need(material="juice", amount=1000),),
        most=most,
    )
    maker = Candidate(
        key=f"{MAKING}juice",
        product=f"{MAKING}juice",
        jars=0,
        parts=parts or (part(40),),
        needs=(Need(material="grapes", amount=3000),),
        makes=Made(material="juice", amount=made, keeps_days=keeps),
        most=2,
    )
    return WeekProblem(
        days=days,
        equipment=Equipment(),
        products=(ProductWeek(key="jelly", later=((12, JELLY_WORTH),)),),
        candidates=(jelly, maker),
        materials=(
            Material(
                key="juice",
                kept_worth=kept,
                stocks=(Stock(amount=juice),) if juice else (),
            ),
            Material(key="grapes", offers=(offer,)),
        ),
    )


def made_in(plan):
    return sorted((batch.candidate, batch.days) for batch in plan.batches)


def test_the_juice_is_made_first_when_the_jelly_needs_it():
    problem = week(hours=(120, 0))
    plan = solve(problem, EXACT)
    assert made_in(plan) == [("jelly", (0,)), (f"{MAKING}juice", (0,))]
    assert not verifier.faults(problem, plan)
    assert plan.objective == 6 * JELLY_WORTH - 6
    begins = {slot.candidate: slot.begins_min for slot in plan.slots}
    assert begins[f"{MAKING}juice"] + 40 <= begins["jelly"]


def test_what_is_on_hand_is_used_before_more_is_made():
    plan = solve(week(hours=(120, 0), juice=1000), EXACT)
    assert made_in(plan) == [("jelly", (0,))]
    plan = solve(week(hours=(180, 0), juice=1000, made=1000), EXACT)
    assert len(plan.batches) == 3


def test_nothing_is_made_without_a_batch_that_needs_it():
    assert not solve(week(hours=(50, 0)), EXACT).batches


def test_what_is_left_is_worth_something_and_never_worth_making():
    kept = Decimal("0.0025")
    plan = solve(week(hours=(120, 0), kept=kept), EXACT)
    assert plan.objective == 30 - 6 + 1000 * kept
    assert not solve(week(hours=(50, 0), kept=kept), EXACT).batches


def test_juice_that_settles_overnight_is_used_the_day_after():
    settles = (part(30), part(10, rest_min_h=12, rest_max_h=48, vessel=True))
    problem = week(hours=(120, 120, 120), parts=settles)
    plan = solve(problem, EXACT)
    (juice,) = (b for b in plan.batches if b.candidate != "jelly")
    assert all(b.days[0] >= juice.days[1] for b in plan.batches if b is not juice)
    assert not verifier.faults(problem, plan)
    closed = week(hours=(120, 0), parts=settles)
    assert not solve(closed, EXACT).batches


def test_juice_that_does_not_keep_is_not_carried():
    # 40 min of juice or 60 of jelly a day: the jelly waits two days for its hours
    hours = (50, 0, 70)
    assert len(solve(week(hours=hours), EXACT).batches) == 2
    assert not solve(week(hours=hours, keeps=1), EXACT).batches
    assert len(solve(week(hours=hours, keeps=2), EXACT).batches) == 2


def test_two_jellies_share_one_juice():
    problem = week(hours=(160, 0))
    plan = solve(problem, EXACT)
    assert plan.batches_of("jelly") == 2
    assert plan.batches_of(f"{MAKING}juice") == 1
    assert plan.used == {"juice": 2000, "grapes": 3000}
    assert not verifier.faults(problem, plan)


def best_by_trying(problem):
    """The most a week can earn: every choice of days, its minutes really set."""
    jelly, maker = problem.candidates
    offer = problem.materials[1].offers[0]
    best = Decimal(0)
    for jellies, juices in itertools.product(choices(problem, 0), choices(problem, 1)):
        packs = len(juices)
        if offer.most is not None and packs > offer.most:
            continue
        if not has_juice(problem, sorted(jellies), juices):
            continue
        earns = min(12, 6 * len(jellies)) * JELLY_WORTH - offer.price * packs
        change = maker.makes.amount * packs - 1000 * len(jellies)
        earns += problem.materials[0].kept_worth * change
        batches = [
            PlannedBatch(candidate=key, number=n, days=days)
            for key, rows in ((jelly.key, jellies), (maker.key, juices))
            for n, days in enumerate(rows, start=1)
        ]
        if earns > best and timetable(problem, batches) is not None:
            best = earns
    return best


def choices(problem, which):
    """Every way to lay up to the most batches of a candidate on the days."""
    candidate = problem.candidates[which]
    days = range(len(problem.days))
    runs = list(itertools.product(days, repeat=len(candidate.parts)))
    return [
        rows
        for n in range(candidate.most + 1)
        for rows in itertools.combinations_with_replacement(runs, n)
    ]


def has_juice(problem, jellies, juices):
    """Whether every jelly has its juice on its day, the soonest to go off first."""
    made = problem.candidates[1].makes
    left = [[0, 99, problem.materials[0].on_hand]]
    for days in juices:
        until = 99 if made.keeps_days is None else days[-1] + made.keeps_days
        left.append([days[-1], until, made.amount])
    for (day,) in jellies:
        need = 1000
        for lot in sorted(left, key=lambda lot: lot[1]):
            if lot[0] <= day <= lot[1]:
                drawn = min(need, lot[2])
                lot[2] -= drawn
                need -= drawn
        if need:
            return False
    return True


@pytest.mark.parametrize("start", range(0, 60, 15))
def test_small_weeks_reach_the_best_of_all_choices(start):
    used = 0
    for seed in range(start, start + 15):
        rng = random.Random(seed)
        settles = (part(20), part(10, rest_min_h=12, rest_max_h=48, vessel=True))
        problem = week(
            hours=[
                rng.choice([0, 50, 70, 110, 160]) for _ in range(rng.choice([2, 3]))
            ],
            made=rng.choice([1000, 1500, 2000]),
            keeps=rng.choice([None, 0, 1]),
            parts=rng.choice([None, None, settles]),
            juice=rng.choice([0, 0, 500, 1000]),
            grapes=rng.choice([1, 2, None]),
            jelly_min=rng.choice([40, 60]),
            kept=rng.choice([Decimal(0), Decimal("0.001")]),
        )
        plan = solve(problem, EXACT)
        assert plan.objective == pytest.approx(best_by_trying(problem), abs=CENT), seed
        assert not verifier.faults(problem, plan), seed
        used += plan.batches_of(f"{MAKING}juice")
    assert used


def test_the_verifier_sees_juice_used_before_it_is_made():
    problem = week(hours=(120, 0))
    plan = solve(problem, EXACT)
    early = tuple(
        replace(s, begins_min=600, hands_until_min=660, ends_min=660)
        if s.candidate == "jelly"
        else replace(s, begins_min=670, hands_until_min=710, ends_min=710)
        for s in plan.slots
    )
    (fault,) = verifier.faults(problem, replace(plan, slots=early))
    assert fault == "juice: used at 600, made at 710"
    (short, *_) = verifier.faults(
        problem, replace(plan, batches=plan.batches[:1], slots=plan.slots[-1:])
    ) or verifier.faults(
        problem, replace(plan, batches=plan.batches[1:], slots=plan.slots[-1:])
    )
    assert short


def test_minutes_that_leave_no_room_for_making_first_do_not_fit():
    problem = week(hours=(70, 0))
    both = [
        PlannedBatch(candidate="jelly", number=1, days=(0,)),
        PlannedBatch(candidate=f"{MAKING}juice", number=1, days=(0,)),
    ]
    two = replace(problem, equipment=Equipment(cooks=2))
    assert not fits(problem, both)
    assert not fits(two, both)
    wide = replace(two, days=tuple(day.longer(30) for day in two.days))
    assert fits(wide, both)


def test_no_labels_are_printed_for_juice():
    plan = solve(week(hours=(120, 0)), EXACT)
    assert shopping_list(week(hours=(120, 0)), plan).labels == {"jelly": 6}


def test_the_freezer_gives_only_what_is_not_made():
    problem = week(hours=(160, 0), made=1000)
    frozen = Material(key="juice", stocks=(Stock(amount=1000, frozen=True),))
    problem = replace(problem, materials=(frozen, problem.materials[1]))
    plan = solve(problem, EXACT)
    assert plan.batches_of("jelly") == 2
    (row,) = shopping_list(problem, plan).freezer
    assert (row.material, row.amount) == ("juice", 1000)


def test_why_a_jelly_is_left_out_is_the_juice_s_reason():
    problem = week(grapes=0)
    plan = solve(problem, EXACT)
    (row,) = left_out(problem, plan)
    assert (row.product, row.reason) == ("jelly", Reason.SHORT)
    assert row.detail.startswith("grapes:")
    short = week(hours=(50, 50), jelly_min=60)
    (row,) = left_out(short, solve(short, EXACT))
    assert row.reason is Reason.DAYS


def test_a_batch_that_makes_nothing_is_refused():
    with pytest.raises(PlanningError, match="at least one jar"):
        week(made=0)
    problem = week()
    odd = replace(problem.candidates[1], makes=Made(material="cider", amount=1))
    with pytest.raises(PlanningError, match="nothing is known of cider"):
        replace(problem, candidates=(odd,))


def test_a_begun_juice_that_cannot_be_finished_is_said_by_name():
    problem = week(hours=(0, 0))
    begun = replace(problem.candidates[1], begun=True, most=1, needs=())
    plan = solve(replace(problem, candidates=(begun,)), EXACT)
    assert plan.relaxed == ("juice is begun but cannot be finished in these hours",)
