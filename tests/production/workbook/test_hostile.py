"""Broken and hostile workbooks: a sentence each, in bounded time, nothing half loaded."""

import io
import time

import openpyxl
import pytest

from inventory.models import Supplier
from inventory.workbook.findings import WorkbookError
from production.workbook import reading
from production.workbook.layout import sheet
from tests.production.workbook.test_loading import SUPPLIER, load, make_workbook

pytestmark = pytest.mark.django_db


def changed(change, **rows):
    book = openpyxl.load_workbook(make_workbook(**rows))
    change(book)
    file = io.BytesIO()
    book.save(file)
    file.seek(0)
    return file


def test_a_million_empty_rows_end_where_the_rows_end():
    def far(book):
        book["Suppliers"]["B1000000"] = "far away"

    began = time.monotonic()
    loaded = load(changed(far, suppliers=[SUPPLIER]))
    assert time.monotonic() - began < 20
    assert loaded.is_kept
    assert [each.name for each in Supplier.objects.all()] == ["Example Farm"]


def test_merged_cells_are_said_as_the_empty_cells_they_are():
    def merge(book):
        page = book["Suppliers"]
        page["B3"] = None
        page["C3"] = "1 Field Road"
        page.merge_cells("B2:B3")

    loaded = load(changed(merge, suppliers=[SUPPLIER]))
    (finding,) = loaded.errors
    assert (finding.row, finding.column) == (3, "Name")
    assert not Supplier.objects.exists()


def test_a_formula_nobody_computed_is_an_empty_cell():
    def compute(book):
        book["Suppliers"]["B2"] = "=CONCATENATE(C1,C2)"

    row = {**SUPPLIER, "Phone": "1"}
    (finding,) = load(changed(compute, suppliers=[row])).errors
    assert finding.wrong == "is empty"


def test_a_sheet_it_does_not_know_is_passed_over_and_said():
    def add(book):
        book.create_sheet("Recipes of my aunt")["A1"] = "x"

    loaded = load(changed(add, suppliers=[SUPPLIER]))
    assert loaded.is_kept
    assert [each.sheet for each in loaded.findings] == ["Recipes of my aunt"]


def test_a_workbook_of_something_else_is_refused():
    book = openpyxl.Workbook()
    file = io.BytesIO()
    book.save(file)
    file.seek(0)
    with pytest.raises(WorkbookError, match="none of the sheets"):
        load(file)


def test_what_went_out_harmless_comes_back_as_it_was():
    text = "Name,Phone\n'=Formula Farm,'+1 555\n"
    read = reading.read_separated(text, sheet=sheet("suppliers"))
    (line,) = read.lines["suppliers"]
    assert line.of("name") == "=Formula Farm"
    assert line.of("phone") == "+1 555"
