"""The papers of a batch, drawn from frozen values and read back."""

from io import BytesIO

import pypdf
import pypdfium2
import zxingcpp

from inventory.paper import Column
from production.papers import batch_record, batch_sheet


def make_day(**changes):
    values = {
        "number": 1,
        "on": "Wednesday 10 June 2026",
        "lines": (
            batch_sheet.SheetLine(
                cook="2 ½ cups crushed",
                weight="580 g",
                name="Strawberries <& others>",
                lots="26161-1",
                at_step=1,
            ),
        ),
        "steps": (
            batch_sheet.SheetStep(
                number=1, text="Crush.", caution="Hot fruit spits.", times="20 min"
            ),
        ),
        "figures": (("Finish at", "218.7 °F (103.7 °C)"), ("Process", "15 min")),
        "blanks": ("Finished at", "Sealed"),
        "cautions": ("Measure the pH.",),
    }
    return batch_sheet.SheetDay(**{**values, **changes})


def make_sheet(*days, code="26161AM", is_a4=False):
    return batch_sheet.BatchSheet(
        recipe="Strawberry jam",
        code=code,
        under="Version 3",
        days=days or (make_day(),),
        footer="Test Kitchen",
        is_a4=is_a4,
    )


def text_of(data):
    return [page.extract_text() for page in pypdf.PdfReader(BytesIO(data)).pages]


def codes_on(data):
    page = pypdfium2.PdfDocument(data)[0]
    picture = page.render(scale=3).to_pil()
    return [found.text for found in zxingcpp.read_barcodes(picture)]


def test_the_sheet_says_everything_it_was_given():
    (words,) = text_of(batch_sheet.draw(make_sheet()))
    for wanted in (
        "Strawberry jam, 26161AM",
        "2 ½ cups crushed",
        "580 g",
        "Strawberries <& others>",
        "Caution: Hot fruit spits.",
        "218.7 °F (103.7 °C)",
        "Measure the pH.",
        "Finished at",
    ):
        assert wanted in words


def test_a_phone_reads_the_batch_code_off_the_sheet():
    assert codes_on(batch_sheet.draw(make_sheet())) == ["26161AM"]


def test_a_sheet_without_a_code_has_no_dots():
    assert codes_on(batch_sheet.draw(make_sheet(code=""))) == []


def test_every_cook_day_has_its_sheet():
    first = make_day(stand="Overnight stand: 12 to 18 hours.", figures=(), blanks=())
    second = make_day(number=2, cautions=(), lines=())
    pages = text_of(batch_sheet.draw(make_sheet(first, second)))
    assert "Day 1 of 2" in pages[0]
    assert "Overnight stand" in pages[0]
    assert "Day 2 of 2" in pages[1]


def test_paper_sizes_and_equal_bytes():
    letter = batch_sheet.draw(make_sheet())
    a4 = batch_sheet.draw(make_sheet(is_a4=True))
    assert batch_sheet.draw(make_sheet()) == letter
    widths = [
        float(pypdf.PdfReader(BytesIO(data)).pages[0].mediabox.width)
        for data in (letter, a4)
    ]
    assert [round(width) for width in widths] == [612, 595]


def test_the_record_keeps_overrides_tables_and_remarks():
    record = batch_record.BatchRecord(
        recipe="Strawberry jam",
        code="26161AM",
        under="version 3",
        facts=(("Cook", "helper"),),
        decision="Stands: released",
        warnings=("Set aside by the owner: headspace. Reason: tall jars",),
        parts=(
            batch_record.RecordTable(
                heading="Readings",
                columns=(Column(heading="Reading"), Column(heading="Value")),
                rows=(("pH", "pH 3.4"),),
                empty="Nothing was read.",
                note="A remark.",
            ),
            batch_record.RecordTable(
                heading="Seal checks",
                columns=(Column(heading="Lot"),),
                rows=(),
                empty="The seals were not checked yet.",
            ),
        ),
        footer="Test Kitchen",
    )
    data = batch_record.draw(record)
    words = "\n".join(text_of(data))
    for wanted in ("tall jars", "pH 3.4", "A remark.", "not checked yet", "Signed"):
        assert wanted in words
    assert codes_on(data) == ["26161AM"]
