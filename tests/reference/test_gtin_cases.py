"""GTIN check digits and element strings against published cases.

Sources:
- GS1 Barcode Syntax Dictionary and its content tests (Apache-2.0), July 2026.
- GS1 Syntax Engine, unit tests (Apache-2.0), June 2026.
- python-stdnum 2.2, documented examples.
- GS1's worked example of a check digit (629104150021), from memory; its sum of 57
  is plain arithmetic.
"""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum import gs1_128

from production.gs1 import (
    SEPARATOR,
    Element,
    ElementStringError,
    Gtin,
    GtinError,
    bracketed,
    check_associations,
    element_string,
    find_identifier,
    has_check_digit,
    net_weight_element,
    parse_bracketed,
    parse_plain,
    read_gtin,
    read_scan,
)

VALID = ["6291041500213", "416000336108", "02345673", "1234567890128"]
VALID += ["12345678901231", "09520123456788", "95012345678903", "98412345678908"]
VALID += ["73513537", "9780471117094"]
INVALID = ["416000336109", "12345673", "1234567890129", "12345678901232"]
INVALID += ["95012345678902", "12345678 012345675", "", "1234567890123X", "123"]


@pytest.mark.parametrize("digits", VALID)
def test_valid_numbers_are_read_as_14_digits(digits):
    assert read_gtin(digits).digits == digits.zfill(14)


@pytest.mark.parametrize("digits", INVALID)
def test_invalid_numbers_are_refused(digits):
    with pytest.raises(GtinError):
        read_gtin(digits)


@pytest.mark.parametrize(
    ("sscc", "valid"),
    [
        ("123456789012345675", True),
        ("123456789012345670", False),
        ("006141411234567890", True),
    ],
)
def test_carton_numbers(sscc, valid):
    assert has_check_digit(sscc) is valid


def test_hyphens_in_a_number_are_ignored():
    """stdnum's documented ISBN example as an EAN."""
    assert read_gtin("978-0-471-11709-4").digits == "09780471117094"


def test_worked_check_digit():
    """1·3+2+0·3+0+5·3+1+4·3+0+1·3+9+2·3+6 = 57, so the check digit is 3."""
    assert has_check_digit("6291041500213")


def test_known_blind_spot_a_swap_of_digits_five_apart():
    """...5 0... and ...0 5... have the same weighted sum modulo ten."""
    assert has_check_digit("6291041500213")
    assert has_check_digit("6291041050213")


def test_numbers_kept_for_examples_and_for_one_house():
    assert read_gtin("09521234543213").is_example
    assert not read_gtin("09521234543213").is_in_house
    assert read_gtin("2012345678903").is_in_house


def test_a_gtin_value_refuses_a_wrong_check_digit():
    with pytest.raises(GtinError):
        Gtin(digits="09521234543214")


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("(01)12345678901231(10)12345", "01123456789012311012345"),
        ("(10)12345(11)991225", f"1012345{SEPARATOR}11991225"),
        ("(3100)123456(10)12345", "31001234561012345"),
        (r"(10)12345\(11)991225", "1012345(11)991225"),
        ("(01)38425876095074(17)181119(37)1", "013842587609507417181119371"),
    ],
)
def test_bracketed_and_plain_forms(text, plain):
    """GS1 Syntax Engine; the last one stdnum's documented example."""
    elements = parse_bracketed(text)
    assert element_string(elements) == plain
    assert bracketed(elements) == text
    assert parse_plain(plain) == elements


@pytest.mark.parametrize(
    "text",
    [
        *("(10)(11)98765", "(1A)12345", "1(12345", "12345", "()12345", "(15", ""),
        *("(01)123456789012312(10)12345", "(10) ", "(01)95012345678903(11)131313"),
        *("(10)AB#C", "(10)AB C", "(10)" + "A" * 21, "(10)A(10)B", "(97)A"),
    ],
)
def test_bracketed_texts_refused(text):
    with pytest.raises(ElementStringError):
        parse_bracketed(text)


@pytest.mark.parametrize("value", ["ABC_abc", "A" * 20])
def test_batch_values_accepted(value):
    assert parse_bracketed(f"(10){value}") == (Element(ai="10", value=value),)


@pytest.mark.parametrize("value", ["200229", "240229", "200600", "200131"])
def test_dates_accepted(value):
    """Day 00 stands for an unspecified day."""
    assert Element(ai="15", value=value).value == value


@pytest.mark.parametrize(
    "value", ["200230", "210229", "201310", "200010", "200431", "2001311", "2001", ""]
)
def test_dates_refused(value):
    with pytest.raises(ElementStringError):
        Element(ai="15", value=value)


def test_scan_of_a_qr_code():
    elements = read_scan(f"]Q3011231231231233310ABC123{SEPARATOR}99TESTING")
    assert bracketed(elements) == "(01)12312312312333(10)ABC123(99)TESTING"


@pytest.mark.parametrize("text", ["]E0123", "0112312312312333", "]Q3XX12"])
def test_other_scans_are_refused(text):
    with pytest.raises(ElementStringError):
        read_scan(text)


def test_a_batch_alone_names_nothing():
    with pytest.raises(ElementStringError, match="needs one of 01, 02, 03"):
        check_associations(parse_bracketed("(10)ABC"))
    check_associations(parse_bracketed("(01)12345678901231(10)ABC"))


def test_a_content_number_excludes_a_trade_item_number():
    with pytest.raises(ElementStringError, match="cannot stand beside"):
        check_associations(parse_bracketed("(01)12345678901231(37)2"))


def test_net_weight_in_kilograms():
    """(3103)000195 is 0.195 kg by the rule of identifier 310n."""
    assert net_weight_element(Decimal(195)) == Element(ai="3103", value="000195")
    with pytest.raises(ElementStringError):
        net_weight_element(Decimal("195.5"))


def test_stdnum_reads_our_strings_alike():
    """Second reader: python-stdnum's GS1-128 decoder."""
    elements = parse_bracketed("(01)38425876095074(17)181119(37)1")
    info = gs1_128.info(element_string(elements))
    assert info["01"] == "38425876095074"
    assert info["37"] == 1


@given(st.text("ABCDEFGHJKMNP0123456789()/_", min_size=1, max_size=20))
def test_reading_undoes_writing(value):
    elements = (Element(ai="01", value="09521234543213"), Element(ai="10", value=value))
    assert parse_bracketed(bracketed(elements)) == elements
    assert parse_plain(element_string(elements)) == elements


@pytest.mark.parametrize(
    "element", [("01", "1234567890123A"), ("30", "12x"), ("00", "123456789012345670")]
)
def test_values_of_another_form_are_refused(element):
    with pytest.raises(ElementStringError):
        Element(ai=element[0], value=element[1])


def test_a_number_prints_as_its_digits():
    assert str(read_gtin("09521234543213")) == "09521234543213"
    assert not has_check_digit("7")


def test_every_identifier_has_a_pattern_of_the_dictionary():
    for ai in ["00", "01", "10", "15", "3105", "3920", "99"]:
        assert find_identifier(ai).length > 0
