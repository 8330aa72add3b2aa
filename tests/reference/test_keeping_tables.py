"""The Food Code's interaction tables cell by cell, and water activity of sugar."""

from decimal import Decimal

import pytest

from production.science.keeping import (
    KeepingClass,
    MeasuredActivity,
    Packing,
    classify,
    estimate_activity,
    norrish_activity,
)

KEEPS, ASSESS = KeepingClass.KEEPS, KeepingClass.ASSESS

# FDA Food Code 1-201.10(B), interaction table A, as reprinted in Tenn. Comp. R. &
# Regs. 0080-04-09-.01, 25 TAC 228.2(144) and NAC 446.025: pH and water activity at
# the edges and inside every cell.
TABLE_A = [
    ("4.6", "0.92", KEEPS), ("4.6", "0.95", KEEPS), ("4.6", "0.99", KEEPS), ("4.6", "0.97", KEEPS),
    ("4.61", "0.92", KEEPS), ("5.6", "0.92", KEEPS), ("5.7", "0.92", KEEPS),
    ("4.7", "0.93", KEEPS), ("4.7", "0.95", KEEPS), ("5.6", "0.95", KEEPS),
    ("5.61", "0.93", ASSESS), ("5.7", "0.921", ASSESS), ("5.7", "0.95", ASSESS),
    ("4.7", "0.96", ASSESS), ("5.6", "0.951", ASSESS), ("5.7", "0.96", ASSESS),
]  # fmt: skip
# The same, table B.
TABLE_B = [
    ("4.1", "0.87", KEEPS), ("4.2", "0.87", KEEPS), ("5.0", "0.87", KEEPS), ("5.1", "0.87", KEEPS),
    ("4.1", "0.88", KEEPS), ("4.6", "0.88", KEEPS), ("5.0", "0.90", KEEPS), ("5.1", "0.88", ASSESS),
    ("5.01", "0.90", ASSESS), ("4.1", "0.91", KEEPS), ("4.2", "0.92", KEEPS), ("4.6", "0.92", KEEPS),
    ("4.61", "0.91", ASSESS), ("5.1", "0.92", ASSESS), ("4.1", "0.97", KEEPS), ("4.19", "0.99", KEEPS),
    ("4.2", "0.93", ASSESS), ("4.6", "0.921", ASSESS), ("5.0", "0.93", ASSESS), ("5.1", "0.95", ASSESS),
]  # fmt: skip

# Osmotic coefficients of Robinson and Stokes at 25 degC (from memory):
# molality of sucrose in mol/kg, water activity.
ROBINSON_STOKES = [
    ("0.1", "0.9982"), ("0.5", "0.9907"), ("1", "0.9806"), ("2", "0.9581"),
    ("3", "0.9328"), ("4", "0.9057"), ("5", "0.8776"), ("6", "0.8493"),
]  # fmt: skip


@pytest.mark.parametrize(("ph", "activity", "expected"), TABLE_A)
def test_table_a(ph, activity, expected):
    found = classify(Decimal(ph), MeasuredActivity(value=Decimal(activity)))
    assert (found.keeping, found.table) == (expected, "A")


@pytest.mark.parametrize(("ph", "activity", "expected"), TABLE_B)
def test_table_b(ph, activity, expected):
    found = classify(
        Decimal(ph), MeasuredActivity(value=Decimal(activity)), packing=Packing.OPEN
    )
    assert (found.keeping, found.table) == (expected, "B")


@pytest.mark.parametrize(("molality", "activity"), ROBINSON_STOKES)
def test_water_activity_of_sucrose(molality, activity):
    found = norrish_activity(
        Decimal(molality) * Decimal("342.30"),
        Decimal(1000),
        molar_g=Decimal("342.30"),
        k=Decimal("6.47"),
    )
    assert abs(found - Decimal(activity)) <= Decimal("0.001")


def test_jam_at_65_percent_is_not_below_0_85():
    # Norrish and Ross with 70 % sucrose and 30 % invert: 0.858. FAO Bulletin 119
    # gives 0.848 as the lowest that sucrose reaches.
    found = estimate_activity(Decimal("0.65"))
    assert abs(found.likely - Decimal("0.858")) <= Decimal("0.0005")
    assert found.high > Decimal("0.85")
