"""Thermometers in boiling water, pH meters in buffers."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from production.instruments import (
    InstrumentError,
    PhCalibration,
    ThermometerCheck,
    find_calibration,
)

NOON = datetime(2026, 5, 2, 12, 0, tzinfo=UTC)


def make_check(read, expected="98.7"):
    return ThermometerCheck(
        checked_at=NOON, read_c=Decimal(read), expected_c=Decimal(expected)
    )


def make_calibration(*, hours_ago=1, low="4.0", high="7.0"):
    return PhCalibration(
        calibrated_at=NOON - timedelta(hours=hours_ago),
        low_read=Decimal(low),
        high_read=Decimal(high),
    )


@pytest.mark.parametrize(
    ("read", "says"),
    [
        ("98.7", "reads true"),
        ("99.5", "near enough"),
        ("97.0", "3.1 °F too low"),
        ("102.0", "replace it"),
    ],
)
def test_a_thermometer_is_judged_by_boiling_water(read, says):
    assert says in make_check(read).verdict


@settings(max_examples=50)
@given(st.decimals(95, 105, places=1), st.decimals(60, 120, places=1))
def test_correcting_a_reading_undoes_the_error(read, temperature):
    check = make_check(read)
    assert check.true_c(check.shown_c(temperature)) == temperature


def test_a_reading_that_is_no_boiling_water_is_refused():
    with pytest.raises(InstrumentError, match="rolling boil"):
        make_check("21")


@pytest.mark.parametrize(
    ("low", "high", "good"),
    [
        ("3.9", "7.1", True),
        ("4.1", "6.9", True),
        ("3.89", "7.0", False),
        ("4.0", "7.11", False),
    ],
)
def test_a_calibration_is_good_within_a_tenth_of_both_buffers(low, high, good):
    assert make_calibration(low=low, high=high).is_good is good


def test_a_buffer_reading_off_the_scale_is_refused():
    with pytest.raises(InstrumentError, match="between 0 and 14"):
        make_calibration(low="40")


@pytest.mark.parametrize(("hours", "good"), [(24, True), (25, False)])
def test_a_calibration_is_relied_on_for_the_days_set(hours, good):
    found = find_calibration(
        [make_calibration(hours_ago=hours)], measured_at=NOON, valid_days=1
    )
    assert found.is_good is good


def test_a_later_failed_calibration_is_not_outvoted_by_an_older_good_one():
    found = find_calibration(
        [make_calibration(hours_ago=3), make_calibration(hours_ago=1, low="4.5")],
        measured_at=NOON,
        valid_days=7,
    )
    assert not found.is_good
    assert "failed" in found.says


def test_a_calibration_after_the_reading_does_not_count():
    found = find_calibration(
        [make_calibration(hours_ago=-1)], measured_at=NOON, valid_days=7
    )
    assert "before this reading" in found.says
