"""The release gate, with every single reading missing or out of limits."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from production.gate import (
    BatchReadings,
    GateError,
    GateLimits,
    NotReleasableError,
    Override,
    OverrideRefusedError,
    PhReading,
    Requirement,
    Standing,
    judge,
    require_releasable,
)
from production.instruments import PhCalibration

DONE_AT = datetime(2026, 1, 10, 15, 0, tzinfo=UTC)
CHECKED_AT = DONE_AT + timedelta(hours=16)
REASON = "wrinkle test was firm on a cold plate"

GOOD_CALIBRATION = PhCalibration(
    calibrated_at=CHECKED_AT - timedelta(minutes=10),
    low_read=Decimal("4.02"),
    high_read=Decimal("6.97"),
)
LIMITS = GateLimits(
    finish_c=Decimal("103.5"),
    headspace_mm=Decimal("6.35"),
    processing_min=Decimal(10),
    asks_ph=True,
)
GOOD = BatchReadings(
    finish_c=Decimal("103.6"),
    headspace_mm=Decimal("6.5"),
    processing_min=Decimal(10),
    processed_at=DONE_AT,
    jars_filled=8,
    jars_sealed=7,
    jars_failed=1,
    jars_failed_settled=1,
    seals_checked_at=CHECKED_AT,
    ph=(PhReading(ph=Decimal("3.4"), measured_at=CHECKED_AT),),
    calibrations=(GOOD_CALIBRATION,),
)


def make_ph(value, at=CHECKED_AT):
    return (PhReading(ph=Decimal(value), measured_at=at),)


def finding(result, requirement):
    return next(e for e in result.findings if e.requirement is requirement)


def release(readings, limits=LIMITS, overrides=(), is_owner=True):
    return require_releasable(
        "26010A7", judge(readings, limits), overrides, is_owner=is_owner
    )


def test_a_complete_batch_is_released_without_overrides():
    assert release(GOOD, is_owner=False).may_release


MISSING = [
    ({"finish_c": None}, Requirement.FINISH, True),
    ({"headspace_mm": None}, Requirement.HEADSPACE, True),
    ({"processing_min": None}, Requirement.PROCESSING, True),
    ({"processed_at": None}, Requirement.COOLING, True),
    ({"seals_checked_at": None}, Requirement.COOLING, True),
    ({"jars_sealed": None}, Requirement.SEALS, False),
    ({"ph": ()}, Requirement.PH, False),
    ({"calibrations": ()}, Requirement.PH_CALIBRATION, True),
]


@pytest.mark.parametrize(("change", "requirement", "may_override"), MISSING)
def test_each_reading_missing_holds_the_batch(change, requirement, may_override):
    result = judge(replace(GOOD, **change), LIMITS)
    found = finding(result, requirement)
    assert found.standing is Standing.MISSING
    assert found.may_override is may_override
    assert not result.may_release


OUT = [
    ({"finish_c": Decimal("102.4")}, Requirement.FINISH, True),
    ({"finish_c": Decimal("106.1")}, Requirement.FINISH, True),
    ({"set_test": False}, Requirement.FINISH, True),
    ({"headspace_mm": Decimal("3.1")}, Requirement.HEADSPACE, True),
    ({"headspace_mm": Decimal("9.6")}, Requirement.HEADSPACE, True),
    ({"processing_min": Decimal("9.9")}, Requirement.PROCESSING, True),
    (
        {"seals_checked_at": DONE_AT + timedelta(hours=11, minutes=59)},
        Requirement.COOLING,
        True,
    ),
    (
        {"seals_checked_at": DONE_AT + timedelta(hours=24, minutes=1)},
        Requirement.COOLING,
        True,
    ),
    (
        {"seals_checked_at": DONE_AT - timedelta(minutes=1)},
        Requirement.COOLING,
        False,
    ),
    ({"jars_sealed": 6}, Requirement.SEALS, False),
    ({"jars_failed_settled": 0}, Requirement.SEALS, False),
    (
        {"jars_sealed": 0, "jars_failed": 8, "jars_failed_settled": 8},
        Requirement.SEALS,
        False,
    ),
    ({"ph": make_ph("4.61")}, Requirement.PH, False),
]


@pytest.mark.parametrize(("change", "requirement", "may_override"), OUT)
def test_each_reading_out_of_limits_holds_the_batch(change, requirement, may_override):
    result = judge(replace(GOOD, **change), LIMITS)
    found = finding(result, requirement)
    assert found.standing is Standing.OUT_OF_LIMITS
    assert found.may_override is may_override
    with pytest.raises(NotReleasableError, match="26010A7 stays held"):
        release(replace(GOOD, **change))


@pytest.mark.parametrize(("change", "requirement", "may_override"), MISSING + OUT)
def test_an_override_needs_the_owner_and_an_allowed_limit(
    change, requirement, may_override
):
    readings = replace(GOOD, **change)
    override = Override(requirement=requirement, reason=REASON)
    with pytest.raises(OverrideRefusedError):
        release(readings, overrides=[override], is_owner=False)
    if not may_override:
        with pytest.raises(OverrideRefusedError, match="cannot be overridden"):
            release(readings, overrides=[override])


def test_the_owner_accepts_a_limit_with_a_written_reason():
    readings = replace(GOOD, finish_c=Decimal("102.0"))
    override = Override(requirement=Requirement.FINISH, reason=REASON)
    result = release(readings, overrides=[override])
    assert result.may_release
    assert result.overrides[0].reason == REASON


@pytest.mark.parametrize("reason", ["", "  ", "fine"])
def test_an_override_without_a_reason_is_refused(reason):
    readings = replace(GOOD, finish_c=Decimal("102.0"))
    override = Override(requirement=Requirement.FINISH, reason=reason)
    with pytest.raises(OverrideRefusedError, match="written reason"):
        release(readings, overrides=[override])


def test_an_override_of_what_is_met_is_refused():
    override = Override(requirement=Requirement.HEADSPACE, reason=REASON)
    with pytest.raises(OverrideRefusedError, match="nothing to override"):
        release(GOOD, overrides=[override])


@settings(max_examples=60)
@given(
    st.decimals("4.61", "14", places=2),
    st.lists(st.decimals("2.0", "4.6", places=2), max_size=3),
    st.sets(st.sampled_from(list(Requirement))),
)
def test_a_ph_above_the_limit_is_never_released(bad, others, accepted):
    ph = tuple(
        PhReading(ph=value, measured_at=CHECKED_AT + timedelta(minutes=i))
        for i, value in enumerate([bad, *others])
    )
    overrides = [Override(requirement=each, reason=REASON) for each in accepted]
    with pytest.raises(GateError):
        release(replace(GOOD, ph=ph), overrides=overrides)


def test_a_bad_ph_counts_even_where_none_was_asked():
    limits = replace(LIMITS, asks_ph=False)
    assert not judge(replace(GOOD, ph=make_ph("4.9")), limits).may_release


def test_a_ph_between_working_target_and_limit_is_a_caution():
    found = finding(judge(replace(GOOD, ph=make_ph("4.4")), LIMITS), Requirement.PH)
    assert found.standing is Standing.CAUTION
    assert not found.is_open


def test_a_ph_above_four_without_a_calibrated_meter_is_no_measurement():
    """21 CFR 114.80(a)(2): above 4.0 a pH is measured with a meter."""
    readings = replace(GOOD, ph=make_ph("4.05"), calibrations=())
    found = finding(judge(readings, LIMITS), Requirement.PH_CALIBRATION)
    assert found.is_open
    assert not found.may_override


def test_the_ph_limit_may_be_lowered_never_raised():
    assert not judge(
        replace(GOOD, ph=make_ph("4.1")), replace(LIMITS, ph_limit=Decimal("4.0"))
    ).may_release
    with pytest.raises(GateError, match="never higher"):
        replace(LIMITS, ph_limit=Decimal("4.7"))


@pytest.mark.parametrize(
    ("sterile", "standing"),
    [
        (True, Standing.MET),
        (None, Standing.MISSING),
        (False, Standing.OUT_OF_LIMITS),
    ],
)
def test_under_ten_minutes_jars_must_have_been_sterile(sterile, standing):
    limits = replace(LIMITS, processing_min=Decimal(5))
    readings = replace(GOOD, processing_min=Decimal(5), jars_sterile=sterile)
    found = finding(judge(readings, limits), Requirement.STERILE_JARS)
    assert found.standing is standing


def test_a_steam_process_over_45_minutes_is_out_of_limits():
    limits = replace(LIMITS, is_steam_canner=True)
    readings = replace(GOOD, processing_min=Decimal(46))
    found = finding(judge(readings, limits), Requirement.PROCESSING)
    assert found.standing is Standing.OUT_OF_LIMITS


def test_unknown_processing_minutes_are_never_inferred():
    result = judge(GOOD, replace(LIMITS, processing_min=None))
    assert "never guess" in finding(result, Requirement.PROCESSING).says


def test_solids_stand_in_for_the_finishing_temperature():
    limits = replace(LIMITS, solids_fraction=Decimal("0.65"))
    readings = replace(GOOD, finish_c=None, solids_fraction=Decimal("0.655"))
    assert judge(readings, limits).may_release
    for bad in ("0.63", "0.72"):
        out = replace(readings, solids_fraction=Decimal(bad))
        assert not judge(out, limits).may_release


def test_added_pectin_is_judged_by_its_rolling_boil():
    limits = replace(LIMITS, finish_c=None, rolling_boil_min=Decimal(1))
    readings = replace(GOOD, finish_c=None)
    assert "rolling boil" in finding(judge(readings, limits), Requirement.FINISH).says
    assert judge(replace(readings, rolling_boil_min=Decimal(1)), limits).may_release
    short = replace(readings, rolling_boil_min=Decimal("0.5"))
    assert not judge(short, limits).may_release


def test_the_calibration_of_another_meter_does_not_count():
    ph = (PhReading(ph=Decimal("4.1"), measured_at=CHECKED_AT, meter="2"),)
    other = (replace(GOOD_CALIBRATION, meter="1"),)
    assert not judge(replace(GOOD, ph=ph, calibrations=other), LIMITS).may_release
    same = (replace(GOOD_CALIBRATION, meter="2"),)
    assert judge(replace(GOOD, ph=ph, calibrations=same), LIMITS).may_release


def test_a_calibration_is_relied_on_for_a_day_at_least():
    with pytest.raises(GateError, match="at least one day"):
        replace(LIMITS, calibration_days=0)
