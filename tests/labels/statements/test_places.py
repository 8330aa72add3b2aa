"""Place profiles as values, and the questions they leave open."""

import datetime
from dataclasses import replace

import pytest

from labels.statements.place_questions import questions
from labels.statements.place_reading import read_place
from labels.statements.places import (
    Answer,
    Completeness,
    PlaceError,
    StatementBasis,
)
from tests.labels.label_values import place

ROW = {
    "code": "own-here",
    "place": "Here",
    "country": "US",
    "completeness": "own",
    "status": "own",
    "read_on": "2026-01-01",
}


def test_a_bare_profile_leaves_everything_open():
    here = read_place(ROW)
    asked = " ".join(questions(here))
    assert here.basis is StatementBasis.UNKNOWN
    assert "which sentence" in asked
    assert "sales in a year are limited" in asked
    assert "whether to register" in asked
    assert "this very product" in asked
    assert here.answer("farmers_market") is Answer.UNKNOWN


def test_fixed_words_must_be_there():
    with pytest.raises(PlaceError, match="holds none"):
        read_place({**ROW, "statement_basis": "exact"})


@pytest.mark.parametrize("missing", ["place", "country", "completeness"])
def test_a_profile_without_its_head_is_refused(missing):
    row = {key: value for key, value in ROW.items() if key != missing}
    with pytest.raises(PlaceError, match="own-here"):
        read_place(row)


def test_a_year_is_the_age_of_a_reading():
    here = read_place(ROW)
    assert not here.is_stale(on=datetime.date(2027, 1, 1))
    assert here.is_stale(on=datetime.date(2027, 1, 2))


def test_an_indexed_limit_asks_for_this_years_figure():
    assert any("this year's" in asked for asked in questions(place("us-ca")))


def test_a_ready_place_with_content_asks_for_a_sentence():
    assert "It has to say" in questions(place("us-mo"))[0]
    own = place("us-mo", own_statement="Not inspected.")
    assert not any("It has to say" in asked for asked in questions(own))


def test_only_ready_and_own_may_be_printed_from():
    ready = place("us-fl")
    for completeness in Completeness:
        may = replace(ready, completeness=completeness).may_be_printed_from
        assert may is (completeness in (Completeness.READY, Completeness.OWN))


def test_words_of_a_profile_are_readable():
    law = place("us-fl")
    assert law.registration_words == "none"
    assert law.caps[0].basis_words == "gross sales"
    codes = {item.words for item in law.particulars}
    assert {"ingredients, heaviest first", "net quantity"} <= codes
