"""A hundred invented years of markets: does planning earn more than habit?

Run by ``make simulation``. One seller, five jars whose fruit has seasons, a market a
week, a kitchen with few hours, demand that nobody knows beforehand. Four ways to
decide what to cook are tried on the same years:

a  make what sold last time
b  keep a fixed par level of each jar, tuned on other years
c  our season plan, demand read from past market days (sold-outs understood), asked
   again every four weeks
d  perfect foresight: demand known beforehand; the solver's bound, an upper bound

Everything here is invented; the seeds are fixed, so the table comes out the same.
"""

import argparse
import datetime as dt
import json
import math
import random
import statistics
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from production.planning.demand import PastDay  # noqa: E402
from production.planning.pooling import fit  # noqa: E402
from production.planning.season import plan_season  # noqa: E402
from production.planning.season_problem import (  # noqa: E402
    Fruit,
    Kettle,
    Sale,
    SeasonProblem,
    Segment,
    Session,
    Way,
)

WEEKS = 52
REPLAN = 4
FIRST = dt.date(2024, 1, 6)
HOURS_MIN = 420
TABLE = 40
CHANCES = (0.9, 0.7, 0.5, 0.3, 0.1)


@dataclass(frozen=True)
class Jam:
    """One product of the invented world."""

    key: str
    mean: float
    price: float
    batch_cost: float
    fruit_cost: float
    jars: int
    minutes: int
    season: tuple[int, int]
    frozen_weeks: int
    end_value: float = 3.0

    def open(self, week):
        first, last = self.season
        week %= WEEKS
        return first <= week <= last if first <= last else week >= first or week <= last


JAMS = (
    Jam("strawberry", 7.0, 9.0, 6.0, 9.0, 8, 110, (18, 24), 40),
    Jam("apricot", 4.0, 9.5, 6.0, 8.0, 7, 100, (24, 28), 0),
    Jam("plum", 4.5, 9.0, 6.0, 6.0, 7, 95, (30, 37), 0),
    Jam("marmalade", 4.0, 9.5, 5.0, 5.0, 9, 150, (48, 7), 0),
    Jam("pepper", 3.0, 9.0, 7.0, 4.0, 6, 85, (0, 51), 0),
)


def season_factor(week):
    return 0.8 + 0.35 * math.sin((week - 12) / WEEKS * 2 * math.pi) ** 2


def draw_year(seed):
    """Demand of a year: overdispersed counts, good and bad days shared by all jars."""
    chance = random.Random(seed)
    trend = {jam.key: chance.uniform(0.75, 1.25) for jam in JAMS}
    year = []
    for week in range(WEEKS):
        day = chance.gammavariate(6, 1 / 6) * season_factor(week)
        year.append({j.key: poisson(chance, j.mean * trend[j.key] * day) for j in JAMS})
    return year


def poisson(chance, mean):
    limit, product, count = math.exp(-mean), 1.0, 0
    while True:
        product *= chance.random()
        if product <= limit:
            return count
        count += 1


