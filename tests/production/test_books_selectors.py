"""Costs and margins read from the book agree with what was entered."""

import datetime
from decimal import Decimal

import pytest

from inventory.models import Movement
from inventory.money import round_money
from inventory.valuation import Method
from production.costing.breakdown import CostingError, Part
from production.models import Batch, Overhead
from production.selectors.batch_costs import batch_cost
from production.selectors.cost_book import read_cost_book
from production.selectors.costed_outputs import costed_outputs
from production.selectors.material_prices import current_prices
from production.selectors.outlet_margins import margin_table
from production.selectors.outlet_records import read_records
from production.selectors.stock_value import lot_costs, value_stock
from tests.factories import (
    TODAY,
    make_line,
    make_lot,
    make_market_day,
    make_material,
    make_outlet,
    make_pack,
    make_price,
    make_product,
)
from tests.production.books_scene import Jam, make_row

pytestmark = pytest.mark.django_db
D = Decimal
Reason = Movement.Reason


@pytest.fixture
def jam():
    return Jam()


def book():
    return read_cost_book(on=TODAY)


def test_the_standard_cost_follows_todays_prices(jam):
    parts = book().standard_cost(jam.product).cost_by_part()
    assert parts[Part.INGREDIENTS] == D("1.4375")  # (2000 x .005 + 1500 x .001) / 8
    assert parts[Part.PACKAGING] == D("1.00")  # 0.75 + 0.20 + 0.05
    assert parts[Part.ENERGY] == D("0.05")  # 0.5 h x 2 kW + 0.5 h x 3 kW at 0.16, / 8
    assert parts[Part.LABOUR] == D("1.875")  # an hour at 15 / 8


def test_a_line_opens_to_its_purchase(jam):
    line = book().standard_cost(jam.product).lines[0]
    assert line.name == "strawberries"
    assert line.sources[0].key == f"lot:{jam.fruit_lot.code}"
    assert "bought 10 Jun 2026 from Supplier" in line.sources[0].text


def test_the_newest_price_wins_and_later_ones_are_not_known_yet(jam):
    make_pack(jam.sugar, price=D("3.00"), priced_on=TODAY + datetime.timedelta(days=1))
    assert current_prices(on=TODAY).of(jam.sugar).unit_price == D("0.001")
    later = current_prices(on=TODAY + datetime.timedelta(days=1))
    assert later.of(jam.sugar).unit_price == D("0.003")


def test_a_material_without_a_price_is_named(jam):
    make_line(jam.version, material=make_material(name="cardamom"))
    with pytest.raises(CostingError, match="no price is known for cardamom"):
        book().standard_cost(jam.product)


def test_a_product_without_a_recipe_says_so(jam):
    with pytest.raises(CostingError, match="say which recipe"):
        book().standard_cost(make_product())


@pytest.mark.parametrize(
    ("key", "per_jar"),
    [("jars", "0.50"), ("batches", "31.25"), ("minutes", "31.25"), ("takings", "500")],
)
def test_overheads_are_spread_by_the_chosen_key(jam, key, per_jar):
    # 500 a year: by 8 of 1,000 jars; by 1 of 2 batches; by 60 of 120 minutes; all
    # of the takings before anything was sold
    jam.cook()
    jam.cook(code="26161BN")
    make_price(jam.product, price=D(1))
    Overhead.objects.create(name="insurance", amount=D(500), key=key, starts_on=TODAY)
    part = book().standard_cost(jam.product).cost_by_part()[Part.OVERHEAD]
    assert part == D(per_jar)


def test_a_batch_cooked_to_the_letter_costs_the_standard(jam):
    result = batch_cost(jam.cook(), book=book())
    assert result.comparison.by_reason() == dict.fromkeys(
        ["amount used", "price", "jars filled", "failed seals"], D(0)
    )
    assert result.actual.total_cost == book().standard_cost(jam.product).total_cost
    assert result.assumed == ("label",)


def test_more_fruit_fewer_jars_and_a_failed_seal_are_told_apart(jam):
    batch = jam.cook(fruit=2200, filled=7)
    make_row(jam.jars, -1, Reason.SEAL)
    result = batch_cost(batch, book=book())
    reasons = result.comparison.by_reason()
    assert reasons["amount used"] == D("0.125")
    assert reasons["price"] == 0
    assert reasons["jars filled"] > 0
    assert reasons["failed seals"] > 0
    close = D("1e-20")
    assert abs(result.actual.total_cost - result.comparison.actual_cost) < close


def test_costed_batches_leave_out_the_rejected(jam):
    batch = jam.cook()
    assert [o.batch for o in costed_outputs(product_id=jam.product.pk)] == [batch]
    Batch.objects.update(status=Batch.Status.REJECTED)
    assert costed_outputs(product_id=jam.product.pk) == []


