"""GS1 Digital Link addresses against published cases.

Sources: GS1 Syntax Engine unit tests and GS1 Barcode Syntax Dictionary (both
Apache-2.0, 2026); GS1 Digital Link toolkit, read-me example (2024).
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from production.digital_link import (
    DigitalLinkError,
    digital_link,
    plain_address,
    read_digital_link,
)
from production.gs1 import Element, bracketed, parse_bracketed

GS1 = "https://id.gs1.org"
ITEM = f"{GS1}/01/09520123456788"


@pytest.mark.parametrize(
    ("address", "text"),
    [
        (ITEM, "(01)09520123456788"),
        (f"{ITEM}/10/ABC123", "(01)09520123456788(10)ABC123"),
        (
            f"{ITEM}/10/ABC1/21/12345?17=180426",
            "(01)09520123456788(10)ABC1(21)12345(17)180426",
        ),
        (
            f"{GS1}/01/12312312312333/22/TEST/10/ABC/21/XYZ",
            "(01)12312312312333(22)TEST(10)ABC(21)XYZ",
        ),
        (
            f"{ITEM}?3103=000195&3922=0299&17=201225",
            "(01)09520123456788(3103)000195(3922)0299(17)201225",
        ),
        (f"{GS1}/414/9520123456788/254/32a%2Fb", "(414)9520123456788(254)32a/b"),
        ("https://a/00/faux/00/006141411234567890", "(00)006141411234567890"),
        (
            f"{GS1}/01/12312312312333?99=ABC&unknown=666&98=XYZ",
            "(01)12312312312333(99)ABC(98)XYZ",
        ),
        (f"{GS1}/01/12312312312333/22/ABC+123", "(01)12312312312333(22)ABC+123"),
        ("HTTP://a.example/stem/01/09520123456788#part", "(01)09520123456788"),
    ],
)
def test_published_addresses(address, text):
    assert bracketed(read_digital_link(address)) == text


@pytest.mark.parametrize(
    "address",
    [
        f"{ITEM}/10/ABC/22/TEST",
        f"{ITEM}?10=ABC123",
        f"{GS1}/01/9520123456788",
        f"{GS1}/01/416000336108",
        f"{ITEM}/10/ABC123?99=XYZ789&10=ABC123",
        f"{ITEM}?99=XYZ789&99=XYZ789",
        "https://a/stem/00/006141411234567890/",
        "HtTp://id.gs1.org/01/09520123456788",
        "http:///01/09520123456788",
        "ftp://id.gs1.org/01/09520123456788",
        f"{GS1}/01/12312312312333?98=XYZ+987",
        f"{ITEM}?9876=1",
        f"{ITEM}/10/AB%20C",
        GS1,
        "",
    ],
)
def test_addresses_refused(address):
    with pytest.raises(DigitalLinkError):
        read_digital_link(address)


@pytest.mark.parametrize(
    ("short", "digits"),
    [
        ("9520123456788", "09520123456788"),
        ("416000336108", "00416000336108"),
        ("02345673", "00000002345673"),
    ],
)
def test_short_numbers_are_read_on_request(short, digits):
    elements = read_digital_link(f"{GS1}/01/{short}", legacy=True)
    assert bracketed(elements) == f"(01){digits}"


def test_toolkit_example_is_written_alike():
    """GS1 Digital Link toolkit, read-me."""
    elements = parse_bracketed("(3103)000189(01)05412345000013(3923)2172(10)ABC&+123")
    assert digital_link(elements, stem=GS1) == (
        f"{GS1}/01/05412345000013/10/ABC%26%2B123?3103=000189&3923=2172"
    )


@pytest.mark.parametrize(
    "text", ["(10)ABC", "(01)09520123456788(00)006141411234567890"]
)
def test_an_address_names_exactly_one_thing(text):
    with pytest.raises(DigitalLinkError, match="one product"):
        digital_link(parse_bracketed(text), stem=GS1)


def test_an_element_without_a_place_is_refused():
    with pytest.raises(DigitalLinkError, match="no place"):
        digital_link(parse_bracketed("(00)006141411234567890(10)A"), stem=GS1)


def test_without_a_gtin_the_address_is_plain():
    """Never a made-up number: the maker's own address serves."""
    assert plain_address("26196AM", stem="https://jam.example/") == (
        "https://jam.example/t/26196AM"
    )


@given(st.text("ABCDEFGHJKMNP0123456789%&+/?_", min_size=1, max_size=20))
def test_reading_undoes_writing(lot):
    elements = (Element(ai="01", value="09521234543213"), Element(ai="10", value=lot))
    assert read_digital_link(digital_link(elements, stem=GS1)) == elements
