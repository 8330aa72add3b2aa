"""The pages of the books: what they show, whom they refuse, what they keep."""

import datetime
from decimal import Decimal
from io import BytesIO

import pytest
from django.urls import reverse
from django.utils import timezone

from inventory.models import (
    ConsignmentLine,
    ConsignmentVisit,
    Movement,
    StockCount,
    ValuationYear,
)
from production.models import Batch, BatchInput, BatchOutput, Expense, Overhead
from tests.factories import (
    NOW,
    TODAY,
    make_line,
    make_lot,
    make_market_day,
    make_material,
    make_outlet,
    make_price,
    make_product,
)
from tests.production.books_scene import Jam, make_row

pytestmark = pytest.mark.django_db
D = Decimal
Reason = Movement.Reason


@pytest.fixture
def jam(monkeypatch):
    monkeypatch.setattr(timezone, "localdate", lambda *_: TODAY)
    jam = Jam()
    jam.batch = jam.cook()
    jam.outlet = make_outlet(name="Bridge market", day_fee=D(12), hours=D(6))
    make_price(jam.product, price=D("4.00"))
    return jam


def page(client, name, *args, **query):
    return client.get(reverse(f"production:{name}", args=args), query)


def pages(jam):
    return [
        ("books", []),
        ("jar-cost", [jam.product.code]),
        ("batch-cost", [jam.batch.pk]),
        ("books-what-if", []),
        ("books-history", []),
        ("books-outlets", []),
        ("books-this-year", []),
        ("books-year", [2026]),
        ("books-workbook", [2026]),
        ("books-stock", []),
        ("overhead-list", []),
        ("expense-list", []),
        ("books-stocktake", []),
        ("books-stocktake-sheet", []),
    ]


def test_every_page_opens_for_the_owner_and_is_refused_to_a_helper(
    jam, owner_client, helper_client, client
):
    for name, args in pages(jam):
        assert page(owner_client, name, *args).status_code == 200, name
        assert page(helper_client, name, *args).status_code == 403, name
        assert page(client, name, *args).status_code == 302, name


def test_every_page_opens_on_an_empty_book(owner_client):
    for name in ("books", "books-what-if", "books-history", "books-outlets"):
        assert page(owner_client, name).status_code == 200
    for name in ("books-this-year", "books-stocktake", "overhead-list"):
        assert page(owner_client, name).status_code == 200


def test_the_first_screen_names_the_jar_that_loses_money_and_where(jam, owner_client):
    text = page(owner_client, "books").content.decode()
    assert "One jar loses money" in text
    assert str(jam.product) in text
    assert "Bridge market" in text


def test_the_first_screen_says_when_none_does(jam, owner_client):
    make_price(jam.product, price=D("40.00"), valid_from=TODAY)
    assert "No jar loses money" in page(owner_client, "books").content.decode()


def test_a_jar_that_cannot_be_costed_says_what_is_missing(jam, owner_client):
    product = make_product()
    text = page(owner_client, "jar-cost", product.code).content.decode()
    assert "say which recipe fills its jars" in text
    assert product.name in page(owner_client, "books").content.decode()


def test_the_first_screen_asks_the_book_a_fixed_number_of_times(
    jam, owner_client, django_assert_max_num_queries
):
    other = make_product(jar_size=jam.product.jar_size)
    make_price(other)
    with django_assert_max_num_queries(32):
        page(owner_client, "books")


def test_a_jars_lines_open_to_the_purchases(jam, owner_client):
    text = page(owner_client, "jar-cost", jam.product.code).content.decode()
    assert reverse("inventory:lot-detail", args=[jam.fruit_lot.code]) in text
    assert "bought 10 Jun 2026" in text
    assert "$4.36" in text


def test_a_batch_page_takes_the_difference_apart(jam, owner_client):
    batch = jam.cook(fruit=1900, code="26161BN")
    text = page(owner_client, "batch-cost", batch.pk).content.decode()
    assert "Amount used" in text
    assert "-0.06" in text
    assert "Not recorded" in text


def test_a_batch_without_good_jars_says_so(jam, owner_client):
    make_row(jam.jars, -8, Reason.SEAL)
    text = page(owner_client, "batch-cost", jam.batch.pk).content.decode()
    assert "write-off" in text


def test_figures_can_be_tried_without_scripts(jam, owner_client):
    pair = {"product": jam.product.code, "outlet": jam.outlet.pk}
    tried = {
        "price": "9.00",
        "fruit_price": "4.5359237",
        "labour_rate": "0",
        "jars": "8",
    }
    started = f"{jam.product.code}-{jam.outlet.pk}"
    answer = page(
        owner_client, "books-what-if", **pair, **tried, started=started
    ).context["tried"]
    # fruit 2.00 kg at 10 (a lb at 4.5359237) over 8 jars instead of at 5; no labour
    assert answer.cost.total_cost == D("4.3625") + D("1.25") - D("1.875")
    assert answer.kept.given.price == D(9)


