"""Prices and what is kept of them: laws, and what is refused."""

from decimal import Decimal

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from production.margins import (
    CardFees,
    DayCosts,
    KeptInput,
    OutletRecord,
    OutletTerms,
    kept_of_a_jar,
    money_per_hour,
)
from production.pricing import (
    ImpossiblePriceError,
    NeverBreaksEvenError,
    PriceFees,
    PricingError,
    SalesTax,
    break_even_jars,
    break_even_sales,
    margin,
    margin_from_markup,
    margin_of_safety,
    markup,
    markup_from_margin,
    price_for_margin,
    taxed_price,
)

D = Decimal
CLOSE = D("1e-20")
PRICES = st.decimals("0.50", 50, places=2)
SHARES = st.decimals(0, "0.4", places=3)


def make_outlet(**overrides):
    fields = {
        "name": "Saturday market",
        "card": CardFees(
            fraction=D("0.026"),
            fixed=D("0.10"),
            share_of_sales=D("0.5"),
            jars_per_sale=D(2),
        ),
        "day": DayCosts(stall_fee=D(30), distance_km=D(20), km_rate=D("0.5")),
        "jars_per_day": D(40),
        "loss_share": D("0.05"),
    } | overrides
    return OutletTerms(**fields)


def make_kept(price="9.00", cost="4.00", **outlet):
    return kept_of_a_jar(
        KeptInput(
            product="jam",
            price=D(price),
            cost=D(cost),
            outlet=make_outlet(**outlet),
        )
    )


def test_everything_that_comes_off_a_price_is_named():
    kept = make_kept()
    taken = {t.name: t.amount for t in (*kept.jar_terms, *kept.day_terms)}
    assert taken == {
        "cost of the jar": D("4.00"),
        "samples, breakage, missing": D("0.20"),
        "commission": D(0),
        "card fees": D("0.142"),  # half of 9.00 x 2.6 % + 0.10 over two jars
        "stall fee": D("0.75"),
        "drive": D("0.25"),
        "hours of the day": D(0),
    }
    assert kept.kept == D("9.00") - sum(taken.values())
    assert kept.kept_margin == kept.kept / 9


@settings(max_examples=60)
@given(price=PRICES, cost=PRICES, commission=SHARES)
def test_price_less_its_terms_is_what_is_kept(price, cost, commission):
    kept = make_kept(price, cost, commission=commission)
    terms = sum(t.amount for t in (*kept.jar_terms, *kept.day_terms))
    assert abs(price - terms - kept.kept) < CLOSE
    assert kept.loses_money == (kept.kept < 0)


@settings(max_examples=60)
@given(cost=PRICES, commission=SHARES)
def test_at_the_break_even_price_nothing_is_kept(cost, commission):
    price = make_kept(cost=cost, commission=commission).break_even_price
    assert abs(make_kept(price, cost, commission=commission).kept) < CLOSE


@settings(max_examples=60)
@given(price=PRICES, cost=PRICES)
def test_break_even_jars_pay_the_day_and_one_fewer_does_not(price, cost):
    kept = make_kept(price, cost)
    jars, day = kept.break_even_jars, make_outlet().day.total_cost
    assume(jars is not None)
    assert jars * kept.contribution >= day
    assert (jars - 1) * kept.contribution < day


def test_a_jar_given_away_has_no_margin():
    kept = make_kept("0", "4.00", day=DayCosts(), jars_per_day=D(0))
    assert kept.kept_margin is None
    assert kept.gross_margin is None
    assert kept.loses_money


def test_a_jar_without_a_contribution_never_breaks_even():
    kept = make_kept("3.00", "4.00")
    assert kept.break_even_jars is None
    with pytest.raises(NeverBreaksEvenError, match="raise the price"):
        break_even_sales(D(1), D(-1), D(3))


def test_a_commission_that_takes_all_leaves_no_break_even_price():
    assert make_kept(commission=D(1)).break_even_price is None


