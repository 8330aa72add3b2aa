"""A count from a page kept back tells when the book moved on meanwhile."""

from decimal import Decimal

import pytest
from django.http import QueryDict

from inventory import markets
from inventory.forms.counting import CountBackForm, CountOutForm
from inventory.ledger import Stamp
from inventory.models import MarketDay
from inventory.reconciliation import DayCount
from tests import factories

pytestmark = pytest.mark.django_db

STAMP = Stamp(on=factories.TODAY, at=factories.NOW)


@pytest.fixture
def day():
    product = factories.make_product(name="Plum jam")
    factories.make_price(product, price=Decimal("9.00"))
    lot = factories.make_lot(product=product, quantity=30, released_at=factories.NOW)
    day = factories.make_market_day(outlet=factories.make_outlet())
    markets.take_out(day=day, taken={lot: 12}, stamp=STAMP)
    return day


def filled(kind, day, *, seen, **figures):
    lines = list(MarketDay.objects.get(pk=day.pk).lines.select_related("lot", "day"))
    data = QueryDict(mutable=True)
    data["seen"] = seen
    for name, number in figures.items():
        data[f"{name}-{lines[0].lot_id}"] = str(number)
    return kind(data, subjects=lines)


def seen(day):
    return CountOutForm(subjects=day.lines.all()).now()


def test_a_count_on_the_figures_it_saw_is_taken(day):
    assert filled(CountOutForm, day, seen=seen(day), taken=10).is_valid()


def test_a_count_on_older_figures_says_what_the_book_has_now(day):
    before = seen(day)
    markets.take_out(day=day, taken={day.lines.get().lot: 14}, stamp=STAMP)
    form = filled(CountOutForm, day, seen=before, taken=10)
    assert not form.is_valid()
    assert "14 of" in form.non_field_errors()[0]
    assert form["seen"].value() == seen(day)
    assert filled(CountOutForm, day, seen=form["seen"].value(), taken=10).is_valid()


def test_the_same_figures_sent_twice_are_no_conflict(day):
    before = seen(day)
    lot = day.lines.get().lot
    count = DayCount(taken=Decimal(12), back=Decimal(3), sold=Decimal(9))
    markets.count_back(day=day, counts={lot: count}, stamp=STAMP)
    same = {"back": 3, "sampled": 0, "broken": 0, "given": 0, "sold": ""}
    assert filled(CountBackForm, day, seen=before, **same).is_valid()
    other = filled(CountBackForm, day, seen=before, **{**same, "back": 5})
    assert "3 of" in other.non_field_errors()[0]


def test_a_page_that_saw_nothing_is_taken_as_before(day):
    assert filled(CountOutForm, day, seen="", taken=10).is_valid()
