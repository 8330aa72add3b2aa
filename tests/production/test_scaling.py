"""Scaling: down freely, never up."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.quantities import read_quantity
from production.scaling import ScaledUpError, ScalingError, check_factor, cook_text


@pytest.mark.parametrize(
    ("factor", "offer"),
    [
        ("1.5", "cook one full and one half batch instead"),
        ("2", "cook two full batches instead"),
        ("2.25", "cook two full and one of 25 % batches instead"),
        ("5", "cook 5 full batches instead"),
    ],
)
def test_scaling_up_is_refused_with_another_way(factor, offer):
    with pytest.raises(ScaledUpError, match=offer):
        check_factor(Decimal(factor))


def test_nothing_is_no_batch():
    with pytest.raises(ScalingError, match="at least 1 %"):
        check_factor(Decimal(0))


@pytest.mark.parametrize(
    ("typed", "factor", "scaled"),
    [
        ("5 cups", "0.5", "2 ½ cups"),
        ("1 3/4 lb", "1", "1 3/4 lb"),
        ("1 3/4 lb", "0.5", "⅞ lb"),
        ("2 lb 4 oz", "0.5", "1 lb 2 oz"),
        ("4 each", "0.75", "3"),
        ("1 cup", "0.3", "0.3 cup"),
        ("2 kg", "0.35", "0.7 kg"),
    ],
)
def test_the_cooks_words_scale(typed, factor, scaled):
    assert cook_text(typed, Decimal(factor)) == scaled


def test_unreadable_words_are_kept():
    assert cook_text("to taste", Decimal("0.5")) == "50 % of to taste"


@settings(max_examples=50)
@given(st.integers(1, 40), st.sampled_from(["0.5", "0.25", "0.75"]))
def test_scaled_words_read_back_to_the_scaled_amount(cups, factor):
    scaled = read_quantity(cook_text(f"{cups} cups", Decimal(factor)))
    assert scaled.parts[0].amount == Fraction(factor) * cups
