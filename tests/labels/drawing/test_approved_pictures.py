"""Every design beside its approved picture, so that a change of look is seen.

Write new ones with ``APPROVE=1`` in the environment, look at each at real size,
then commit them.
"""

import os
from pathlib import Path

import pytest
from PIL import Image, ImageChops, ImageFilter, ImageStat

from labels.drawing.designs import DESIGNS
from labels.drawing.layout import LabelKind, lay_out
from labels.drawing.pdf import label_pdf
from labels.sheets import Shape
from tests.labels.drawing.test_labels_read_back import make_request
from tests.pdf_reading import picture_of

APPROVED = Path(__file__).parent / "approved"
DPI = 80
LARGEST_MEAN = 2.0
LARGEST_PIXEL = 130
LID = {"size": (50.0, 50.0), "kind": LabelKind.LID, "shape": Shape.ROUND}

SCENES = {
    **{f"us-{design}": {"design": design} for design in DESIGNS},
    **{
        f"uk-{d}": {"design": d, "text": "uk-almond", "size": (150.0, 45.0)}
        for d in DESIGNS
    },
    **{f"lid-{design}": {"design": design, **LID} for design in DESIGNS},
}


def draw(scene):
    data = label_pdf(lay_out(make_request(**scene)))
    return picture_of(data, dpi=DPI).convert("L")


@pytest.mark.parametrize("name", SCENES)
def test_design_looks_as_approved(name):
    drawn = draw(SCENES[name])
    path = APPROVED / f"{name}.png"
    if os.environ.get("APPROVE"):
        drawn.save(path, optimize=True)
    approved = Image.open(path)
    assert drawn.size == approved.size
    # Blurred, so that another rasteriser's edges are no difference.
    blur = ImageFilter.GaussianBlur(1.2)
    difference = ImageChops.difference(drawn.filter(blur), approved.filter(blur))
    assert ImageStat.Stat(difference).mean[0] < LARGEST_MEAN
    assert difference.getextrema()[1] < LARGEST_PIXEL


def test_another_design_is_seen_as_different():
    plain, band = draw(SCENES["us-plain"]), draw(SCENES["us-band"])
    difference = ImageStat.Stat(ImageChops.difference(plain, band)).mean[0]
    assert difference > LARGEST_MEAN
