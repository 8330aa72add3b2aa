"""Nutrition tables read back: forms, sizes and order of the prescribed lines.

Sizes: 21 CFR 101.9(d)(1)(iii), (d)(2), (d)(3), (j)(13).
"""

from dataclasses import replace
from decimal import Decimal

import pytest

from labels.drawing.layout import LabelDoesNotFitError, LabelKind, lay_out
from labels.drawing.pdf import label_pdf
from labels.statements.label_text import (
    LabelElement,
    NutritionPanel,
    NutritionRow,
    Panel,
    Placement,
    Role,
    plain,
)
from labels.statements.type_sizes import EU_TEXT, US_NUTRITION
from tests.label_texts import TEXTS
from tests.labels.drawing.test_labels_read_back import make_request
from tests.pdf_reading import overlapping_pairs, read_pages

FACTS = NutritionPanel(
    form="us",
    title="Nutrition Facts",
    servings="about 14 servings per container",
    serving_size="1 tbsp (20g)",
    calories="50",
    percent_heading="% DV",
    rows=(
        NutritionRow(label="Total Fat", amount="0g", percent="0%", bold=True),
        NutritionRow(label="Sodium", amount="5mg", percent="0%", bold=True),
        NutritionRow(label="Total Carbohydrate", amount="13g", percent="5%", bold=True),
        NutritionRow(label="Total Sugars", amount="12g", indent=1),
        NutritionRow(
            label="Includes 10g Added Sugars", amount="", percent="21%", indent=2
        ),
        NutritionRow(label="Protein", amount="0g", bold=True),
    ),
    footnotes=("% DV = % Daily Value",),
    linear="Nutrition Facts, 14 servings",
)
PER_100_G = NutritionPanel(
    form="eu",
    title="Nutrition declaration",
    servings="",
    serving_size="per 100 g",
    calories="",
    percent_heading="",
    rows=(
        NutritionRow(label="Energy", amount="1060 kJ / 250 kcal"),
        NutritionRow(label="Fat", amount="0 g"),
        NutritionRow(label="of which saturates", amount="0 g", indent=1),
    ),
    columns=("per 100 g",),
    linear="Nutrition declaration per 100 g: energy 1060 kJ / 250 kcal",
)


def draw(panel, size, *, text="us-pear", **overrides):
    rule = US_NUTRITION if panel.form == "us" else EU_TEXT
    element = LabelElement(
        role=Role.NUTRITION,
        runs=plain(panel.linear),
        size=rule,
        panel=Panel.INFORMATION,
        placement=frozenset({Placement.IN_A_BOX}),
        nutrition=panel,
    )
    whole = TEXTS[text]
    whole = replace(whole, elements=(*whole.elements, element))
    request = make_request(whole, size=size, kind=LabelKind.BACK, **overrides)
    return lay_out(request)


def sizes_of(drawing):
    return {
        item.text.strip(): item.size_pt
        for item in drawing.texts
        if item.of == "nutrition"
    }


FORMS = {"vertical": (60.0, 112.0), "tabular": (150.0, 57.0), "linear": (101.6, 50.8)}


@pytest.mark.parametrize(
    ("form", "least"),
    [
        ("vertical", {"Calories": 16, "50": 22, "Serving size": 10, "Total Fat": 8}),
        ("tabular", {"Calories": 10, "50": 14, "Serving size": 9, "Total Fat": 8}),
        ("linear", {"Calories": 10, "50": 14, "Total Fat": 8}),
    ],
)
def test_every_form_keeps_its_prescribed_sizes(form, least):
    sizes = sizes_of(draw(FACTS, FORMS[form]))
    for words, size in least.items():
        assert sizes[words] >= size
    assert sizes["Nutrition Facts"] >= max(
        size for words, size in sizes.items() if words not in {"50", "Nutrition Facts"}
    )


def test_notes_and_headings_are_at_least_six_point():
    sizes = sizes_of(draw(FACTS, FORMS["vertical"]))
    assert min(sizes.values()) >= 6


@pytest.mark.parametrize("size", FORMS.values(), ids=FORMS)
def test_the_table_overlaps_nothing_and_stays_in_its_box(size):
    drawing = draw(FACTS, size)
    (glyphs,) = read_pages(label_pdf(drawing))
    assert overlapping_pairs(glyphs) == []
    assert max(glyph.bottom for glyph in glyphs) <= drawing.height_mm - 1


def test_the_vertical_table_reads_from_top_to_bottom():
    drawing = draw(FACTS, FORMS["vertical"])
    (glyphs,) = read_pages(label_pdf(drawing))
    said = "".join(glyph.character for glyph in glyphs)
    order = ["NutritionFacts", "about14", "Calories", "TotalFat", "Sodium", "Protein"]
    places = [said.index(words) for words in order]
    assert places == sorted(places)


def test_a_large_jar_may_not_take_the_linear_form():
    # 40 in2 of surface: 21 CFR 101.9(j)(13)(ii).
    request = make_request()
    large = replace(request.jar, wall_height_mm=Decimal(150), diameter_mm=Decimal(110))
    with pytest.raises(LabelDoesNotFitError, match="nutrition"):
        draw(FACTS, FORMS["linear"], jar=large)


def test_a_table_per_hundred_grams_lists_every_row():
    drawing = draw(PER_100_G, (101.6, 60.0), text="uk-almond")
    said = " ".join(item.text for item in drawing.texts if item.of == "nutrition")
    for row in PER_100_G.rows:
        assert row.label in said
        assert row.amount in said


def test_a_table_that_fits_in_no_form_is_named():
    with pytest.raises(LabelDoesNotFitError, match="nutrition"):
        draw(FACTS, (60.0, 45.0))
