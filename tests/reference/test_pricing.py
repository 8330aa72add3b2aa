"""Published figures on price, margin, break-even, fees and the year.

Each block names its source; printed slips are kept as notes beside the true figure.
"""

import datetime
from decimal import Decimal

import pytest

from inventory.money import round_money
from production.margins import (
    CardFees,
    DayCosts,
    KeptInput,
    OutletTerms,
    kept_of_a_jar,
    threshold_fee,
    wholesale_floor,
)
from production.planning.recipe_work import Step, parts_of
from production.pricing import (
    ImpossiblePriceError,
    PriceFees,
    break_even_jars,
    chain_price,
    commission_left,
    margin,
    margin_of_safety,
    markup,
    price_for_margin,
    price_for_markup,
    price_shop_can_pay,
)
from production.year import CapProjectionInput, CostOfGoods, project_cap

D = Decimal


def test_alberta_break_even_p1_w5():
    # Alberta Agriculture, Agdex 845-3, rev. Aug 2016, break-even example.
    contribution = D("2.25") - D("1.50")
    assert contribution == D("0.75")
    assert break_even_jars(D(1200), contribution) == 1600


def test_sage_jelly_p2_w6():
    # Agdex 845-3, 1999 and 2016: inputs printed, the answer worked out here.
    assert price_shop_can_pay(D("2.49"), D("0.40")) == D("1.4940")
    assert round_money(price_shop_can_pay(D("2.49"), D("0.40"))) == D("1.49")


def test_margin_is_not_markup_p3_w7():
    # Farm-marketing note after Adam et al. 1999 and Courteau 2002 (secondary).
    assert price_for_markup(D(2), D("0.50")) == D("3.00")
    assert round_money(price_for_margin(D(2), D("0.35"))) == D("3.08")
    assert price_shop_can_pay(D(3), D("0.30")) == D("2.10")


# M. Cannella, Mark-up and Margins to Set Prices, UVM Extension 2013: an example and
# the table of 18 % markups.
EIGHTEEN_PERCENT = {
    "0.80": "0.94", "0.50": "0.59", "0.60": "0.71", "0.70": "0.83",
    "0.90": "1.06", "1.00": "1.18", "1.10": "1.30", "1.20": "1.42",
    "1.30": "1.53", "1.40": "1.65", "2.20": "2.60", "2.30": "2.71",
    "2.40": "2.83", "2.50": "2.95", "2.60": "3.07", "2.70": "3.19",
    "2.80": "3.30", "2.90": "3.42", "3.00": "3.54", "3.10": "3.66",
    "3.90": "4.60", "4.00": "4.72", "4.10": "4.84", "4.20": "4.96",
    "4.30": "5.07", "4.40": "5.19", "4.50": "5.31", "4.60": "5.43",
    "4.70": "5.55", "4.80": "5.66",
}  # fmt: skip


@pytest.mark.parametrize(("cost", "price"), list(EIGHTEEN_PERCENT.items()))
def test_table_of_eighteen_percent_markups_p4_p5_w8(cost, price):
    assert round_money(price_for_markup(D(cost), D("0.18"))) == D(price)


def test_bottled_jam_of_a_textbook_p7_w15():
    # A business-mathematics exercise: inputs printed, answers worked out here.
    contribution = D("3.20") - D("1.20")
    year = 12 * D(250)
    assert break_even_jars(year, contribution) == 1500
    assert 3000 * contribution - year == 3000


def test_marketing_arithmetic_p8():
    # Appendix "Marketing by the Numbers", Q 1.1 (secondary). The stored answer prints
    # 55.5 for the last figure, having begun from 55 instead of 59.
    unit_cost = D(55) + D(2_000_000) / 500_000
    assert unit_cost == 59
    assert round_money(price_for_margin(unit_cost, D("0.10"))) == D("65.56")
    assert unit_cost + D("0.25") * 1_000_000 / 500_000 == D("59.50")


def test_markup_on_cost_and_on_price_p9():
    # The same appendix, Q 1.2 (secondary).
    assert markup(D(225), D(125)) == D("0.8")
    assert round(margin(D(225), D(125)), 3) == D("0.444")


def test_margins_along_a_chain_multiply_p10_w22():
    # The same appendix, Q 1.3 (secondary): 48.00, then 40.80; never 60 x 65 % = 39.00.
    to_retailer = price_shop_can_pay(D(60), D("0.20"))
    assert to_retailer == D("48.00")
    assert price_shop_can_pay(to_retailer, D("0.15")) == D("40.80")


def test_card_terms_compared_p16():
    # Guide to Credit Card Fees, FARMroots, grownyc.org. It prints rises of 0.09 and
    # 0.05, from rounded fees; exactly they are 0.085 and 0.055.
    old, new = (
        CardFees(fraction=D("0.0275")),
        CardFees(fraction=D("0.026"), fixed=D("0.10")),
    )
    assert (old.of_sale(D(10)), new.of_sale(D(10))) == (D("0.275"), D("0.36"))
    assert (old.of_sale(D(30)), new.of_sale(D(30))) == (D("0.825"), D("0.88"))
    assert new.of_sale(D(10)) - old.of_sale(D(10)) == D("0.085")
    assert new.of_sale(D(30)) - old.of_sale(D(30)) == D("0.055")


def test_card_fee_of_one_sale_p17_w18():
    # Makers' association article on card fees, madeiniowa.org, 2 July 2025.
    fee = CardFees(fraction=D("0.029"), fixed=D("0.30")).of_sale(D(25))
    assert round_money(fee) == D("1.03")
    assert D(25) - round_money(fee) == D("23.97")


