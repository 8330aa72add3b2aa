"""Chutney, pear preserve and almond conserve for the US, the UK and Canada.

From grams to the drawn page: the words are written by the statements, laid out
on sheets of ours and read back: inside, apart, in order, large enough.
"""

from decimal import Decimal
from functools import cache

import pytest

from labels.drawing.designs import DESIGNS, find_design
from labels.drawing.layout import (
    LabelDoesNotFitError,
    LabelKind,
    LabelRequest,
    lay_out,
)
from labels.drawing.pdf import label_pdf
from labels.drawing.surface import RoundJar
from labels.statements.allergens import AllergenMark
from labels.statements.ingredients import Ingredient, Nature, Part, Substance
from labels.statements.label_input import Jurisdiction
from labels.statements.label_text import MeasuredOn, Role
from tests.labels.label_values import built, recipe, use
from tests.pdf_reading import glyphs_of_words, overlapping_pairs, read_pages

HALF_PINT = RoundJar(wall_height_mm=Decimal(62), diameter_mm=Decimal(73))
SHEETS_MM = ((101.6, 84.6), (190.0, 42.0), (150.0, 57.0))


def mark(code, species=""):
    return AllergenMark(code=code, species=species)


def in_french(name, french, **more):
    return Substance(name=name, names=(("fr", french),), **more)


def made_of(name, french, *parts, **more):
    return in_french(
        name, french, parts=tuple(Part(substance=part) for part in parts), **more
    )


SAUCE = made_of(
    "table sauce",
    "sauce de table",
    in_french("vinegar", "vinaigre"),
    in_french("anchovies", "anchois", allergens=frozenset({mark("fish", "anchovy")})),
    in_french("wheat flour", "farine de blé", allergens=frozenset({mark("wheat")})),
)
GINGER = made_of(
    "candied ginger",
    "gingembre confit",
    in_french("ginger", "gingembre"),
    in_french("sugar", "sucre"),
)
ALMONDS = in_french("almonds", "amandes", allergens=frozenset({mark("almond")}))


def line(substance, grams):
    return Ingredient(substance=substance, mass_g=Decimal(grams))


SUGAR = ("sugar", 800, Nature.SUGAR)
PRESERVES = {
    "chutney": (
        "Tomato Chutney",
        "Chutney aux tomates",
        (use("tomatoes", 1000), use(*SUGAR), line(SAUCE, 60)),
    ),
    "pear": (
        "Pear Preserves with Candied Ginger",
        "Conserve de poires au gingembre confit",
        (use("pears", 1000, Nature.FRUIT), use(*SUGAR), line(GINGER, 90)),
    ),
    "almond": (
        "Plum Conserve with Almonds",
        "Conserve de prunes aux amandes",
        (use("plums", 1000, Nature.FRUIT), use(*SUGAR), line(ALMONDS, 90)),
    ),
}


@cache
def drawn(name, jurisdiction, design, size):
    identity, french, lines = PRESERVES[name]
    text = built(
        jurisdiction=Jurisdiction(jurisdiction),
        identity=identity,
        identities=(("fr", french),),
        recipe=recipe(*lines),
        is_jam=name == "pear",
    ).text
    drawing = lay_out(
        LabelRequest(
            text=text,
            kind=LabelKind.WRAP,
            width_mm=size[0],
            height_mm=size[1],
            jar=HALF_PINT,
            design=find_design(design),
        )
    )
    (glyphs,) = read_pages(label_pdf(drawing, has_outline=False))
    return text, drawing, glyphs


every_case = pytest.mark.parametrize(
    ("name", "jurisdiction", "design", "size"),
    [
        (name, jurisdiction, design, size)
        for name in PRESERVES
        for jurisdiction in ("US", "UK", "CA")
        for design, size in zip(DESIGNS, SHEETS_MM, strict=True)
    ],
)


@every_case
def test_every_statement_is_on_the_label_in_words(name, jurisdiction, design, size):
    text, _drawing, glyphs = drawn(name, jurisdiction, design, size)
    for element in text.elements:
        assert glyphs_of_words(glyphs, element.text)


@every_case
def test_nothing_overlaps_or_leaves_the_label(name, jurisdiction, design, size):
    _text, drawing, glyphs = drawn(name, jurisdiction, design, size)
    assert overlapping_pairs(glyphs) == []
    assert min(glyph.left for glyph in glyphs) >= 1
    assert max(glyph.right for glyph in glyphs) <= drawing.width_mm - 1
    assert max(glyph.bottom for glyph in glyphs) <= drawing.height_mm - 1


@every_case
def test_every_lawful_size_is_drawn(name, jurisdiction, design, size):
    text, _drawing, glyphs = drawn(name, jurisdiction, design, size)
    letters = {
        MeasuredOn.LOWER_CASE_O: "oec",
        MeasuredOn.X_HEIGHT: "xvwz",
        MeasuredOn.NUMERAL: "0123456789",
    }
    measured = 0
    for element in text.elements:
        if element.size is None:
            continue
        asked = element.size.at(HALF_PINT.area_cm2(element.size.area_of))
        for glyph in glyphs_of_words(glyphs, element.text):
            if glyph.character in letters.get(asked.measured_on, ""):
                assert glyph.height >= float(asked.minimum_mm) - 0.003
                measured += 1
    assert measured > 5


@pytest.mark.parametrize("jurisdiction", ["US", "UK", "CA"])
def test_allergens_stand_heavier_or_apart(jurisdiction):
    text, drawing, _glyphs = drawn("almond", jurisdiction, "plain", SHEETS_MM[0])
    heavy = [item.text for item in drawing.texts if "Bold" in item.face]
    assert any("lmond" in words for words in heavy)
    assert text.first(Role.INGREDIENTS) is not None


@pytest.mark.parametrize("name", PRESERVES)
def test_a_label_twenty_percent_too_small_is_refused_with_its_list(name):
    text, _drawing, _glyphs = drawn(name, "US", "plain", SHEETS_MM[0])
    fits, refused = None, None
    for percent in range(100, 30, -4):
        try:
            fits = _at(text, percent)
        except LabelDoesNotFitError:
            break
    with pytest.raises(LabelDoesNotFitError) as caught:
        refused = _at(text, percent * 0.8)
    assert fits is not None
    assert refused is None
    assert caught.value.misfits
    for misfit in caught.value.misfits:
        assert str(misfit) in str(caught.value)


def _at(text, percent):
    width, height = (side * percent / 100 for side in SHEETS_MM[0])
    return lay_out(
        LabelRequest(
            text=text,
            kind=LabelKind.WRAP,
            width_mm=width,
            height_mm=height,
            jar=HALF_PINT,
            design=find_design("plain"),
        )
    )