def test_margin_and_markup_stand_side_by_side():
    kept = make_kept("6.00", "4.00")
    assert (kept.gross_markup, kept.gross_margin) == (D("0.5"), D(2) / D(6))
    assert make_kept("6.00", "0").gross_markup is None


@settings(max_examples=60)
@given(fraction=st.decimals(0, "0.95", places=3))
def test_margin_and_markup_convert_back(fraction):
    assert abs(margin_from_markup(markup_from_margin(fraction)) - fraction) < CLOSE


@settings(max_examples=60)
@given(cost=PRICES, wanted=SHARES, fees=SHARES, per_jar=SHARES)
def test_the_price_for_a_margin_leaves_that_margin(cost, wanted, fees, per_jar):
    price_fees = PriceFees(fraction=fees, per_jar=per_jar)
    price = price_for_margin(cost, wanted, fees=price_fees)
    left = price - cost - price_fees.taken_from(price)
    assert abs(left / price - wanted) < CLOSE


def test_a_goal_is_paid_by_more_jars():
    assert break_even_jars(D(145), D("5.7296"), goal=D(100)) == 43
    assert break_even_jars(D(0), D(1)) == 0


def test_break_even_sales_are_the_jars_in_money():
    assert break_even_sales(D(1200), D("0.75"), D("2.25")) == D(3600)


def test_sales_tax_is_kept_apart_from_the_price():
    # one jar, exempt at one outlet and taxed at another: three figures
    exempt = taxed_price(D("9.00"), SalesTax(fraction=D("0.07"), is_due=False))
    taxed = taxed_price(D("9.00"), SalesTax(fraction=D("0.07")))
    assert (exempt.price, exempt.tax, exempt.total) == (D(9), D(0), D(9))
    assert (taxed.price, taxed.tax, taxed.total) == (D(9), D("0.63"), D("9.63"))


def test_tax_inside_the_sign_price_comes_out_of_it():
    taxed = taxed_price(D("10.70"), SalesTax(fraction=D("0.07"), is_included=True))
    assert (taxed.price, taxed.tax, taxed.total) == (D(10), D("0.70"), D("10.70"))


def test_an_hour_at_an_outlet_counts_the_drive():
    record = OutletRecord(
        name="Saturday market",
        days=4,
        takings=D(1200),
        fees=D(160),
        driving_cost=D(40),
        product_cost=D(520),
        hours=D(32),
    )
    assert record.contribution == D(480)
    assert record.contribution_per_hour == D(15)
    assert record.takings_per_hour == D("37.5")
    assert record.takings_per_day == D(300)


def test_an_outlet_without_hours_or_days_has_no_rate():
    nothing = dict.fromkeys(
        ["takings", "fees", "driving_cost", "product_cost", "hours"], D(0)
    )
    record = OutletRecord(name="shop", days=0, **nothing)
    assert record.takings_per_hour is None
    assert record.contribution_per_hour is None
    assert record.takings_per_day is None


def test_money_per_scarce_hour():
    assert money_per_hour(D("4.50"), jars=D(8), hours=D("1.5")) == D(24)


@pytest.mark.parametrize(
    ("ask", "said"),
    [
        (lambda: margin(D(0), D(1)), "no margin"),
        (lambda: markup(D(1), D(0)), "no markup"),
        (lambda: margin_of_safety(D(0), D(1)), "no margin of safety"),
        (lambda: PriceFees(fraction=D(2)), "between 0 and 100 %"),
        (lambda: SalesTax(fraction=D(1)), "sales tax"),
        (lambda: CardFees(jars_per_sale=D(0)), "usual sale"),
        (lambda: money_per_hour(D(1), jars=D(1), hours=D(0)), "hands-on hours"),
        (lambda: make_kept(jars_per_day=D(0)), "no jars are expected"),
    ],
)
def test_senseless_questions_are_refused(ask, said):
    with pytest.raises(PricingError, match=said):
        ask()


def test_a_margin_of_the_whole_price_is_refused():
    with pytest.raises(ImpossiblePriceError):
        markup_from_margin(D(1))
