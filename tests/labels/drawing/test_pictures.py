"""Logos: what is read, what is refused, how they are printed."""

from io import BytesIO

import pytest
from PIL import Image

from labels.drawing.layout import LayoutError, lay_out
from labels.drawing.pdf import label_pdf
from labels.drawing.pictures import PictureError, PixelPicture, read_picture
from labels.drawing.placed import PlacedPicture
from labels.drawing.vector import Step, VectorPicture
from tests.labels.drawing.test_labels_read_back import make_request
from tests.pdf_reading import picture_of


def pixels(width=400, height=200, kind="PNG"):
    into = BytesIO()
    Image.new("L", (width, height), 0).save(into, format=kind)
    return into.getvalue()


def svg(inside, head='viewBox="0 0 10 10"'):
    return f'<svg xmlns="http://www.w3.org/2000/svg" {head}>{inside}</svg>'.encode()


SQUARE = '<path d="M0 0H10V10H0Z"/>'


@pytest.mark.parametrize("kind", ["PNG", "JPEG"])
def test_png_and_jpeg_are_read_with_their_size(kind):
    picture = read_picture(pixels(kind=kind))
    assert isinstance(picture, PixelPicture)
    assert (picture.width_px, picture.height_px, picture.ratio) == (400, 200, 2)


def test_a_sharp_logo_is_printed_where_the_layout_says():
    drawing = lay_out(make_request(size=(101.6, 70.0), logo=read_picture(pixels())))
    (placed,) = [item for item in drawing.items if isinstance(item, PlacedPicture)]
    page = picture_of(label_pdf(drawing, has_outline=False), dpi=127)
    middle_x = (placed.box.left_mm + placed.box.right_mm) / 2 * 5
    middle_y = (placed.box.top_mm + placed.box.bottom_mm) / 2 * 5
    assert page.convert("L").getpixel((int(middle_x), int(middle_y))) < 40


def test_a_coarse_logo_is_refused_with_the_pixels_it_needs():
    with pytest.raises(LayoutError, match=r"has 40 pixels across; .* needs \d+"):
        lay_out(make_request(size=(101.6, 70.0), logo=read_picture(pixels(40, 20))))


def test_a_drawn_logo_is_filled_at_any_size():
    drawing = lay_out(make_request(size=(101.6, 70.0), logo=read_picture(svg(SQUARE))))
    (placed,) = [item for item in drawing.items if isinstance(item, PlacedPicture)]
    page = picture_of(label_pdf(drawing, has_outline=False), dpi=127).convert("L")
    inside = (placed.box.left_mm + 1) * 5, (placed.box.top_mm + 1) * 5
    assert page.getpixel(tuple(map(int, inside))) < 40


def test_paths_are_read_into_absolute_steps():
    picture = read_picture(svg('<path d="m1 1 l2 0 v2 h-2 z"/>'))
    assert isinstance(picture, VectorPicture)
    assert picture.paths == (
        (
            Step(kind="M", points=(1, 1)),
            Step(kind="L", points=(3, 1)),
            Step(kind="L", points=(3, 3)),
            Step(kind="L", points=(1, 3)),
            Step(kind="Z"),
        ),
    )


@pytest.mark.parametrize(
    ("path", "last"),
    [
        ("M0 0C1 2 3 4 5 6S9 9 8 8", (7, 8, 9, 9, 8, 8)),
        ("M0 0Q3 3 6 0", (2, 2, 4, 2, 6, 0)),
        ("M0 0Q3 3 6 0T12 0", (8, -2, 10, -2, 12, 0)),
        ("M0 0 1 0 1 1", (1, 1)),
        ("M1e1 0L.5.5", (0.5, 0.5)),
    ],
)
def test_curves_follow_the_rules_of_svg(path, last):
    # SVG 1.1, 8.3.6 and 8.3.7: mirrored handles; a quadratic raised to a cubic.
    (steps,) = read_picture(svg(f'<path d="{path}"/>')).paths
    assert steps[-1].points == pytest.approx(last)


@pytest.mark.parametrize(
    ("shape", "steps"),
    [
        ('<rect x="1" y="1" width="4" height="2"/>', "MLLLZ"),
        ('<circle cx="5" cy="5" r="2"/>', "MCCCCZ"),
        ('<ellipse cx="5" cy="5" rx="2" ry="1"/>', "MCCCCZ"),
        ('<polygon points="0,0 5,0 5,5"/>', "MLLZ"),
    ],
)
def test_plain_shapes_become_paths(shape, steps):
    (path,) = read_picture(svg(f"<g>{shape}<title>x</title></g>")).paths
    assert "".join(step.kind for step in path) == steps


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"GIF89a", "not a PNG, JPEG or SVG"),
        (b"\x89PNG\r\n\x1a\nbroken", "broken"),
        (b"\xff\xd8\xff" + b"0" * 4_000_000, "at most 4 MB"),
        (svg("<script>1</script>" + SQUARE), 'holds "script"'),
        (svg("<text>jam</text>"), 'holds "text"'),
        (svg('<path d="M0 0H1" style="x"/>'), 'uses "style"'),
        (svg('<path d="M0 0H1" transform="x"/>'), 'uses "transform"'),
        (svg('<path d="M0 0H1" onclick="x"/>'), "holds a script"),
        (svg('<path d="M0 0H1" stroke="#000"/>'), "drawn outlines"),
        (svg('<path d="M0 0A1 1 0 0 0 2 2"/>'), "turn its arcs into curves"),
        (svg('<path d="M0"/>'), "missing numbers"),
        (svg('<polygon points="0,0"/>'), "without its points"),
        (svg('<rect width="wide" height="1"/>'), 'no number for "width"'),
        (svg(""), "no filled shape"),
        (svg(SQUARE, head=""), "no viewBox"),
        (svg(SQUARE * 5000), "too many points"),
        (b"<svg><", "cannot be read"),
        (b'<!DOCTYPE x [<!ENTITY a "b">]><svg/>', "cannot be read"),
    ],
)
def test_what_cannot_be_used_is_refused_in_a_sentence(data, says):
    with pytest.raises(PictureError, match=says):
        read_picture(data)
