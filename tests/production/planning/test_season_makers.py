"""Juice and purée in the season: made while there is fruit, carried, cooked later."""

import itertools
import random
from decimal import Decimal

import pytest

from production.planning.season import plan_season
from production.planning.season_problem import (
    Fruit,
    Kettle,
    Sale,
    SeasonError,
    SeasonProblem,
    Segment,
    Session,
    Way,
)

D = Decimal


def season(*, weeks=3, fresh=0, frozen=2, made=2, minutes=(200,) * 3, **more):
    """Jelly of 1 kg juice; juice of 3 kg grapes, to be had in week 0 alone."""
    values = {
        "weeks": weeks,
        "fruits": (
            Fruit(key="grapes", prices=(D(2), *(None,) * (weeks - 1))),
            Fruit(
                key="juice",
                prices=(None,) * weeks,
                fresh_weeks=fresh,
                frozen_weeks=frozen,
            ),
        ),
        "kettles": (
            Kettle(
                key="jelly",
                needs={"juice": D(1)},
                other_cost=D(2),
                jars=6,
                ways=(Way(minutes=(60,), loads=(1,)),),
            ),
            Kettle(
                key="making juice",
                needs={"grapes": D(3)},
                other_cost=D(1),
                jars=0,
                ways=(Way(minutes=(40,), loads=(0,)),),
                makes="juice",
                makes_kg=D(made),
            ),
        ),
        "sales": tuple(
            Sale(
                key="jelly",
                week=week,
                price=D(8),
                net=D(8),
                segments=(Segment(jars=D(6)),),
            )
            for week in range(weeks)
        ),
        "sessions": tuple((Session(minutes=m, loads=9),) for m in minutes),
    }
    return SeasonProblem(**{**values, **more})


def cooked(plan):
    return {(each.key, each.week): each.batches for each in plan.cooked}


def test_juice_is_made_in_season_and_carried():
    plan = plan_season(season(), gap=0.0)
    assert cooked(plan)["making juice", 0] == 2
    assert sum(n for (key, _), n in cooked(plan).items() if key == "jelly") == 3
    assert plan.objective == 18 * 8 - 3 * 2 - 2 * (3 * 2 + 1)
    assert plan.weeks[0].bought_kg == {"grapes": 6}
    assert plan.weeks[0].minutes >= 80
    assert plan.left_out == {}


def test_juice_that_is_not_frozen_is_cooked_while_it_keeps():
    # Jars keep, juice does not: all three jellies in the week of the grapes
    plan = plan_season(season(frozen=0, minutes=(260, 200, 200)), gap=0.0)
    assert {week for key, week in cooked(plan)} == {0}
    short = plan_season(season(frozen=0, minutes=(100, 200, 200)), gap=0.0)
    assert cooked(short) == {("jelly", 0): 1, ("making juice", 0): 1}
    kept = plan_season(season(frozen=0, fresh=1, minutes=(100, 200, 200)), gap=0.0)
    assert cooked(kept) == {("making juice", 0): 1, ("jelly", 0): 1, ("jelly", 1): 1}


def test_its_hours_and_its_freezer_count():
    assert cooked(plan_season(season(minutes=(39, 200, 200)), gap=0.0)) == {}
    tight = plan_season(season(minutes=(40, 200, 200), freezer_kg=D(1)), gap=0.0)
    assert sorted(cooked(tight).values()) == [1, 1]
    assert ("making juice", 0) in cooked(tight)
    assert tight.weeks[0].freezer_kg == 1


def test_a_jelly_left_out_is_told_of_the_grapes():
    none = (
        Fruit(key="grapes", prices=(None,) * 3),
        Fruit(key="juice", prices=(None,) * 3, frozen_weeks=2),
    )
    plan = plan_season(season(fruits=none), gap=0.0)
    assert plan.left_out == {"jelly": "season: no grapes can be had in these weeks"}
    there = (
        none[0],
        Fruit(key="juice", prices=(None,) * 3, frozen_weeks=2, opening_frozen_kg=D(1)),
    )
    plan = plan_season(season(fruits=there), gap=0.0)
    assert cooked(plan) in ({("jelly", week): 1} for week in range(3))


def test_what_nothing_is_known_of_cannot_be_made():
    with pytest.raises(SeasonError, match="juice, of which nothing is known"):
        season(fruits=(Fruit(key="grapes", prices=(D(2), None, None)),))


def best_by_trying(problem, fresh, frozen, made):
    """The most a season can earn: every number of batches in every week."""
    weeks = range(problem.weeks)
    best = 0.0
    for juices, jellies in itertools.product(
        itertools.product(range(3), repeat=problem.weeks), repeat=2
    ):
        if any(juices[1:]):
            continue
        hours = [40 * juices[w] + 60 * jellies[w] for w in weeks]
        if any(h > problem.sessions[w][0].minutes for w, h in enumerate(hours)):
            continue
        last = fresh + frozen
        lots = [[w, w + last, made * juices[w]] for w in weeks]
        if not all(_drawn(lots, w, jellies[w]) for w in weeks):
            continue
        earns, stock = -7.0 * sum(juices) - 2.0 * sum(jellies), 0
        for week in weeks:
            stock += 6 * jellies[week]
            sold = min(stock, 6)
            earns, stock = earns + 8 * sold, stock - sold
        best = max(best, earns)
    return best


def _drawn(lots, week, need):
    for lot in lots:
        if lot[0] <= week <= lot[1]:
            taken = min(need, lot[2])
            lot[2] -= taken
            need -= taken
    return need <= 1e-9


@pytest.mark.parametrize("seed", range(30))
def test_small_seasons_equal_every_plan_tried(seed):
    chance = random.Random(seed)
    fresh, frozen = chance.choice([(0, 0), (1, 0), (0, 1), (0, 2), (1, 1)])
    made = chance.choice([1, 1.5, 2])
    minutes = tuple(chance.choice([30, 60, 110, 160]) for _ in range(3))
    problem = season(fresh=fresh, frozen=frozen, made=made, minutes=minutes)
    found = float(plan_season(problem, gap=0.0).objective)
    assert found == pytest.approx(
        best_by_trying(problem, fresh, frozen, made), abs=0.01
    )
