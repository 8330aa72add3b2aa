"""Ranking of common lots."""

from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from production.suspicion import chance_of_so_many, rank_suspects


def test_the_lot_only_the_bad_batches_share_comes_first():
    descendants = {
        "fruit": {1, 2, 3},
        "sugar": set(range(1, 41)),
        "lids": {1, 2, 8, 9},
        "pectin": {20, 21},
    }
    ranked = rank_suspects(descendants, complained={1, 2, 3}, batches_in_all=40)
    assert [suspect.lot for suspect in ranked] == ["fruit", "lids", "sugar"]
    assert ranked[0].explains_all
    assert not ranked[1].explains_all
    assert ranked[0].chance == Fraction(1, 9880)
    assert ranked[0].one_in == 9880
    assert ranked[2].chance == 1


def test_of_equals_the_one_with_fewer_descendants_comes_first():
    descendants = {"b": {1, 2, 3}, "a": {1, 2}}
    ranked = rank_suspects(descendants, complained={1, 2}, batches_in_all=3)
    assert [suspect.lot for suspect in ranked] == ["a", "b"]


def test_without_complaints_nothing_is_suspect():
    assert rank_suspects({"a": {1}}, complained=set(), batches_in_all=3) == []


@given(st.integers(1, 30), st.data())
def test_chances_add_up_and_fall(in_all, data):
    descendants = data.draw(st.integers(0, in_all))
    complained = data.draw(st.integers(0, in_all))
    chances = [
        chance_of_so_many(
            complained=hit,
            complained_in_all=complained,
            descendants=descendants,
            batches_in_all=in_all,
        )
        for hit in range(max(0, complained + descendants - in_all), complained + 1)
    ]
    assert chances[0] == 1
    assert chances == sorted(chances, reverse=True)


@given(st.integers(2, 60), st.data())
def test_chance_equals_scipys(in_all, data):
    """Reference: scipy.stats.hypergeom (an independent implementation)."""
    from scipy.stats import hypergeom

    descendants = data.draw(st.integers(1, in_all))
    complained = data.draw(st.integers(1, in_all))
    hit = data.draw(st.integers(0, min(descendants, complained)))
    assume(complained - hit <= in_all - descendants)
    ours = chance_of_so_many(
        complained=hit,
        complained_in_all=complained,
        descendants=descendants,
        batches_in_all=in_all,
    )
    theirs = hypergeom.sf(hit - 1, in_all, descendants, complained)
    assert float(ours) == pytest.approx(theirs, rel=1e-9, abs=1e-12)
