"""The cost of a jar: what it is made of, and that its parts are the whole."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.money import round_money
from production.costing.breakdown import (
    CostingError,
    Factor,
    Line,
    Part,
    Source,
    round_together,
)
from production.costing.jar import (
    EnergyUse,
    JarCostInput,
    JarFee,
    LabourUse,
    MaterialUse,
    NoJarsError,
    OverheadUse,
    Spread,
    cost_of_jar,
)
from production.costing.overheads import OverheadItem, yearly_overhead

MONEY = st.decimals(0, 500, places=4)
QUANTITY = st.decimals(0, 5000, places=2)


def make_material(**overrides):
    fields = {
        "name": "strawberries",
        "usable_quantity": Decimal(1840),
        "unit_price": Decimal("0.005"),
        "edible_yield": Decimal("0.92"),
    } | overrides
    return MaterialUse(**fields)


def make_jar(**overrides):
    return MaterialUse(
        **{
            "name": "half-pint jar",
            "usable_quantity": Decimal(1),
            "unit_price": Decimal("0.75"),
            "unit": "pieces",
            "part": Part.PACKAGING,
            "spread": Spread.JAR,
        }
        | overrides
    )


def make_input(**overrides):
    fields = {
        "jars": Decimal(8),
        "materials": (make_material(), make_jar()),
        "energy": (
            EnergyUse(
                name="canner",
                minutes=Decimal(45),
                power_kw=Decimal(2),
                price_per_kwh=Decimal("0.16"),
            ),
        ),
        "labour": (
            LabourUse(name="my time", minutes=Decimal(80), hourly_rate=Decimal(15)),
            LabourUse(
                name="helper",
                minutes=Decimal(20),
                hourly_rate=Decimal(12),
                is_own_time=False,
            ),
        ),
        "overheads": (
            OverheadUse(
                name="insurance",
                yearly_cost=Decimal(500),
                key="jars",
                batch_amount=Decimal(8),
                year_amount=Decimal(1000),
            ),
        ),
        "fees": (JarFee(name="register fee", amount=Decimal("0.03")),),
    } | overrides
    return JarCostInput(**fields)


def test_each_part_of_a_jar_is_worked_out_from_its_figures():
    parts = cost_of_jar(make_input()).cost_by_part()
    assert parts == {
        Part.INGREDIENTS: Decimal("1.25"),  # 1840 / 0.92 x 0.005 / 8
        Part.PACKAGING: Decimal("0.75"),
        Part.ENERGY: Decimal("0.03"),  # 0.75 h x 2 kW x 0.16 / 8
        Part.LABOUR: Decimal("3.00"),  # 2.50 + 0.50
        Part.OVERHEAD: Decimal("0.50"),
        Part.FEES: Decimal("0.03"),
    }


def test_my_time_and_the_books_are_two_figures():
    cost = cost_of_jar(make_input())
    assert cost.total_cost == Decimal("5.56")
    assert cost.cost_without_my_time == Decimal("3.06")
    assert cost.cost_for_the_books == Decimal("2.00")


def test_salvage_comes_off_by_its_own_value():
    material = make_material(salvage_value=Decimal("0.80"))
    cost = cost_of_jar(make_input(materials=(material,)))
    assert cost.cost_by_part()[Part.INGREDIENTS] == Decimal("1.15")


def test_a_by_products_batch_share_scales_what_is_shared():
    whole = cost_of_jar(make_input())
    part = cost_of_jar(make_input(batch_share=Decimal("0.5")))
    for before, after in zip(whole.lines, part.lines, strict=True):
        alone = before.name in {"half-pint jar", "register fee"}
        assert after.cost == before.cost * (1 if alone else Decimal("0.5"))


def test_changing_one_price_changes_only_its_lines():
    # what a seller expects: sugar's price moves sugar lines only
    sugar = make_material(name="sugar", unit_price=Decimal("0.001"))
    dear = make_material(name="sugar", unit_price=Decimal("0.002"))
    before = cost_of_jar(make_input(materials=(make_material(), sugar))).lines
    after = cost_of_jar(make_input(materials=(make_material(), dear))).lines
    changed = {
        old.name for old, new in zip(before, after, strict=True) if old.cost != new.cost
    }
    assert changed == {"sugar"}


@st.composite
def inputs(draw):
    materials = draw(
        st.lists(
            st.builds(
                MaterialUse,
                name=st.just("m"),
                usable_quantity=QUANTITY,
                unit_price=MONEY,
                part=st.sampled_from([Part.INGREDIENTS, Part.PACKAGING]),
                edible_yield=st.decimals("0.1", 1, places=2),
                spread=st.sampled_from(Spread),
            ),
            max_size=5,
        )
    )
    labour = draw(
        st.lists(
            st.builds(
                LabourUse, name=st.just("l"), minutes=QUANTITY, hourly_rate=MONEY
            ),
            max_size=3,
        )
    )
    jars = Decimal(draw(st.integers(1, 60)))
    return JarCostInput(jars=jars, materials=tuple(materials), labour=tuple(labour))


@settings(max_examples=80)
@given(given_input=inputs())
def test_shown_lines_add_to_the_shown_total_to_the_cent(given_input):
    cost = cost_of_jar(given_input)
    total = round_money(cost.total_cost)
    assert sum(s.shown_cost for s in cost.shown_lines()) == total
    assert sum(cost.shown_parts().values()) == total


@settings(max_examples=80)
@given(given_input=inputs())
def test_parts_and_lines_are_the_total(given_input):
    cost = cost_of_jar(given_input)
    close = Decimal("1e-15")
    assert abs(sum(cost.cost_by_part().values()) - cost.total_cost) < close
    assert cost.cost_without_my_time <= cost.total_cost


@settings(max_examples=80)
@given(amounts=st.lists(st.decimals(-99, 99, places=5), max_size=12))
def test_rounding_together_never_moves_an_amount_by_a_whole_cent(amounts):
    shown = round_together(amounts)
    assert sum(shown) == round_money(sum(amounts, Decimal(0)))
    for amount, value in zip(amounts, shown, strict=True):
        assert abs(amount - value) < Decimal("0.01")


def test_a_line_opens_to_its_sources():
    lots = (
        Source(text="lot A", quantity=Decimal(1500), unit_cost=Decimal("0.004")),
        Source(text="lot B", quantity=Decimal(500), unit_cost=Decimal("0.008")),
    )
    cost = cost_of_jar(make_input(materials=(make_material(sources=lots),)))
    line = cost.lines[0]
    assert sum(source.cost for source in line.sources) / 8 == line.cost


@pytest.mark.parametrize(
    ("build", "said"),
    [
        (lambda: make_material(edible_yield=Decimal(0)), "edible yield of 0"),
        (lambda: make_material(unit_price=Decimal(-1)), "price of -1"),
        (lambda: make_input(batch_share=Decimal(0)), "share of 0"),
        (lambda: OverheadItem(name="x", amount=Decimal(-1)), "nought or more"),
        (
            lambda: OverheadItem(name="x", amount=Decimal(1)).cost_per(Decimal(0)),
            "how many a year has",
        ),
        (
            lambda: OverheadUse(
                name="permit",
                yearly_cost=Decimal(1),
                key="jars",
                batch_amount=Decimal(1),
                year_amount=Decimal(0),
            ),
            "how many a year has",
        ),
        (
            lambda: Line(
                part=Part.FEES,
                name="fee",
                factors=(Factor(name="n", value=Decimal(0), divides=True),),
            ),
            "cannot be shared",
        ),
    ],
)
def test_senseless_figures_are_refused(build, said):
    with pytest.raises(CostingError, match=said):
        build()


def test_a_batch_without_a_good_jar_is_a_write_off():
    with pytest.raises(NoJarsError, match="write-off"):
        make_input(jars=Decimal(0))


def test_overheads_of_a_year_add_up():
    items = [
        OverheadItem(name="canner", amount=Decimal(80), years=Decimal(10)),
        OverheadItem(name="permit", amount=Decimal(68)),
    ]
    assert yearly_overhead(items) == Decimal(76)
