"""Packing: worked figures, and the solver of another library on the same task."""

from decimal import Decimal

import pytest

from production.planning.distributions import Counts
from production.planning.packing import Good, jar_worths, pack, pack_together

MEANS_AND_MARGINS = [(10, 5), (6, 6), (4, 4), (2.5, 7)]


def goods(stock=40, least=2):
    return [
        Good(
            product=f"jam {n}",
            demand=Counts.poisson(mean),
            net_price=Decimal(margin),
            stock=stock,
            least=least,
        )
        for n, (mean, margin) in enumerate(MEANS_AND_MARGINS)
    ]


def test_twenty_four_jars_for_four_products_k1():
    # computed: greedy and exhaustive search agree on 10, 7, 4, 3
    packing = pack(goods(), 24)
    assert [line.jars for line in packing.lines] == [10, 7, 4, 3]
    assert packing.worth == pytest.approx(103.8060, abs=1e-4)
    assert packing.space_worth == pytest.approx(2.0848, abs=1e-4)


def test_expected_sales_of_a_poisson_day_n11():
    # computed: Poisson 10
    demand = Counts.poisson(10)
    sales = [demand.expected_sales(jars) for jars in (8, 12, 14, 16)]
    assert sales == pytest.approx([7.5396, 9.4691, 9.8131, 9.9453], abs=1e-4)
    gone = [demand.sold_out(jars) for jars in (8, 12, 14, 16)]
    assert gone == pytest.approx([0.7798, 0.3032, 0.1355, 0.0487], abs=1e-4)


def test_quantiles_of_overdispersed_days_n13():
    # computed: mean 10 with variance 20, against Poisson 10
    shares = (0.5, 0.8, 0.9, 0.95)
    wide = Counts(mean=10, variance=20)
    assert [wide.quantile(s) for s in shares] == [9, 14, 16, 18]
    assert [Counts.poisson(10).quantile(s) for s in shares] == [10, 13, 14, 15]


@pytest.mark.parametrize(("mean", "variance"), [(10, 10), (10, 20), (0.7, 2.1)])
def test_tails_agree_with_scipy(mean, variance):
    from scipy.stats import nbinom, poisson

    if variance > mean:
        other = nbinom(mean**2 / (variance - mean), mean / variance)
    else:
        other = poisson(mean)
    ours = Counts(mean=mean, variance=variance)
    for jars in range(40):
        assert ours.at_least(jars) == pytest.approx(other.sf(jars - 1), abs=1e-10)


def test_two_markets_on_one_morning_agree_with_a_linear_program():
    from scipy.optimize import linprog

    shelf = goods(stock=9, least=0)
    packed = pack_together({"north": (shelf, 12), "south": (shelf, 10)})
    worths = [jar_worths(good, 9) for good in shelf] * 2
    rows, limits = [], []
    for market, places in enumerate((12, 10)):
        rows.append([float(i // 4 == market) for i in range(8) for _ in range(9)])
        limits.append(places)
    for product in range(4):
        rows.append([float(i % 4 == product) for i in range(8) for _ in range(9)])
        limits.append(9)
    gains = [-worth for segment in worths for worth in segment]
    best = linprog(gains, A_ub=rows, b_ub=limits, bounds=(0, 1))
    assert sum(p.worth for p in packed.values()) == pytest.approx(-best.fun, abs=1e-6)
