"""Jars into crates."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.crates import CrateRow, fill_crates


def row(name, jars):
    return CrateRow(name=name, mark="26161AM", jars=jars)


def test_a_row_is_broken_where_a_crate_is_full():
    first, second = fill_crates([row("plum", 10), row("pear", 5)], size=12)
    assert [(part.name, part.jars) for part in first.rows] == [
        ("plum", 10),
        ("pear", 2),
    ]
    assert [(part.name, part.jars) for part in second.rows] == [("pear", 3)]
    assert (first.jars, second.jars) == (12, 3)


@given(st.lists(st.integers(0, 40)), st.integers(1, 24))
def test_no_jar_is_lost_and_only_the_last_crate_is_not_full(numbers, size):
    crates = fill_crates([row(str(n), n) for n in numbers], size=size)
    assert sum(crate.jars for crate in crates) == sum(numbers)
    assert all(crate.jars == size for crate in crates[:-1])
    assert [crate.number for crate in crates] == list(range(1, len(crates) + 1))


def test_a_crate_holds_at_least_one_jar():
    with pytest.raises(ValueError, match="enter at least 1"):
        fill_crates([], size=0)