def test_a_new_pair_starts_from_its_own_figures(jam, owner_client):
    response = page(
        owner_client,
        "books-what-if",
        product=jam.product.code,
        outlet=jam.outlet.pk,
        price="99",
    )
    assert response.context["tried"].kept.given.price == D("4.00")


def test_a_wrong_figure_is_kept_and_explained(jam, owner_client):
    response = page(
        owner_client,
        "books-what-if",
        product=jam.product.code,
        outlet=jam.outlet.pk,
        started=f"{jam.product.code}-{jam.outlet.pk}",
        price="nine",
    )
    text = response.content.decode()
    assert 'value="nine"' in text
    assert "Enter a number" in text


def test_moving_a_slider_answers_with_the_answer_alone(jam, owner_client):
    response = owner_client.get(
        reverse("production:books-what-if"),
        {"product": jam.product.code, "outlet": jam.outlet.pk},
        headers={"HX-Request": "true"},
    )
    text = response.content.decode()
    assert "<html" not in text
    assert "kept of a jar" in text


def test_outlets_are_compared_by_the_hour(jam, owner_client):
    day = make_market_day(outlet=jam.outlet, status="counted", hours=D(6))
    make_row(jam.jars, -4, Reason.SOLD, market_day=day, unit_price=D(9))
    (record,) = page(owner_client, "books-outlets", days=30).context["records"]
    assert record.takings_per_hour == D(6)


def test_the_years_workbook_opens_with_the_pages_figures(jam, owner_client):
    from openpyxl import load_workbook

    response = page(owner_client, "books-workbook", 2026)
    assert "books-2026.xlsx" in response["Content-Disposition"]
    sheet = load_workbook(BytesIO(response.content))["Cost of goods"]
    goods = page(owner_client, "books-year", 2026).context["books"].goods
    closing = next(r for r in sheet.iter_rows(values_only=True) if r[0] == "41")
    assert D(str(closing[2])) == goods.closing_cost


@pytest.mark.parametrize("year", [1066, 2031])
def test_a_year_that_is_not_in_the_book_is_not_found(jam, owner_client, year):
    assert page(owner_client, "books-year", year).status_code == 404


def test_the_method_of_a_year_is_kept(jam, owner_client):
    address = reverse("production:books-year-choose", args=[2026])
    owner_client.post(address, {"method": "average", "mileage_km": "412 km"})
    chosen = ValuationYear.objects.get(year=2026)
    assert (chosen.method, chosen.mileage_km) == ("average", D(412))
    assert owner_client.get(address).status_code == 405


def test_a_wrong_choice_keeps_the_text(jam, owner_client):
    address = reverse("production:books-year-choose", args=[2026])
    response = owner_client.post(address, {"method": "fifo", "opening_value": "lots"})
    assert response.status_code == 422
    assert 'value="lots"' in response.content.decode()
    assert not ValuationYear.objects.exists()


def test_overheads_and_expenses_are_entered_and_listed(jam, owner_client):
    owner_client.post(
        reverse("production:overhead-list"),
        {
            "name": "insurance",
            "amount": "500",
            "years": "1",
            "key": "jars",
            "starts_on": "2026-01-01",
        },
    )
    overhead = Overhead.objects.get()
    edit = reverse("production:overhead-edit", args=[overhead.pk])
    assert owner_client.get(edit).status_code == 200
    owner_client.post(
        reverse("production:expense-list"),
        {"on": "2026-06-01", "kind": "labour", "text": "Saturday help", "amount": "40"},
    )
    assert Expense.objects.get().text == "Saturday help"
    assert "$500.00" in page(owner_client, "overhead-list").content.decode()


def test_an_expense_without_an_amount_is_explained(jam, owner_client):
    response = owner_client.post(
        reverse("production:expense-list"),
        {"on": "2026-06-01", "kind": "labour", "text": "Saturday help"},
    )
    assert "Saturday help" in response.content.decode()
    assert not Expense.objects.exists()


def counted(client, **figures):
    form = client.get(reverse("production:books-stocktake")).context["form"]
    data = {bound.html_name: bound.value() or "" for bound in form}
    for code, (figure, reason) in figures.items():
        row = next(r for r in form.rows() if r["line"].lot.code == code)
        data[row["counted"].html_name] = figure
        data[row["reason"].html_name] = reason
    asked = client.post(reverse("production:books-stocktake"), data)
    assert "Set the book right by this count?" in asked.content.decode()
    data |= {"confirmed": "yes"}
    return client.post(reverse("production:books-stocktake"), data)


