"""Letter heights and panel areas against the font files and the rules' own figures.

Sources: 21 CFR 101.1, 101.2(c), 101.7(f), (h), (i); Regulation (EU) 1169/2011
Art. 13 and Annex IV; Directive 76/211/EEC Annex I 3.1; Food and Drug
Regulations (Canada) B.01.001 and B.01.008.1. Font files are read by fontTools,
a second reader beside the one that draws.
"""

from decimal import Decimal
from functools import cache

import pytest
from fontTools.ttLib import TTFont

from inventory.typefaces import Face
from labels.drawing.glyphs import (
    MM_PER_POINT,
    drawn_height_mm,
    glyph_heights,
    least_size_pt,
    n_width_em,
)
from labels.drawing.surface import FlatSidedJar, RoundJar, SurfaceError
from labels.statements.label_text import MeasuredOn, TypeSize

INCH_MM = Decimal("25.4")
CM2_PER_IN2 = Decimal("6.4516")


@cache
def glyph_box(face, character):
    font = TTFont(face.path)
    glyph = font["glyf"][font.getBestCmap()[ord(character)]]
    glyph.recalcBounds(font["glyf"])
    return tuple(
        edge / font["head"].unitsPerEm
        for edge in (glyph.xMin, glyph.yMin, glyph.xMax, glyph.yMax)
    )


def ink_height(face, character):
    _left, bottom, _right, top = glyph_box(face, character)
    return top - bottom


@pytest.mark.parametrize("face", Face)
def test_heights_are_those_of_the_font_file(face):
    heights = glyph_heights(face)
    assert heights.lower_case_o == pytest.approx(ink_height(face, "o"), abs=0.0011)
    assert heights.lower_case_o <= ink_height(face, "o")
    assert heights.x_height == pytest.approx(glyph_box(face, "x")[3], abs=0.0011)
    assert heights.x_height <= glyph_box(face, "x")[3]
    assert heights.capital == pytest.approx(glyph_box(face, "H")[3], abs=0.0011)
    assert heights.numeral <= min(ink_height(face, digit) for digit in "0123456789")


@pytest.mark.parametrize("face", Face)
def test_the_n_of_the_clear_space_is_that_of_the_font_file(face):
    left, _bottom, right, _top = glyph_box(face, "N")
    assert n_width_em(face) == pytest.approx(right - left, abs=0.0011)


@pytest.mark.parametrize("face", Face)
def test_no_letter_is_more_than_three_times_as_high_as_wide(face):
    # 21 CFR 101.7(h)(1), asked of text; I, i, l and the like are lines by nature.
    for letter in "abcdeghknopqsuvwxyzABCDEFGHKLMNOPQRSTUVWXYZ":
        left, bottom, right, top = glyph_box(face, letter)
        assert top - bottom <= 3 * (right - left)


@pytest.mark.parametrize(
    ("wall_in", "girth_in", "area_in2"),
    [("4", "9", "14.4"), ("1.5", "8.333333", "5.0"), ("5", "12.5", "25.0")],
)
def test_forty_percent_of_a_cylinder(wall_in, girth_in, area_in2):
    # 21 CFR 101.1(b).
    jar = RoundJar(
        wall_height_mm=Decimal(wall_in) * INCH_MM,
        diameter_mm=Decimal(girth_in) * INCH_MM / Decimal("3.14159265358979"),
    )
    found = jar.display_panel_cm2 / CM2_PER_IN2
    assert found == pytest.approx(Decimal(area_in2), abs=Decimal("0.0001"))


@pytest.mark.parametrize(
    ("wall_mm", "diameter_mm", "area_cm2"),
    [(60, 65, "49.0"), (38, 50, "23.9"), (120, 90, "135.7"), (85, 75, "80.1")],
)
def test_panels_of_jars_leave_out_shoulder_and_neck(wall_mm, diameter_mm, area_cm2):
    # 21 CFR 101.1(b), (c): 0.40 x straight wall x circumference.
    jar = RoundJar(wall_height_mm=Decimal(wall_mm), diameter_mm=Decimal(diameter_mm))
    assert round(jar.display_panel_cm2, 1) == Decimal(area_cm2)


