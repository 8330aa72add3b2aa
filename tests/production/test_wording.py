"""Amounts of the cook day in words."""

from datetime import timedelta
from decimal import Decimal

import pytest

from production.wording import (
    duration_text,
    number_text,
    percent_text,
    span_text,
)


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
