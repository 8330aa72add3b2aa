"""Plausible readings, and the kind question when one is not."""

from decimal import Decimal

import pytest

from production.readings import (
    PLAUSIBLE,
    PlausibleRange,
    ReadingError,
    ReadingKind,
    ask_again,
    reading_text,
)


def test_every_kind_has_a_range_a_label_and_a_text():
    for kind in ReadingKind:
        usual = PLAUSIBLE[kind]
        assert kind.label
        assert reading_text(kind, usual.high)
        assert ask_again(kind, usual.low) is None


@pytest.mark.parametrize(
    ("kind", "value"),
    [
        (ReadingKind.FINISH_TEMPERATURE, "90"),
        (ReadingKind.HEADSPACE, "40"),
        (ReadingKind.PROCESS_MIN, "2"),
        (ReadingKind.SOLIDS, "0.9"),
        (ReadingKind.PH, "2.0"),
    ],
)
def test_an_unusual_value_is_asked_for_again(kind, value):
    assert "look once more" in ask_again(kind, Decimal(value))


def test_a_value_far_from_the_batch_target_is_asked_for_again():
    said = ask_again(ReadingKind.FINISH_TEMPERATURE, Decimal(95), target=Decimal(104))
    assert "104 °C" in said
    near = ask_again(ReadingKind.FINISH_TEMPERATURE, Decimal(103), target=Decimal(104))
    assert near is None


def test_a_ph_above_the_limit_is_asked_for_with_its_consequence():
    assert "never be released" in ask_again(ReadingKind.PH, Decimal("4.7"))
    assert ask_again(ReadingKind.PH, Decimal("4.6")) is None


@pytest.mark.parametrize(
    ("kind", "value"), [(ReadingKind.PH, "15"), (ReadingKind.SOLIDS, "1.01")]
)
def test_an_impossible_value_is_refused(kind, value):
    with pytest.raises(ReadingError, match="between"):
        ask_again(kind, Decimal(value))


def test_a_range_must_lie_inside_the_possible():
    with pytest.raises(ReadingError):
        PlausibleRange(
            low=Decimal(1),
            high=Decimal(5),
            possible_low=Decimal(2),
            possible_high=Decimal(9),
            source="none",
        )
