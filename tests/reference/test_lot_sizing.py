"""Published examples of economic quantities and lots over time, each with its source.

Snyder and Shen: L. V. Snyder, Z.-J. M. Shen, Fundamentals of Supply Chain Theory,
2nd ed. 2019, as reproduced with answers in an open teaching library (secondary).
"""

from decimal import Decimal
from itertools import product
from math import inf

import pytest

from production.planning.lot_sizing import (
    Period,
    SteadyDemand,
    cheapest_lots,
    cheapest_lots_within_capacity,
    economic_quantity,
    growing_lots,
    lot_for_lot,
    penalty_for_quantity,
)


def make_periods(demand, set_up, holding):
    set_ups = set_up if isinstance(set_up, list) else [set_up] * len(demand)
    return [
        Period(demand=Decimal(d), set_up_cost=Decimal(s), holding_cost=Decimal(holding))
        for d, s in zip(demand, set_ups, strict=True)
    ]


def made(lots):
    return {n: int(q) for n, q in enumerate(lots.quantities, start=1) if q}


@pytest.mark.parametrize(
    ("demand", "quantity", "cost", "tol"),
    [
        # Snyder and Shen, Example 3.1
        pytest.param((8, 0.225, 1300), 304.0468, 68.4105, 1e-4, id="E1"),
        # Problem 3.1
        pytest.param((2250, 275, 182_500), 1728.1098, 475_230.2074, 1e-3, id="E2"),
        # Example 3.8, customers wait at 5 a unit
        pytest.param((8, 0.225, 1300, inf, 5), 310.8126, 66.9214, 1e-4, id="E3"),
        # Problem 3.22, made at a finite rate
        pytest.param((4, 0.08, 80, 110), 171.2698, 3.7368, 1e-4, id="E4"),
    ],
)
def test_economic_quantity(demand, quantity, cost, tol):
    names = ["order_cost", "holding_cost", "demand", "making_rate", "waiting_cost"]
    given = SteadyDemand(**dict(zip(names, demand, strict=False)))
    answer = economic_quantity(given)
    assert answer.quantity == pytest.approx(quantity, abs=tol)
    assert answer.cost == pytest.approx(cost, abs=tol)


def test_share_of_customers_who_wait_e3():
    answer = economic_quantity(
        SteadyDemand(order_cost=8, holding_cost=0.225, demand=1300, waiting_cost=5)
    )
    assert answer.waiting_fraction == pytest.approx(0.043062, abs=1e-6)


@pytest.mark.parametrize("quantity", [50, 200])
def test_twice_or_half_the_quantity_costs_a_quarter_more(quantity):
    assert penalty_for_quantity(quantity, best=100) == pytest.approx(1.25)


# L1: the twelve-month example of Wagner and Whitin, Management Science 5(1), 1958,
# 89-96; data and 864 read in texts that quote it, the plan worked out and as remembered.
TWELVE_MONTHS = make_periods(
    [69, 29, 36, 61, 61, 26, 34, 67, 45, 67, 79, 56],
    [85, 102, 102, 101, 98, 114, 105, 86, 119, 110, 98, 114],
    1,
)


def test_wagner_and_whitins_twelve_months_l1():
    lots = cheapest_lots(TWELVE_MONTHS)
    assert lots.cost == 864
    assert made(lots) == {1: 98, 3: 97, 5: 121, 8: 112, 10: 67, 11: 135}
    assert [int(c) for c in lots.cheapest_so_far] == [
        85, 114, 186, 277, 348, 400, 469, 555, 600, 710, 789, 864,
    ]  # fmt: skip
    assert lot_for_lot(TWELVE_MONTHS).cost == 1234


def test_a_short_shelf_life_costs_more_l2():
    # Worked out here: a lot serves its own and one (two) further periods.
    short = cheapest_lots(TWELVE_MONTHS, further_periods=1)
    assert short.cost == 901
    assert made(short) == {1: 98, 3: 97, 5: 87, 7: 34, 8: 112, 10: 67, 11: 135}
    assert cheapest_lots(TWELVE_MONTHS, further_periods=2).cost == 864


@pytest.mark.parametrize(
    ("demand", "set_up", "holding", "cost", "plan"),
    [
        # Snyder and Shen, Example 3.9
        pytest.param([90, 120, 80, 70], 500, "2", "1380", {1: 210, 3: 150}, id="L3"),
        # Problem 3.27
        pytest.param(
            [150, 100, 80, 200], 120, "0.8", "424", {1: 150, 2: 180, 4: 200}, id="L4"
        ),
        # Problem 3.29
        pytest.param(
            [730, 580, 445, 650, 880],
            100,
            "0.1",
            "423",
            {1: 1310, 3: 1095, 5: 880},
            id="L5",
        ),
    ],
)
def test_cheapest_lots(demand, set_up, holding, cost, plan):
    lots = cheapest_lots(make_periods(demand, set_up, holding))
    assert lots.cost == Decimal(cost)
    assert made(lots) == plan


def test_factory_physics_ten_periods_l6():
    # Hopp and Spearman, Factory Physics, lot sizing: demands secondary, costs memory.
    periods = make_periods([20, 50, 10, 50, 50, 10, 20, 40, 20, 30], 100, 1)
    assert cheapest_lots(periods).cost == 580
    assert made(cheapest_lots(periods)) == {1: 80, 4: 130, 8: 90}
    assert lot_for_lot(periods).cost == 1000
    assert growing_lots(periods).cost == 620
    assert made(growing_lots(periods)) == {1: 80, 4: 110, 7: 80, 10: 30}


