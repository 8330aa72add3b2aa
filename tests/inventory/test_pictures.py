"""Drawings become SVG that the pages' content policy lets through."""

from defusedxml.ElementTree import fromstring
from reportlab.graphics.shapes import (
    Drawing,
    Line,
    Rect,
    String,
)
from reportlab.lib.colors import (
    Color,
    black,
    red,
)

from inventory.pictures import as_svg, mark

SVG = "{http://www.w3.org/2000/svg}"


def draw():
    drawing = Drawing(200, 100)
    box = Rect(10, 10, 50, 20, fillColor=None, strokeColor=black)
    mark(box, link="/lot/1/", name="lot <1>", css_class="node bad")
    words = String(12, 14, "Añ & b", fontSize=9)
    mark(words, link="/lot/1/")
    drawing.add(box)
    drawing.add(words)
    drawing.add(Line(0, 0, 10, 10, strokeColor=Color(0, 0, 0, 0.4)))
    drawing.add(Line(0, 5, 10, 15, strokeColor=red))
    return as_svg(drawing, title="A trace", description="Two lines & a box", name="t")


def test_no_style_attribute_is_left():
    svg = draw()
    assert "style=" not in svg
    assert "<script" not in svg


def lines_of(svg):
    return list(fromstring(svg).iter(f"{SVG}path"))


def test_black_follows_the_theme_and_colour_stays():
    strokes = [line.get("stroke") for line in lines_of(draw())]
    assert strokes == ["currentColor", "rgb(100%,0%,0%)"]


def test_grey_is_black_with_less_opacity():
    line = lines_of(draw())[0]
    assert line.get("stroke-opacity") == "0.4"


def test_title_and_description_come_first_and_are_named():
    root = fromstring(draw())
    assert [child.tag for child in root][:2] == [f"{SVG}title", f"{SVG}desc"]
    assert root[1].text == "Two lines & a box"
    assert root.get("aria-labelledby") == "t-title t-desc"


def test_links_wrap_their_shapes():
    links = list(fromstring(draw()).iter(f"{SVG}a"))
    assert [link.get("href") for link in links] == ["/lot/1/", "/lot/1/"]
    assert links[0][0].get("class") == "node bad"
    assert links[0][0][0].text == "lot <1>"


def test_a_picture_with_links_is_a_group_and_one_without_an_image():
    assert fromstring(draw()).get("role") == "group"
    plain = as_svg(Drawing(10, 10), title="t", description="d")
    assert fromstring(plain).get("role") == "img"


def test_ids_are_unique():
    ids = [each.get("id") for each in fromstring(draw()).iter() if each.get("id")]
    assert len(ids) == len(set(ids))


def test_the_view_box_lets_the_page_scale_it():
    assert fromstring(draw()).get("viewBox") == "0 0 200 100"
