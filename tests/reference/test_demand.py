"""Demand hidden by selling out: worked figures and another library's likelihood.

The eight days and their results were worked out for this project by direct
maximisation and by iteration, which agree ("computed"); the method is that
of Conrad, Operational Research Quarterly 27(1), 1976, 123-127, and the
normal closed form that of Nahmias, Naval Research Logistics 41, 1994,
739-757 (both from memory).
"""

import datetime as dt
import math
from statistics import NormalDist, fmean, variance

import pytest

from production.planning.demand import PastDay, censored_mean, mean_steps, plain_mean

SALES = (7, 9, 12, 10, 12, 8, 12, 11)
HOURS = {2: 0.60, 4: 0.75, 6: 0.80}


def days(*, hours=False, sales=SALES, offered=12):
    return [
        PastDay(
            product="plum",
            outlet="green",
            on=dt.date(2030, 5, 4) + dt.timedelta(days=7 * n),
            offered=offered,
            sold=sold,
            open_share=HOURS.get(n) if hours else None,
        )
        for n, sold in enumerate(sales)
    ]


def test_plain_averages_are_too_low():
    assert plain_mean(days()) == 10.125
    assert fmean(day.sold for day in days() if not day.sold_out) == 9.0


def test_censored_poisson_mean_h1():
    assert censored_mean(days()) == pytest.approx(10.9066, abs=1e-4)


def test_steps_towards_the_censored_mean_h2():
    steps = mean_steps(days())
    found = [next(steps) for _ in range(5)]
    expected = [10.7978, 10.8907, 10.9042, 10.9062, 10.9065]
    assert found == pytest.approx(expected, abs=1e-4)


def test_hours_of_selling_out_h3():
    # 81 jars over 5 whole days and 0.60, 0.75 and 0.80 of a day
    assert censored_mean(days(hours=True)) == pytest.approx(11.3287, abs=1e-4)


def test_no_day_sold_out_is_the_plain_mean_h5():
    open_days = days(offered=20)
    assert censored_mean(open_days) == pytest.approx(10.125, abs=1e-9)


def test_every_day_sold_out_has_no_estimate_h6():
    assert censored_mean(days(sales=(12, 12, 12))) is None


def test_normal_closed_form_bounds_the_poisson_answer_h4():
    # p 0.625, z 0.3186, f 0.6067, s2 2.5 -> 10.4485 and 2.3875: a rougher
    # answer from the same days, between the plain mean and the likelihood's
    left = [day.sold for day in days() if not day.sold_out]
    share = len(left) / len(SALES)
    z = NormalDist().inv_cdf(share)
    f = NormalDist().pdf(z) / share
    spread = math.sqrt(variance(left) / (1 - z * f - f * f))
    mean = fmean(left) + spread * f
    assert (mean, spread) == pytest.approx((10.4485, 2.3875), abs=1e-4)
    assert plain_mean(days()) < mean < censored_mean(days())


def test_likelihood_agrees_with_scipy_stats():
    import numpy as np
    from scipy.stats import nbinom, poisson

    from production.planning.likelihood import Book

    counts = np.array([7.0, 9, 12, 3])
    hidden = np.array([False, False, True, True])
    book = Book(
        design=np.ones((4, 1)),
        precision=np.zeros(1),
        counts=counts,
        shares=np.ones(4),
        hidden=hidden,
    )
    effects = np.array([math.log(10.9)])
    for dispersion, other in (
        (0.0, poisson(10.9)),
        (0.1, nbinom(10, 10 / 20.9)),
    ):
        masses = np.where(hidden, other.logsf(counts - 1), other.logpmf(counts))
        here = book.at(effects, dispersion)
        assert here.loss == pytest.approx(-masses.sum(), abs=1e-9)
        ahead = book.at(effects + 1e-5, dispersion)
        back = book.at(effects - 1e-5, dispersion)
        slope = (ahead.loss - back.loss) / 2e-5
        assert here.slope[0] == pytest.approx(slope, abs=1e-5)
        bend = (ahead.slope[0] - back.slope[0]) / 2e-5
        assert here.curvature[0, 0] == pytest.approx(bend, abs=1e-4)
