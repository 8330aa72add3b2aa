"""The demonstration's books: the two losses are found, the year agrees everywhere."""

import json
from decimal import Decimal

import pytest

pytestmark = [pytest.mark.django_db, pytest.mark.slow]
D = Decimal

ASKED = """
import datetime, json
from decimal import Decimal
from django.utils import timezone
from inventory.models import Lot
from inventory.valuation import Method
from production.selectors.cost_book import read_cost_book
from production.selectors.outlet_margins import margin_table
from production.selectors.stock_value import lot_costs, value_stock

table = margin_table(book=read_cost_book(on=timezone.localdate()))
value, costs = value_stock(method=Method.FIFO), lot_costs()
kept = sum(
    (Decimal(lot.balance) * lot.cost / lot.received
     for lot in Lot.objects.with_balance().with_received() if lot.balance),
    Decimal(0),
)
print(json.dumps({
    "losing": [[p.code, o.name] for p, o, _ in table.losing()],
    "uncosted": [u.product.code for u in table.uncosted],
    "by_ledger": str(value.on_hand_cost),
    "by_lots": str(sum(
        q * costs.unit_cost(int(lot)) for lot, q in value.quantity_by_lot().items()
    )),
    "by_sql": str(kept),
    "lost": str(value.bought_cost - value.on_hand_cost - value.left_cost
                - sum(value.in_work.values())),
}))
"""


@pytest.fixture(scope="module")
def asked(told_book):
    answer = told_book.run("shell", "--verbosity", "0", "-c", ASKED)
    return json.loads(answer.stdout)


def test_the_two_losing_pairs_are_found_and_no_other(asked):
    assert sorted(asked["losing"]) == [
        ["cranberry-half-pint", "Thimblewick General Store"],
        ["strawberry-quarter-pint", "Station Yard Wednesday market"],
    ]
    assert asked["uncosted"] == []


def test_ledger_lots_and_database_agree_on_the_stock(asked):
    # the costs kept with made lots are rounded to four places
    ledger = D(asked["by_ledger"])
    assert abs(ledger - D(asked["by_lots"])) < D("0.01")
    assert abs(ledger - D(asked["by_sql"])) < D("0.01")
    assert abs(D(asked["lost"])) < D("0.0001")


def test_the_years_workbook_and_data_agree(told_book, tmp_path):
    from openpyxl import load_workbook

    file = tmp_path / "year.xlsx"
    year = json.loads(told_book.run("shell", "--verbosity", "0", "-c", YEAR).stdout)
    answer = told_book.run("year_end", year, "--out", file, "--format", "json")
    data = json.loads(answer.stdout)
    amounts = {row["line"]: row["amount"] for row in data["lines"]}
    assert D(amounts["42"]) == D(amounts["40"]) - D(amounts["41"])
    sheet = load_workbook(file)["Cost of goods"]
    shown = {row[0].value: row[2].value for row in sheet.iter_rows()}
    for line in ("35", "37", "38", "39", "41"):
        assert D(str(shown[line])) == D(amounts[line])


YEAR = "from django.utils import timezone; print(timezone.localdate().year)"


def test_the_cheapest_jar_opens_to_its_purchases(told_book):
    answer = told_book.run("cost_jar", "strawberry-quarter-pint", "--format", "json")
    data = json.loads(answer.stdout)
    lines = [line for line in data["lines"] if line["part"] == "ingredients"]
    assert all(line["sources"][0]["key"].startswith("lot:") for line in lines)
    assert sum(D(line["cost"]) for line in data["lines"]) == D(data["cost"])
