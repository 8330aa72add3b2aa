"""Codes drawn on a label, decoded by an independent reader from 300 dpi."""

from dataclasses import replace

import pytest
import zxingcpp

from labels.codes import CodeError, lot_bars, qr_code, trade_item_bars
from labels.drawing.pdf import label_pdf
from production.gs1 import ElementStringError, GtinError
from tests.labels.drawing.test_labels_read_back import lay_out, make_request
from tests.pdf_reading import picture_of

SIZE = (150.0, 60.0)


def decoded(*codes):
    drawing = lay_out(make_request("us-pear", size=SIZE, codes=codes))
    picture = picture_of(label_pdf(drawing), dpi=300)
    return {
        (found.format.name, found.text) for found in zxingcpp.read_barcodes(picture)
    }


@pytest.mark.parametrize(
    "text",
    ["https://example.org/t/26329AM", "Crème brûlée, Μαρμελάδα", "x" * 120],
)
def test_a_qr_code_is_read_from_the_rendered_label(text):
    assert ("QRCode", text) in decoded(qr_code(text))


@pytest.mark.parametrize(
    ("number", "name", "read"),
    [
        # Example numbers of the GS1 syntax dictionary and check-digit page.
        ("6291041500213", "EAN13", "6291041500213"),
        ("416000336108", "EAN13", "0416000336108"),
        ("02345673", "EAN8", "02345673"),
    ],
)
def test_trade_item_bars_are_read_from_the_rendered_label(number, name, read):
    found = decoded(trade_item_bars(number))
    assert read in {text.lstrip() for _name, text in found}
    assert {found_name for found_name, _text in found} <= {name, "UPCA"}


def test_a_batch_in_gs1_bars_is_read_with_its_separator_rules():
    code = lot_bars(number="9521234543213", lot="26329AM")
    drawing = lay_out(make_request("us-pear", size=(190.0, 60.0), codes=(code,)))
    (found,) = zxingcpp.read_barcodes(picture_of(label_pdf(drawing), dpi=300))
    assert found.symbology_identifier == "]C1"
    assert found.bytes == b"0109521234543213" + b"1026329AM"


def test_a_reader_sees_both_codes_of_one_label():
    texts = {
        text
        for _name, text in decoded(qr_code("26329AM"), trade_item_bars("6291041500213"))
    }
    assert {"26329AM", "6291041500213"} <= texts


def test_the_caption_under_the_bars_is_the_number():
    drawing = lay_out(
        make_request("us-pear", size=SIZE, codes=(trade_item_bars("6291041500213"),))
    )
    assert "6291041500213" in {item.text for item in drawing.texts}


@pytest.mark.parametrize("number", ["6291041500214", "12345", "62910415002I3"])
def test_a_number_with_a_wrong_check_digit_is_not_drawn(number):
    with pytest.raises(GtinError):
        trade_item_bars(number)


def test_a_case_number_is_refused_on_a_jar():
    with pytest.raises(CodeError, match="number for cases"):
        trade_item_bars("12345678901231")


@pytest.mark.parametrize(
    ("text", "says"), [("  ", "needs an address"), ("x" * 301, "at most 300")]
)
def test_a_qr_text_that_will_not_scan_is_refused(text, says):
    with pytest.raises(CodeError, match=says):
        qr_code(text)


@pytest.mark.parametrize("lot", ["A" * 21, "AB C"])
def test_a_lot_that_does_not_fit_gs1_is_refused(lot):
    with pytest.raises(ElementStringError):
        lot_bars(number="9521234543213", lot=lot)


@pytest.mark.parametrize(
    "code",
    [
        qr_code("26329AM"),
        trade_item_bars("02345673"),
        lot_bars(number="9521234543213", lot="A"),
    ],
    ids=["qr", "trade item", "lot"],
)
def test_bars_keep_inside_their_quiet_zone(code):
    assert min(bar.left_mm for bar in code.bars) >= 7 * 0.2
    assert (
        max(bar.left_mm + bar.width_mm for bar in code.bars) <= code.width_mm - 7 * 0.2
    )
    assert replace(code) == code


def test_squares_and_bars_are_no_smaller_than_scanners_need():
    # 0.264 mm: trade items at 80 %; 0.25 mm: GS1-128 (GS1 General
    # Specifications, from memory).
    for code, least in (
        (qr_code("26329AM"), 0.38),
        (trade_item_bars("6291041500213"), 0.264),
        (lot_bars(number="9521234543213", lot="26329AM"), 0.25),
    ):
        assert min(bar.width_mm for bar in code.bars) >= least - 0.001
