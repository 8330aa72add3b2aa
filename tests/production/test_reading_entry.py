"""Readings and weights as a cook types them."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from production.reading_entry import EntryError, read_entry, read_weights, unit_hint
from production.readings import ReadingKind

F = ReadingKind.FINISH_TEMPERATURE


@pytest.mark.parametrize(
    ("kind", "text", "is_metric", "value"),
    [
        (F, "219", False, "103.889"),
        (F, "104", True, "104"),
        (F, "104 C", False, "104"),
        (F, "219.2°F", True, "104"),
        (ReadingKind.HEADSPACE, "1/4", False, "6.35"),
        (ReadingKind.HEADSPACE, "¼ in", True, "6.35"),
        (ReadingKind.HEADSPACE, "1 1/8", False, "28.575"),
        (ReadingKind.HEADSPACE, '1/2"', True, "12.7"),
        (ReadingKind.HEADSPACE, "7 mm", False, "7"),
        (ReadingKind.SOLIDS, "66,5", False, "0.665"),
        (ReadingKind.SOLIDS, "65 brix", False, "0.65"),
        (ReadingKind.PROCESS_MIN, "10 min", False, "10"),
        (ReadingKind.PH, "3.42", False, "3.42"),
        (ReadingKind.FINISHED_MASS, "1.9 kg", False, "1900"),
        (ReadingKind.SET_TEST, "Yes", False, "1"),
        (ReadingKind.JARS_STERILE, "no", False, "0"),
    ],
)
def test_typed_readings(kind, text, is_metric, value):
    assert read_entry(kind, text, is_metric=is_metric) == Decimal(value)


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        (F, "hot"),
        (F, "219 mm"),
        (F, ""),
        (ReadingKind.SET_TEST, "maybe"),
        (ReadingKind.HEADSPACE, "1/0"),
        (ReadingKind.PH, "3.4 g"),
        (F, "1" * 40),
    ],
)
def test_what_is_no_reading_is_refused(kind, text):
    with pytest.raises(EntryError):
        read_entry(kind, text, is_metric=False)


def test_every_kind_reads_its_own_hint():
    for kind in ReadingKind:
        for is_metric in (True, False):
            hint = unit_hint(kind, is_metric=is_metric)
            text = "yes" if hint == "yes or no" else f"5 {hint}"
            assert read_entry(kind, text, is_metric=is_metric) >= 0 or hint == "°F"


@settings(max_examples=50)
@given(st.text(max_size=12))
def test_any_text_is_read_or_refused(text):
    try:
        read_entry(F, text, is_metric=False)
    except EntryError:
        return


def test_weights_with_one_average_tare():
    assert read_weights("524.6\n528.1 g\n\n", tares="186.2; 186.6") == [
        (Decimal("524.6"), Decimal("186.4")),
        (Decimal("528.1"), Decimal("186.4")),
    ]


def test_a_jar_may_bring_its_own_tare():
    assert read_weights("524,6 186,2") == [(Decimal("524.6"), Decimal("186.2"))]


@pytest.mark.parametrize(
    ("text", "tares", "says"),
    [
        ("524.6", "", "at least one empty jar"),
        ("full", "186", "no weight"),
        ("1 2 3", "186", "more than a full"),
    ],
)
def test_weights_that_cannot_be_read(text, tares, says):
    with pytest.raises(EntryError, match=says):
        read_weights(text, tares=tares)


@pytest.mark.parametrize(
    ("text", "is_metric", "grams"),
    [
        ("5 lb 3 oz", False, "2353.01"),
        ("5", False, "2267.962"),
        ("2.35 kg", False, "2350"),
        ("2350", True, "2350"),
        ("2350 g", False, "2350"),
        ("2,35 kg", True, "2350"),
    ],
)
def test_a_weight_alone_is_in_the_kitchens_unit(text, is_metric, grams):
    read = read_entry(ReadingKind.FINISHED_MASS, text, is_metric=is_metric)
    assert read == Decimal(grams)


def test_a_weight_of_something_else_is_refused():
    with pytest.raises(EntryError, match="no unit for this"):
        read_entry(ReadingKind.FINISHED_MASS, "5 ft", is_metric=False)
