"""Plain forecasts: worked exercises and textbook series, each with its source.

Figures are absolute within the tolerance beside them. "Computed": the data are
published or ours, the answer was worked out independently for this project.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from production.planning.distributions import DemandError
from production.planning.smoothing import (
    Errors,
    Pattern,
    errors_of,
    intermittent,
    pattern_of,
    smoothed,
    smoothed_chance,
)

# F1-F3: an exponential-smoothing exercise page and its workbook at other shares
# (read); ten periods, the second forecast is the first value.
EXERCISE = (99, 88, 50, 58, 62, 60, 55, 62, 71, 65)
# F5: Hyndman and Athanasopoulos, Forecasting: Principles and Practice, 2nd ed., 12.2,
# "productC"; series read, 2.750 / 2.793 = 0.985 as remembered.
PRODUCT_C = (
    *(0, 2, 0, 1, 0, 11, 0, 0, 0, 0, 2, 0),
    *(6, 3, 0, 0, 0, 0, 0, 7, 0, 0, 0, 0),
    *(0, 0, 0, 3, 1, 0, 0, 1, 0, 1, 0, 0),
)


def judged(alpha):
    return errors_of(EXERCISE[1:], smoothed(EXERCISE, alpha=alpha)[:-1])


def test_exercise_with_three_tenths_f1():
    # Printed: next 65.42, carried on from the rounded 65.6
    forecasts = smoothed(EXERCISE, alpha=0.3)
    printed = [99.0, 95.7, 82.0, 74.8, 71.0, 67.7, 63.9, 63.3, 65.6]
    assert forecasts[:-1] == pytest.approx(printed, abs=0.05)
    assert forecasts[-1] == pytest.approx(65.43, abs=0.005)


@pytest.mark.parametrize(
    ("alpha", "bias", "mad", "mape", "mse"),
    [
        pytest.param(0.3, -12.43, 14.14, 0.2466, 365.80, id="F1"),
        pytest.param(0.0, -35.56, 35.56, 0.5970, 1370.89, id="F2"),
        pytest.param(0.80094331, -4.61, 9.08, 0.1566, 215.13, id="F3"),
    ],
)
def test_errors_of_the_exercise(alpha, bias, mad, mape, mse):
    found = judged(alpha)
    assert (found.bias, found.mad) == pytest.approx((bias, mad), abs=0.005)
    assert found.mape == pytest.approx(mape, abs=0.00005)
    assert found.mse == pytest.approx(mse, abs=0.005)


def test_the_share_of_least_deviation_is_not_that_of_least_squares_f3():
    assert judged(0.80094331).mad <= min(judged(0.79).mad, judged(0.81).mad)
    assert judged(1.0).mse == pytest.approx(204.44, abs=0.005)
    assert judged(1.0).mse < judged(0.9).mse < judged(0.80094331).mse


def test_seven_values_with_two_tenths_f4():
    # Data: an exercise statement on a homework-answers page; answers computed
    values = (24, 15, 21, 12, 19, 21, 16)
    forecasts = smoothed(values, alpha=0.2)
    assert forecasts[-1] == pytest.approx(19.2156, abs=1e-4)
    found = errors_of(values[1:], forecasts[:-1])
    assert found.mse == pytest.approx(33.3729, abs=1e-4)


def test_textbook_product_sold_now_and_then_f5():
    found = intermittent(PRODUCT_C, alpha=0.1)
    assert found.size == pytest.approx(2.7503, abs=5e-5)
    assert found.gap == pytest.approx(2.7933, abs=5e-5)
    assert found.croston == pytest.approx(0.9846, abs=5e-5)


def test_corrections_of_croston_f6():
    found = intermittent(PRODUCT_C, alpha=0.1)
    assert (found.sba, found.sbj) == pytest.approx((0.9354, 0.9328), abs=5e-5)


def test_pattern_of_the_textbook_product_f7():
    # 36 / 11; the sample's coefficient would be 0.878: lumpy by both
    found = pattern_of(PRODUCT_C)
    assert found.gap == pytest.approx(3.273, abs=0.001)
    assert found.spread == pytest.approx(0.798, abs=0.001)
    assert found.spread * 11 / 10 == pytest.approx(0.878, abs=0.001)
    assert found.pattern is Pattern.LUMPY


def test_chance_of_a_sale_smoothed_every_day_f8():
    # computed: size 2.7503, chance 0.3036
    found = smoothed_chance(PRODUCT_C, alpha=0.1, beta=0.1, start=(2, 0.5))
    assert found == pytest.approx(0.8350, abs=1e-4)
    size = smoothed_chance(PRODUCT_C, alpha=0.1, beta=0.0, start=(2, 1.0))
    assert size == pytest.approx(2.7503, abs=1e-4)
    assert found / size == pytest.approx(0.3036, abs=1e-4)


def test_three_sales_f9():
    # computed; a circulating post prints 12.5 / 3.2, about 3.9
    values = (0, 0, 10, 0, 0, 20, 0, 0, 0, 15)
    found = intermittent(values, alpha=0.1)
    assert (found.size, found.gap) == pytest.approx((11.4, 3.1), abs=1e-9)
    assert found.croston == pytest.approx(3.6774, abs=1e-4)
    assert found.sba == pytest.approx(3.4935, abs=1e-4)


@pytest.mark.parametrize(
    ("values", "pattern"),
    [
        ((5, 6, 4, 5), Pattern.SMOOTH),
        ((1, 20, 1, 2), Pattern.ERRATIC),
        ((0, 5, 0, 5), Pattern.INTERMITTENT),
        ((0, 0), Pattern.NONE),
        ((), Pattern.NONE),
    ],
)
def test_the_other_patterns(values, pattern):
    assert pattern_of(values).pattern is pattern


def test_a_day_without_any_has_no_share():
    found = errors_of((0, 4), (1.0, 3.0))
    assert found == Errors(days=2, bias=0.0, mad=1.0, mse=1.0, mape=None, mean=2.0)
    assert found.mad_over_mean == 0.5
    assert errors_of((0,), (1.0,)).mad_over_mean is None


def test_what_cannot_be_judged_or_smoothed_is_refused():
    with pytest.raises(DemandError, match="2 forecasts for 1 days"):
        errors_of((1,), (1, 2))
    with pytest.raises(DemandError, match="0 forecasts for 0 days"):
        errors_of((), ())
    with pytest.raises(DemandError, match="give 0 to 1"):
        smoothed((1, 2), alpha=1.5)
    assert intermittent((0, 0), alpha=0.1) is None
    assert smoothed_chance((0, 0), alpha=0.1) is None


values_of = st.lists(st.integers(0, 30), min_size=1, max_size=40)
share = st.floats(0, 1, allow_nan=False)


@given(values_of, share)
def test_a_forecast_lies_among_the_values(values, alpha):
    for forecast in smoothed(values, alpha=alpha):
        assert min(values) - 1e-9 <= forecast <= max(values) + 1e-9


@given(values_of, share, st.integers(2, 9))
def test_ten_times_the_sales_is_ten_times_the_forecast(values, alpha, times):
    more = [times * value for value in values]
    assert smoothed(more, alpha=alpha) == pytest.approx(
        [times * f for f in smoothed(values, alpha=alpha)]
    )
    one, other = intermittent(values, alpha=alpha), intermittent(more, alpha=alpha)
    if one is not None:
        assert other.croston == pytest.approx(times * one.croston)
        assert one.sbj <= one.sba <= one.croston
    assert pattern_of(more).pattern is pattern_of(values).pattern


@given(values_of, st.floats(0.01, 0.99))
def test_a_product_nobody_asks_for_fades(values, alpha):
    now = smoothed_chance(values, alpha=alpha)
    later = smoothed_chance([*values, 0], alpha=alpha)
    if now is None:
        assert later is None
    else:
        assert later == pytest.approx((1 - alpha) * now)


@given(st.lists(st.tuples(st.integers(0, 30), st.floats(0, 30)), min_size=1))
def test_bias_deviation_and_squares_agree(pairs):
    found = errors_of([a for a, _ in pairs], [b for _, b in pairs])
    assert abs(found.bias) <= found.mad + 1e-9
    assert found.mad**2 <= found.mse + 1e-6
