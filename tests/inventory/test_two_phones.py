"""Two people at one stall, each with a phone, entering at the same moment."""

from decimal import Decimal

import pytest

from inventory import consignment, ledger, markets
from inventory.consignment import ShopFigures
from inventory.ledger import Stamp
from inventory.models import ConsignmentVisit, MarketDay, Movement
from inventory.reconciliation import DayCount
from tests.factories import (
    NOW,
    TODAY,
    make_lot,
    make_market_day,
    make_outlet,
    make_price,
    make_product,
)
from tests.writers import Writers

STAMP = Stamp(on=TODAY, at=NOW)
PHONES = 4


@pytest.fixture
def writers(transactional_db, tmp_path):
    return Writers(tmp_path)


@pytest.fixture
def lot(writers):
    product = make_product()
    make_price(product, price=Decimal(9))
    make_price(product, price=Decimal(8), outlet_kind="consignment")
    return make_lot(product=product, quantity=24, released_at=NOW)


def stall_rows(reason):
    return Movement.objects.filter(reason=reason, place__isnull=False).total()


def test_each_jar_sampled_at_the_same_moment_counts(writers, lot):
    day = make_market_day()
    markets.take_out(day=day, taken={lot: 10}, stamp=STAMP)

    def sample(_):
        mine = MarketDay.objects.select_related("outlet").get(pk=day.pk)
        markets.record(day=mine, lot=lot, reason="sampled", stamp=STAMP)
        return True

    assert writers.at_once(sample, PHONES) == [True] * PHONES
    assert writers.ask(lambda: day.lines.get().sampled) == PHONES
    assert writers.ask(lambda: stall_rows("sampled")) == -PHONES


def test_the_same_count_from_every_phone_counts_once(writers, lot):
    day = make_market_day()
    count = DayCount(taken=Decimal(10), sold=Decimal(7), back=Decimal(3))

    def count_back(_):
        mine = MarketDay.objects.select_related("outlet").get(pk=day.pk)
        markets.count_back(day=mine, counts={lot: count}, stamp=STAMP)
        return True

    assert writers.at_once(count_back, PHONES) == [True] * PHONES
    assert writers.ask(lambda: stall_rows("sold")) == -7
    assert writers.ask(lambda: ledger.balance(lot)) == 17


def test_a_visit_entered_at_the_same_moment_is_one_visit(writers, lot):
    shop = make_outlet(kind="consignment")

    def visit(_):
        made = ConsignmentVisit(outlet=shop, on=TODAY, commission=Decimal("0.3"))
        figures = {lot: ShopFigures(left=6)}
        return consignment.visit(shop=made, figures=figures, stamp=STAMP).pk

    assert len(set(writers.at_once(visit, PHONES))) == 1
    assert writers.ask(lambda: ledger.balance(lot, shop)) == 6