def test_the_ledger_is_worth_what_the_physical_lots_cost(jam):
    jam.cook()
    make_row(jam.jars, -3, Reason.SOLD, unit_price=D(9))
    value, costs = value_stock(method=Method.FIFO), lot_costs()
    by_lot = {
        lot: quantity * costs.unit_cost(int(lot))
        for lot, quantity in value.quantity_by_lot().items()
    }
    assert abs(sum(by_lot.values()) - value.on_hand_cost) < D("1e-20")
    assert value.bought_cost == D(68)
    assert abs(value.on_hand_cost + value.left_cost - 68) < D("1e-20")


def test_carrying_to_a_stall_moves_no_value(jam):
    jam.cook()
    before = value_stock(method=Method.FIFO).on_hand_cost
    make_row(jam.jars, -5, Reason.MOVED)
    make_row(jam.jars, 5, Reason.MOVED, place=make_outlet())
    assert value_stock(method=Method.FIFO).on_hand_cost == before


def test_a_frozen_part_carries_its_share(jam):
    frozen = make_lot(
        material=jam.fruit, quantity=0, split_from=jam.fruit_lot, cost=D(5)
    )
    make_row(jam.fruit_lot, -1000, Reason.SPLIT)
    make_row(frozen, 1000, Reason.SPLIT)
    value = value_stock(method=Method.AVERAGE)
    assert value.cost_by_lot()[str(frozen.pk)] == D(5)
    assert value.in_work == {}
    assert value.on_hand_cost == D(68)


def test_a_corrected_receipt_keeps_its_cost(jam):
    first = jam.fruit_lot.movements.get()
    make_row(jam.fruit_lot, -2000, Reason.RECEIVED, corrects=first)
    assert value_stock(method=Method.FIFO).on_hand_cost == D(68)
    assert lot_costs().unit_cost(jam.fruit_lot.pk) == D("0.01")


def test_a_corrected_draw_comes_off_the_batch(jam):
    batch = jam.cook()
    draw = batch.inputs.get(movement__lot=jam.fruit_lot).movement
    make_row(jam.fruit_lot, 500, Reason.DRAWN, corrects=draw)
    assert lot_costs().batch_cost(batch.pk) == D("16.60")


def test_what_is_kept_counts_the_stall_and_its_losses(jam):
    jam.cook(filled=8)
    outlet = make_outlet(day_fee=D(12), distance_km=D(10), takes_cards=False)
    day = make_market_day(outlet=outlet, status="counted", day_fee=D(12))
    make_price(jam.product, price=D(9))
    make_row(jam.jars, -4, Reason.SOLD, market_day=day, unit_price=D(9))
    make_row(jam.jars, -1, Reason.SAMPLED, market_day=day)
    table = margin_table(book=book())
    kept = table.cells[jam.product.pk, outlet.pk]
    terms = {t.name: t.amount for t in (*kept.jar_terms, *kept.day_terms)}
    assert terms["stall fee"] == D(3)
    assert terms["drive"] == D("1.25")
    assert terms["samples, breakage, missing"] == kept.given.cost / 4
    assert kept.kept == 9 - sum(terms.values())


def test_a_losing_pair_is_found(jam):
    outlet = make_outlet(day_fee=D(12))
    make_price(jam.product, price=D("4.00"))
    table = margin_table(book=book())
    assert [(p, o) for p, o, _ in table.losing()] == [(jam.product, outlet)]


def test_a_product_that_cannot_be_costed_is_listed_with_the_reason(jam):
    product = make_product()
    table = margin_table(book=book())
    assert [u.product for u in table.uncosted] == [product]


def test_an_outlets_record_counts_only_days_attended(jam):
    jam.cook()
    outlet = make_outlet(hours=D(8))
    day = make_market_day(
        outlet=outlet,
        status="counted",
        day_fee=D(12),
        distance_km=D(10),
        hours=D(8),
    )
    make_market_day(
        outlet=outlet, on=TODAY - datetime.timedelta(days=7), status="cancelled"
    )
    make_row(jam.jars, -4, Reason.SOLD, market_day=day, unit_price=D(9))
    (record,) = read_records(
        first=TODAY - datetime.timedelta(days=30), last=TODAY, business=book().business
    )
    assert (record.days, record.takings, record.fees) == (1, D(36), D(12))
    assert record.driving_cost == D(5)
    exact = 4 * lot_costs().unit_cost(jam.jars.pk)
    assert record.product_cost == round_money(exact)
    assert record.hours == D(8)


def test_jars_come_from_the_balance_where_there_is_one(jam):
    type(jam.version).objects.update(finish_solids=D("0.650"))
    jars = book().standard_cost(jam.product).jars
    # 1,840 g at 8 % and 1,500 g of sugar boiled to 65 %: 2.53 kg, before the pot's loss
    assert D("7.5") < jars < D("9.5")
