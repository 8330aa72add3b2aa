"""Compound ingredients as indented text."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.parts_text import PartsTextError, read_mark, read_parts, write_parts

SAUCE = """\
vinegar 45%
soy sauce 15% [soy, wheat]
  water 50%
  soybeans [soy]
    salt
anchovies 2.5% [fish anchovy]"""


def test_indented_lines_are_nested_parts():
    vinegar, soy_sauce, anchovies = read_parts(SAUCE)
    assert vinegar == {"name": "vinegar", "share": "0.45", "allergens": [], "parts": []}
    assert [part["name"] for part in soy_sauce["parts"]] == ["water", "soybeans"]
    assert soy_sauce["parts"][1]["parts"][0]["name"] == "salt"
    assert anchovies["allergens"] == [{"kind": "fish", "species": "anchovy"}]


def test_writing_gives_the_text_back():
    assert write_parts(read_parts(SAUCE)) == SAUCE


names = st.from_regex(r"[a-z]{1,8}( [a-z]{1,8})?", fullmatch=True)
marks = st.sampled_from(
    [{"kind": "milk"}, {"kind": "tree_nut", "species": "almond"}, {"kind": "soy"}]
)
parts = st.recursive(
    st.just([]),
    lambda inner: st.lists(
        st.fixed_dictionaries(
            {
                "name": names,
                "share": st.sampled_from([None, "0.5", "0.025", "1"]),
                "allergens": st.lists(marks, max_size=2),
                "parts": inner,
            }
        ),
        max_size=3,
    ),
    max_leaves=6,
)


@given(parts)
def test_reading_undoes_writing(nested):
    assert read_parts(write_parts(nested)) == nested


@pytest.mark.parametrize(
    ("text", "what_to_do"),
    [
        ("water [gold]", "is no allergen; use one of: milk"),
        ("nuts [tree_nut]", "write it like tree_nut almond"),
        ("shrimps [crustacean]", "write it like crustacean shrimp"),
        ("water\n    salt", "indented too far"),
        ("water 150%", "not between 0 and 100"),
        ("[milk]", "write it like soy sauce"),
    ],
)
def test_a_line_that_is_no_part_says_how_to_write_it(text, what_to_do):
    with pytest.raises(PartsTextError, match=what_to_do):
        read_parts(text)


def test_empty_lines_are_passed_over():
    assert [part["name"] for part in read_parts("\nsugar\n\n  water\n")] == ["sugar"]


def test_a_mark_is_read_in_any_case():
    assert read_mark("Tree-nut black walnut") == {
        "kind": "tree_nut",
        "species": "black walnut",
    }


def test_what_was_stored_without_details_is_still_written():
    assert write_parts([{"name": "sugar", "share": "some"}]) == "sugar"
