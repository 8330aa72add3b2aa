"""The reserved name on the label against what the recipe has earned."""

import pytest

from labels.statements.label_input import Jurisdiction
from production.science.identity import NameAnswer, NameVerdict
from tests.labels.label_values import built, outcome, state


def answer(name, verdict, place="United States", **more):
    return NameAnswer(place=place, name=name, verdict=verdict, **more)


@pytest.mark.parametrize(
    ("verdict", "expected"),
    [
        (NameVerdict.EARNED, "passed"),
        (NameVerdict.NOT_EARNED, "found"),
        (NameVerdict.MEASURE, "ask"),
        (NameVerdict.ASK, "ask"),
    ],
)
def test_a_name_is_earned_refused_or_asked(verdict, expected):
    names = (answer("Strawberry Jam", verdict, reasons=("so it is",)),)
    assert state(built(), "NAME-EARNED", names=names) == expected


def test_what_is_missing_is_said():
    names = (
        answer(
            "Strawberry Jam",
            NameVerdict.NOT_EARNED,
            missing=("36 g more fruit",),
            citation="21 CFR 150.160",
        ),
    )
    (finding,) = outcome(built(), "NAME-EARNED", names=names).findings
    assert "36 g more fruit" in finding.what
    assert "21 CFR 150.160" in finding.what


def test_only_the_labels_own_noun_and_place_count():
    names = (
        answer("Strawberry Jelly", NameVerdict.NOT_EARNED),
        answer("Strawberry Jam", NameVerdict.NOT_EARNED, place="Canada"),
    )
    assert state(built(), "NAME-EARNED", names=names) == "passed"


def test_preserves_are_read_as_preserve():
    names = (answer("Pear Preserves", NameVerdict.NOT_EARNED),)
    label = built(identity="Pear Preserves with Candied Ginger")
    assert state(label, "NAME-EARNED", names=names) == "found"


def test_extra_is_a_name_of_its_own():
    names = (
        answer("Plum Extra Jam", NameVerdict.NOT_EARNED, place="European Union"),
        answer("Plum Jam", NameVerdict.EARNED, place="European Union"),
    )
    plain = built(None, Jurisdiction.EU, identity="Plum jam")
    extra = built(None, Jurisdiction.EU, identity="Plum extra jam")
    assert state(plain, "NAME-EARNED", names=names) == "passed"
    assert state(extra, "NAME-EARNED", names=names) == "found"


def test_a_name_without_noun_has_no_standard():
    names = (answer("Strawberry Jam", NameVerdict.NOT_EARNED),)
    assert state(built(identity="Fig Chutney"), "NAME-EARNED", names=names) == "passed"


def test_preserve_alone_is_refused_where_jam_is_earned():
    """Trading-standards guidance for England on SI 2003/3120 (secondary)."""
    names = (answer("Strawberry Jam", NameVerdict.EARNED, place="United Kingdom"),)
    label = built(None, Jurisdiction.UK, identity="Strawberry preserve")
    assert state(label, "NAME-RESERVED", names=names) == "found"
    both = built(None, Jurisdiction.UK, identity="Strawberry preserve jam")
    assert state(both, "NAME-RESERVED", names=names) == "passed"
    chutney = built(None, Jurisdiction.UK, is_jam=False, identity="Fig chutney")
    assert state(chutney, "NAME-RESERVED", names=names) == "passed"
