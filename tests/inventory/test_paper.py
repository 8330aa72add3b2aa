"""Papers: typefaces, glyph coverage, page frame and tables, read back from the PDF."""

from io import BytesIO

import pypdf
import pypdfium2
import pytest

from inventory import paper
from inventory.typefaces import (
    Face,
    MissingGlyphError,
    in_faces,
    missing_from,
    width_pt,
)


def read(data):
    return [page.extract_text() for page in pypdf.PdfReader(BytesIO(data)).pages]


@pytest.mark.parametrize("face", Face)
def test_every_face_has_its_file(face):
    assert face.path.is_file()


@pytest.mark.parametrize(
    "words",
    ["Crème brûlée", "Žufánek", "Αμύγδαλα", "Айва", "½ ⅓ \u212e ° \u2032 ± ≤ µ € £"],
)
def test_words_of_europe_can_be_written(words):
    assert missing_from(words) == ""


def test_greek_on_a_condensed_line_falls_back_to_the_normal_cut():
    assert in_faces("Fig Σύκο 2", Face.CONDENSED_BOLD) == (
        (Face.CONDENSED_BOLD, "Fig "),
        (Face.BOLD, "Σύκο"),
        (Face.CONDENSED_BOLD, " 2"),
    )


def test_width_is_the_sum_of_the_stretches():
    whole = width_pt("Fig Σύκο", Face.CONDENSED, 10)
    parts = width_pt("Fig ", Face.CONDENSED, 10) + width_pt("Σύκο", Face.REGULAR, 10)
    assert whole == pytest.approx(parts)


def test_a_missing_glyph_is_an_error_that_names_it():
    with pytest.raises(MissingGlyphError, match=r"果 \(U\+679C\)"):
        in_faces("Jam 果", Face.REGULAR)


def test_a_paper_cannot_hold_a_missing_glyph():
    with pytest.raises(MissingGlyphError):
        paper.text("桃 jam")


def test_pages_are_counted_and_carry_the_footer():
    pages = read(
        paper.pdf(
            [paper.title("Batch sheet"), paper.turn_page(), paper.text("second")],
            name="Batch sheet",
            footer="Plum jam · Σύκο",
        )
    )
    assert "Page 1 of 2" in pages[0]
    assert "Page 2 of 2" in pages[1]
    assert all("Plum jam · Σύκο" in page for page in pages)


def test_markup_typed_by_a_person_is_printed_as_typed():
    words = "<b>sugar</b> & <lemon>"
    (page,) = read(paper.pdf([paper.text(words)], name="x"))
    assert words in page


def test_headings_of_a_table_repeat_on_every_page():
    rows = [[f"line {number}", "1.00"] for number in range(120)]
    columns = [
        paper.Column(heading="Material", share=3),
        paper.Column(heading="Cost, $", align="right"),
    ]
    pages = read(paper.pdf([paper.table(columns, rows, total=True)], name="x"))
    assert len(pages) > 2
    assert all("Material" in page for page in pages)
    assert "line 119" in pages[-1]


def test_a_table_without_rows_says_so():
    (page,) = read(paper.pdf([paper.table([], [], empty="No lots yet.")], name="x"))
    assert "No lots yet." in page


def test_every_kind_of_part_is_drawn_and_equal_parts_give_equal_bytes():
    def make():
        return paper.pdf(
            [
                paper.heading("Readings"),
                paper.caution("Boiling sugar burns deep."),
                paper.facts([("Batch", "26330A"), ("Finished", "105 °C")]),
                *paper.bullet_list(["wash jars", "warm lids"]),
                paper.gap(),
                paper.together([paper.check_box(), paper.write_in("pH")]),
                paper.note("Source: common practice"),
                paper.text("on the right", align="right"),
            ],
            name="x",
            page_size=paper.A4,
            landscape=True,
        )

    first = make()
    assert first == make()
    (page,) = read(first)
    for words in ("Readings", "105 °C", "warm lids", "pH", "on the right"):
        assert words in page


def test_fonts_are_embedded_as_subsets():
    reader = pypdf.PdfReader(BytesIO(paper.pdf([paper.text("plum")], name="x")))
    fonts = reader.pages[0]["/Resources"]["/Font"]
    bases = [fonts[key]["/BaseFont"] for key in fonts]
    assert any("+" in base for base in bases if "Plex" in base)


def test_the_page_has_ink_only_inside_its_margins():
    document = pypdfium2.PdfDocument(
        paper.pdf([paper.text("wide words " * 400)], name="x", footer="foot")
    )
    for page in document:
        text = page.get_textpage()
        for index in range(text.count_chars()):
            left, bottom, right, _top = text.get_charbox(index)
            assert left >= 15.5 / 25.4 * 72
            assert right <= page.get_width() - 15.5 / 25.4 * 72
            assert bottom > 0
