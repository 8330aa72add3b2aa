"""``year_end``: the workbook's worked-out totals equal the data and the page."""

import json
import re
from decimal import Decimal
from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from inventory.models import Business, Movement
from production.models import Expense
from tests.factories import TODAY, make_market_day, make_outlet
from tests.production.books_scene import Jam, make_row

pytestmark = pytest.mark.django_db
D = Decimal


@pytest.fixture
def jam(monkeypatch):
    monkeypatch.setattr("django.utils.timezone.localdate", lambda *_: TODAY)
    jam = Jam()
    jam.cook()
    day = make_market_day(
        outlet=make_outlet(name="=Bridge market"), status="counted", hours=D(6)
    )
    make_row(jam.jars, -3, Movement.Reason.SOLD, unit_price=D("9.00"), market_day=day)
    make_row(jam.jars, -1, Movement.Reason.OWN_USE)
    Expense.objects.create(on=TODAY, kind="other", text="@SUM(1)", amount=D("12.50"))
    return jam


def run(*args):
    out = StringIO()
    call_command("year_end", *args, stdout=out)
    return out.getvalue()


def open_workbook(tmp_path):
    from openpyxl import load_workbook

    path = tmp_path / "year.xlsx"
    run("2026", "--out", str(path))
    return load_workbook(path)


def value_of(sheet, cell):
    """Work out a cell: numbers, differences, quotients and sums of our formulas."""
    value = sheet[cell].value
    if value is None:
        return D(0)
    if not str(value).startswith("="):
        return D(str(value))
    text = re.sub(
        r"SUM\((\w+):(\w+)\)",
        lambda m: str(
            sum(value_of(sheet, c.coordinate) for r in sheet[m[1] : m[2]] for c in r)
        ),
        value[1:],
    )
    parts = re.split(r"([-+/])", text)
    total = term(sheet, parts[0])
    for sign, part in zip(parts[1::2], parts[2::2], strict=True):
        other = term(sheet, part)
        total = {"+": total + other, "-": total - other, "/": total / (other or 1)}[
            sign
        ]
    return total


def term(sheet, text):
    return value_of(sheet, text) if re.fullmatch(r"[A-Z]+\d+", text) else D(text)


def row_of(sheet, label, column):
    for row in sheet.iter_rows():
        if any(cell.value == label for cell in row):
            return value_of(sheet, f"{column}{row[0].row}")
    raise AssertionError(f"{label} is nowhere on {sheet.title}")


def test_the_workbooks_lines_equal_the_data(jam, tmp_path):
    data = json.loads(run("2026", "--format", "json"))
    amounts = {line["line"]: line["amount"] for line in data["lines"]}
    sheet = open_workbook(tmp_path)["Cost of goods"]
    for number in ("35", "36", "37", "38", "39", "40", "41", "42"):
        assert row_of(sheet, number, "C") == D(amounts[number])
    assert row_of(sheet, "Gross profit", "C") == D(data["gross_profit"])


def test_every_sheets_total_equals_the_data(jam, tmp_path):
    data = json.loads(run("2026", "--format", "json"))
    book = open_workbook(tmp_path)
    stock = sum(D(line["cost"]) for line in data["stock"])
    assert row_of(book["Stock"], "Stock on 10 Jun 2026", "E") == stock
    left = sum(map(D, data["left_the_stock"].values()))
    label = "Opening and bought, less closing"
    assert row_of(book["Left the stock"], label, "B") == left
    assert row_of(book["Months"], "Year", "C") == D(data["gross_sales"])
    contribution = D(data["outlets"][0]["contribution"])
    assert row_of(book["Outlets"], "=Bridge market", "G") == contribution
    assert row_of(book["Expenses"], "Expenses", "D") == D("12.50")


def test_text_that_looks_like_a_formula_stays_text(jam, tmp_path):
    book = open_workbook(tmp_path)
    for sheet, cell, text in [
        ("Outlets", "A2", "=Bridge market"),
        ("Expenses", "C2", "@SUM(1)"),
    ]:
        found = book[sheet][cell]
        assert (found.value, found.data_type) == (text, "s")
        assert found.quotePrefix


def test_every_formula_is_one_of_ours(jam, tmp_path):
    book = open_workbook(tmp_path)
    formulas = [
        cell.value
        for sheet in book
        for row in sheet.iter_rows()
        for cell in row
        if cell.data_type == "f"
    ]
    assert formulas
    plain = re.compile(r"=[A-Z0-9:()+/-]+|=[A-Z]\d+[-+]SUM\([A-Z0-9:]+\)")
    assert all(plain.fullmatch(formula) for formula in formulas)


def test_sheets_are_set_up_for_printing(jam, tmp_path):
    for sheet in open_workbook(tmp_path):
        assert sheet.freeze_panes == "A2"
        assert sheet.print_title_rows == "$1:$1"
        assert sheet.page_setup.orientation == "landscape"
        assert sheet.sheet_properties.pageSetUpPr.fitToPage


def test_a_currency_without_cents_has_none_in_the_workbook(jam, tmp_path):
    Business.objects.update(currency="JPY")
    sheet = open_workbook(tmp_path)["Cost of goods"]
    assert sheet["C4"].number_format == "#,##0"


def test_the_table_names_the_lines_and_a_preparer(jam):
    text = run("2026")
    assert "42  Cost of goods sold" in text
    assert "see a preparer" in text


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["2031"], "is no year of this book yet"),
        (["2026", "--out", "year.ods"], "end it in .xlsx"),
        (["2026", "--out", "/nowhere/at/all.xlsx"], "could not be written"),
    ],
)
def test_what_cannot_be_done_is_refused(jam, args, said):
    with pytest.raises(CommandError, match=said) as caught:
        run(*args)
    assert caught.value.returncode == 2


def test_running_it_again_replaces_the_file_and_leaves_nothing_behind(jam, tmp_path):
    open_workbook(tmp_path)
    open_workbook(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["year.xlsx"]
