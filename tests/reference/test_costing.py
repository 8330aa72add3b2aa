"""Published accounts of what a jar costs, and usable weight, each with its source."""

from decimal import Decimal

import pytest

from inventory.money import round_money
from production.costing.breakdown import Part, round_together
from production.costing.jar import (
    JarCostInput,
    LabourUse,
    MaterialUse,
    Spread,
    cost_of_jar,
)
from production.costing.overheads import OverheadItem, yearly_overhead

D = Decimal

# "A Cottage Food Budgeting Example", strawberry jam in a home kitchen
# (paperzz.com/doc/8033266, first page): cost and years of life, five product lines,
# 500 half-pints of one line.
BUDGET = [
    OverheadItem(name="two canners", amount=D("161.94"), years=D(10), product_lines=5),
    OverheadItem(name="tools", amount=D("21.99"), years=D(5), product_lines=5),
    OverheadItem(name="training", amount=D(125), years=D(5), product_lines=5),
    OverheadItem(name="tax licence", amount=D(68), product_lines=5),
    OverheadItem(name="insurance", amount=D(500), product_lines=5),
    OverheadItem(
        name="ten hours of training", amount=D("114.15"), years=D(5), product_lines=5
    ),
]


def shown(amounts):
    return [str(round_money(a)) for a in amounts]


def test_overheads_of_a_year_p6_w1():
    yearly = [item.yearly_cost for item in BUDGET]
    assert shown(yearly) == ["16.19", "4.40", "25.00", "68.00", "500.00", "22.83"]
    assert round_money(yearly_overhead(BUDGET)) == D("636.42")


def test_overheads_of_a_product_line_p6_w2():
    per_line = [item.yearly_cost_per_line for item in BUDGET]
    assert shown(per_line) == ["3.24", "0.88", "5.00", "13.60", "100.00", "4.57"]
    # The printed lines add to 127.29; the sum, rounded once, is 127.28.
    assert sum(round_money(a) for a in per_line) == D("127.29")
    assert round_money(sum(per_line)) == D("127.28")
    assert sum(round_together(per_line)) == D("127.28")


def test_overheads_of_a_jar_p6_w3():
    per_jar = [item.cost_per(D(500)) for item in BUDGET]
    assert shown(per_jar) == ["0.01", "0.00", "0.01", "0.03", "0.20", "0.01"]
    # The rounded lines add to 0.26; true is 0.2546, 2.72 less over 500 jars.
    assert sum(round_money(a) for a in per_jar) == D("0.26")
    assert round(sum(per_jar), 4) == D("0.2546")
    assert round_money(500 * (D("0.26") - sum(per_jar))) == D("2.72")
    assert sum(round_together(per_jar)) == D("0.25")


def bought(name, quantity, price, *, unit="lb", part=Part.INGREDIENTS):
    return MaterialUse(
        name=name,
        usable_quantity=D(quantity),
        unit_price=D(price),
        unit=unit,
        part=part,
    )


HOUSEHOLD = (
    # A household strawberry-jam account, 2015 (relocavore.com): 30.5 pints.
    bought("strawberries", 28, "2.50"),
    bought("pectin", 7, "2.30", unit="boxes"),
    bought("lids", 34, "0.17", unit="pieces", part=Part.PACKAGING),
    bought("sugar", 1, "14.07", unit="bags"),
)


def test_household_account_p11_w12():
    cost = cost_of_jar(JarCostInput(jars=D("30.5"), materials=HOUSEHOLD))
    assert round_money(cost.total_cost * D("30.5")) == D("105.95")
    assert round_money(cost.total_cost) == D("3.47")
    assert round(cost.total_cost / 16, 3) == D("0.217")


def test_household_account_with_its_unpaid_hours_p11_w12():
    # 13.5 hours are printed; the rate and the answer are ours.
    hours = LabourUse(name="my time", minutes=D(810), hourly_rate=D(15))
    cost = cost_of_jar(
        JarCostInput(jars=D("30.5"), materials=HOUSEHOLD, labour=(hours,))
    )
    assert round_money(cost.total_cost) == D("10.11")
    assert round_money(cost.cost_without_my_time) == D("3.47")


def test_saskatoon_jam_p12_w9_u12():
    # Farmers' Markets Association of Manitoba newsletter 2(1), 29 Jan 2008 (secondary).
    each = [
        ("jar", "0.66", Part.PACKAGING),
        ("pectin", "0.25", Part.INGREDIENTS),
        ("sugar", "0.22", Part.INGREDIENTS),
        ("saskatoons", "1.00", Part.INGREDIENTS),
        ("picking", "0.50", Part.INGREDIENTS),
    ]
    materials = tuple(
        MaterialUse(
            name=name,
            usable_quantity=D(1),
            unit_price=D(price),
            unit="pieces",
            part=part,
            spread=Spread.JAR,
        )
        for name, price, part in each
    )
    cost = cost_of_jar(JarCostInput(jars=D(1), materials=materials))
    assert cost.total_cost == D("2.63")
    assert D("3.00") - cost.total_cost == D("0.37")


@pytest.mark.parametrize(
    ("jars", "fruit", "picking"), [(10, "1.10", "0.50"), (11, "1.00", "0.45")]
)
def test_a_pail_of_saskatoons_fills_ten_or_eleven_jars_w10(jars, fruit, picking):
    # The same newsletter: a pail at 11.00, about 1.00 a jar; half an hour of picking
    # at 10 an hour, 0.50 a jar. Together they imply 10 to 11 jars a pail.
    pail = bought("saskatoons", 1, "11.00", unit="pails")
    work = LabourUse(name="picking", minutes=D(30), hourly_rate=D(10))
    cost = cost_of_jar(JarCostInput(jars=D(jars), materials=(pail,), labour=(work,)))
    assert shown(line.cost for line in cost.lines) == [fruit, picking]


