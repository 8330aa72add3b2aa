"""The estimate tried on past days beside plain forecasts."""

import datetime as dt
import random

import pytest

from production.planning.demand import PastDay, censored_mean, expected_beyond
from production.planning.past_errors import Method, comparable_mean, tried
from production.planning.smoothing import Pattern, smoothed

TODAY = dt.date(2030, 9, 2)
CELL = ("plum", "green")


def day(weeks_ago, sold, offered=30, open_share=None):
    return PastDay(
        product="plum",
        outlet="green",
        on=TODAY - dt.timedelta(days=7 * weeks_ago),
        offered=offered,
        sold=sold,
        open_share=open_share,
    )


def trial_of(days, estimate=10.0):
    return tried(days, today=TODAY, estimates={CELL: estimate})[CELL]


def row(trial, method):
    return next(row for row in trial.rows if row.method is method)


def test_each_day_is_forecast_from_the_days_before_its_fortnight_alone():
    sales = [10, 12, 8, 11, 9, 10, 29, 4]
    days = [
        day(weeks, sold) for weeks, sold in zip(range(8, 0, -1), sales, strict=True)
    ]
    trial = trial_of(days)
    # Fortnights begin 12, 10, ... 2 weeks ago; before 8 nothing is known
    told = smoothed(sales, alpha=0.2)
    off = [
        sold - told[known - 1]
        for sold, known in zip(sales[2:], (2, 2, 4, 4, 6, 6), strict=True)
    ]
    errors = row(trial, Method.SMOOTHED).errors
    assert errors.days == 6
    assert errors.bias == pytest.approx(sum(off) / 6)
    assert errors.mad == pytest.approx(sum(map(abs, off)) / 6)
    assert row(trial, Method.SMOOTHED).figure == pytest.approx(told[-1])
    assert row(trial, Method.ESTIMATE).figure == 10.0


def test_a_day_not_known_yet_changes_no_forecast_of_it():
    days = [day(weeks, 10) for weeks in range(11, 1, -1)]
    calm, wild = trial_of([*days, day(1, 10)]), trial_of([*days, day(1, 29)])
    for method in (Method.ESTIMATE, Method.COMPARABLE, Method.SMOOTHED):
        before, after = row(calm, method).errors, row(wild, method).errors
        n = before.days
        assert (after.bias - before.bias) * n == pytest.approx(19, abs=1e-6)


def test_behind_sold_out_days_the_estimate_is_nearer_than_the_mean_of_sales():
    rng = random.Random(4)
    days = []
    for weeks in range(40, 0, -1):
        asked = sum(rng.random() < 0.4 for _ in range(30))
        days.append(day(weeks, min(asked, 11), offered=11))
    trial = trial_of(days)
    ours, plain = row(trial, Method.ESTIMATE), row(trial, Method.COMPARABLE)
    assert trial.sold_out
    assert abs(ours.errors.bias) < abs(plain.errors.bias)
    assert plain.errors.bias > 0
    assert trial.nearest is Method.ESTIMATE
    assert trial.is_ours_near


def test_a_sold_out_day_counts_with_what_it_probably_hid():
    days = [day(weeks, 10) for weeks in range(8, 1, -1)] + [day(1, 12, offered=12)]
    errors = row(trial_of(days), Method.SMOOTHED).errors
    hid = expected_beyond(censored_mean(days), 12)
    assert hid > 12
    assert errors.mean * errors.days == pytest.approx(10 * (errors.days - 1) + hid)
    known = [*days[:-1], day(1, 12, offered=12, open_share=0.5)]
    errors = row(trial_of(known), Method.SMOOTHED).errors
    assert errors.mean * errors.days == pytest.approx(10 * (errors.days - 1) + 24)


def test_where_every_day_sold_out_nothing_is_judged():
    trial = trial_of([day(weeks, 12, offered=12) for weeks in range(9, 0, -1)], None)
    assert trial.nearest is None
    assert trial.days == 0
    assert all(found.errors is None for found in trial.rows)


def test_a_product_without_days_has_no_plain_figure():
    trial = trial_of([])
    assert [found.figure for found in trial.rows] == [10.0, None, None]
    assert trial.pattern.pattern is Pattern.NONE
    assert not trial.is_ours_near


def test_a_rarely_sold_product_gets_the_way_made_for_it():
    rare = trial_of(
        [day(weeks, 6 if weeks % 3 == 0 else 0) for weeks in range(15, 0, -1)]
    )
    assert rare.pattern.pattern is Pattern.INTERMITTENT
    assert [found.method for found in rare.rows] == list(Method)
    often = trial_of([day(weeks, 6) for weeks in range(15, 0, -1)])
    assert Method.CHANCE not in [found.method for found in often.rows]


def test_comparable_days_lie_near_in_the_year():
    year = [day(weeks, 20 if weeks % 52 < 5 else 2) for weeks in range(104, 0, -1)]
    assert comparable_mean(year, TODAY) > 8
    assert comparable_mean(year, TODAY + dt.timedelta(days=150)) == 2
    assert comparable_mean(year[:2], TODAY + dt.timedelta(days=150)) == 11
    assert comparable_mean([], TODAY) is None
