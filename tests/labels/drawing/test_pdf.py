"""Sheets of labels: positions to a tenth of a millimetre, embedded fonts, small files."""

from decimal import Decimal
from io import BytesIO

import pypdf
import pytest

from labels.drawing.pdf import PrintJob, label_pdf, sheets_pdf
from labels.drawing.proofs import calibration_pdf, proof_pdf
from labels.sheets import Shape, Sheet, SheetError
from tests.labels.drawing.test_labels_read_back import lay_out, make_request
from tests.pdf_reading import glyphs_of_words, read_pages

SHEET = Sheet(
    name="102x51mm-2x5-letter",
    page_width_mm=Decimal("215.9"),
    page_height_mm=Decimal("279.4"),
    rows=5,
    columns=2,
    label_width_mm=Decimal("101.6"),
    label_height_mm=Decimal("50.8"),
    left_margin_mm=Decimal(4),
    top_margin_mm=Decimal("12.7"),
    column_pitch_mm=Decimal("106.3"),
    row_pitch_mm=Decimal("50.8"),
    offset_x_mm=Decimal("0.4"),
    offset_y_mm=Decimal("-0.3"),
)


@pytest.fixture(scope="module")
def drawing():
    return lay_out(make_request())


def make_job(drawing, **overrides):
    return PrintJob(**{"drawing": drawing, "sheet": SHEET, "count": 12, **overrides})


def test_each_label_stands_where_the_sheet_says_to_a_tenth_of_a_millimetre(drawing):
    (alone,) = read_pages(label_pdf(drawing, has_outline=False))
    pages = read_pages(sheets_pdf(make_job(drawing, start_at=4)))
    assert [len(page) // len(alone) for page in pages] == [7, 5]
    for page, first in zip(pages, (4, 1), strict=True):
        for index in range(len(page) // len(alone)):
            cell = SHEET.cell(first + index)
            part = page[index * len(alone) : (index + 1) * len(alone)]
            for placed, own in zip(part, alone, strict=True):
                assert placed.left == pytest.approx(
                    own.left + float(cell.left_mm), abs=0.1
                )
                assert placed.top == pytest.approx(
                    own.top + float(cell.top_mm), abs=0.1
                )


def test_positions_are_those_of_the_layout(drawing):
    (alone,) = read_pages(label_pdf(drawing, has_outline=False))
    for item in drawing.texts:
        glyph = glyphs_of_words(alone, item.text)[0]
        # Letters begin a little right of where their line begins.
        assert item.left_mm - 0.1 <= glyph.left <= item.left_mm + 0.2 * item.size_pt


def test_all_fonts_are_embedded_subsets(drawing):
    reader = pypdf.PdfReader(BytesIO(sheets_pdf(make_job(drawing))))
    form = reader.pages[0]["/Resources"]["/XObject"]
    used = next(iter(form.values())).get_object()["/Resources"]["/Font"]
    for font in used.values():
        descriptor = font.get_object().get("/FontDescriptor")
        assert descriptor is not None
        assert "/FontFile2" in descriptor


def test_three_thousand_labels_are_one_form_and_less_than_a_megabyte(drawing):
    data = sheets_pdf(make_job(drawing, count=3000))
    reader = pypdf.PdfReader(BytesIO(data))
    assert len(data) < 1_000_000
    assert len(reader.pages) == 300
    forms = {
        form.indirect_reference.idnum
        for page in (reader.pages[0], reader.pages[299])
        for form in page["/Resources"]["/XObject"].values()
    }
    assert len(forms) == 1


def test_equal_jobs_give_equal_bytes(drawing):
    assert sheets_pdf(make_job(drawing)) == sheets_pdf(make_job(drawing))


def test_title_and_language_are_set(drawing):
    data = sheets_pdf(make_job(drawing, title="Labels: Crème brûlée"))
    reader = pypdf.PdfReader(BytesIO(data))
    assert reader.metadata.title == "Labels: Crème brûlée"
    assert reader.trailer["/Root"]["/Lang"] == "en"


def test_a_place_the_sheet_has_not_is_refused(drawing):
    with pytest.raises(SheetError, match="places 1 to 10"):
        sheets_pdf(make_job(drawing, start_at=11))


def test_a_label_of_another_size_is_refused(drawing):
    smaller = SHEET.with_label_scaled(Decimal("0.8"))
    with pytest.raises(ValueError, match="does not go on"):
        sheets_pdf(make_job(drawing, sheet=smaller))


def test_outlines_are_drawn_only_when_asked(drawing):
    plain = sheets_pdf(make_job(drawing))
    outlined = sheets_pdf(make_job(drawing, has_outlines=True))
    assert plain != outlined


def test_the_calibration_page_says_what_to_do():
    (glyphs,) = read_pages(calibration_pdf(SHEET))
    assert glyphs_of_words(glyphs, "Print at full size")
    first = glyphs_of_words(glyphs, "Calibration of")[0]
    # Drawn without the offset it serves to find: 2 mm inside the first label.
    assert first.left == pytest.approx(4 + 2, abs=0.4)


def test_the_calibration_page_of_a_round_sheet_is_drawn():
    lids = Sheet(
        name="round-50mm-3x4-a4",
        page_width_mm=Decimal(210),
        page_height_mm=Decimal(297),
        rows=4,
        columns=3,
        label_width_mm=Decimal(50),
        label_height_mm=Decimal(50),
        left_margin_mm=Decimal(15),
        top_margin_mm=Decimal(20),
        column_pitch_mm=Decimal(65),
        row_pitch_mm=Decimal(65),
        shape=Shape.ROUND,
    )
    assert len(read_pages(calibration_pdf(lids))) == 1


def test_the_proof_shows_the_label_at_its_place_and_its_smallest_type(drawing):
    (glyphs,) = read_pages(proof_pdf(drawing, SHEET))
    assert glyphs_of_words(glyphs, "Smallest type")
    (alone,) = read_pages(label_pdf(drawing, has_outline=False))
    cell = SHEET.cell(1)
    placed = glyphs_of_words(glyphs, "Ingredients: tomatoes")[0]
    own = glyphs_of_words(alone, "Ingredients: tomatoes")[0]
    assert placed.left == pytest.approx(own.left + float(cell.left_mm), abs=0.1)
