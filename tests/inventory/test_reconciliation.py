"""What was taken, left or made is found again, or shown as unaccounted."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.reconciliation import (
    BatchCount,
    CashUp,
    ConsignmentVisit,
    DayCount,
    MaterialBalance,
    ReconciliationError,
)


def count(**jars):
    return DayCount(**{name: Decimal(value) for name, value in jars.items()})


def test_a_market_day_balances():
    day = count(taken=24, sold=17, sampled=1, back=6)
    assert day.unaccounted == 0
    assert day.balances


def test_a_missing_jar_is_shown_and_not_spread():
    day = count(taken=24, sold=16, sampled=1, back=6)
    assert day.unaccounted == 1
    assert not day.balances
    assert day.sold == 16
    assert day.most_sold == 17


def test_more_back_than_taken_shows_below_zero():
    assert count(taken=6, back=8).unaccounted == -2


jars = st.integers(0, 200)


@given(jars, jars, jars, jars, jars, jars)
def test_terms_and_unaccounted_add_up_to_taken(
    taken, sold, sampled, broken, given_, back
):
    day = count(
        taken=taken, sold=sold, sampled=sampled, broken=broken, given=given_, back=back
    )
    assert day.accounted + day.unaccounted == day.taken
    assert (day + day).unaccounted == 2 * day.unaccounted


def test_a_figure_below_zero_is_refused_by_its_name():
    with pytest.raises(
        ReconciliationError, match="brought back cannot be -1"
    ) as refused:
        count(taken=3, back=-1)
    assert refused.value.name == "brought back"


def test_cash_up_shows_the_difference():
    """Common practice: float 60, expected 153, card 54; 159 expected, 157 counted."""
    box = CashUp(
        float_in=Decimal(60),
        expected=Decimal(153),
        card=Decimal(54),
        counted=Decimal(157),
    )
    assert box.cash_expected == 159
    assert box.difference == -2
    assert box.float_out == 60
    assert box.to_bank == 97
    assert box.takings == 151


def test_cash_paid_out_and_a_smaller_float_are_followed():
    box = CashUp(
        float_in=Decimal(60),
        expected=Decimal(153),
        card=Decimal(54),
        counted=Decimal(124),
        paid_out=Decimal(35),
        float_next=Decimal(40),
    )
    assert box.difference == 0
    assert box.to_bank == 84
    assert box.takings == box.expected


def test_a_shop_settles_what_it_sold():
    """70/30 in the maker's favour, as craft and farm trade writing gives it:
    12 left, 7 sold, 4 returned at 8.00; one jar is missing and 39.20 is due."""
    visit = ConsignmentVisit(left=Decimal(12), sold=Decimal(7), returned=Decimal(4))
    settled = visit.settle(price=Decimal("8.00"), commission_fraction=Decimal("0.30"))
    assert visit.missing == 1
    assert settled.due == Decimal("39.20")
    assert settled.commission == Decimal("16.80")


def test_thirty_of_goods_at_seventy_thirty():
    """Craft-trade article on consignment: 30.00 at 70/30 is 21.00 to the maker."""
    visit = ConsignmentVisit(left=Decimal(3), sold=Decimal(3))
    settled = visit.settle(price=Decimal(10), commission_fraction=Decimal("0.3"))
    assert settled.due == Decimal("21.00")


def test_jars_on_the_shops_shelf_are_not_missing():
    visit = ConsignmentVisit(
        left=Decimal(12), sold=Decimal(5), broken=Decimal(1), still_there=Decimal(6)
    )
    assert visit.missing == 0


@given(st.integers(0, 300), st.decimals(0, 50, places=2), st.decimals(0, 1, places=3))
def test_gross_is_commission_and_due_to_the_cent(sold, price, share):
    visit = ConsignmentVisit(left=Decimal(sold), sold=Decimal(sold))
    settled = visit.settle(price=price, commission_fraction=share)
    assert settled.gross == settled.commission + settled.due


def test_a_shop_cannot_keep_more_than_all():
    with pytest.raises(ReconciliationError, match="share"):
        ConsignmentVisit(left=Decimal(1)).settle(
            price=Decimal(1), commission_fraction=Decimal("1.1")
        )


def test_a_batch_of_jars_balances():
    batch = BatchCount(filled=Decimal(9), released=Decimal(8), failed_seal=Decimal(1))
    assert batch.unaccounted == 0
    assert BatchCount(filled=Decimal(9), released=Decimal(7)).unaccounted == 2


def test_frozen_fruit_by_difference():
    """7 CFR 205.403(d): opening + incoming - closing = outgoing; figures invented:
    3.0 kg, 20.0 bought, 2.5 left; batch sheets say 8 times 2.5 kg."""
    balance = MaterialBalance(
        opening=Decimal(3000),
        received=Decimal(20000),
        closing=Decimal(2500),
        recorded=Decimal(20000),
    )
    assert balance.used == 20500
    assert balance.unaccounted == 500
    assert round(balance.unaccounted_fraction, 3) == Decimal("0.024")


def test_nothing_used_has_no_share():
    balance = MaterialBalance(
        opening=Decimal(1), received=Decimal(0), closing=Decimal(1), recorded=Decimal(0)
    )
    assert balance.unaccounted_fraction is None