def test_blackberry_preserves_poster_p13_w11():
    # Sands, Hammond, Clark, Paulson, Home-Based Processing to Add Value to
    # Horticultural Products, Berea College poster, Table 2. It prints a total of
    # 92.35, net 19.65 and 1.21 back for 1; its own parts add to 92.86.
    parts = ["7", "3", "0.60", "56.00", "6.02", "0.30", "0.60", "19.34"]
    materials = tuple(bought(str(n), 1, price) for n, price in enumerate(parts))
    total = cost_of_jar(JarCostInput(jars=D(1), materials=materials)).total_cost
    assert total == D("92.86")
    assert D(112) - total == D("19.14")
    assert round(D(112) / total, 3) == D("1.206")


@pytest.mark.parametrize(
    ("minutes", "jars", "per_jar"),
    [
        # An hour makes 12 jars: trade article "How to price a packaged food product".
        pytest.param("60", 12, "1.25", id="P14-W13"),
        # Minutes a half-pint from accounts that state hours and jars; 15.00 an hour.
        pytest.param("5", 1, "1.25", id="W25-five-minutes"),
        pytest.param("9.23", 1, "2.31", id="W25-nine-minutes"),
        pytest.param("18.75", 1, "4.69", id="W25-nineteen-minutes"),
    ],
)
def test_labour_of_a_jar(minutes, jars, per_jar):
    work = LabourUse(name="my time", minutes=D(minutes), hourly_rate=D(15))
    cost = cost_of_jar(JarCostInput(jars=D(jars), labour=(work,)))
    assert round_money(cost.total_cost) == D(per_jar)


def test_freight_lands_in_the_price_p15_w13():
    # The same trade article: 50 lb at 50.00 and 25.00 of freight.
    material = bought("fruit", 50, (D(50) + D(25)) / 50)
    assert material.unit_price == D("1.50")
    assert D(50) / 50 == D("1.00")


def test_true_cost_of_trimmed_weight_y1():
    # Yield cost analysis after W. Gisslen, Professional Cooking (secondary): 2 lb are
    # needed, 2 1/4 lb are bought at 0.24: 0.54, not 0.48.
    use = MaterialUse(
        name="vegetable",
        usable_quantity=D(2),
        unit_price=D("0.24"),
        unit="lb",
        edible_yield=D(2) / D("2.25"),
    )
    cost = cost_of_jar(JarCostInput(jars=D(1), materials=(use,)))
    assert round(use.bought_quantity, 10) == D("2.25")
    assert round_money(cost.total_cost) == D("0.54")


def test_usable_price_is_twice_the_bought_price_y2():
    # Kitchen-calculations slides (slidegur.com/doc/33720): a case of 20 lb at 60.00,
    # 10 lb usable; the last figure worked out here.
    use = MaterialUse(
        name="case",
        usable_quantity=D(1),
        unit_price=D(60) / 20,
        unit="lb",
        edible_yield=D(10) / 20,
    )
    assert use.unit_price == D("3.00")
    assert use.edible_yield == D("0.5")
    assert use.bought_quantity * use.unit_price == D("6.00")


@pytest.mark.parametrize(
    ("bought_kg", "usable_kg", "percent"),
    [
        # BC Cook Articulation Committee, Basic Kitchen and Food Service Management,
        # "Yield Testing" (opentextbc.ca); the second as quoted elsewhere (secondary).
        pytest.param("1", "0.8", "80", id="Y3"),
        pytest.param("3.15", "1.9", "60.3", id="Y4"),
    ],
)
def test_yield_tests(bought_kg, usable_kg, percent):
    share = D(usable_kg) / D(bought_kg)
    use = MaterialUse(
        name="x", usable_quantity=D(usable_kg), unit_price=D(1), edible_yield=share
    )
    assert round(use.edible_yield * 100, 1) == D(percent)
    assert round(use.bought_quantity, 9) == D(bought_kg)


def test_losses_chain_by_multiplication_y5():
    # Worked out here: hull 92 %, strain 85 %, 5.0 kg strained.
    use = MaterialUse(
        name="berries",
        usable_quantity=D(5),
        unit_price=D(1),
        edible_yield=D("0.92") * D("0.85"),
    )
    assert round(use.bought_quantity, 3) == D("6.394")


def test_flat_of_twelve_pounds_u3():
    # Worked out here: a 12-lb flat at 28.00, 92 % usable, is 2.54 a usable pound.
    use = MaterialUse(
        name="strawberries",
        usable_quantity=D(1),
        unit_price=D(28) / 12,
        unit="lb",
        edible_yield=D("0.92"),
    )
    assert round_money(use.bought_quantity * use.unit_price) == D("2.54")


def test_quart_in_a_flat_and_in_a_crate_w21():
    # "Weights and Approximate Processed Yields for Fruits" (docest.com/doc/686726):
    # an 8-quart flat of 12 lb and a 24-quart crate of 36 lb cost alike per quart.
    flat = cost_of_jar(JarCostInput(jars=D(8), materials=(bought("flat", 12, 1),)))
    crate = cost_of_jar(JarCostInput(jars=D(24), materials=(bought("crate", 36, 1),)))
    assert flat.total_cost == crate.total_cost == D("1.5")
