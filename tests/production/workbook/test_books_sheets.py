"""Overheads, expenses and the choices of years go out and come back."""

import datetime
import io
from decimal import Decimal

import pytest

from inventory.models import ValuationYear
from production.models import Expense, Overhead
from production.workbook import loading, paper, reading, saving
from production.workbook.layout import sheets
from tests.factories import NOW, TODAY, make_business

pytestmark = pytest.mark.django_db
D = Decimal


def test_the_books_own_rows_come_back_the_same():
    make_business()
    Overhead.objects.create(
        name="canner", amount=D("161.94"), years=D(10), key="batches", starts_on=TODAY
    )
    Expense.objects.create(on=TODAY, kind="labour", text="help", amount=D("40.00"))
    ValuationYear.objects.create(year=2026, method="average", mileage_km=D("412.5"))
    file = io.BytesIO()
    paper.write_book(file, ((each, saving.rows_of(each)) for each in sheets()))
    before = _all_rows()
    for model in (Overhead, Expense, ValuationYear):
        model.objects.all().delete()
    file.seek(0)
    read = reading.read_workbook(file, name="book.xlsx")
    loaded = loading.load(read=read, at=NOW)
    assert loaded.is_kept, loaded.findings
    assert _all_rows() == before


def _all_rows():
    return [
        sorted(
            tuple(
                value.isoformat() if isinstance(value, datetime.date) else value
                for key, value in row.items()
                if key != "id"
            )
            for row in model.objects.values()
        )
        for model in (Overhead, Expense, ValuationYear)
    ]