def test_front_matter_stands_within_forty_percent_of_the_circumference():
    # 21 CFR 101.1(c): 226 mm round gives 90.4 mm.
    jar = RoundJar(
        wall_height_mm=Decimal(60),
        diameter_mm=Decimal(226) / Decimal("3.14159265358979"),
    )
    assert jar.display_width_mm == pytest.approx(Decimal("90.4"), abs=Decimal("0.001"))


def test_a_flat_side_is_its_own_panel():
    # 21 CFR 101.1(a): 3 x 2 in is 6 in2, and more than 40 % of two faces.
    jar = FlatSidedJar(wall_height_mm=3 * INCH_MM, face_width_mm=2 * INCH_MM, faces=2)
    assert jar.display_panel_cm2 == 6 * CM2_PER_IN2
    assert jar.display_width_mm == 2 * INCH_MM


def test_a_square_jar_counts_as_nearly_round_when_that_is_more():
    # Common practice: 40 % of four faces is more than one face.
    jar = FlatSidedJar(wall_height_mm=Decimal(60), face_width_mm=Decimal(55))
    assert jar.display_panel_cm2 == Decimal("52.8")
    assert jar.largest_surface_cm2 == Decimal("33.0")


@pytest.mark.parametrize("wall_mm", ["0", "-3"])
def test_a_jar_without_a_wall_is_refused(wall_mm):
    with pytest.raises(SurfaceError, match="measure the straight part"):
        RoundJar(wall_height_mm=Decimal(wall_mm), diameter_mm=Decimal(70))


def make_size(minimum_mm, measured_on):
    return TypeSize(
        minimum_mm=Decimal(minimum_mm), measured_on=measured_on, citation="x"
    )


@pytest.mark.parametrize(
    ("minimum_mm", "measured_on", "text", "character"),
    [
        ("1.5875", MeasuredOn.LOWER_CASE_O, "plums, sugar", "o"),
        ("3.175", MeasuredOn.LOWER_CASE_O, "Net Wt 10 oz", "o"),
        ("1.5875", MeasuredOn.LOWER_CASE_O, "PLUMS, SUGAR", "H"),
        ("1.2", MeasuredOn.X_HEIGHT, "plums", "x"),
        ("0.9", MeasuredOn.X_HEIGHT, "plums", "x"),
        ("1.1", MeasuredOn.X_HEIGHT, "plums", "x"),
        ("4", MeasuredOn.NUMERAL, "280 g", "4"),
        ("3.2", MeasuredOn.CAPITAL, "NET", "H"),
    ],
)
@pytest.mark.parametrize("face", Face)
def test_the_least_size_meets_the_rule_and_a_step_less_does_not(
    minimum_mm, measured_on, text, character, face
):
    asked = make_size(minimum_mm, measured_on)
    size = least_size_pt(asked, face=face, text=text)
    drawn = ink_height(face, character) * size * MM_PER_POINT
    assert drawn >= asked.minimum_mm
    smaller = ink_height(face, character) * (size - 0.15) * MM_PER_POINT
    assert smaller < asked.minimum_mm


def test_ten_point_is_ten_point():
    # FDR B.01.001 and 21 CFR: 1 point is 1/72 in, 0.3527777778 mm.
    assert pytest.approx(0.3527777778) == MM_PER_POINT
    asked = make_size(Decimal("25.4") * 10 / 72, MeasuredOn.POINT)
    assert least_size_pt(asked, face=Face.REGULAR, text="x") == pytest.approx(10.0)


@pytest.mark.parametrize(
    ("text", "size_pt", "passes"),
    [("plums", 7.4, False), ("PLUMS", 6.5, True), ("plums", 8.4, True)],
)
def test_capitals_need_smaller_type_than_lower_case(text, size_pt, passes):
    # 21 CFR 101.2(c): 1/16 in on the "o", or on capitals where all are capitals.
    height = drawn_height_mm(
        MeasuredOn.LOWER_CASE_O, face=Face.REGULAR, text=text, size_pt=size_pt
    )
    assert (height >= 1.5875) is passes


@pytest.mark.parametrize("face", Face)
def test_a_common_fraction_has_numerals_of_half_the_height(face):
    # 21 CFR 101.7(h)(3): each numeral at least half the minimum height.
    size = least_size_pt(
        make_size("3.175", MeasuredOn.LOWER_CASE_O), face=face, text="Net Wt"
    )
    one_over_two = ink_height(face, "\u00bd") / 2
    assert one_over_two * size * MM_PER_POINT >= 3.175 / 2
