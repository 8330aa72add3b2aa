import datetime
import io
from datetime import UTC

import openpyxl
import pytest
from django.utils import timezone

from inventory.models import Lot, Material, Movement, Supplier
from production.models import Batch, RecipeVersion
from production.workbook import loading, paper, reading
from production.workbook.layout import sheet, sheets
from tests import factories

pytestmark = pytest.mark.django_db
NOW = datetime.datetime(2026, 6, 10, 9, tzinfo=UTC)


def make_workbook(**rows):
    """A workbook with rows by sheet key; each row is a dict by heading."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    for key, lines in rows.items():
        layout = sheet(key)
        page = book.create_sheet(layout.title)
        page.append(["Row", *(column.title for column in layout.columns)])
        for line in lines:
            page.append(
                [None, *(line.get(column.heading) for column in layout.columns)]
            )
    file = io.BytesIO()
    book.save(file)
    file.seek(0)
    return file


def load(file, **options):
    read = reading.read_workbook(file, name="mine.xlsx")
    return loading.load(read=read, at=NOW, **options)


SUPPLIER = {"Name": "Example Farm"}
FRUIT = {
    "Name": "Strawberries", "Kind": "fruit", "Soluble solids": 0.08,
    "Edible share": 0.94, "Keeps fresh": 3,
}  # fmt: skip
BOUGHT = {
    "Supplier": "Example Farm", "Bought on": datetime.date(2026, 6, 2),
    "Material": "strawberries", "Quantity": "2 x 12 lb", "Cost": 56,
}  # fmt: skip


def test_a_purchase_becomes_a_lot_with_its_ledger_row():
    loaded = load(
        make_workbook(suppliers=[SUPPLIER], materials=[FRUIT], purchases=[BOUGHT])
    )
    assert loaded.is_kept, loaded.findings
    lot = Lot.objects.get()
    assert lot.movements.total() == lot.movements.get().quantity
    assert round(lot.movements.total()) == 10886
    assert lot.best_by == datetime.date(2026, 6, 5)
    assert lot.purchase.supplier.name == "Example Farm"


def test_the_same_file_twice_changes_nothing():
    rows = {"suppliers": [SUPPLIER], "materials": [FRUIT], "purchases": [BOUGHT] * 2}
    load(make_workbook(**rows))
    again = load(make_workbook(**rows))
    assert again.is_kept
    assert Lot.objects.count() == 2
    assert {(t.created, t.changed) for t in again.tallies.values()} == {(0, 0)}
    assert again.tallies["purchases"].same == 2


def test_checking_only_keeps_nothing_and_says_what_it_would_do():
    loaded = load(make_workbook(suppliers=[SUPPLIER]), check_only=True)
    assert not loaded.is_kept
    assert not loaded.errors
    assert loaded.tallies["suppliers"].created == 1
    assert not Supplier.objects.exists()


def test_one_mistake_takes_everything_back():
    wrong = {**BOUGHT, "Quantity": "2 x 12 lemons"}
    loaded = load(
        make_workbook(
            suppliers=[SUPPLIER], materials=[FRUIT], purchases=[BOUGHT, wrong]
        )
    )
    assert not loaded.is_kept
    assert not Material.objects.exists()
    assert not Movement.objects.exists()
    (finding,) = loaded.errors
    assert (finding.sheet, finding.row, finding.column) == ("Purchases", 3, "Quantity")


def test_a_change_is_shown_before_it_is_made():
    factories.make_supplier(name="Example Farm", phone="1")
    loaded = load(make_workbook(suppliers=[{**SUPPLIER, "Phone": "555-2"}]))
    assert loaded.tallies["suppliers"].changes == ["Example Farm: phone 1 → 555-2"]
    assert Supplier.objects.get().phone == "555-2"


def test_an_empty_cell_leaves_what_the_book_has():
    factories.make_supplier(name="Example Farm", phone="1")
    load(make_workbook(suppliers=[SUPPLIER]))
    assert Supplier.objects.get().phone == "1"


def test_a_lot_never_falls_below_nothing():
    factories.make_supplier(name="Example Farm")
    lot = factories.make_lot(code="26153-1", quantity=100)
    rows = [
        {"Lot": "26153-1", "Quantity": -60, "Reason": "spoiled", "On": lot.received_on},
        {"Lot": "26153-1", "Quantity": -41, "Reason": "spoiled", "On": lot.received_on},
    ]
    (finding,) = load(make_workbook(pantry_movements=rows)).errors
    assert finding.row == 3
    assert "at most 40" in finding.right


def cooked(**overrides):
    version = factories.make_version()
    recipe = version.recipe
    product = factories.make_product(code="test-jam")
    factories.make_filling(product, recipe)
    return {
        "Batch code": "26153AE", "Recipe": recipe.name, "Version": 1,
        "Product": "test-jam", "Status": "released",
        "First cook day": datetime.date(2026, 6, 2),
        "Day in the code": datetime.date(2026, 6, 2), **overrides,
    }  # fmt: skip


def made(**overrides):
    return {
        "Batch code": "26153AE", "Direction": "out", "Lot": "26153AE",
        "Quantity": 7, "Product": "test-jam", **overrides,
    }  # fmt: skip


def test_a_row_cannot_pass_the_gate_by():
    loaded = load(make_workbook(batches=[cooked()], batch_lots=[made()]))
    (finding,) = loaded.errors
    assert finding.column == "Status"
    assert "gate" in finding.wrong
    assert not Batch.objects.exists()


def test_a_held_batch_comes_in_held():
    loaded = load(make_workbook(batches=[cooked(Status="held")], batch_lots=[made()]))
    assert loaded.is_kept, loaded.findings
    assert Batch.objects.get().status == Batch.Status.HELD
    assert Lot.objects.get(code="26153AE").released_at is None


def test_a_cooked_version_is_never_changed():
    version = factories.make_version(frozen_at=timezone.now(), note="as cooked")
    row = {
        "Recipe": version.recipe.name, "Version": 1, "Kind": "jam",
        "Name of the food": "Test Jam", "Written on": version.written_on,
        "Note": "otherwise",
    }  # fmt: skip
    (finding,) = load(make_workbook(recipes=[row])).errors
    assert "never changed" in finding.wrong
    assert RecipeVersion.objects.get().note == "as cooked"


def test_the_template_loads_as_nothing():
    file = io.BytesIO()
    paper.write_template(file)
    file.seek(0)
    loaded = load(file)
    assert loaded.is_kept, loaded.findings
    assert not loaded.tallies
    assert not Supplier.objects.exists()


def test_the_template_has_a_sheet_a_heading_note_and_choices_for_each():
    file = io.BytesIO()
    paper.write_template(file)
    book = openpyxl.load_workbook(file)
    assert [page.title for page in book][1:] == [each.title for each in sheets()]
    for page in book.worksheets[1:]:
        assert all(cell.comment for cell in page[1])
        assert page["A2"].value == "example"
    assert book["Materials"].data_validations.dataValidation
