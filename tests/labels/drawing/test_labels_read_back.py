"""Every design, size and jurisdiction, read back from the PDF as drawn."""

from decimal import Decimal
from functools import cache

import pytest

from inventory.typefaces import MissingGlyphError
from labels.drawing.designs import DESIGNS, find_design
from labels.drawing.layout import (
    LabelDoesNotFitError,
    LabelKind,
    LabelRequest,
    LayoutError,
    lay_out,
)
from labels.drawing.pdf import label_pdf
from labels.drawing.surface import RoundJar
from labels.sheets import Shape
from labels.statements.label_text import LabelText, MeasuredOn, Placement, Role
from tests.label_texts import TEXTS, US_TEXT, make_element
from tests.pdf_reading import (
    glyphs_of_words,
    overlapping_pairs,
    read_pages,
    squeezed,
)

HALF_PINT = RoundJar(wall_height_mm=Decimal(58), diameter_mm=Decimal(70))
SIZES_MM = ((101.6, 50.8), (150.0, 45.0), (190.0, 40.0), (84.0, 84.0))
BRAND = "Lantern Hill Pantry"
MEASURED_LETTER = {
    MeasuredOn.LOWER_CASE_O: "oec",
    MeasuredOn.X_HEIGHT: "xvwz",
    MeasuredOn.NUMERAL: "0123456789",
}


def make_request(text="us-chutney", design="plain", size=(101.6, 50.8), **overrides):
    values = {
        "text": TEXTS[text] if isinstance(text, str) else text,
        "kind": LabelKind.WRAP,
        "width_mm": size[0],
        "height_mm": size[1],
        "jar": HALF_PINT,
        "design": find_design(design),
        "brand": BRAND,
    }
    return LabelRequest(**{**values, **overrides})


@cache
def drawn(text, design, size):
    request = make_request(text, design, size)
    drawing = lay_out(request)
    (glyphs,) = read_pages(label_pdf(drawing, has_outline=False))
    return request, drawing, glyphs


every_label = pytest.mark.parametrize(
    ("text", "design", "size"),
    [(text, design, size) for text in TEXTS for design in DESIGNS for size in SIZES_MM],
)


@every_label
def test_nothing_leaves_the_label_and_nothing_overlaps(text, design, size):
    _request, drawing, glyphs = drawn(text, design, size)
    for glyph in glyphs:
        assert glyph.left >= 1
        assert glyph.top >= 1
        assert glyph.right <= drawing.width_mm - 1
        assert glyph.bottom <= drawing.height_mm - 1
    assert overlapping_pairs(glyphs) == []


@every_label
def test_the_words_come_out_in_reading_order(text, design, size):
    request, _drawing, glyphs = drawn(text, design, size)
    said = "".join(glyph.character for glyph in glyphs)
    front = [
        each for each in request.front_elements if each.role is not Role.NET_QUANTITY
    ]
    net = request.text.first(Role.NET_QUANTITY)
    beside = [*front, net, *request.information_elements]
    below = [*front, *request.information_elements, net]
    assert said in {
        squeezed(BRAND + "".join(each.text for each in order))
        for order in (beside, below)
    }


@every_label
def test_every_required_type_size_is_met_by_the_drawn_letters(text, design, size):
    request, _drawing, glyphs = drawn(text, design, size)
    for element in request.text.elements:
        if element.size is None:
            continue
        asked = element.size.at(HALF_PINT.area_cm2(element.size.area_of))
        letters = [
            glyph.height
            for glyph in glyphs_of_words(glyphs, element.text)
            if glyph.character in MEASURED_LETTER[asked.measured_on]
        ]
        # A statement without the letter is measured on its neighbours in size.
        for height in letters:
            assert height >= float(asked.minimum_mm) - 0.003


@every_label
def test_the_net_quantity_keeps_its_zone_and_its_space(text, design, size):
    request, drawing, glyphs = drawn(text, design, size)
    net = request.text.first(Role.NET_QUANTITY)
    own = glyphs_of_words(glyphs, net.text)
    others = [glyph for glyph in glyphs if glyph not in own]
    top = min(glyph.top for glyph in own)
    if Placement.BOTTOM_30_PERCENT in net.placement:
        assert drawing.height_mm - top <= 0.30 * drawing.height_mm + 0.01
    if Placement.CLEAR_SPACE in net.placement:
        wide = 2 * next(
            glyph.right - glyph.left for glyph in own if glyph.character == "N"
        )
        high = max(glyph.height for glyph in own if glyph.character in "N1")
        left, right = min(g.left for g in own), max(g.right for g in own)
        bottom = max(glyph.bottom for glyph in own)
        for other in others:
            is_beside = (
                other.right <= left - wide + 0.05 or other.left >= right + wide - 0.05
            )
            is_above = other.bottom <= top - high + 0.05 or other.top >= bottom + high
            assert is_beside or is_above


