"""Amounts of the cook day in words."""

from datetime import timedelta
from decimal import Decimal

import pytest

from production.wording import (
    duration_text,
    headspace_text,
    number_text,
    percent_text,
    span_text,
    temperature_text,
)


@pytest.mark.parametrize(
    ("millimetres", "text"),
    [
        ("6.35", "1/4 in (6.4 mm)"),
        ("12.7", "1/2 in (12.7 mm)"),
        ("25.4", "1 in (25.4 mm)"),
        ("28.575", "1 1/8 in (28.6 mm)"),
        ("8", "8 mm"),
        ("0.1", "0.1 mm"),
    ],
)
def test_headspace_is_said_in_eighths_where_it_is_near_one(millimetres, text):
    assert headspace_text(Decimal(millimetres)) == text


def test_temperature_is_said_in_both_scales():
    assert temperature_text(Decimal(100)) == "212 °F (100 °C)"
    assert temperature_text(Decimal("103.94")) == "219.1 °F (103.9 °C)"


@pytest.mark.parametrize(
    ("minutes", "text"), [(5, "5 min"), (60, "1 h"), (125, "2 h 05 min")]
)
def test_durations(minutes, text):
    assert duration_text(minutes) == text
    assert span_text(timedelta(minutes=minutes)) == text


def test_numbers_lose_needless_zeros_only():
    assert number_text(Decimal("3.40")) == "3.4"
    assert number_text(Decimal(100)) == "100"
    assert percent_text(Decimal("0.655")) == "65.5 %"
