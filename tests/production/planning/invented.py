"""Invented market weeks of any size, the same for the same seed."""

import datetime as dt
import random
from decimal import Decimal

from production.planning.distributions import Counts
from production.planning.kitchen import Equipment, KitchenDay, Part, Task
from production.planning.week_problem import (
    Candidate,
    Market,
    Material,
    Need,
    Offer,
    ProductWeek,
    Stock,
    WeekProblem,
)

MONDAY = dt.date(2030, 6, 3)
COOK_DAYS = ((0, 0), (9, 360), (9, 360), (9, 360), (18, 180), (0, 0), (0, 0))
EVENINGS = ((18, 240), (18, 240), (18, 240), (9, 420), (18, 180), (0, 0), (0, 0))


def cooking(rng, jars, places=12):
    """One day's work at the stove, its canner loads one after another."""
    minutes = rng.choice([15, 20, 30, 40])
    tasks = [
        *(Task(label="prepare", hands_min=5) for _ in range(minutes // 5)),
        Task(
            label="cook",
            hands_min=rng.choice([10, 15, 20]),
            idle_min=rng.choice([0, 15, 30]),
            pot=True,
            burner=True,
        ),
    ]
    left = jars
    while left > 0:
        load = min(left, places)
        fill = Task(label="fill", hands_min=load, pot=True, wait_max_min=60)
        tasks.append(fill)
        tasks.append(Task(label="canner", idle_min=35, canners=1, wait_max_min=15))
        left -= load
    tasks.append(Task(label="lift out", hands_min=5, wait_max_min=30))
    return Part(tasks=tuple(tasks))


def candidate(rng, key):
    jars = rng.choice([6, 7, 8, 9, 12, 14])
    last = cooking(rng, jars)
    parts = [last]
    if rng.random() < 0.25:
        soak = Task(label="slice", hands_min=rng.choice([20, 40]), pot=True)
        rest = Part(
            tasks=last.tasks,
            rest_min_h=12,
            rest_max_h=rng.choice([24, 36]),
            vessel=True,
        )
        parts = [Part(tasks=(soak,)), rest]
    label = Task(label="seal check and labels", hands_min=10 + jars // 2)
    parts.append(Part(tasks=(label,), rest_min_h=12, light=True))
    needs = [
        Need(material=f"fruit {key}", amount=rng.choice([1000, 1500, 2000])),
        Need(material="sugar", amount=rng.choice([800, 1000, 1500])),
        Need(material="jar", amount=jars, part=len(parts) - 2),
    ]
    return Candidate(
        key=key,
        product=key,
        jars=jars,
        parts=tuple(parts),
        needs=tuple(needs),
        cost=Decimal("1.50"),
        most=rng.choice([1, 2, 2, 3]),
    )


def materials(rng, days, keys):
    fruit = [
        Material(
            key=f"fruit {key}",
            stocks=(Stock(amount=rng.choice([0, 0, 2000]), use_by=days[3]),),
            offers=(
                Offer(
                    supplier="farm",
                    pack=rng.choice([1000, 2500, 5000]),
                    price=Decimal(rng.choice(["6.00", "9.50", "14.00"])),
                    days=tuple(days[:5]),
                    keeps_days=rng.choice([2, 3, None]),
                    most=rng.choice([0, 2, 4]),
                ),
            ),
            kept_worth=Decimal("0.001"),
        )
        for key in keys
    ]
    sugar = Offer(supplier="shop", pack=10000, price=Decimal(12), days=(days[0],))
    case = Offer(supplier="shop", pack=12, price=Decimal("11.40"), days=(days[0],))
    return (
        *fruit,
        Material(key="sugar", offers=(sugar,), kept_worth=Decimal("0.0011")),
        Material(
            key="jar",
            stocks=(Stock(amount=40),),
            offers=(case,),
            kept_worth=Decimal("0.90"),
        ),
    )


def product(rng, key, markets):
    price = Decimal(rng.choice(["6.50", "7.50", "8.50", "9.50"]))
    worths = {}
    for market in markets:
        demand = Counts.poisson(rng.choice([1.5, 3, 5, 8]))
        worths[market.key] = tuple(
            round(price * Decimal(demand.at_least(k)), 2) for k in range(1, 25)
        )
    return ProductWeek(
        key=key,
        stock=rng.choice([0, 0, 3, 6, 12]),
        worths=worths,
        later=((12, Decimal("3.50")), (12, Decimal("1.50"))),
    )


def week(seed, *, products=25, opens=COOK_DAYS):
    """A week of seven days with three outlets and this many products."""
    rng = random.Random(seed)
    days = [MONDAY + dt.timedelta(days=n) for n in range(7)]
    markets = (
        Market(key="Wednesday", on=days[2], places=60),
        Market(key="Saturday", on=days[5], places=110),
        Market(key="shop", on=days[4]),
    )
    keys = [f"jam {n}" for n in range(products)]
    return WeekProblem(
        days=tuple(
            KitchenDay(
                on=on,
                opens_min=60 * hour,
                closes_min=60 * hour + minutes,
                spare_min=minutes * 15 // 100,
            )
            for on, (hour, minutes) in zip(days, opens, strict=True)
        ),
        equipment=Equipment(),
        markets=markets,
        products=tuple(product(rng, key, markets) for key in keys),
        candidates=tuple(candidate(rng, key) for key in keys),
        materials=materials(rng, days, keys),
        hour_cost=Decimal(0),
    )