class World:
    """Stock, freezer and money of one seller over a year."""

    def __init__(self, demand):
        self.demand = demand
        self.stock = dict.fromkeys((j.key for j in JAMS), 12)
        self.frozen = {j.key: [] for j in JAMS}
        self.money = 0.0
        self.past = []

    def cook(self, week, wanted):
        """Cook whole batches in the order wanted, within hours and fruit."""
        left = HOURS_MIN
        for jam in JAMS:
            for _ in range(wanted.get(jam.key, 0)):
                if left < jam.minutes or not self._fruit(jam, week):
                    break
                left -= jam.minutes
                self.money -= jam.batch_cost
                self.stock[jam.key] += jam.jars

    def _fruit(self, jam, week):
        if jam.open(week):
            self.money -= jam.fruit_cost
            return True
        bags = [kept for kept in self.frozen[jam.key] if kept >= week]
        if bags:
            bags.pop(0)
            self.frozen[jam.key] = bags
            return True
        return False

    def freeze(self, jam, week, batches):
        if jam.open(week) and jam.frozen_weeks:
            self.money -= batches * (jam.fruit_cost + 0.3)
            self.frozen[jam.key] = [
                *self.frozen[jam.key],
                *[week + jam.frozen_weeks] * batches,
            ]

    def market(self, week):
        """Sell what is asked for, out of what the table holds."""
        places = TABLE
        for jam in JAMS:
            offered = min(self.stock[jam.key], max(places, 0))
            places -= min(offered, round(jam.mean * 2))
            sold = min(offered, self.demand[week][jam.key])
            self.stock[jam.key] -= sold
            self.money += sold * jam.price
            if offered:
                self.past.append(
                    PastDay(
                        product=jam.key,
                        outlet="market",
                        on=FIRST + dt.timedelta(days=7 * week),
                        offered=offered,
                        sold=sold,
                    )
                )

    def end(self):
        worth = sum(min(self.stock[j.key], 40) * j.end_value for j in JAMS)
        return self.money + worth


def what_sold_last_time(demand):
    world = World(demand)
    last = {j.key: j.jars for j in JAMS}
    for week in range(WEEKS):
        wanted = {j.key: math.ceil(last[j.key] / j.jars) for j in JAMS}
        world.cook(week, wanted)
        before = dict(world.stock)
        world.market(week)
        for jam in JAMS:
            if before[jam.key]:
                last[jam.key] = before[jam.key] - world.stock[jam.key]
            elif jam.open(week + 1):
                last[jam.key] = jam.jars
    return world.end()


def par_level(demand, weeks_in_season, weeks_else):
    """Fill up to so many weeks of the usual sale; more while the fruit is there."""
    world = World(demand)
    for week in range(WEEKS):
        wanted = {}
        for jam in JAMS:
            is_short = jam.season != (0, 51) and jam.open(week)
            weeks = weeks_in_season if is_short else weeks_else
            lack = jam.mean * weeks - world.stock[jam.key]
            wanted[jam.key] = max(0, math.ceil(lack / jam.jars))
            if jam.frozen_weeks and jam.open(week) and week == jam.season[1]:
                world.freeze(jam, week, 6)
        world.cook(week, wanted)
        world.market(week)
    return world.end()


def tuned_pars():
    """The par levels that earned most in twenty other years."""
    years = [draw_year(seed) for seed in range(9000, 9020)]
    grid = [(a, b) for a in (4, 8, 14, 20, 28, 36) for b in (1, 2, 3, 4)]
    return max(grid, key=lambda p: sum(par_level(year, *p) for year in years))


def segments(at_least):
    steps = {}
    jar = 1
    while (chance := at_least(jar)) >= 0.05:
        step = next(each for each in (*CHANCES, 0.0) if chance >= each - 0.1)
        steps[step] = steps.get(step, 0) + 1
        jar += 1
    return tuple(
        Segment(jars=Decimal(count), probability=Decimal(str(step)))
        for step, count in sorted(steps.items(), reverse=True)
        if step
    )


def season_of(world, week, sales):
    """The question of the weeks that are left."""
    left = WEEKS - week
    money = {j.key: Decimal(str(j.fruit_cost)) for j in JAMS}
    return SeasonProblem(
        weeks=left,
        fruits=tuple(
            Fruit(
                key=j.key,
                prices=tuple(
                    money[j.key] if j.open(week + n) else None for n in range(left)
                ),
                frozen_weeks=j.frozen_weeks,
                freeze_cost=Decimal("0.3"),
                opening_frozen_kg=Decimal(
                    sum(kept >= week for kept in world.frozen[j.key])
                ),
            )
            for j in JAMS
        ),
        kettles=tuple(
            Kettle(
                key=j.key,
                needs={j.key: Decimal(1)},
                other_cost=Decimal(str(j.batch_cost)),
                jars=j.jars,
                ways=(Way(minutes=(j.minutes,), loads=(0,)),),
            )
            for j in JAMS
        ),
        sales=sales,
        sessions=((Session(minutes=HOURS_MIN, loads=9),),) * left,
        opening_stock={k: (n, 520) for k, n in world.stock.items()},
        end_values={j.key: Decimal(str(j.end_value)) for j in JAMS},
        end_limits={j.key: 40 for j in JAMS},
    )


