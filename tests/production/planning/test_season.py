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


def kettle(key="jam", **overrides):
    values = {
        "key": key,
        "needs": {"fruit": D(1)},
        "other_cost": D(2),
        "jars": 6,
        "ways": (Way(minutes=(60,), loads=(1,)),),
    }
    return Kettle(**{**values, **overrides})


def problem(weeks=3, **overrides):
    values = {
        "weeks": weeks,
        "fruits": (Fruit(key="fruit", prices=(D(3),) * weeks),),
        "kettles": (kettle(),),
        "sales": tuple(
            Sale(
                key="jam",
                week=week,
                price=D(8),
                net=D(8),
                segments=(Segment(jars=D(6)),),
            )
            for week in range(weeks)
        ),
        "sessions": ((Session(minutes=60, loads=1),),) * weeks,
    }
    return SeasonProblem(**{**values, **overrides})


def test_a_batch_a_week_sells_out():
    plan = plan_season(problem(), gap=0.0)
    assert plan.objective == 3 * (6 * 8 - 5)
    assert [each.batches for each in plan.cooked] == [1, 1, 1]
    assert plan.gap == 0


def test_fruit_out_of_season_is_frozen_for_later():
    fruit = Fruit(key="fruit", prices=(D(3), None, None), frozen_weeks=2)
    plan = plan_season(problem(fruits=(fruit,)), gap=0.0)
    assert sum(each.batches for each in plan.cooked) == 3
    assert plan.weeks[0].frozen_kg["fruit"] == 2


def test_frozen_fruit_does_not_keep_for_ever():
    fruit = Fruit(key="fruit", prices=(D(3), None, None), frozen_weeks=1)
    plan = plan_season(
        problem(fruits=(fruit,), sessions=((Session(minutes=60, loads=1),),) * 3),
        gap=0.0,
    )
    assert {each.week for each in plan.cooked} == {0, 1}


def test_a_jar_past_its_life_is_not_sold():
    once = (
        Sale(key="jam", week=2, price=D(8), net=D(8), segments=(Segment(jars=D(6)),)),
    )
    early = Fruit(key="fruit", prices=(D(3), None, None))
    long, short = (
        plan_season(
            problem(sales=once, fruits=(early,), kettles=(kettle(life_weeks=life),)),
            gap=0.0,
        )
        for life in (2, 1)
    )
    assert long.objective == 43
    assert short.objective == 0
    assert short.left_out


def test_the_cap_limits_what_is_sold():
    plan = plan_season(problem(caps=((0, 2, D(100)),)), gap=0.0)
    sold = sum(sum(week.sold.values()) for week in plan.weeks)
    assert sold * 8 <= 100


def test_a_wish_that_cannot_be_kept_is_given_up_and_said():
    wished = kettle(least={0: 2})
    plan = plan_season(problem(kettles=(wished,)), gap=0.0)
    assert len(plan.relaxed) == 2
    assert "wished" in plan.relaxed[-1]


def test_jars_beyond_the_limit_are_worth_nothing_at_the_end():
    nothing = ()
    worth = {"end_values": {"jam": D(4)}, "sales": nothing}
    free = plan_season(problem(**worth), gap=0.0)
    limited = plan_season(problem(**worth, end_limits={"jam": 6}), gap=0.0)
    assert free.objective == 3 * (24 - 5)
    assert limited.objective == 24 - 5


@pytest.mark.parametrize(
    ("key", "changes", "reason"),
    [
        ("season", {"fruits": (Fruit(key="fruit", prices=(None,) * 3),)}, "season"),
        ("demand", {"sales": ()}, "demand"),
        ("money", {"kettles": (kettle(other_cost=D(99)),)}, "money"),
        (
            "hours",
            {"kettles": (kettle(ways=(Way(minutes=(90,), loads=(1,)),)),)},
            "hours",
        ),
    ],
)
def test_what_is_left_out_says_why(key, changes, reason):
    plan = plan_season(problem(**changes), gap=0.0)
    assert plan.left_out["jam"].startswith(reason), key


def test_an_hour_that_binds_says_what_one_more_earns():
    plan = plan_season(
        problem(sessions=((Session(minutes=90, loads=3),),) * 3), gap=0.0
    )
    assert all(binding.worth > 0 for binding in plan.bindings)


@pytest.mark.parametrize("weeks", [0, 81])
def test_a_season_is_one_week_to_eighteen_months(weeks):
    with pytest.raises(SeasonError, match="1 to 80"):
        problem(weeks=weeks)


def test_a_chance_that_rises_is_refused():
    with pytest.raises(SeasonError, match="rises"):
        Sale(
            key="jam",
            week=0,
            price=D(8),
            net=D(8),
            segments=(
                Segment(jars=D(1), probability=D("0.2")),
                Segment(jars=D(1), probability=D("0.9")),
            ),
        )


def by_hand(weeks, kettles, demand, price, cost, minutes):
    """Every plan tried: whole batches a week, jars kept, lost sales allowed."""
    best = 0.0
    plans = [()]
    for week in range(weeks):
        plans = [
            (*plan, choice)
            for plan in plans
            for choice in _choices(kettles, minutes[week])
        ]
    for plan in plans:
        best = max(best, _worth(plan, kettles, demand, price, cost))
    return best


def _choices(kettles, minutes):
    first, second = kettles
    for a in range(minutes // first["minutes"] + 1):
        for b in range((minutes - a * first["minutes"]) // second["minutes"] + 1):
            yield (a, b)


def _worth(plan, kettles, demand, price, cost):
    worth = 0.0
    for number, each in enumerate(kettles):
        stock = 0
        for week, choice in enumerate(plan):
            stock += choice[number] * each["jars"]
            sold = min(stock, demand[number][week])
            stock -= sold
            worth += sold * price[number] - choice[number] * cost[number]
    return worth


@pytest.mark.parametrize("seed", range(60))
def test_small_seasons_equal_every_plan_tried(seed):
    chance = random.Random(seed)
    weeks = 3
    kettles = [
        {"minutes": chance.choice([40, 60, 80]), "jars": chance.randint(3, 7)}
        for _ in range(2)
    ]
    demand = [[chance.randint(0, 9) for _ in range(weeks)] for _ in range(2)]
    price = [chance.randint(4, 9) for _ in range(2)]
    cost = [chance.randint(5, 25) for _ in range(2)]
    minutes = [chance.choice([60, 120, 160]) for _ in range(weeks)]
    season = problem(
        fruits=(),
        kettles=tuple(
            kettle(
                key=f"p{n}",
                needs={},
                other_cost=D(cost[n]),
                jars=kettles[n]["jars"],
                ways=(Way(minutes=(kettles[n]["minutes"],), loads=(0,)),),
            )
            for n in range(2)
        ),
        sales=tuple(
            Sale(
                key=f"p{n}",
                week=week,
                price=D(price[n]),
                net=D(price[n]),
                segments=(Segment(jars=D(demand[n][week])),),
            )
            for n in range(2)
            for week in range(weeks)
        ),
        sessions=tuple((Session(minutes=m, loads=9),) for m in minutes),
    )
    found = float(plan_season(season, gap=0.0).objective)
    tried = by_hand(weeks, kettles, demand, price, cost, minutes)
    assert found == pytest.approx(tried, abs=0.01)
