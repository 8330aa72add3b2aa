"""Yields learnt: filled against expected, trimmings weighed."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from production.yields import BatchYield, YieldError, trim_yield, yield_history


def make_history(*filled, expected=10):
    return yield_history(
        [
            BatchYield(
                code=f"B{number}", filled=Decimal(jars), expected=Decimal(expected)
            )
            for number, jars in enumerate(filled)
        ]
    )


def test_the_last_five_are_averaged():
    history = make_history(9, 9, 9, 9, 9, 1)
    assert history.average == Decimal("0.9")
    assert history.learnt_correction == Decimal("0.9")


def test_without_batches_nothing_is_corrected():
    history = make_history()
    assert history.average is None
    assert history.learnt_correction == 1
    assert history.drifts == ()


def test_a_drift_over_fifteen_percent_is_pointed_out():
    (said,) = make_history(8, 8, 8, 8, 8).drifts
    assert said.startswith("the last 5 batches filled 80 % of the jars expected")
    assert make_history("8.5", "8.5").drifts == ()


def test_a_batch_unlike_those_before_it_is_pointed_out():
    (said,) = make_history(8, 10, 10, 10).drifts
    assert said.startswith("batch B0 filled 20 % fewer jars than the batches before")


@settings(max_examples=50)
@given(st.lists(st.decimals(1, 40, places=1), min_size=1, max_size=8))
def test_the_average_lies_between_the_ratios(filled):
    history = make_history(*filled)
    ratios = [each.ratio for each in history.last]
    assert min(ratios) <= history.average <= max(ratios)


def test_impossible_yields_are_refused():
    with pytest.raises(YieldError):
        make_history(5, expected=0)
    with pytest.raises(YieldError):
        make_history(-1)


def test_trimmings_of_this_kitchen_stand_beside_the_table():
    found = trim_yield(
        [(Decimal(1000), Decimal(850)), (Decimal(3000), Decimal(2550))],
        table=Decimal("0.92"),
    )
    assert found.own == Decimal("0.85")
    assert found.says == "85 % by 2 weighings here; the book says 92 %"
    assert found.is_apart


def test_no_weighings_and_wrong_weighings():
    assert "not weighed" in trim_yield([], table=Decimal("0.92")).says
    with pytest.raises(YieldError, match="weigh again"):
        trim_yield([(Decimal(900), Decimal(901))], table=Decimal("0.92"))
