"""The season plan against a reference instance solved by two independent methods.

Instance R1: four weeks, strawberries fresh and frozen, citrus, a two-day marmalade,
jars in cases, storage and cash. Its optima were found both by a general solver and
by exhaustive search ("computed": no published instance of this kind was found).
"""

from dataclasses import replace
from decimal import Decimal

import pytest

from production.planning.season import plan_season, relaxation
from production.planning.season_problem import (
    Fruit,
    Jars,
    Kettle,
    Sale,
    SeasonProblem,
    Segment,
    Session,
    Way,
)

D = Decimal


def sale(key, week, price, jars, penalty="0.50"):
    return Sale(
        key=key,
        week=week,
        price=D(price),
        net=D(price),
        segments=(Segment(jars=D(jars)),),
        penalty=D(penalty),
    )


def reference_season(**overrides):
    demand = {"jam": [6, 8, 8, 8], "marmalade": [5, 5, 6, 6]}
    price = {"jam": "9.00", "marmalade": "8.00"}
    values = {
        "weeks": 4,
        "fruits": (
            Fruit(
                key="strawberry",
                prices=(D(4), D(4), None, None),
                most_kg=(D(12), D(12), None, None),
                pack_kg=D(4),
                frozen_weeks=2,
                freeze_cost=D("0.25"),
            ),
            Fruit(key="citrus", prices=(D(2),) * 4),
        ),
        "kettles": (
            Kettle(
                key="jam",
                needs={"strawberry": D(2)},
                other_cost=D(3),
                jars=7,
                ways=(
                    Way(minutes=(90, 0), loads=(1, 0)),
                    Way(minutes=(0, 90), loads=(0, 1)),
                ),
                jar_kind="jar",
            ),
            Kettle(
                key="marmalade",
                needs={"citrus": D("1.5")},
                other_cost=D("2.50"),
                jars=6,
                ways=(Way(minutes=(45, 60), loads=(0, 1)),),
                jar_kind="jar",
            ),
        ),
        "sales": tuple(
            sale(key, week, price[key], jars)
            for key, wanted in demand.items()
            for week, jars in enumerate(wanted)
        ),
        "sessions": ((Session(minutes=180, loads=2),) * 2,) * 4,
        "jars": (Jars(key="jar", case=12, case_price=D(12), end_value=D("0.50")),),
        "fees": (D(15),) * 4,
        "shelf_jars": 20,
        "freezer_kg": D(6),
        "opening_cash": D(70),
        "end_values": {"jam": D(4), "marmalade": D("3.50")},
    }
    return SeasonProblem(**{**values, **overrides})


VARIANTS = [
    ("M1 as given", {}, "295.50", "297.9643"),
    ("M2 opening cash 50.00", {"opening_cash": D(50)}, "238.50", "297.6693"),
    ("M3 store 10 jars", {"shelf_jars": 10}, "267.50", "282.0952"),
    ("M4 no freezer", {"freezer_kg": D(0)}, "271.00", "292.0238"),
    ("M5 unlimited cash", {"opening_cash": None}, "295.50", "297.9643"),
]


@pytest.mark.parametrize(
    ("changes", "optimum", "bound"),
    [row[1:] for row in VARIANTS],
    ids=[row[0] for row in VARIANTS],
)
def test_r1_and_its_variants(changes, optimum, bound):
    problem = reference_season(**changes)
    plan = plan_season(problem, gap=0.0)
    assert plan.objective == D(optimum)
    assert plan.bound == pytest.approx(D(optimum), abs=D("0.01"))
    assert relaxation(problem) == pytest.approx(D(bound), abs=D("0.001"))
    assert not plan.relaxed


def test_prices_times_five_is_the_optimum_times_five_m13():
    plain = reference_season()
    five = D(5)
    dearer = reference_season(
        fruits=tuple(
            Fruit(
                key=f.key,
                prices=tuple(p and p * five for p in f.prices),
                most_kg=f.most_kg,
                pack_kg=f.pack_kg,
                frozen_weeks=f.frozen_weeks,
                freeze_cost=f.freeze_cost * five,
            )
            for f in plain.fruits
        ),
        kettles=tuple(
            Kettle(
                key=k.key,
                needs=k.needs,
                other_cost=k.other_cost * five,
                jars=k.jars,
                ways=k.ways,
                jar_kind=k.jar_kind,
            )
            for k in plain.kettles
        ),
        sales=tuple(
            sale(s.key, s.week, s.price * five, s.segments[0].jars, s.penalty * five)
            for s in plain.sales
        ),
        jars=(Jars(key="jar", case=12, case_price=D(60), end_value=D("2.50")),),
        fees=(D(75),) * 4,
        opening_cash=D(350),
        end_values={"jam": D(20), "marmalade": D("17.50")},
    )
    assert plan_season(dearer, gap=0.0).objective == D("1477.50")


def test_more_fruit_on_offer_never_earns_less_m12():
    strawberry, citrus = reference_season().fruits
    more = replace(strawberry, most_kg=(D(16), D(16), None, None))
    plan = plan_season(reference_season(fruits=(more, citrus)), gap=0.0)
    assert plan.objective >= D("295.50")


@pytest.mark.parametrize("changes", [row[1] for row in VARIANTS])
def test_the_relaxation_is_never_below_the_optimum_m11(changes):
    problem = reference_season(**changes)
    assert relaxation(problem) >= plan_season(problem, gap=0.0).objective


@pytest.mark.parametrize(
    "more",
    [
        {"opening_cash": D(90)},
        {"shelf_jars": 25},
        {"freezer_kg": D(10)},
        {"sessions": ((Session(minutes=240, loads=3),) * 2,) * 4},
    ],
)
def test_more_of_a_resource_never_earns_less_m12(more):
    assert plan_season(reference_season(**more), gap=0.0).objective >= D("295.50")
