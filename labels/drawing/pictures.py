"""A maker's own picture on a label: read, checked, and ready to be drawn.

PNG and JPEG are checked for their resolution at the size they will be printed.
Of SVG only a safe part is read: one picture of filled paths and plain shapes,
without scripts, links, styles, text, gradients or outside references; anything
else is refused in one sentence.
"""

from dataclasses import dataclass
from io import BytesIO

from PIL import Image, UnidentifiedImageError

from inventory.words import say
from labels.drawing.vector import VectorPicture, read_svg

__all__ = [
    "LEAST_DPI",
    "Picture",
    "PictureError",
    "PixelPicture",
    "read_picture",
]

LEAST_DPI = 200
"""Dots per inch below which a printed picture looks torn (common practice)."""

LARGEST_BYTES = 4_000_000
LARGEST_PIXELS = 40_000_000
MM_PER_INCH = 25.4


class PictureError(ValueError):
    """A file cannot be used as a picture on a label."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PixelPicture:
    """A PNG or JPEG.

    Attributes:
        data: the file as it was given.
        width_px: pixels across.
        height_px: pixels down.
    """

    data: bytes
    width_px: int
    height_px: int

    @property
    def ratio(self) -> float:
        """Width divided by height."""
        return self.width_px / self.height_px

    @property
    def largest_width_mm(self) -> float:
        """Greatest printed width at which it is still sharp, mm."""
        return self.width_px / LEAST_DPI * MM_PER_INCH


Picture = PixelPicture | VectorPicture


def read_picture(data: bytes) -> Picture:
    """Read a picture file of any of the three kinds.

    Args:
        data: the file.

    Raises:
        PictureError: it is too large, broken, or of another kind.
    """
    if len(data) > LARGEST_BYTES:
        raise PictureError(
            say(
                "the picture file has {data:.1f} MB; save it with at most "
                "{largest_bytes:.0f} MB",
                data=len(data) / 1000000.0,
                largest_bytes=LARGEST_BYTES / 1000000.0,
            )
        )
    if data[:8] == b"\x89PNG\r\n\x1a\n" or data[:3] == b"\xff\xd8\xff":
        return _read_pixels(data)
    if b"<svg" in data[:2000]:
        try:
            return read_svg(data)
        except ValueError as error:
            raise PictureError(str(error)) from error
    raise PictureError(
        say("the picture is not a PNG, JPEG or SVG file; save it as one")
    )


def _read_pixels(data: bytes) -> PixelPicture:
    try:
        with Image.open(BytesIO(data), formats=("PNG", "JPEG")) as image:
            width, height = image.size
            if width * height > LARGEST_PIXELS:
                raise PictureError(
                    say(
                        "the picture has {width} x {height} pixels; 2,000 across are "
                        "enough for any label",
                        width=width,
                        height=height,
                    )
                )
            image.verify()
    except (UnidentifiedImageError, OSError, SyntaxError) as error:
        raise PictureError(
            say("the picture file is broken; save it again and try once more")
        ) from error
    return PixelPicture(data=data, width_px=width, height_px=height)
