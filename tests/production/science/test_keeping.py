"""Keeping: what is measured, what is estimated, what is unknown."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from production.science.keeping import (
    KeepingClass,
    MeasuredActivity,
    Packing,
    WaterActivityEstimate,
    classify,
    estimate_activity,
)
from production.science.working import ScienceError

PH = st.integers(min_value=200, max_value=800).map(lambda n: Decimal(n) / 100)
ACTIVITY = st.integers(min_value=50, max_value=100).map(lambda n: Decimal(n) / 100)


@given(ph=PH, activity=ACTIVITY, packing=st.sampled_from(list(Packing)))
@settings(max_examples=100)
def test_more_acid_never_keeps_worse(ph, activity, packing):
    here = classify(ph, MeasuredActivity(value=activity), packing=packing).keeping
    sourer = classify(ph / 2, MeasuredActivity(value=activity), packing=packing).keeping
    if here is KeepingClass.KEEPS:
        assert sourer is KeepingClass.KEEPS


@given(solids=st.integers(min_value=0, max_value=75))
@settings(max_examples=60)
def test_more_solids_bind_more_water(solids):
    here, richer = (estimate_activity(Decimal(n) / 100) for n in (solids, solids + 5))
    assert richer.likely < here.likely


def test_an_estimate_is_its_own_type_and_marks_the_answer():
    estimate = estimate_activity(Decimal("0.65"))
    assert isinstance(estimate, WaterActivityEstimate)
    assert estimate.working.estimate
    assert classify(Decimal("4.8"), estimate).rests_on_estimate


def test_an_estimate_enters_at_its_cautious_end():
    estimate = estimate_activity(Decimal("0.55"))
    assert estimate.likely < Decimal("0.92") < estimate.high
    assert classify(Decimal("5.8"), estimate).keeping is KeepingClass.ASSESS


def test_acid_alone_answers_without_any_water_activity():
    found = classify(Decimal("3.4"), None)
    assert found.keeping is KeepingClass.KEEPS
    assert not found.rests_on_estimate


def test_nothing_measured_is_unknown_never_safe():
    found = classify(None, None)
    assert found.keeping is KeepingClass.UNKNOWN
    assert "measure the pH" in found.keeping.meaning


def test_an_assessment_says_not_to_sell_warm():
    found = classify(Decimal("5.8"), MeasuredActivity(value=Decimal("0.97")))
    assert "do not sell" in found.keeping.meaning


@pytest.mark.parametrize("ph", ["-0.1", "14.1", "NaN"])
def test_an_impossible_ph_is_refused(ph):
    with pytest.raises(ScienceError, match="enter 0 to 14"):
        classify(Decimal(ph), None)


@pytest.mark.parametrize("activity", ["0", "1.01", "NaN"])
def test_an_impossible_water_activity_is_refused(activity):
    with pytest.raises(ScienceError, match="impossible"):
        MeasuredActivity(value=Decimal(activity))


def test_solids_outside_the_model_are_refused():
    with pytest.raises(ScienceError, match="cannot be estimated"):
        estimate_activity(Decimal("0.9"))
