"""Names are found without case, without accents, by any part of them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.folding import Fit, best_fits, fit, fold


@pytest.mark.parametrize(
    ("typed", "folded"),
    [
        ("Crème  Fraîche", "creme fraiche"),
        ("STRASSE", fold("Straße")),
        ("Smørrebrød", "smorrebrod"),
        ("ＰＬＵＭ", "plum"),  # noqa: RUF001 - full-width letters, as some keyboards write
    ],
)
def test_case_and_accents_do_not_count(typed, folded):
    assert fold(typed) == folded


@given(st.text())
def test_folding_twice_changes_nothing(text):
    assert fold(fold(text)) == fold(text)


@pytest.mark.parametrize(
    ("typed", "how"),
    [
        ("plum jam", Fit.SAME),
        ("plu", Fit.BEGINS),
        ("jam plu", Fit.WORDS),
        ("lum", Fit.INSIDE),
        ("plum jelly", None),
    ],
)
def test_how_a_name_answers(typed, how):
    assert fit(typed, "plum jam") is how


def test_the_best_comes_first_and_no_key_twice():
    names = [(1, "Sour plums"), (2, "Plums"), (1, "Plums, sour"), (3, "Apricots")]
    assert best_fits("PLUMS", names, most=5) == [2, 1]
    assert best_fits("", names, most=2) == [3, 2]
