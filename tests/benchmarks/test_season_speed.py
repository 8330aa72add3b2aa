"""How long a season of 52 weeks takes to plan, for 5, 10, 20 and 40 products.

Baseline in the same run: the linear program with fractions allowed, which any whole
plan must at least solve.
"""

import random
import sys
import time
from decimal import Decimal as D  # noqa: N817 - as sums are written

import pytest

from production.planning.season import plan_season, relaxation
from production.planning.season_problem import (
    Fruit,
    Kettle,
    Sale,
    SeasonProblem,
    Segment,
    Session,
    Way,
)

WEEKS = 52
CHANCES = ("0.95", "0.75", "0.45", "0.2")


def invented(products, seed=1):
    chance = random.Random(seed)
    return SeasonProblem(
        weeks=WEEKS,
        fruits=tuple(fruit(chance, number) for number in range(products)),
        kettles=tuple(kettle(chance, number) for number in range(products)),
        sales=tuple(sales(chance, products)),
        sessions=((Session(minutes=960, loads=12),),) * WEEKS,
        fees=(D(43),) * WEEKS,
        shelf_jars=900,
        freezer_kg=D(120),
        opening_cash=D(600),
        end_values={f"p{number}": D(3) for number in range(products)},
        end_limits={f"p{number}": 20 for number in range(products)},
        caps=((0, WEEKS - 1, D(40000)),),
    )


def fruit(chance, number):
    start, length = chance.randrange(WEEKS), chance.randint(3, 8)
    prices = tuple(
        D(str(round(chance.uniform(2, 6), 2)))
        if (week - start) % WEEKS < length
        else None
        for week in range(WEEKS)
    )
    return Fruit(
        key=f"f{number}",
        prices=prices,
        most_kg=(D(30),) * WEEKS,
        frozen_weeks=40 if number % 2 else 0,
        freeze_cost=D("0.2"),
    )


def kettle(chance, number):
    return Kettle(
        key=f"p{number}",
        needs={f"f{number}": D(str(round(chance.uniform(1.2, 2.2), 1)))},
        other_cost=D("6.50"),
        jars=chance.randint(6, 9),
        ways=(Way(minutes=(chance.randint(70, 120),), loads=(1,)),),
        life_weeks=45,
    )


def sales(chance, products):
    for number in range(products):
        base = D(str(round(chance.uniform(0.5, 2), 2)))
        for week in range(WEEKS):
            yield Sale(
                key=f"p{number}",
                week=week,
                price=D(9),
                net=D("8.60"),
                segments=tuple(Segment(jars=base, probability=D(c)) for c in CHANCES),
            )


@pytest.mark.parametrize("products", [5, 10, 20, 40])
def test_a_season(products):
    problem = invented(products)
    began = time.monotonic()
    relaxation(problem)
    baseline = time.monotonic() - began
    began = time.monotonic()
    plan = plan_season(problem, gap=0.02, seconds=60)
    seconds = time.monotonic() - began
    sys.stdout.write(
        f"\n{products} products: {seconds:.1f} s, gap {plan.gap:.2%} ({plan.status});"
        f" fractions allowed {baseline:.2f} s, ratio {seconds / baseline:.0f}\n"
    )
    assert plan.objective <= plan.bound
