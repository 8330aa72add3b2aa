"""Sheets: cells stay on the page and apart, and printing may start anywhere."""

from decimal import Decimal
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from labels.sheets import (
    Shape,
    Sheet,
    SheetError,
    measured_name,
    page_name,
    placements,
    sheets_needed,
)


def make_sheet(**overrides):
    values = {
        "name": "102x51mm-2x5-letter",
        "page_width_mm": Decimal("215.9"),
        "page_height_mm": Decimal("279.4"),
        "rows": 5,
        "columns": 2,
        "label_width_mm": Decimal("101.6"),
        "label_height_mm": Decimal("50.8"),
        "left_margin_mm": Decimal(4),
        "top_margin_mm": Decimal("12.7"),
        "column_pitch_mm": Decimal("106.3"),
        "row_pitch_mm": Decimal("50.8"),
    }
    return Sheet(**{**values, **overrides})


tenths = st.integers(0, 300).map(lambda number: Decimal(number) / 10)


@st.composite
def sheets(draw):
    rows, columns = draw(st.integers(1, 8)), draw(st.integers(1, 5))
    width, height = draw(tenths) + 10, draw(tenths) + 10
    gap_x, gap_y, left, top = (draw(tenths) for _ in range(4))
    offset = draw(st.integers(-20, 20)) / Decimal(10)
    end_x = left + (columns - 1) * (width + gap_x) + width
    end_y = top + (rows - 1) * (height + gap_y) + height
    return make_sheet(
        page_width_mm=end_x + draw(tenths) + 2,
        page_height_mm=end_y + draw(tenths) + 2,
        rows=rows,
        columns=columns,
        label_width_mm=width,
        label_height_mm=height,
        left_margin_mm=left,
        top_margin_mm=top,
        column_pitch_mm=width + gap_x,
        row_pitch_mm=height + gap_y,
        offset_x_mm=max(offset, -left),
        offset_y_mm=max(offset, -top),
    )


@settings(max_examples=60, deadline=None)
@given(sheets())
def test_cells_stay_on_the_page_and_apart(sheet):
    cells = sheet.cells()
    assert len(cells) == sheet.places
    for cell in cells:
        assert 0 <= cell.left_mm <= cell.right_mm <= sheet.page_width_mm
        assert 0 <= cell.top_mm <= cell.bottom_mm <= sheet.page_height_mm
    assert all(one.is_apart_from(other) for one, other in combinations(cells, 2))


@settings(max_examples=60, deadline=None)
@given(sheets(), st.integers(1, 200), st.data())
def test_starting_anywhere_prints_every_label_once(sheet, count, data):
    start = data.draw(st.integers(1, sheet.places))
    placed = list(placements(sheet, count=count, start_at=start))
    slots = [(each.page, each.cell.number) for each in placed]
    assert len(slots) == len(set(slots)) == count
    assert slots == sorted(slots)
    assert slots[0] == (1, start)
    assert slots[-1][0] == sheets_needed(sheet, count=count, start_at=start)


def test_the_fourth_place_of_two_columns_is_second_row_right():
    cell = make_sheet().cell(4)
    assert (cell.left_mm, cell.top_mm) == (Decimal("110.3"), Decimal("63.5"))


def test_the_printer_offset_moves_every_cell():
    plain = make_sheet()
    moved = make_sheet(offset_x_mm=Decimal("0.7"), offset_y_mm=Decimal("-1.2"))
    for before, after in zip(plain.cells(), moved.cells(), strict=True):
        assert after.left_mm - before.left_mm == Decimal("0.7")
        assert after.top_mm - before.top_mm == Decimal("-1.2")


@pytest.mark.parametrize(
    ("overrides", "says"),
    [
        ({"rows": 0}, "at least one row"),
        ({"rows": 6}, "end at 12.5 in, but the height of the page is 11 in"),
        ({"column_pitch_mm": Decimal(100)}, "would overlap"),
        ({"left_margin_mm": Decimal(-1)}, "outside the page"),
        ({"label_width_mm": Decimal(0)}, "has no area"),
        ({"shape": Shape.ROUND}, "as wide as high"),
        ({"corner_radius_mm": Decimal(26)}, "do not go with"),
        ({"offset_x_mm": Decimal(5)}, "off the page"),
        ({"offset_y_mm": Decimal(-13)}, "off the page"),
    ],
)
def test_measures_that_cannot_be_true_are_refused(overrides, says):
    with pytest.raises(SheetError, match=says):
        make_sheet(**overrides)


@pytest.mark.parametrize("number", [0, 11, -1])
def test_a_place_the_sheet_has_not_is_refused(number):
    with pytest.raises(SheetError, match="places 1 to 10"):
        make_sheet().cell(number)


def test_nothing_to_print_is_refused():
    with pytest.raises(SheetError, match="at least one label"):
        sheets_needed(make_sheet(), count=0)


def test_names_are_made_of_measures():
    assert measured_name(make_sheet()) == "102x51mm-2x5-letter"
    lid = make_sheet(
        label_width_mm=Decimal(50), label_height_mm=Decimal(50), shape=Shape.ROUND
    )
    assert measured_name(lid) == "round-50mm-2x5-letter"


@pytest.mark.parametrize(
    ("width", "height", "name"),
    [
        ("210", "297", "a4"),
        ("297", "210", "a4-landscape"),
        ("100", "150.5", "100x151"),
    ],
)
def test_pages_have_their_common_names(width, height, name):
    assert page_name(Decimal(width), Decimal(height)) == name


def test_a_smaller_label_keeps_its_place():
    small = make_sheet().with_label_scaled(Decimal("0.8"))
    assert small.label_width_mm == Decimal("81.28")
    assert small.cell(4).left_mm == make_sheet().cell(4).left_mm