@pytest.mark.parametrize("text", TEXTS)
def test_the_front_keeps_within_forty_percent_of_the_girth(text):
    _request, _drawing, glyphs = drawn(text, "plain", (190.0, 40.0))
    front = glyphs_of_words(glyphs, TEXTS[text].first(Role.IDENTITY).text)
    reach = max(g.right for g in front) - min(g.left for g in front)
    assert reach <= float(HALF_PINT.display_width_mm)


def test_a_label_a_fifth_too_small_is_refused_with_everything_that_does_not_fit():
    smallest = (96.0, 48.0)
    lay_out(make_request("us-chutney", size=smallest))
    with pytest.raises(LabelDoesNotFitError) as caught:
        lay_out(make_request("us-chutney", size=tuple(side * 0.8 for side in smallest)))
    names = {misfit.name for misfit in caught.value.misfits}
    assert names
    assert all(str(misfit) in str(caught.value) for misfit in caught.value.misfits)
    assert "76.8 x 38.4 mm" in str(caught.value)


def test_a_tiny_label_lists_every_statement():
    with pytest.raises(LabelDoesNotFitError) as caught:
        lay_out(make_request("us-chutney", size=(20.0, 10.0)))
    names = " ".join(misfit.name for misfit in caught.value.misfits)
    for role in ("identity", "net_quantity", "ingredients", "producer"):
        assert role in names


def test_front_and_back_together_say_everything_once():
    said = []
    for kind in (LabelKind.FRONT, LabelKind.BACK):
        drawing = lay_out(make_request(size=(60.0, 60.0), kind=kind, brand=""))
        said += [size.of for size in drawing.sizes]
    assert sorted(said) == sorted(e.role.value for e in TEXTS["us-chutney"].elements)


@pytest.mark.parametrize("design", DESIGNS)
def test_a_round_lid_stays_inside_its_circle(design):
    request = make_request(
        size=(50.0, 50.0), kind=LabelKind.LID, shape=Shape.ROUND, design=design
    )
    drawing = lay_out(request)
    (glyphs,) = read_pages(label_pdf(drawing))
    for glyph in glyphs:
        for x in (glyph.left, glyph.right):
            for y in (glyph.top, glyph.bottom):
                assert (x - 25) ** 2 + (y - 25) ** 2 <= 24**2
    assert {size.of for size in drawing.sizes} == {"identity", "best_by", "batch_code"}


@pytest.mark.parametrize(
    "name", ["Crème brûlée", "Žufánek", "Μαρμελάδα", "Айвовый джем", "ÅÄÖ-Ñandú"]
)
def test_names_of_europe_are_drawn_and_found_again(name):
    text = LabelText(
        jurisdiction="US",
        language="en",
        elements=(make_element(Role.IDENTITY, name, US_TEXT),),
    )
    drawing = lay_out(make_request(text, size=(60.0, 30.0), brand=""))
    (glyphs,) = read_pages(label_pdf(drawing))
    assert "".join(glyph.character for glyph in glyphs) == squeezed(name)


def test_a_missing_glyph_is_an_error():
    text = LabelText(
        jurisdiction="US",
        language="en",
        elements=(make_element(Role.IDENTITY, "桃 Jam", US_TEXT),),
    )
    with pytest.raises(MissingGlyphError, match="桃"):
        lay_out(make_request(text))


def test_no_word_is_cut_or_hyphenated():
    drawing = lay_out(make_request("us-chutney"))
    words = {word for item in drawing.texts for word in item.text.split()}
    whole = {word for e in TEXTS["us-chutney"].elements for word in e.text.split()}
    assert words <= whole | set(BRAND.split())


def test_a_label_with_nothing_to_say_is_refused():
    text = LabelText(jurisdiction="US", language="en", elements=())
    with pytest.raises(LayoutError, match="nothing to say"):
        lay_out(make_request(text))


def test_a_small_jar_is_free_of_the_bottom_zone():
    # 21 CFR 101.7(f): a panel of 5 in2 or less.
    mini = RoundJar(wall_height_mm=Decimal(38), diameter_mm=Decimal(50))
    assert not make_request(jar=mini).is_zone_asked
    assert make_request().is_zone_asked


def test_the_draft_mark_lies_across_the_label():
    drawing = lay_out(make_request()).as_draft("DRAFT")
    (glyphs,) = read_pages(label_pdf(drawing))
    mark = glyphs_of_words(glyphs, "DRAFT")
    assert mark[-1].right - mark[0].left > 0.4 * drawing.width_mm