def test_a_count_becomes_rows_of_the_ledger(jam, owner_client):
    code = jam.lid_lot.code
    response = counted(owner_client, **{code: ("90", "broken")})
    assert response.status_code == 302
    row = StockCount.objects.get().movements.get()
    assert (row.quantity, row.reason) == (D(-2), "broken")
    assert row.person is not None


def test_a_refused_count_writes_nothing_and_keeps_the_figures(jam, owner_client):
    code = jam.lid_lot.code
    response = counted(owner_client, **{code: ("95", "broken")})
    text = response.content.decode()
    assert "not broken" in text
    assert 'value="95"' in text
    assert not StockCount.objects.exists()


def test_history_draws_prices_and_months(jam, owner_client):
    make_row(jam.jars, -4, Reason.SOLD, unit_price=D(9))
    text = page(owner_client, "books-history").content.decode()
    assert "strawberries, 10 Jun 2026: 2.27 a lb" in text
    assert "Jun: 4 jars" in text
    assert " style=" not in text


def test_pictures_carry_titles_and_no_style(jam, owner_client):
    text = page(owner_client, "books").content.decode()
    assert "What is kept of a jar, by product and outlet" in text
    assert " style=" not in text


def test_an_old_year_is_read_to_its_end(jam, owner_client, monkeypatch):
    monkeypatch.setattr(timezone, "localdate", lambda *_: datetime.date(2027, 3, 1))
    books = page(owner_client, "books-year", 2026).context["books"]
    assert books.as_of == datetime.date(2026, 12, 31)


def test_a_shop_that_owes_and_a_till_that_differed_are_shown(jam, owner_client):
    shop = make_outlet(name="Corner shop", kind="consignment")
    visit = ConsignmentVisit.objects.create(outlet=shop, on=TODAY, commission=D("0.30"))
    # twelve left, seven sold, four returned, one missing: 7 x 8.00 x 70 % is due
    ConsignmentLine.objects.create(
        visit=visit,
        lot=jam.jars,
        was_there=12,
        sold=7,
        returned=4,
        missing=1,
        unit_price=D("8.00"),
    )
    make_market_day(
        outlet=jam.outlet,
        status="counted",
        float_in=D(60),
        cash_counted=D(58),
        card_total=D(0),
    )
    text = page(owner_client, "books-outlets").content.decode()
    assert "$39.20" in text
    assert "-2.00" in text
    visit.paid_on = TODAY
    visit.save()
    assert "$39.20" not in page(owner_client, "books-outlets").content.decode()


def test_the_least_price_to_a_shop_leaves_the_margin(jam, owner_client):
    floors = page(owner_client, "jar-cost", jam.product.code).context["answer"].floors
    assert floors[20].floor_price == D("4.3625") / D("0.8")
    assert floors[20].shelf_price == floors[20].floor_price / D("0.6")


def test_what_is_made_here_opens_to_its_purchases(jam, owner_client):
    puree = make_material(name="strawberry puree")
    lot = make_lot(material=puree, quantity=0, cost=D(0))
    batch = Batch.objects.create(
        code="26160CZ",
        version=jam.version,
        planned_on=TODAY,
        made_on=TODAY,
        status="released",
        finished_at=NOW,
    )
    drawn = make_row(jam.fruit_lot, -1000, Reason.DRAWN)
    BatchInput.objects.create(batch=batch, movement=drawn)
    make_row(lot, 900, Reason.MADE)
    BatchOutput.objects.create(batch=batch, lot=lot, filled=D(900))
    make_line(jam.version, material=puree, grams=D(450))
    answer = page(owner_client, "jar-cost", jam.product.code).context["answer"]
    line = next(row for row in answer.cost.lines if row.name == puree.name)
    assert line.cost == D("2.5") / 8
    (source,) = line.sources
    assert "made here" in source.text
    assert [part.key for part in source.parts] == [f"lot:{jam.fruit_lot.code}"]


def test_stock_is_worth_its_cost_on_any_day(jam, owner_client):
    make_row(jam.fruit_lot, -1000, Reason.SPOILED, on=datetime.date(2026, 6, 20))
    before = page(owner_client, "books-stock", on="2026-06-10").context["stock"]
    assert before.total_cost == D("68.00")
    monday = page(owner_client, "books-stock", on="2026-06-09").context["stock"]
    assert (monday.lines, monday.total_cost) == ((), 0)


def test_a_wrong_day_is_kept_and_explained(jam, owner_client):
    text = page(owner_client, "books-stock", on="someday").content.decode()
    assert 'value="someday"' in text
    assert "Enter a valid date" in text


def test_every_line_of_the_form_leads_to_its_rows(jam, owner_client):
    text = page(owner_client, "books-year", 2026).content.decode()
    for address in ("?on=2025-12-31", "?on=2026-06-10", "/books/expenses/"):
        assert address in text
