"""Placed items, designs and the odd forms a statement may take."""

from dataclasses import replace
from decimal import Decimal

import pytest

from inventory.typefaces import Face
from labels.codes import qr_code
from labels.drawing.blocks import BoxedBlock, RuleBlock, TextBlock
from labels.drawing.designs import DesignError, find_design
from labels.drawing.glyphs import drawn_height_mm
from labels.drawing.layout import lay_out
from labels.drawing.pdf import label_pdf
from labels.drawing.pictures import PixelPicture
from labels.drawing.placed import (
    Box,
    PlacedBox,
    PlacedCode,
    PlacedPicture,
    PlacedRule,
    PlacedText,
    bounds,
    moved,
)
from labels.drawing.typesetting import prepare
from labels.statements.label_text import (
    AreaOf,
    MeasuredOn,
    Placement,
    Role,
    SizeStep,
    TypeSizeRule,
    plain,
)
from tests.label_texts import TEXTS, US_TEXT
from tests.labels.drawing.test_labels_read_back import HALF_PINT, make_request
from tests.pdf_reading import overlapping_pairs, read_pages


def make_box(left=1.0, top=2.0, right=11.0, bottom=7.0):
    return Box(left_mm=left, top_mm=top, right_mm=right, bottom_mm=bottom)


ITEMS = (
    PlacedText(
        of="identity",
        left_mm=1.0,
        baseline_mm=5.0,
        face=Face.BOLD,
        size_pt=10.0,
        text="Jam",
        width_mm=8.0,
    ),
    PlacedRule(from_x_mm=1.0, from_y_mm=2.0, to_x_mm=9.0, to_y_mm=2.0, line_mm=0.4),
    PlacedRule(from_x_mm=1.0, from_y_mm=2.0, to_x_mm=1.0, to_y_mm=9.0, line_mm=0.4),
    PlacedBox(box=make_box()),
    PlacedCode(left_mm=1.0, top_mm=2.0, code=qr_code("26329AM")),
    PlacedPicture(
        box=make_box(), picture=PixelPicture(data=b"", width_px=2, height_px=1)
    ),
)


@pytest.mark.parametrize("item", ITEMS, ids=lambda item: type(item).__name__)
def test_a_moved_item_keeps_its_size(item):
    there = moved(item, right_mm=3, down_mm=4)
    assert there.box.left_mm == pytest.approx(item.box.left_mm + 3)
    assert there.box.top_mm == pytest.approx(item.box.top_mm + 4)
    assert there.box.width_mm == pytest.approx(item.box.width_mm)
    assert there.box.height_mm == pytest.approx(item.box.height_mm)


def test_bounds_hold_every_item():
    whole = bounds(ITEMS)
    assert all(whole.contains(item.box) for item in ITEMS)


def test_boxes_that_share_area_overlap_and_neighbours_do_not():
    assert make_box().overlaps(make_box(left=10.0, right=20.0))
    assert not make_box().overlaps(make_box(left=11.0, right=20.0))
    assert make_box().shrunk(1).width_mm == 8


def test_the_box_of_a_statement_is_where_its_text_is():
    drawing = lay_out(make_request())
    name = drawing.box_of("identity")
    assert drawing.box.contains(name)
    assert name.bottom_mm < drawing.box_of("net_quantity").top_mm


def test_an_unknown_design_lists_those_there_are():
    with pytest.raises(DesignError, match="plain, frame, band"):
        find_design("wild")


def changed(role, **changes):
    text = TEXTS["us-chutney"]
    return replace(
        text,
        elements=tuple(
            replace(each, **changes) if each.role is role else each
            for each in text.elements
        ),
    )


def test_a_statement_asked_in_a_box_stands_in_one():
    text = changed(
        Role.PLACE_STATEMENT, placement=frozenset({Placement.IN_A_BOX, Placement.BOLD})
    )
    drawing = lay_out(make_request(text, size=(120.0, 70.0)))
    said = drawing.box_of("place_statement")
    frames = [item.box for item in drawing.items if isinstance(item, PlacedBox)]
    assert any(frame.contains(said) for frame in frames)
    (glyphs,) = read_pages(label_pdf(drawing))
    assert overlapping_pairs(glyphs) == []


def test_a_size_no_smaller_than_another_statement_is_kept():
    rule = replace(US_TEXT, not_below=Role.IDENTITY)
    text = changed(Role.ALLERGENS, size=rule)
    drawing = lay_out(make_request(text, size=(150.0, 110.0)))
    drawn = {size.of: size.drawn_mm for size in drawing.sizes}
    assert drawn["allergens"] >= drawn["identity"] - 0.01


@pytest.mark.parametrize("share", ["share_of_largest", "share_of_identity"])
def test_a_share_of_other_print_is_kept(share):
    rule = replace(US_TEXT, **{share: Decimal("0.9")})
    text = changed(Role.NET_QUANTITY, size=rule)
    drawing = lay_out(make_request(text, size=(150.0, 110.0)))
    drawn = {size.of: size.drawn_mm for size in drawing.sizes}
    assert drawn["net_quantity"] >= 0.9 * drawn["identity"] - 0.01


def test_the_area_asked_for_is_the_one_the_rule_names():
    step = US_TEXT.steps[0]
    larger = replace(step.size, minimum_mm=step.size.minimum_mm * 2)
    rule = TypeSizeRule(
        steps=(
            SizeStep(up_to_cm2=HALF_PINT.display_panel_cm2, size=step.size),
            SizeStep(up_to_cm2=None, size=larger),
        ),
        area_of=AreaOf.LARGEST_SURFACE,
    )
    text = changed(Role.BEST_BY, size=rule)
    drawing = lay_out(make_request(text, size=(150.0, 60.0)))
    drawn = {size.of: size.drawn_mm for size in drawing.sizes}
    assert drawn["best_by"] >= float(larger.minimum_mm) - 0.005


@pytest.mark.parametrize(
    ("measured_on", "height_em"),
    [(MeasuredOn.CAPITAL, 0.697), (MeasuredOn.NUMERAL, 0.697), (MeasuredOn.POINT, 1.0)],
)
def test_every_measure_of_a_face_is_known(measured_on, height_em):
    found = drawn_height_mm(measured_on, face=Face.REGULAR, text="x", size_pt=72.0)
    assert found == pytest.approx(height_em * 25.4)


def test_a_frame_and_a_rule_take_the_room_they_say():
    words = prepare(plain("Made at home"), face=Face.REGULAR, emphasis=Face.BOLD)
    text = TextBlock(name="note", paragraph=words, size_pt=10.0)
    framed = BoxedBlock(inner=text)
    assert framed.name == "note"
    assert framed.narrowest_mm == text.narrowest_mm + 2 * framed.padding_mm
    placed = framed.place(left_mm=0, top_mm=0, width_mm=60)
    assert bounds(placed).height_mm <= framed.height_mm(60)
    rule = RuleBlock(length_mm=12, line_mm=0.8, align="centre")
    (line,) = rule.place(left_mm=0, top_mm=0, width_mm=60)
    assert (line.from_x_mm, line.to_x_mm) == (24, 36)
    assert (rule.narrowest_mm, rule.height_mm(60)) == (12, 0.8)
