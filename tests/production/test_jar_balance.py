"""Jars of a batch: made = found + unaccounted."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from production.jar_balance import BalanceError, JarBalance

counts = st.integers(0, 500).map(Decimal)


def balance(**figures):
    return JarBalance(**{name: Decimal(value) for name, value in figures.items()})


CASE = {
    "made": 24,
    "on_shelf": 9,
    "sold": 11,
    "sampled": 1,
    "given": 1,
    "written_off": 1,
    "at_outlets": 1,
}


def test_a_batch_whose_jars_are_all_found():
    found = balance(**CASE)
    assert found.unaccounted == 0
    assert found.accounted_percent == Decimal("100.00")
    assert found.still_out == 12


def test_one_jar_missing_of_twenty_four():
    found = balance(**(CASE | {"sold": 10}))
    assert found.unaccounted == 1
    assert found.accounted_percent == Decimal("95.83")


def test_more_found_than_made_is_no_better():
    found = balance(**(CASE | {"sold": 12}))
    assert found.unaccounted == -1
    assert found.accounted_percent == Decimal("95.83")


def test_nothing_made_is_all_accounted():
    assert balance(made=0).accounted_percent == 100
    assert balance(made=0, on_shelf=1).accounted_percent == 0


@given(counts, counts, counts, counts, counts)
def test_terms_add_up_to_the_jars_made(made, shelf, sold, sampled, recalled):
    found = JarBalance(
        made=made, on_shelf=shelf, sold=sold, sampled=sampled, recalled=recalled
    )
    assert sum(figure for _name, figure in found.terms) == made


@given(counts, counts, counts, counts)
def test_two_batches_add_up(made, shelf, other_made, other_sold):
    one = JarBalance(made=made, on_shelf=shelf)
    other = JarBalance(made=other_made, sold=other_sold)
    assert (one + other).unaccounted == one.unaccounted + other.unaccounted


def test_a_figure_below_zero_is_refused():
    with pytest.raises(BalanceError, match="on shelf cannot be -1"):
        balance(made=3, on_shelf=-1)
