"""Half batches: their work, when they are offered, and that they never cost."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from production.planning.part_batch import (
    HALF,
    candidate_key,
    product_of,
    share_of,
    smaller_steps,
    with_halves,
)
from production.planning.recipe_work import Step, parts_of
from production.planning.week import Effort, solve
from production.planning.week_problem import Material, Need, Offer, Stock, Wish
from production.scaling import share_said
from tests.production.planning import independent, invented, verifier
from tests.production.planning.test_week import one_day_week, small

EXACT = Effort(gap=0.0, seconds=10)
JAM = (
    Step(kind="prepare", hands_min=50),
    Step(kind="cook", hands_min=20, idle_min=40, pot=True),
    Step(kind="stand", hands_min=5, stand_min_h=12, stand_max_h=24),
    Step(kind="fill", day=1, hands_min=20),
    Step(kind="process", day=1, hands_min=6, idle_min=40),
    Step(kind="cool", day=1, hands_min=10),
)
steps = st.builds(
    Step,
    kind=st.sampled_from(["prepare", "cook", "stand", "fill", "process", "cool"]),
    hands_min=st.integers(0, 200),
    idle_min=st.integers(0, 200),
)
shares = st.decimals("0.01", "1", places=2)


def halved(candidate, jars=None):
    """Half a kettle: half the jars, needs and costs, two thirds of the minutes."""
    return replace(
        candidate,
        key=candidate_key(candidate.product, HALF),
        jars=jars or max(candidate.jars // 2, 1),
        parts=tuple(
            replace(
                part,
                tasks=tuple(
                    replace(task, hands_min=-(-task.hands_min * 2 // 3))
                    for task in part.tasks
                ),
            )
            for part in candidate.parts
        ),
        needs=tuple(replace(n, amount=-(-n.amount // 2)) for n in candidate.needs),
        cost=candidate.cost / 2,
        most=1,
    )


def halves_of(problem):
    return {c.key: halved(c) for c in problem.candidates if not c.begun}


def test_half_a_batch_saves_less_than_half_of_the_work():
    minutes = {step.kind: step.hands_min for step in smaller_steps(JAM, HALF)}
    # 50 (0.2 + 0.8 / 2), 20 (0.35 + 0.65 / 2), all of the stand, 20 and 10
    # (0.2 + 0.8 / 2), 6 (0.5 + 0.5 / 2), each rounded up
    assert minutes == {"prepare": 30, "cook": 14, "stand": 5, "fill": 12, "process": 5, "cool": 6}  # fmt: skip
    alone = {step.kind: step.idle_min for step in smaller_steps(JAM, HALF)}
    assert (alone["cook"], alone["process"]) == (27, 40)


def test_a_half_batch_that_fits_one_load_takes_one():
    whole = parts_of(JAM, jars=14, places=9, load_min=35)
    half = parts_of(smaller_steps(JAM, HALF), jars=7, places=9, load_min=35)
    assert (whole[1].loads, half[1].loads) == (2, 1)
    assert (half[1].rest_min_h, half[1].rest_max_h) == (12, 24)


@given(st.lists(steps, max_size=6), shares)
def test_a_smaller_batch_is_never_more_work_nor_less_than_its_share(recipe, share):
    for full, less in zip(recipe, smaller_steps(recipe, share), strict=True):
        assert share * full.hands_min <= less.hands_min <= full.hands_min
        assert share * full.idle_min <= less.idle_min <= full.idle_min
    assert smaller_steps(recipe, Decimal(1)) == tuple(recipe)


@pytest.mark.parametrize(
    ("share", "key", "said"),
    [
        ("1", "plum", ""),
        ("1.0000", "plum", ""),
        ("0.5000", "plum share 0.5", "half batch"),
        ("0.40", "plum share 0.4", "40 % of a batch"),
    ],
)
def test_a_batch_is_named_by_product_and_share(share, key, said):
    assert candidate_key("plum", Decimal(share)) == key
    assert (product_of(f"{key} begun 7"), share_of(key)) == ("plum", Decimal(share))
    assert share_said(Decimal(share)) == said


@pytest.mark.parametrize("start", range(0, 60, 20))
def test_small_weeks_with_halves_reach_the_optimum_of_another_solver(start):
    chosen = 0
    for seed in range(start, start + 20):
        whole = small(seed)
        problem = replace(
            whole, candidates=(*whole.candidates, *halves_of(whole).values())
        )
        plan = solve(problem, EXACT)
        assert float(plan.objective) == pytest.approx(
            independent.best(problem), abs=0.005
        ), seed
        assert not verifier.faults(problem, plan), seed
        assert plan.objective >= solve(whole, EXACT).objective, seed
        chosen += sum(share_of(batch.candidate) == HALF for batch in plan.batches)
    assert chosen


@pytest.mark.parametrize("seed", range(3))
def test_halves_of_an_invented_week_keep_every_rule(seed):
    whole = invented.week(seed, products=12)
    problem = with_halves(whole, halves_of(whole))
    assert len(problem.candidates) - 12 <= 8
    plan = solve(problem, Effort(seconds=20))
    assert not verifier.faults(problem, plan)


def offered(problem, **facts):
    full = problem.candidates[0]
    more = with_halves(problem, {full.key: halved(full, **facts)})
    return [c.key for c in more.candidates[1:]]


def rich():
    """One product whose jars all earn the same."""
    problem = one_day_week()
    plenty = replace(problem.products[0], later=((50, Decimal(5)),))
    return replace(problem, products=(plenty,))


def test_no_half_where_a_full_one_sells_as_well():
    assert offered(rich()) == []


def test_a_half_where_the_second_half_earns_little():
    problem = rich()
    jars = problem.candidates[0].jars
    few = replace(problem.products[0], later=((jars // 2, Decimal(5)),))
    poor = replace(problem, products=(few,))
    assert offered(poor) == [candidate_key(few.key, HALF)]
    pinned = replace(poor, wishes=(Wish(product=few.key, batches=1),))
    assert offered(pinned) == []
    shelf = replace(few, stock=jars)
    assert offered(replace(problem, products=(shelf,))) == []


def test_a_half_where_the_hours_hold_no_full_one():
    problem = rich()
    length = max(part.length_min for part in problem.candidates[0].parts)
    short = tuple(
        replace(day, closes_min=day.opens_min + length - 5) if day.minutes else day
        for day in problem.days
    )
    tight = replace(problem, days=short)
    assert len(offered(tight)) == 1
    pin = Wish(product=problem.products[0].key, batches=1)
    assert len(offered(replace(tight, wishes=(pin,)))) == 1


@pytest.mark.parametrize(("most", "count"), [(None, 0), (1, 1), (0, 0), (2, 0)])
def test_a_half_where_the_fruit_reaches_for_no_full_one(most, count):
    problem = rich()
    full = replace(problem.candidates[0], needs=(Need(material="plums", amount=2000),))
    offer = Offer(
        supplier="farm",
        pack=700,
        price=Decimal(3),
        days=(problem.days[0].on,),
        most=most,
    )
    plums = Material(key="plums", stocks=(Stock(amount=600),), offers=(offer,))
    week = replace(problem, candidates=(full,), materials=(plums,))
    assert len(offered(week)) == count


def test_the_halves_that_help_most_are_offered():
    whole = invented.week(1, products=25)
    problem = with_halves(whole, halves_of(whole), most=3)
    assert len(problem.candidates) == 28
    begun = tuple(replace(c, begun=True) for c in whole.candidates)
    none = replace(whole, candidates=begun)
    assert with_halves(none, halves_of(whole)) == none


def test_a_week_short_of_fruit_makes_the_half_it_can():
    problem = rich()
    full = replace(problem.candidates[0], needs=(Need(material="plums", amount=2000),))
    plums = Material(key="plums", stocks=(Stock(amount=1100),))
    week = replace(problem, candidates=(full,), materials=(plums,))
    assert not solve(week, EXACT).batches
    plan = solve(with_halves(week, halves_of(week)), EXACT)
    assert [share_of(batch.candidate) for batch in plan.batches] == [HALF]
    assert plan.used["plums"] == 1000
