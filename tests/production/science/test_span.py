"""Figures with a range, and how they are shown."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from production.science.span import Span, SpanError, total
from production.science.working import Working, plain, rounded

FIGURES = st.decimals(min_value=0, max_value=10000, places=2)


@given(figures=st.lists(FIGURES, min_size=3, max_size=3), factor=FIGURES)
@settings(max_examples=60)
def test_scaling_is_exact(figures, factor):
    low, likely, high = sorted(figures)
    scaled = Span(low=low, likely=likely, high=high).scaled(factor)
    assert (scaled.low, scaled.likely, scaled.high) == (
        low * factor,
        likely * factor,
        high * factor,
    )


@given(
    figures=st.lists(st.lists(FIGURES, min_size=3, max_size=3), min_size=1, max_size=5)
)
@settings(max_examples=60)
def test_a_total_is_the_sum_of_its_terms_in_any_order(figures):
    spans = [Span(low=a, likely=b, high=c) for a, b, c in map(sorted, figures)]
    assert total(spans) == total(reversed(spans))
    assert total(spans).likely == sum(span.likely for span in spans)


def test_a_range_the_wrong_way_round_is_refused():
    with pytest.raises(SpanError, match="from low to high"):
        Span(low=Decimal(2), likely=Decimal(1), high=Decimal(3))


def test_a_range_is_shown_with_its_ends():
    assert Span.about(Decimal(10), Decimal("0.1")).text() == "10 (9 to 11)"
    assert Span.exactly(Decimal(5)).text() == "5"


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("10.00", "10"),
        ("-0.04", "0"),
        ("2.25", "2.3"),
        ("1E+2", "100"),
        ("NaN", "NaN"),
        ("1E+40", "1E+40"),
    ],
)
def test_figures_are_shown_plainly(value, text):
    assert plain(Decimal(value)) == text


def test_half_is_rounded_up():
    assert rounded(Decimal("0.25"), "0.1") == Decimal("0.3")


def test_a_working_is_one_sentence():
    working = Working(
        figure="jars", value="9", formula="a / b", source="a book", estimate=True
    )
    assert working.sentence == "jars 9 (estimate): a / b. Source: a book."
