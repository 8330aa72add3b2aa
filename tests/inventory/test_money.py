"""Money: half-up once, shared without losing a cent, written as the place does."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.money import (
    MoneyError,
    allocate,
    format_money,
    round_money,
    smallest_coin,
)


@pytest.mark.parametrize(
    ("value", "currency", "rounded"),
    [
        ("2.675", "USD", "2.68"),
        ("2.665", "USD", "2.67"),
        ("-2.675", "USD", "-2.68"),
        ("-0.004", "USD", "0.00"),
        ("2.5", "JPY", "3"),
        ("1.2345", "TND", "1.235"),
    ],
)
def test_rounding_is_half_away_from_zero_to_the_coin(value, currency, rounded):
    assert str(round_money(Decimal(value), currency=currency)) == rounded


def test_what_is_no_money_is_refused():
    with pytest.raises(MoneyError, match="not an amount"):
        round_money(Decimal("NaN"))
    with pytest.raises(MoneyError, match="not a currency"):
        smallest_coin("US$")
    with pytest.raises(MoneyError, match="not a locale"):
        format_money(Decimal(1), locale="xx_nowhere")


def test_equal_shares_give_the_odd_cent_to_the_first():
    assert allocate(Decimal("100.00"), [Decimal(1)] * 3) == (
        Decimal("33.34"),
        Decimal("33.33"),
        Decimal("33.33"),
    )


def test_seats_by_largest_remainder():
    """Hare quota, ten seats for 47 000, 16 000, 15 800, 12 000, 6 100, 3 100 votes:
    5, 2, 1, 1, 1, 0 (worked example of the largest-remainder method, open
    encyclopedia; figures from memory, recomputed by hand)."""
    votes = [Decimal(v) for v in (47000, 16000, 15800, 12000, 6100, 3100)]
    assert allocate(Decimal(10), votes, currency="JPY") == (5, 2, 1, 1, 1, 0)


weights = st.lists(st.decimals(0, 1000, places=3), min_size=1, max_size=12).filter(any)


@given(st.decimals(-10000, 10000, places=2), weights)
def test_shares_add_up_and_none_is_off_by_a_cent(total, weights):
    shares = allocate(total, weights)
    whole = sum(weights)
    assert sum(shares) == total
    for share, weight in zip(shares, weights, strict=True):
        assert abs(share - total * weight / whole) < Decimal("0.01") + Decimal("1e-9")


@pytest.mark.parametrize(
    ("total", "weights"),
    [("1.005", [1]), ("Infinity", [1]), ("1", []), ("1", [0, 0]), ("1", [2, -1])],
)
def test_what_cannot_be_shared_is_refused(total, weights):
    with pytest.raises(MoneyError):
        allocate(Decimal(total), [Decimal(weight) for weight in weights])


def test_amounts_are_written_as_the_place_writes_them():
    """Unicode CLDR patterns, as Babel carries them."""
    assert format_money(Decimal("1234.5")) == "$1,234.50"
    german = format_money(Decimal("1234.5"), currency="EUR", locale="de-DE")
    assert german.replace("\u00a0", " ") == "1.234,50 €"
