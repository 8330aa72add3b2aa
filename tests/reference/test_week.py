"""The market week on a small instance whose optima are known.

Days 1-3 with 150, 150 and 100 minutes, two canner loads a day, one vessel
overnight. Optima worked out for this project by exhaustive search over all
whole-number plans and by a solver, which agree ("computed").
"""

import datetime as dt
from dataclasses import replace
from decimal import Decimal

import pytest

from production.planning.kitchen import Equipment, KitchenDay, Part, Task
from production.planning.week import Effort, solve
from production.planning.week_problem import (
    Candidate,
    Market,
    ProductWeek,
    WeekProblem,
)

MONDAY = dt.date(2030, 6, 3)
EXACT = Effort(gap=0.0, seconds=10)


def work(hands, *, load=0, vessel=False):
    tasks = [Task(label="work", hands_min=hands - load)]
    if load:
        tasks.append(Task(label="canner", hands_min=load, canners=1))
    rest = {"rest_min_h": 8, "rest_max_h": 40, "vessel": True} if vessel else {}
    return Part(tasks=tuple(tasks), **rest)


def instance(minutes=(150, 150, 100), loads=2, vessels=1):
    rows = (
        ("A", 8, 14, "5.90", (work(80, load=1),)),
        ("B", 7, 12, "6.20", (work(50), work(70, load=1, vessel=True))),
        ("C", 6, 6, "5.00", (work(40), work(45, load=1, vessel=True))),
    )
    return WeekProblem(
        days=tuple(
            KitchenDay(
                on=MONDAY + dt.timedelta(days=n),
                opens_min=600,
                closes_min=600 + free,
                loads=loads,
            )
            for n, free in enumerate(minutes)
        ),
        equipment=Equipment(vessels=vessels),
        markets=(Market(key="stall", on=MONDAY + dt.timedelta(days=3)),),
        products=tuple(
            ProductWeek(
                key=key,
                worths={"stall": (Decimal(each),) * demand},
                later=((60, Decimal("1.00")),),
            )
            for key, _, demand, each, _ in rows
        ),
        candidates=tuple(
            Candidate(key=key, product=key, jars=jars, parts=parts, most=4)
            for key, jars, _, _, parts in rows
        ),
    )


VARIANTS = [
    pytest.param({}, "136.00", id="M6 as given"),
    pytest.param({"loads": 1}, "128.00", id="M7 one load a day"),
    pytest.param({"minutes": (150, 150, 0)}, "128.00", id="M8 third day closed"),
    pytest.param({"vessels": 0}, "92.60", id="M9 nothing stands overnight"),
    pytest.param({"vessels": 9}, "136.00", id="M10 any number stands overnight"),
]


@pytest.mark.parametrize(("change", "optimum"), VARIANTS)
def test_optimum_of_the_small_week(change, optimum):
    plan = solve(instance(**change), EXACT)
    assert plan.objective == Decimal(optimum)
    assert plan.bound == pytest.approx(Decimal(optimum), abs=Decimal("0.01"))
    assert plan.proven
    assert not plan.relaxed


def test_the_relaxation_is_above_the_optimum_m11():
    # The plain form: batches, jars and loads in fractions, another library's solver
    from scipy.optimize import linprog

    starts = [(key, day) for key in "ABC" for day in range(3 if key == "A" else 2)]
    jars, most = {"A": 8, "B": 7, "C": 6}, {"A": 14, "B": 12, "C": 6}
    worth = {"A": -5.9, "B": -6.2, "C": -5.0}
    first, then = {"A": 80, "B": 50, "C": 40}, {"A": 0, "B": 70, "C": 45}
    # columns: batches of each start, jars sold at full worth, jars at 1.00
    prices = [0.0] * len(starts) + [worth[k] for k in "ABC"] + [-1.0] * 3
    rows, limits = [], []
    for day, minutes in enumerate((150, 150, 100)):
        hands = [first[k] * (d == day) + then[k] * (d + 1 == day) for k, d in starts]
        loads = [float((d if k == "A" else d + 1) == day) for k, d in starts]
        stands = [float(k != "A" and d == day) for k, d in starts]
        rows += [[*row, *[0.0] * 6] for row in (hands, loads, stands)]
        limits += [minutes, 2, 1]
    for key in "ABC":
        made = [-jars[key] * (k == key) for k, _ in starts]
        rows.append([*made, *[float(k == key) for k in "ABC"] * 2])
        limits.append(0)
    bounds = [(0, None)] * len(starts) + [(0, most[k]) for k in "ABC"] + [(0, None)] * 3
    best = linprog(prices, A_ub=rows, b_ub=limits, bounds=bounds)
    assert -best.fun == pytest.approx(168.5714, abs=0.001)
    assert -best.fun >= float(solve(instance(), EXACT).objective)


def test_the_plan_as_given_is_the_only_one():
    plan = solve(instance(), EXACT)
    made = sorted((batch.candidate, batch.days) for batch in plan.batches)
    assert made == [("A", (0,)), ("A", (1,)), ("A", (2,)), ("B", (0, 1))]


def test_a_closed_second_day_refuses_the_first_days_stand():
    week = instance(minutes=(150, 0, 0))
    plan = solve(week, EXACT)
    assert {batch.candidate for batch in plan.batches} == {"A"}


@pytest.mark.parametrize(
    "more", [{"minutes": (180, 150, 100)}, {"loads": 3}, {"vessels": 2}]
)
def test_more_of_a_resource_never_earns_less_m12(more):
    assert solve(instance(**more), EXACT).objective >= Decimal("136.00")


def test_money_in_another_currency_scales_the_optimum_m13():
    week = instance()
    dearer = tuple(
        replace(
            product,
            worths={k: tuple(3 * w for w in ws) for k, ws in product.worths.items()},
            later=tuple((jars, 3 * worth) for jars, worth in product.later),
        )
        for product in week.products
    )
    assert solve(replace(week, products=dearer), EXACT).objective == Decimal("408.00")


def test_solving_again_gives_the_same_plan():
    one, other = (replace(solve(instance()), seconds=0.0) for _ in range(2))
    assert one == other
