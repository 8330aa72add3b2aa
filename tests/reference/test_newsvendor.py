"""Published newsvendor examples, reproduced.

S&S: Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd ed. 2019, as
reproduced with answers in teaching code of the first author. Rows marked
"computed" have published data and an answer worked out independently. N1 to N13
are the names of the cases in our own list of checks.
"""

from math import ceil
from statistics import fmean, stdev

import pytest

from production.planning.distributions import Counts, Tabled
from production.planning.newsvendor import (
    critical_ratio,
    expected_cost,
    normal_order,
    order,
)


@pytest.mark.parametrize(
    ("demand", "costs", "quantity", "cost", "tol"),
    [
        # S&S Example 4.3
        pytest.param((50, 8), (0.18, 0.70), 56.60396, 1.997605, 1e-5, id="N1"),
        # S&S Problem 4.1
        pytest.param((900, 60), (43, 79), 922.7214, 2718.1968, 1e-3, id="N2"),
    ],
)
def test_normal_newsvendor(demand, costs, quantity, cost, tol):
    (mean, spread), (over, short) = demand, costs
    answer = normal_order(mean=mean, spread=spread, short_cost=short, over_cost=over)
    assert answer.quantity == pytest.approx(quantity, abs=tol)
    assert answer.expected_cost == pytest.approx(cost, abs=tol)


def test_newsboy_n7():
    # Nahmias, Production and Operations Analysis, newsboy example: mean and
    # deviation read in a lecture, costs from memory
    ratio = critical_ratio(short_cost=0.50, over_cost=0.15)
    assert ratio == pytest.approx(0.7692, abs=1e-4)
    answer = normal_order(mean=11.73, spread=4.74, short_cost=0.50, over_cost=0.15)
    assert answer.quantity == pytest.approx(15.22, abs=0.005)
    assert round(answer.quantity) == 15


def test_exercise_of_eight_tenths_n9():
    # Data: a management-science exercise; answers computed
    assert critical_ratio(short_cost=40, over_cost=10) == 0.80
    answer = normal_order(mean=1000, spread=200, short_cost=40, over_cost=10)
    assert answer.quantity == pytest.approx(1168.32, abs=0.1)
    assert ceil(answer.quantity) == 1169
    assert answer.expected_short == pytest.approx(22.33, abs=0.1)
    assert 40 * 1000 - answer.expected_cost == pytest.approx(37_200.4, abs=0.1)


def test_five_demands_n10():
    # Data: S&S problem text; answer computed with the sample's deviation
    demands = (107, 93, 114, 87, 85)
    mean, spread = fmean(demands), stdev(demands)
    assert (mean, spread) == pytest.approx((97.2, 12.7358), abs=1e-4)
    answer = normal_order(mean=mean, spread=spread, short_cost=15, over_cost=2)
    assert (answer.quantity - mean) / spread == pytest.approx(1.18683, abs=1e-5)
    assert answer.quantity == pytest.approx(112.32, abs=0.01)


def test_normal_base_stock_over_a_lead_time_n3():
    # S&S Example 4.4: the newsvendor of 4.3 over lead time 4 and review 1
    answer = normal_order(mean=250, spread=8 * 5**0.5, short_cost=0.70, over_cost=0.18)
    assert answer.quantity == pytest.approx(264.76689, abs=1e-4)
    assert answer.expected_cost == pytest.approx(4.466781, abs=1e-4)


def test_normal_expected_short_and_profit_n8():
    # An exercise: cost 4.25, price 9.50, leftover 2.00, goodwill 1.50,
    # normal 250, 40. Data published, answers computed
    answer = normal_order(mean=250, spread=40, short_cost=6.75, over_cost=2.25)
    assert critical_ratio(short_cost=6.75, over_cost=2.25) == 0.75
    assert answer.quantity == pytest.approx(276.98, abs=0.01)
    assert answer.expected_short == pytest.approx(5.9662, abs=1e-3)
    profit = (9.50 - 4.25) * 250 - answer.expected_cost
    assert profit == pytest.approx(1198.10, abs=0.01)
    assert ceil(answer.quantity) == 277


def test_poisson_newsvendor_n4():
    # S&S Example 4.7 without its fixed cost
    demand = Counts.poisson(6)
    assert order(demand, short_cost=4, over_cost=1) == 8
    assert expected_cost(demand, 8, short_cost=4, over_cost=1) == pytest.approx(
        3.570107, abs=1e-5
    )
    assert expected_cost(demand, 5, short_cost=4, over_cost=1) == pytest.approx(
        6.590296, abs=1e-5
    )


def test_poisson_newsvendor_with_a_larger_mean_n5():
    # S&S Problem 4.8(a)
    demand = Counts.poisson(18)
    assert order(demand, short_cost=270, over_cost=200) == 19
    cost = expected_cost(demand, 19, short_cost=270, over_cost=200)
    assert cost == pytest.approx(786.0884, abs=1e-3)


def test_tabled_newsvendor_n6():
    # S&S Problem 4.7(b)
    demand = Tabled(probabilities=(0, 0.25, 0.05, 0.1, 0.2, 0.15, 0.1, 0.1, 0.05))
    best = order(demand, short_cost=1_000_000, over_cost=500_000)
    assert best == 5
    assert [
        round(expected_cost(demand, n, short_cost=1_000_000, over_cost=500_000))
        for n in (5, 3)
    ] == [1_225_000, 1_725_000]


@pytest.mark.parametrize(("leftover", "jars"), [(2.90, 16), (0.0, 11)])
def test_a_jar_brought_home_is_not_a_newspaper_n12(leftover, jars):
    # computed: price 9.00, cost 3.10, Poisson 10
    best = order(Counts.poisson(10), short_cost=5.90, over_cost=3.10 - leftover)
    assert best == jars


def test_ratios_of_a_jar_and_of_a_newspaper_n12():
    jar = critical_ratio(short_cost=5.90, over_cost=0.20)
    bread = critical_ratio(short_cost=5.90, over_cost=3.10)
    assert (jar, bread) == pytest.approx((0.9672, 0.6556), abs=1e-4)
