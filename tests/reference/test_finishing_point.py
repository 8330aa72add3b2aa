"""Finishing temperatures and boiling-point elevation against printed tables."""

from decimal import Decimal

import pytest

from production.science.boiling import Kitchen, boiling_point
from production.science.finishing import (
    elevation_c,
    finishing_point_at,
    rule_for,
    solids_fraction,
)
from production.science.kinds import ProductKind
from production.science.temperature import celsius, fahrenheit

# National Center for Home Food Preservation, "Testing Jelly without Added
# Pectin", table 1: temperature test by altitude, degF.
GEL_POINT_F = [
    (0, 220), (1000, 218), (2000, 216), (3000, 214), (4000, 212), (5000, 211),
    (6000, 209), (7000, 207), (8000, 205),
]  # fmt: skip

# Boiling-point table credited to C. A. Browne (1912), printed in two places that
# agree; entries of the range a preserve is cooked to.
BROWNE = [
    (50, "2.0"), (52, "2.1"), (60, "3.0"), (62, "3.4"), (64, "4.0"), (66, "4.8"),
    (68, "5.6"), (70, "6.5"), (72, "7.4"), (74, "8.4"), (76, "9.4"), (80, "12.0"),
]  # fmt: skip


@pytest.mark.parametrize(("altitude", "printed"), GEL_POINT_F)
def test_jelly_finishes_where_the_table_says(altitude, printed):
    water = boiling_point(Kitchen(altitude_ft=Decimal(altitude)))
    above = rule_for(ProductKind.JELLY).value
    finish = finishing_point_at(water, above_c=above)
    assert abs(fahrenheit(finish.true_c) - printed) <= 1


@pytest.mark.parametrize(("percent", "above"), BROWNE)
def test_elevation_is_the_table_at_its_rows(percent, above):
    assert elevation_c(Decimal(percent) / 100) == Decimal(above)


@pytest.mark.parametrize(
    ("kind", "shown_f"),
    # USDA rules of 8 degF (jelly) and 9 degF (other spreads, Home and Garden
    # Bulletin 56) above a measured boil of 209.4 degF.
    [(ProductKind.JELLY, "217.4"), (ProductKind.MARMALADE, "218.4")],
)
def test_a_measured_boil_carries_the_rule(kind, shown_f):
    water = boiling_point(Kitchen(reading_c=celsius(Decimal("209.4"))))
    finish = finishing_point_at(water, above_c=rule_for(kind).value)
    assert abs(fahrenheit(finish.shown_c) - Decimal(shown_f)) <= Decimal("0.05")


@pytest.mark.parametrize(
    ("above_f", "percent"),
    # 8 degF is the 65 % of the US standard for jelly (21 CFR 150.140); 66.5 % is
    # the same table at 9 degF.
    [(8, "65.1"), (9, "66.5")],
)
def test_the_rules_mean_these_solids(above_f, percent):
    found = solids_fraction(Decimal(above_f) / Decimal("1.8")) * 100
    assert abs(found - Decimal(percent)) <= Decimal("0.1")


def test_sugar_boils_between_the_thermodynamic_bounds():
    # Water activity of sucrose (Norrish, K 6.47) with CoolProp's saturation line
    # gives 4.10 degC at 65 %, fully inverted syrup 6.44: the table lies between.
    assert Decimal("4.1") < elevation_c(Decimal("0.65")) < Decimal("6.44")