def test_card_fee_is_heavier_on_one_jar_w17():
    # The rate is grownyc.org's; the figures were worked out here.
    card = CardFees(fraction=D("0.026"), fixed=D("0.10"))
    assert card.of_sale(D(9)) == D("0.334")
    assert round(card.of_sale(D(9)) / 9, 3) == D("0.037")
    assert card.of_sale(D(27)) == D("0.802")
    assert round(card.of_sale(D(27)) / 3, 3) == D("0.267")
    three = CardFees(fraction=D("0.026"), fixed=D("0.10"), jars_per_sale=D(3))
    assert round(three.as_price_fees.taken_from(D(9)), 3) == D("0.267")


FEES = PriceFees(fraction=D("0.0156"), per_jar=D("0.03"))


def test_price_for_a_margin_after_fees_p18_u13():
    # Worked out here.
    assert round(price_for_margin(D("3.10"), D("0.40"), fees=FEES), 4) == D("5.3559")
    assert round(price_for_margin(D("3.10"), D("0.50"), fees=FEES), 4) == D("6.4616")
    assert round_money(price_for_margin(D("3.10"), D("0.40"), fees=FEES)) == D("5.36")
    with pytest.raises(ImpossiblePriceError, match="below 100 %"):
        price_for_margin(D("3.10"), D(1), fees=FEES)


def make_market():
    """Stall 35, 40 miles at 0.50, 6 hours at 15; 1.56 % and 0.03 a jar in fees."""
    return OutletTerms(
        name="market",
        card=CardFees(fraction=D("0.0156"), fixed=D("0.03")),
        day=DayCosts(
            stall_fee=D(35),
            distance_km=D(40),
            km_rate=D("0.50"),
            hours=D(6),
            hourly_rate=D(15),
        ),
        jars_per_day=D(40),
    )


def test_break_even_of_a_market_day_p19_w24_u15():
    # Worked out here (40 miles stand in the distance, at 0.50 each).
    kept = kept_of_a_jar(
        KeptInput(product="jam", price=D(9), cost=D("3.10"), outlet=make_market())
    )
    assert make_market().day.total_cost == D("145.00")
    assert kept.contribution == D("5.7296")
    assert kept.break_even_jars == 26
    assert round(D(145) / kept.contribution, 2) == D("25.31")
    assert margin_of_safety(D(40), D(kept.break_even_jars)) == D("0.35")


def test_part_three_of_the_form_p20_w23_u26():
    # IRS Publication 334 (2002), chapter 6, lines 35-42; the figures are made up.
    goods = CostOfGoods(
        method="cost",
        method_changed=False,
        opening_cost=D(350),
        purchases_cost=D(2480),
        own_use_cost=D(60),
        labour_cost=D(0),
        supplies_cost=D(310),
        other_cost=D(75),
        closing_cost=D(505),
    )
    amounts = {line.number: line.amount for line in goods.lines()}
    assert amounts["36"] == 2420
    assert amounts["40"] == 3155
    assert amounts["42"] == 2650
    assert list(amounts) == [str(n) for n in range(33, 43)]


def test_first_years_of_a_stall_w14():
    # Alberta Agriculture, farmers' market budgeting page: 650 and 780 printed.
    growth = [D("0.30"), D("0.20"), D("0.15")]
    years = [chain_price(D(500), growth[:n]) for n in (1, 2, 3)]
    assert years == [D(650), D(780), D(897)]


def test_making_cost_at_forty_percent_of_the_shelf_price_w16():
    # Michigan State University Extension, Pricing your food product for profit: the
    # rule is printed, the figures are ours.
    assert price_for_margin(D("2.60"), D("0.60")) == D("6.50")


def test_registration_fee_of_minnesota_w19():
    # Minnesota Department of Agriculture, cottage food questions: exceeds 7,665.
    tiers = [(D(7665), D(50))]
    assert threshold_fee(D("7665.00"), tiers) == 0
    assert threshold_fee(D("7665.01"), tiers) == 50


def test_goods_on_consignment_w20_u14():
    # A craft-trade article: split 70/30; the figures were worked out here.
    assert commission_left(D(30), D("0.30")) == D("21.00")


def test_consignment_and_wholesale_are_two_things_u14():
    floor = wholesale_floor(D("3.10"), wanted_margin=D("0.20"), shop_margin=D("0.40"))
    assert floor.floor_price == D("3.875")
    assert round_money(floor.shelf_price) == D("6.46")


def test_cap_of_minnesota_is_forecast_for_early_november_u21():
    # Minnesota Department of Agriculture: 78,000 a person and calendar year. The
    # sales are made up: 7,687.50 a month, 61,500 by 31 August.
    sales = {datetime.date(2025, m, 15): D("7687.50") for m in range(1, 9)}
    answer = project_cap(
        CapProjectionInput(sales=sales, as_of=datetime.date(2025, 8, 31), cap=D(78000))
    )
    assert answer.sold == D("61500.00")
    assert datetime.date(2025, 11, 1) <= answer.reached_on <= datetime.date(2025, 11, 8)
    assert not answer.is_near  # 78.8 %


def test_w4_five_hundred_jars_take_sixteen_rounds_of_two_canners():
    """W4: 500 half-pints, 16 a canner, two canners: 16 rounds, 512 places.

    Source: "A Cottage Food Budgeting Example", first page (inputs verified; rounds
    and places computed).
    """
    round_of_two = 2 * 16
    steps = [
        Step(kind="fill", day=0, hands_min=160),
        Step(kind="process", day=0, hands_min=5, idle_min=40),
    ]
    (part,) = parts_of(steps, jars=500, places=round_of_two, load_min=40)
    assert part.loads == 16
    assert part.loads * round_of_two == 512