def test_nahmias_silver_and_meal_l7():
    # Nahmias, Production and Operations Analysis, Silver-Meal example (secondary);
    # the cost and the optimum were worked out here.
    periods = make_periods([18, 30, 42, 5, 20], 80, 2)
    assert made(growing_lots(periods)) == {1: 48, 3: 47, 5: 20}
    assert growing_lots(periods).cost == cheapest_lots(periods).cost == 310
    # The other optimum, (48, 0, 67, 0, 0): two set-ups, 30, 5 and twice 20 carried
    assert 2 * 80 + 2 * (30 + 5 + 2 * 20) == 310


def test_silver_and_meals_averages_l7():
    # C: 80, 70, 102.67 from the first period; 80, 45, 56.67 from the third
    def averages(demand):
        costs = [80 + 2 * sum(k * d for k, d in enumerate(demand[: n + 1])) for n in range(len(demand))]  # fmt: skip
        return [cost / (n + 1) for n, cost in enumerate(costs)]

    assert averages([18, 30, 42]) == pytest.approx([80, 70, 102.67], abs=0.005)
    assert averages([42, 5, 20]) == pytest.approx([80, 45, 56.67], abs=0.005)


def test_silver_pyke_and_peterson_l8():
    # Silver, Pyke and Peterson, dynamic lot sizes: first ten demands secondary, the
    # last two and the cost from memory.
    demand = [10, 62, 12, 130, 154, 129, 88, 52, 124, 160, 238, 41]
    periods = make_periods(demand, 54, "0.40")
    assert cheapest_lots(periods).cost == Decimal("501.20")
    assert growing_lots(periods).cost == Decimal("501.20")


def relaxed_bounds(periods, further=99):
    """Weak and strong linear relaxations, by an independent solver."""
    from scipy.optimize import linprog

    n = len(periods)
    demand = [float(p.demand) for p in periods]
    pairs = [(t, k) for t in range(n) for k in range(t, n) if k - t <= further]
    carry = [
        sum(float(p.holding_cost) for p in periods[t:k]) * demand[k] for t, k in pairs
    ]
    prices = [float(p.set_up_cost) for p in periods] + carry
    served = [[0.0] * n + [float(k == j) for _, k in pairs] for j in range(n)]
    weak, strong = [], []
    for t in range(n):
        ahead = sum(demand[t:])
        row = [0.0] * n + [demand[k] if s == t else 0.0 for s, k in pairs]
        row[t] = -ahead
        weak.append(row)
    for place, (t, _) in enumerate(pairs):
        row = [0.0] * (n + len(pairs))
        row[t], row[n + place] = -1.0, 1.0
        strong.append(row)
    return [
        linprog(prices, A_ub=a, b_ub=[0.0] * len(a), A_eq=served, b_eq=[1.0] * n).fun
        for a in (weak, strong)
    ]


@pytest.mark.parametrize(
    ("periods", "weak", "best"),
    [
        pytest.param(TWELVE_MONTHS, 296.348, 864, id="L1"),
        pytest.param(make_periods([90, 120, 80, 70], 500, 2), 987.2222, 1380, id="L3"),
    ],
)
def test_the_strong_relaxation_is_the_optimum_l9(periods, weak, best):
    # Theory: Krarup and Bilde 1977 (memory); Verma and Sharma 2015 (abstract read).
    weak_bound, strong_bound = relaxed_bounds(periods)
    assert weak_bound == pytest.approx(weak, abs=1e-3)
    assert strong_bound == pytest.approx(best, abs=1e-6)
    assert cheapest_lots(periods).cost == best


def test_the_strong_relaxation_with_a_short_shelf_life_l2():
    # computed: a lot serves its own and one further period
    assert relaxed_bounds(TWELVE_MONTHS, 1)[1] == pytest.approx(901, abs=1e-6)


def test_winstons_plan_is_the_only_one_l10():
    # Every whole-number plan within capacity and stock, costed one by one
    costs = {}
    for plan in product(range(6), repeat=4):
        stock, cost = 0, 0.0
        for made_now, wanted in zip(plan, (1, 3, 2, 4), strict=True):
            stock += made_now - wanted
            cost += (3 + made_now if made_now else 0) + 0.5 * stock
            if not 0 <= stock <= 4:
                break
        else:
            if not stock:
                costs[plan] = cost
    best, next_best = sorted(costs.values())[:2]
    assert (best, next_best) == (20, 20.5)
    assert costs[1, 5, 0, 4] == 20


def test_winstons_plan_within_capacity_l10():
    # Winston, inventory example of the dynamic-programming chapter: data read in a
    # university's teaching notes, answer worked out here and as remembered.
    lots = cheapest_lots_within_capacity(
        make_periods([1, 3, 2, 4], 3, "0.5"),
        capacity=5,
        most_stock=4,
        unit_cost=Decimal(1),
    )
    assert lots.cost == 20
    assert [int(q) for q in lots.quantities] == [1, 5, 0, 4]


def test_quiz_sheet_without_unit_cost_l11():
    # scribd.com/presentation/441344849; its own table adds the unit cost to the
    # average and misprints the last lot. Results worked out here.
    periods = make_periods([120, 150, 50, 120, 80, 40, 130, 115, 90, 80], 160, "0.5")
    assert growing_lots(periods).cost == Decimal("992.50")
    assert made(growing_lots(periods)) == {1: 320, 4: 240, 7: 335, 10: 80}
    assert cheapest_lots(periods).cost == Decimal("942.50")
    assert made(cheapest_lots(periods)) == {1: 320, 4: 240, 7: 245, 9: 170}
