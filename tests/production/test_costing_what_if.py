"""Trying another price, rate or yield changes that and nothing else."""

from decimal import Decimal

import pytest

from production.costing.breakdown import CostingError, Part
from production.costing.jar import (
    JarCostInput,
    LabourUse,
    MaterialUse,
    OverheadUse,
    Spread,
    cost_of_jar,
)
from production.costing.what_if import Change, change_input, main_material

D = Decimal


def make_input():
    return JarCostInput(
        jars=D(8),
        materials=(
            MaterialUse(
                name="strawberries",
                usable_quantity=D(1840),
                unit_price=D("0.005"),
                edible_yield=D("0.92"),
            ),
            MaterialUse(name="sugar", usable_quantity=D(1500), unit_price=D("0.001")),
            MaterialUse(
                name="jar",
                usable_quantity=D(1),
                unit_price=D("20"),
                part=Part.PACKAGING,
                spread=Spread.JAR,
            ),
        ),
        labour=(
            LabourUse(name="my time", minutes=D(60), hourly_rate=D(16)),
            LabourUse(
                name="helper", minutes=D(60), hourly_rate=D(8), is_own_time=False
            ),
        ),
        overheads=(
            OverheadUse(
                name="insurance",
                yearly_cost=D(500),
                key="jars",
                batch_amount=D(8),
                year_amount=D(1000),
            ),
            OverheadUse(
                name="permit",
                yearly_cost=D(100),
                key="batches",
                batch_amount=D(1),
                year_amount=D(100),
            ),
        ),
    )


def costs(given):
    return {line.name: line.cost for line in cost_of_jar(given).lines}


def changed(change):
    before, after = costs(make_input()), costs(change_input(make_input(), change))
    return {name: after[name] for name in before if before[name] != after[name]}


def test_the_dearest_ingredient_is_the_main_one_not_the_glass():
    assert main_material(make_input()).name == "strawberries"


def test_nothing_changed_changes_nothing():
    assert changed(Change()) == {}


def test_a_fruit_price_changes_the_fruit():
    assert changed(Change(fruit_kg_price=D(6))) == {"strawberries": D("1.5")}


def test_a_labour_rate_changes_my_time_and_not_the_helpers():
    assert changed(Change(hourly_rate=D(24))) == {"my time": D(3)}


def test_more_jars_share_the_pot_but_not_the_glass_or_the_year():
    assert changed(Change(jars=D(10))) == {
        "strawberries": D(1),
        "sugar": D("0.15"),
        "my time": D("1.6"),
        "helper": D("0.8"),
        "permit": D("0.1"),
    }


@pytest.mark.parametrize(
    ("figures", "said"),
    [
        ({"fruit_kg_price": D(-1)}, "fruit price of -1"),
        ({"hourly_rate": D(-1)}, "labour rate of -1"),
        ({"jars": D(0)}, "batch of 0 jars"),
    ],
)
def test_impossible_figures_are_refused(figures, said):
    with pytest.raises(CostingError, match=said):
        Change(**figures)


def test_a_jar_without_ingredients_has_no_main_one():
    with pytest.raises(CostingError, match="no ingredient yet"):
        main_material(JarCostInput(jars=D(1)))
