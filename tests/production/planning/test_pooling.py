"""The pooled model of demand on invented market days."""

import datetime as dt
import math
import random

import pytest

from production.planning.demand import Basis, Override, PastDay
from production.planning.pooling import fit

TODAY = dt.date(2030, 6, 2)


def draw(rng, mean):
    """A Poisson count by counting arrivals."""
    count, clock = 0, rng.expovariate(1)
    while clock < mean:
        count, clock = count + 1, clock + rng.expovariate(1)
    return count


def invented(rng, means, *, days, taken_share, spread=0.0):
    """Market days with as many jars taken as ``taken_share`` of the mean."""
    told = []
    for (product, outlet), mean in means.items():
        for week in range(days):
            lift = rng.gammavariate(1 / spread, spread) if spread else 1.0
            asked = draw(rng, mean * lift)
            offered = max(1, round(mean * taken_share))
            told.append(
                PastDay(
                    product=product,
                    outlet=outlet,
                    on=TODAY - dt.timedelta(days=7 * (week + 1)),
                    offered=offered,
                    sold=min(asked, offered),
                )
            )
    return told


MEANS = {
    (f"jam {p}", f"outlet {o}"): 5.0 * (1 + p / 3) * (1 + o / 2)
    for p in range(6)
    for o in range(3)
}


@pytest.mark.parametrize(("spread", "taken_share"), [(0.0, 0.92), (0.1, 1.0)])
def test_mean_is_found_where_the_plain_mean_is_fifteen_percent_low(spread, taken_share):
    past = invented(
        random.Random(7), MEANS, days=60, taken_share=taken_share, spread=spread
    )
    forecast = fit(past, today=TODAY)
    weeks = [TODAY - dt.timedelta(days=7 * week) for week in range(0, 60, 6)]
    days = [forecast.on(*cell, week) for cell in MEANS for week in weeks]
    truth = sum(MEANS.values()) * len(weeks)
    assert sum(day.plain_mean for day in days) / truth == pytest.approx(0.85, abs=0.02)
    assert sum(day.demand.mean for day in days) / truth == pytest.approx(1, abs=0.05)


def test_spread_beyond_chance_is_noticed_and_not_invented():
    wide = invented(random.Random(3), MEANS, days=40, taken_share=1.2, spread=0.3)
    plain = invented(random.Random(3), MEANS, days=40, taken_share=1.2)
    assert fit(wide, today=TODAY).dispersion == pytest.approx(0.3, abs=0.12)
    assert fit(plain, today=TODAY).dispersion < 0.03


def test_few_days_lean_on_their_neighbours():
    past = invented(random.Random(5), MEANS, days=30, taken_share=2)
    past = [d for d in past if d.product != "jam 5" or d.outlet != "outlet 2"]
    lone = PastDay(
        product="jam 5", outlet="outlet 2", on=dt.date(2030, 5, 26), offered=40, sold=18
    )
    estimate = fit([*past, lone], today=TODAY).on("jam 5", "outlet 2", TODAY)
    assert estimate.days == 1
    assert 18.2 < estimate.demand.mean < MEANS["jam 5", "outlet 2"]


def test_every_day_sold_out_says_at_least():
    past = invented(random.Random(5), MEANS, days=20, taken_share=2)
    gone = [
        PastDay(product="new", outlet="outlet 0", on=day, offered=12, sold=12)
        for day in (dt.date(2030, 5, 19), dt.date(2030, 5, 26))
    ]
    estimate = fit([*past, *gone], today=TODAY).on("new", "outlet 0", TODAY)
    assert (estimate.basis, estimate.mean, estimate.floor) == (Basis.AT_LEAST, None, 12)
    assert estimate.said == "at least 12"
    assert estimate.demand.mean >= 12


def test_nothing_but_sold_out_days_plans_with_the_floor():
    gone = PastDay(product="a", outlet="x", on=dt.date(2030, 5, 26), offered=8, sold=8)
    estimate = fit([gone], today=TODAY).on("a", "x", TODAY)
    assert (estimate.mean, estimate.demand.jars) == (None, 8)


def test_a_new_product_borrows_with_more_spread():
    past = invented(random.Random(1), MEANS, days=30, taken_share=2)
    forecast = fit(past, today=TODAY, likenesses={"new": "jam 2"})
    lent = forecast.on("new", "outlet 1", TODAY)
    model = forecast.on("jam 2", "outlet 1", TODAY)
    assert (lent.basis, lent.lent_by) == (Basis.BORROWED, "jam 2")
    assert lent.demand.mean == pytest.approx(model.demand.mean)
    assert lent.demand.spread > model.demand.spread


def test_no_days_and_no_likeness_is_unknown():
    estimate = fit([], today=TODAY).on("new", "outlet 1", TODAY)
    assert (estimate.basis, estimate.mean) == (Basis.UNKNOWN, None)


def test_the_makers_figure_stands_first():
    past = invented(random.Random(1), MEANS, days=10, taken_share=2)
    general = Override(product="jam 1", outlet="outlet 1", mean=3)
    today = Override(product="jam 1", outlet="outlet 1", mean=20, spread=6, on=TODAY)
    forecast = fit(past, today=TODAY, overrides=[general, today])
    assert forecast.on("jam 1", "outlet 1", TODAY).demand.mean == 20
    assert forecast.on("jam 1", "outlet 1", TODAY).demand.spread == 6
    later = TODAY + dt.timedelta(days=7)
    assert forecast.on("jam 1", "outlet 1", later).demand.mean == 3


def test_season_and_trend_are_followed():
    rng = random.Random(11)
    past = []
    for week in range(1, 157):
        on = TODAY - dt.timedelta(days=7 * week)
        wave = 1 + 0.4 * math.sin(2 * math.pi * on.timetuple().tm_yday / 365.25)
        sold = draw(rng, 20 * wave * 1.15 ** (-week / 52))
        past.append(PastDay(product="a", outlet="x", on=on, offered=80, sold=sold))
    forecast = fit(past, today=TODAY)
    spring = forecast.on("a", "x", dt.date(2030, 4, 1)).demand.mean
    autumn = forecast.on("a", "x", dt.date(2030, 10, 1)).demand.mean
    assert spring == pytest.approx(28, rel=0.12)
    assert spring / autumn > 1.8


def test_order_of_the_days_does_not_matter():
    past = invented(random.Random(2), MEANS, days=6, taken_share=1)
    one = fit(past, today=TODAY).on("jam 3", "outlet 1", TODAY)
    other = fit(past[::-1], today=TODAY).on("jam 3", "outlet 1", TODAY)
    assert one == other