def priced(key, week, price, parts):
    money = Decimal(str(price))
    return Sale(key=key, week=week, price=money, net=money, segments=parts)


def our_plan(demand, history):
    world = World(demand)
    world.past = list(history)
    shift = dt.timedelta(days=7 * WEEKS)
    world.past = [
        PastDay(
            product=d.product,
            outlet=d.outlet,
            on=d.on - shift,
            offered=d.offered,
            sold=d.sold,
        )
        for d in world.past
    ]
    plan = None
    begun = 0
    for week in range(WEEKS):
        if week % REPLAN == 0:
            today = FIRST + dt.timedelta(days=7 * week)
            forecast = fit(world.past, today=today)
            sales = tuple(
                priced(
                    j.key,
                    n,
                    j.price,
                    segments(
                        forecast.on(
                            j.key, "market", today + dt.timedelta(days=7 * n)
                        ).demand.at_least
                    ),
                )
                for n in range(WEEKS - week)
                for j in JAMS
            )
            plan = plan_season(season_of(world, week, sales), gap=0.02, seconds=5)
            begun = week
        wanted = {
            each.key: each.batches for each in plan.cooked if each.week == week - begun
        }
        for jam in JAMS:
            bags = plan.weeks[week - begun].frozen_kg.get(jam.key, 0)
            world.freeze(jam, week, round(bags))
        world.cook(week, wanted)
        world.market(week)
    return world.end()


def foresight(demand):
    """Upper bound of what anybody could have earned."""
    world = World(demand)
    sales = tuple(
        priced(j.key, week, j.price, (Segment(jars=Decimal(demand[week][j.key])),))
        for week in range(WEEKS)
        for j in JAMS
        if demand[week][j.key]
    )
    return float(plan_season(season_of(world, 0, sales), gap=0.005, seconds=20).bound)


def history_before(seed):
    world = World(draw_year(seed))
    for week in range(WEEKS):
        wanted = {
            j.key: math.ceil(max(0, j.mean * 6 - world.stock[j.key]) / j.jars)
            for j in JAMS
        }
        world.cook(week, wanted)
        world.market(week)
    return world.past


def one_year(job):
    seed, pars = job
    demand = draw_year(seed)
    return {
        "a": what_sold_last_time(demand),
        "b": par_level(demand, *pars),
        "c": our_plan(demand, history_before(seed + 50_000)),
        "d": foresight(demand),
    }


NAMES = {
    "a": "make what sold last time",
    "b": "a fixed par level, tuned",
    "c": "our plan",
    "d": "perfect foresight (upper bound)",
}


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--years", type=int, default=100)
    parser.add_argument("--json", action="store_true")
    options = parser.parse_args()
    began = time.monotonic()
    pars = tuned_pars()
    with ProcessPoolExecutor(max_workers=2) as pool:
        years = list(pool.map(one_year, [(s, pars) for s in range(options.years)]))
    means = {key: statistics.mean(year[key] for year in years) for key in NAMES}
    if options.json:
        sys.stdout.write(json.dumps({"pars": pars, "means": means}) + "\n")
        return
    out = [
        f"{options.years} invented years, par levels {pars}, {time.monotonic() - began:.0f} s",
        "",
        "| what decides | mean profit | spread (sd) | of perfect foresight |",
        "| --- | ---: | ---: | ---: |",
    ]
    for key, name in NAMES.items():
        spread = statistics.stdev(year[key] for year in years)
        share = means[key] / means["d"]
        out.append(f"| {name} | {means[key]:,.0f} | {spread:,.0f} | {share:.1%} |")
    sys.stdout.write("\n".join(out) + "\n")


if __name__ == "__main__":
    main()
