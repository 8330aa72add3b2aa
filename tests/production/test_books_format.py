"""How the books write figures and find the page behind a source."""

from decimal import Decimal

import pytest

from production.costing.breakdown import Source
from production.templatetags.books_format import (
    amount,
    figure,
    get,
    signed,
    source_address,
)

D = Decimal


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (D("1840.00"), "1,840"),
        (D("0.005"), "0.005"),
        (D("0.0123456789"), "0.01235"),
        (D("8.3333333"), "8.333"),
        (D(0), "0"),
        (D("-1.5"), "-1.5"),
        (None, "–"),
    ],
)
def test_a_figure_keeps_what_matters(value, text):
    assert figure(value) == text


@pytest.mark.parametrize(
    ("value", "text"),
    [(D("0.125"), "+0.13"), (D("-0.3"), "-0.30"), (D("0.001"), "0.00"), (None, "–")],
)
def test_a_difference_has_its_sign(value, text):
    assert signed(value) == text


def test_a_quantity_is_exact():
    assert amount(D("12345.600")) == "12,345.6"
    assert amount(D("100.000")) == "100"
    assert amount(D(7)) == "7"


@pytest.mark.parametrize(
    ("key", "address"),
    [
        ("lot:26161-1", "/pantry/"),
        ("version:apple-butter:2", "/recipes/apple-butter"),
        ("business", "business"),
        ("overheads", "/books/overheads/"),
    ],
)
def test_a_source_leads_to_its_page(key, address):
    assert address in source_address(Source(text="x", key=key))


@pytest.mark.parametrize("key", ["", "elsewhere:1", "version:broken"])
def test_a_source_without_a_page_leads_nowhere(key):
    assert source_address(Source(text="x", key=key)) == ""


def test_a_mapping_is_read_by_the_loops_key():
    assert get({1: "one"}, 1) == "one"
    assert get({}, 1) is None
