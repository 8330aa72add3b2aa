import datetime
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.workbook import cells

DAY = datetime.date(2026, 6, 10)


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("12", "12"),
        (" 12.50 ", "12.50"),
        ("12,50", "12.50"),
        ("1.234,50", "1234.50"),
        ("1,234.50", "1234.50"),
        ("1\u00a0234,50", "1234.50"),
        ("1\u202f234", "1234"),
        ("1'234.50", "1234.50"),
        ("$ 9.00", "9.00"),
        ("9,00 €", "9.00"),
        ("-3", "-3"),
        ("0,125", "0.125"),
        ("0.125", "0.125"),
        (7, "7"),
        (0.1, "0.1"),
    ],
)
def test_a_number_is_read_as_meant(typed, value):
    assert cells.as_decimal(cells.plain(typed)) == Decimal(value)


@pytest.mark.parametrize("typed", ["1.234", "12,345", "1.234.567", "-1,234"])
def test_a_number_of_two_meanings_is_asked_back(typed):
    with pytest.raises(cells.CellError, match="two ways"):
        cells.as_decimal(typed)


@pytest.mark.parametrize("typed", ["about 12", "12 lb", "", "1/2", "..", True, DAY])
def test_what_is_no_number_is_said(typed):
    with pytest.raises(cells.CellError, match="no number"):
        cells.as_decimal(typed)


@given(st.decimals(-9999, 9999, places=2))
def test_two_decimals_read_the_same_with_either_mark(number):
    text = f"{number:.2f}"
    assert cells.as_decimal(text) == number
    assert cells.as_decimal(text.replace(".", ",")) == number


@pytest.mark.parametrize(
    "typed",
    [
        DAY,
        datetime.datetime(2026, 6, 10, 9, 30),  # noqa: DTZ001 - as a sheet holds it
        "2026-06-10",
        "2026-6-10",
        "10.06.2026",
        "10.6.2026",
        "06/15/2026",
        "15/06/2026",
    ],
)
def test_a_date_is_read_in_three_forms(typed):
    assert cells.as_date(typed) in {DAY, DAY.replace(day=15)}


@pytest.mark.parametrize(
    ("typed", "wrong"),
    [
        ("06/10/2026", "two ways"),
        ("31.02.2026", "no day of the calendar"),
        ("13/13/2026", "two ways|no day"),
        ("June 10", "no date"),
        (46183, "no date"),
    ],
)
def test_a_doubtful_date_is_asked_back(typed, wrong):
    with pytest.raises(cells.CellError, match=wrong):
        cells.as_date(typed)


def test_both_parts_alike_are_one_day():
    assert cells.as_date("06/06/2026") == datetime.date(2026, 6, 6)


@pytest.mark.parametrize("read", [cells.as_decimal, cells.as_date])
def test_a_formula_without_a_value_is_refused(read):
    with pytest.raises(cells.CellError, match="formula"):
        read("=SUM(A1:A3)")


@pytest.mark.parametrize(("typed", "value"), [("Yes", True), ("x", True), (0, False)])
def test_yes_and_no(typed, value):
    assert cells.as_boolean(typed) is value


def test_neither_yes_nor_no():
    with pytest.raises(cells.CellError, match="neither"):
        cells.as_boolean("perhaps")


def test_text_is_tidied_and_bounded():
    assert cells.plain("  Hesper\u00a0 Hill ") == "Hesper Hill"
    assert cells.plain(" \u200b ") is None
    assert cells.as_text(12.0) == "12"
    with pytest.raises(cells.CellError, match="characters"):
        cells.as_text("x" * 2001)


def test_whole_numbers_only():
    assert cells.as_whole("12") == 12
    with pytest.raises(cells.CellError, match="whole"):
        cells.as_whole("12.5")


def test_moments_and_times():
    assert cells.as_moment("2026-06-10 09:30").hour == 9
    assert cells.as_moment(DAY).hour == 12
    assert cells.as_time("10:40") == datetime.time(10, 40)
    with pytest.raises(cells.CellError, match="time of day"):
        cells.as_time("noon")


def test_a_text_may_begin_like_a_formula():
    assert cells.as_text("=Formula Farm") == "=Formula Farm"
