"""The year: the cap and its forecast, and the lines of the form."""

import datetime
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from production.year import CapProjectionInput, CostOfGoods, YearError, project_cap

D = Decimal
DAY = datetime.date
MONEY = st.decimals(0, 9999, places=2)


def make_projection(sales, *, as_of, cap="1000", last_year=None):
    return project_cap(
        CapProjectionInput(
            sales={on: D(amount) for on, amount in sales.items()},
            as_of=as_of,
            cap=None if cap is None else D(cap),
            last_year=last_year,
        )
    )


def test_a_straight_line_without_last_year():
    answer = make_projection({DAY(2025, 1, 4): 100}, as_of=DAY(2025, 1, 10))
    assert answer.rate_per_day == 10
    assert answer.year_end_estimate == 3650
    assert answer.reached_on == DAY(2025, 4, 10)  # the hundredth day
    assert not answer.follows_last_year


def test_last_years_seasons_shape_the_forecast():
    last_year = {DAY(2024, 3, 2): D(100), DAY(2024, 11, 30): D(900)}
    answer = make_projection(
        {DAY(2025, 3, 1): 120},
        as_of=DAY(2025, 6, 30),
        last_year=last_year,
    )
    assert answer.follows_last_year
    assert answer.year_end_estimate == D(1200)
    assert answer.reached_on == DAY(2025, 11, 30)


def test_the_last_of_february_stands_for_the_leap_day():
    answer = make_projection(
        {DAY(2024, 2, 1): 10},
        as_of=DAY(2024, 2, 28),
        last_year={DAY(2023, 2, 1): D(10), DAY(2023, 2, 28): D(5)},
    )
    assert answer.reached_on is None


def test_eighty_percent_is_near_and_the_cap_is_reached():
    near = make_projection({DAY(2025, 12, 1): 800}, as_of=DAY(2025, 12, 31))
    assert near.is_near
    assert not near.is_reached
    past = make_projection({DAY(2025, 12, 1): 1001}, as_of=DAY(2025, 12, 31))
    assert past.is_reached
    assert past.left == -1
    assert past.reached_on == DAY(2025, 12, 1)


def test_refunds_reduce_and_other_years_do_not_count():
    answer = make_projection(
        {DAY(2024, 12, 31): 500, DAY(2025, 1, 1): 100, DAY(2025, 1, 2): -30},
        as_of=DAY(2025, 1, 2),
    )
    assert answer.sold == 70


def test_a_place_without_a_cap_has_no_date():
    answer = make_projection({DAY(2025, 1, 1): 5}, as_of=DAY(2025, 1, 2), cap=None)
    assert (answer.fraction, answer.left, answer.reached_on) == (None, None, None)
    assert not answer.is_near
    assert not answer.is_reached


def test_a_cap_of_nought_is_refused():
    with pytest.raises(YearError, match="leave it empty"):
        make_projection({}, as_of=DAY(2025, 1, 1), cap="0")


@settings(max_examples=60)
@given(day=st.integers(0, 363), amount=st.integers(1, 2000))
def test_the_forecast_day_is_where_the_running_sum_meets_the_cap(day, amount):
    as_of = DAY(2025, 1, 1) + datetime.timedelta(days=day)
    answer = make_projection({DAY(2025, 1, 1): amount}, as_of=as_of)
    reached = answer.year_end_estimate >= 1000 - D("1e-15")
    assert (answer.reached_on is not None) == reached


@settings(max_examples=60)
@given(figures=st.tuples(*[MONEY] * 7))
def test_the_lines_of_the_form_add_up(figures):
    names = ["opening", "purchases", "own_use", "labour", "supplies", "other"]
    goods = CostOfGoods(
        method="cost",
        method_changed=True,
        closing_cost=figures[6],
        **{f"{n}_cost": f for n, f in zip(names, figures, strict=False)},
    )
    amount = {line.number: line.amount for line in goods.lines()}
    added = sum(amount[str(n)] for n in range(35, 40))
    assert amount["40"] == added
    assert amount["42"] == added - amount["41"]
    assert goods.lines()[1].answer == "yes"
