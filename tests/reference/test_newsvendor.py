"""Published newsvendor examples, reproduced.

S&S: Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd ed. 2019, as
reproduced with answers in teaching code of the first author. Rows marked
"computed" have published data and an answer worked out independently.
"""

import pytest

from production.planning.distributions import Counts, Tabled
from production.planning.newsvendor import (
    critical_ratio,
    expected_cost,
    normal_order,
    order,
)


@pytest.mark.parametrize(
    ("mean", "spread", "over", "short", "quantity", "cost"),
    [
        # S&S Example 4.3
        pytest.param(50, 8, 0.18, 0.70, 56.60396, 1.997605, id="newspapers"),
        # S&S Problem 4.1
        pytest.param(900, 60, 43, 79, 922.7214, 2718.1968, id="problem-4-1"),
        # Data: a management-science exercise; answer computed
        pytest.param(1000, 200, 10, 40, 1168.32, None, id="exercise-0-80"),
        # Data: S&S problem text, mean and deviation of 107 93 114 87 85; computed
        pytest.param(97.2, 12.7358, 2, 15, 112.32, None, id="five-demands"),
        # Nahmias, newsboy example; costs from memory
        pytest.param(11.73, 4.74, 0.15, 0.50, 15.22, None, id="newsboy"),
    ],
)
def test_normal_newsvendor(mean, spread, over, short, quantity, cost):
    answer = normal_order(mean=mean, spread=spread, short_cost=short, over_cost=over)
    assert answer.quantity == pytest.approx(quantity, abs=0.01)
    if cost is not None:
        assert answer.expected_cost == pytest.approx(cost, rel=1e-6)


def test_normal_base_stock_over_a_lead_time():
    # S&S Example 4.4: the newsvendor of 4.3 over lead time 4 and review 1
    answer = normal_order(mean=250, spread=8 * 5**0.5, short_cost=0.70, over_cost=0.18)
    assert answer.quantity == pytest.approx(264.76689, abs=1e-4)
    assert answer.expected_cost == pytest.approx(4.466781, abs=1e-4)


def test_normal_expected_short_and_profit():
    # An exercise: cost 4.25, price 9.50, leftover 2.00, goodwill 1.50,
    # normal 250, 40. Data published, answers computed
    answer = normal_order(mean=250, spread=40, short_cost=6.75, over_cost=2.25)
    assert answer.quantity == pytest.approx(276.98, abs=0.01)
    assert answer.expected_short == pytest.approx(5.9662, abs=1e-3)
    profit = (9.50 - 4.25) * 250 - answer.expected_cost
    assert profit == pytest.approx(1198.10, abs=0.15)


def test_poisson_newsvendor():
    # S&S Example 4.7 without its fixed cost
    demand = Counts.poisson(6)
    assert order(demand, short_cost=4, over_cost=1) == 8
    assert expected_cost(demand, 8, short_cost=4, over_cost=1) == pytest.approx(
        3.570107, abs=1e-5
    )
    assert expected_cost(demand, 5, short_cost=4, over_cost=1) == pytest.approx(
        6.590296, abs=1e-5
    )


def test_poisson_newsvendor_with_a_larger_mean():
    # S&S Problem 4.8(a)
    demand = Counts.poisson(18)
    assert order(demand, short_cost=270, over_cost=200) == 19
    cost = expected_cost(demand, 19, short_cost=270, over_cost=200)
    assert cost == pytest.approx(786.0884, abs=1e-3)


def test_tabled_newsvendor():
    # S&S Problem 4.7(b)
    demand = Tabled(probabilities=(0, 0.25, 0.05, 0.1, 0.2, 0.15, 0.1, 0.1, 0.05))
    best = order(demand, short_cost=1_000_000, over_cost=500_000)
    assert best == 5
    assert [
        round(expected_cost(demand, n, short_cost=1_000_000, over_cost=500_000))
        for n in (5, 3)
    ] == [1_225_000, 1_725_000]


@pytest.mark.parametrize(("leftover", "jars"), [(2.90, 16), (0.0, 11)])
def test_a_jar_brought_home_is_not_a_newspaper(leftover, jars):
    # computed: price 9.00, cost 3.10, Poisson 10
    best = order(Counts.poisson(10), short_cost=5.90, over_cost=3.10 - leftover)
    assert best == jars


def test_ratio_of_the_two_costs():
    assert critical_ratio(short_cost=0.50, over_cost=0.15) == pytest.approx(
        0.7692, abs=1e-4
    )
