"""A workbook with thirty planted mistakes reports exactly those thirty, in one run."""

import datetime
import io

import openpyxl
import pytest

from inventory.models import Movement, Supplier
from production.workbook.layout import sheet
from tests import factories
from tests.production.workbook.test_loading import load

pytestmark = pytest.mark.django_db
DAY = datetime.date(2026, 6, 2)


class Planted:
    """Builds the workbook and remembers where each mistake stands."""

    def __init__(self):
        self.book = openpyxl.Workbook()
        self.book.remove(self.book.active)
        self.expected = set()

    def add(self, key, row, *mistaken):
        """Add a row; `mistaken` names the headings whose cells are wrong."""
        layout = sheet(key)
        if layout.title not in self.book.sheetnames:
            page = self.book.create_sheet(layout.title)
            page.append(["Row", *(column.title for column in layout.columns)])
        page = self.book[layout.title]
        page.append([None, *(row.get(column.heading) for column in layout.columns)])
        by_heading = {column.heading: column.title for column in layout.columns}
        for heading in mistaken:
            place = by_heading.get(heading, "")
            self.expected.add((layout.title, page.max_row, place))

    def file(self):
        stream = io.BytesIO()
        self.book.save(stream)
        stream.seek(0)
        return stream


def material(name, **values):
    return {"Name": name, "Kind": "ingredient", **values}


def bought(**values):
    return {
        "Supplier": "Example Farm", "Bought on": DAY, "Material": "Sugar",
        "Quantity": "2 kg", "Cost": 3, **values,
    }  # fmt: skip


def jar(**values):
    return {
        "Name": "small", "Brimful": 118.3, "Area at the headspace": 28.3,
        "Diameter": 63, "Height": 66, "Straight side": 40, "Lid": 70, **values,
    }  # fmt: skip


def plant_shelves(plan):
    plan.add("suppliers", {"Name": "Example Farm"})
    plan.add("suppliers", {"Address": "1 Field Road"}, "Name")
    plan.add("suppliers", {"Name": "Other", "Lead time": "soon"}, "Lead time")
    plan.add("suppliers", {"Name": "example farm"}, "")
    plan.add("materials", material("Sugar"))
    plan.add("materials", material("Salt", Kind="spice"), "Kind")
    plan.add("materials", material("Honey", **{"Soluble solids": 80}), "Soluble solids")
    plan.add("materials", material("Rice", **{"Edible share": "1.234"}), "Edible share")
    plan.add("materials", material("Nuts", Allergens="almond"), "Allergens")
    plan.add("materials", material("Oats", Freezable="perhaps"), "Freezable")
    plan.add("seasons", {"Material": "Sugar", "From": 1301, "To": 630}, "")
    plan.add("seasons", {"Material": "Pears", "From": 901, "To": 1130}, "Material")
    plan.add("offers", {"Material": "Sugar", "Supplier": "Example Farm", "Pack": "one sack", "Price": 9, "Since": DAY}, "Pack")  # fmt: skip
    plan.add("offers", {"Material": "Sugar", "Supplier": "Nobody", "Pack": "1 kg", "Price": 2, "Since": DAY}, "Supplier")  # fmt: skip
    plan.add("jar_sizes", jar(Brimful="-5"), "Brimful")
    plan.add("jar_sizes", jar(Name="tall", Height=None), "Height")


def plant_recipes(plan):
    recipe = {
        "Recipe": "Jam", "Version": 1, "Kind": "jam", "Name of the food": "Jam",
        "Written on": DAY,
    }  # fmt: skip
    plan.add("recipes", recipe)
    plan.add("recipes", {**recipe, "Version": 1.5}, "Version")
    plan.add("recipes", {**recipe, "Version": 2, "Highest pH": 5.2}, "")
    line = {"Recipe": "Jam", "Version": 1, "Position": 1, "Material": "Sugar"}
    plan.add("recipe_lines", {**line, "Quantity": "6 cups"}, "Quantity")
    plan.add("recipe_lines", {**line, "Version": 9, "Quantity": "1 kg"}, "Recipe")
    step = {"Recipe": "Jam", "Version": 1, "Position": 1, "What to do": "Boil."}
    plan.add("recipe_steps", {**step, "Needs": "an oven"}, "Needs")
    plan.add("products", {"Code": "jam", "Name": "Jam", "Jar size": "none"}, "Jar size")


def plant_money(plan):
    outlet = {"Name": "Saturday", "Kind": "market"}
    plan.add("outlets", outlet)
    plan.add("outlets", {**outlet, "Name": "Dear", "Commission": 30}, "Commission")
    day = {"Outlet": "Saturday", "Date": DAY}
    plan.add("market_days", {**day, "Date": "06/07/2026"}, "Date")
    plan.add("market_days", {**day, "Outlet": "Sunday"}, "Outlet")
    plan.add("purchases", bought())
    plan.add("purchases", bought(Cost="three"), "Cost")
    plan.add("purchases", bought(Quantity="2 bags of sugar"), "Quantity")
    plan.add("purchases", bought(**{"Bought on": "31.02.2026"}), "Bought on")
    plan.add("purchases", bought(Cost=-1), "Cost")
    plan.add("purchases", bought(Material="Shugar"), "Material")


def test_thirty_mistakes_are_thirty_findings():
    factories.make_lot(code="T1", quantity=5)
    plan = Planted()
    plant_shelves(plan)
    plant_recipes(plan)
    plant_money(plan)
    plan.add("pantry_movements", {"Lot": "T9", "Quantity": -1, "Reason": "spoiled", "On": DAY}, "Lot")  # fmt: skip
    plan.add("pantry_movements", {"Lot": "T1", "Quantity": -6, "Reason": "spoiled", "On": DAY}, "Quantity")  # fmt: skip
    loaded = load(plan.file())
    found = [(f.sheet, f.row, f.column) for f in loaded.errors]
    assert sorted(set(found)) == sorted(plan.expected)
    assert len(found) == len(plan.expected) == 30
    assert not loaded.is_kept
    assert not Supplier.objects.exists()
    assert Movement.objects.count() == 1


def test_each_finding_says_what_would_be_right():
    plan = Planted()
    plant_shelves(plan)
    for finding in load(plan.file()).errors:
        assert finding.wrong
        assert finding.right
        assert "None" not in str(finding)
