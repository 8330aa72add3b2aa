"""Fruit colours: readable in both themes, the same in the list, the model, the sheet."""

import re
from pathlib import Path

import pytest

from inventory.accents import ACCENTS, USUAL, accent_of
from inventory.models import Product
from inventory.models.products import Accent

TOKENS = Path(__file__).parents[2] / "inventory/static/site/tokens.css"
LIGHT, DARK = TOKENS.read_text("utf-8").split("@media (prefers-color-scheme: dark)")
PAPERS = ("paper", "paper-raised", "paper-sunk")
TEXT_CONTRAST = 4.5
"""WCAG 2.2, success criterion 1.4.3 (AA, normal text); 1.4.11 asks 3 of graphics."""


def token(sheet, name):
    return re.search(rf"--{name}: (#[0-9a-f]{{6}});", sheet).group(1)


def luminance(colour):
    """Relative luminance as WCAG 2.2 defines it."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4
        for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one, other):
    darker, lighter = sorted(map(luminance, (one, other)))
    return (lighter + 0.05) / (darker + 0.05)


def test_black_on_white_has_the_contrast_of_the_standard():
    assert contrast("#000000", "#ffffff") == pytest.approx(21)


@pytest.mark.parametrize("name", sorted(ACCENTS))
@pytest.mark.parametrize("paper", PAPERS)
def test_each_colour_can_be_read_on_each_paper(name, paper):
    colour = ACCENTS[name]
    assert contrast(colour.light, token(LIGHT, paper)) >= TEXT_CONTRAST
    assert contrast(colour.dark, token(DARK, paper)) >= TEXT_CONTRAST


@pytest.mark.parametrize("name", sorted(ACCENTS))
def test_the_style_sheet_has_the_same_colours(name):
    colour = ACCENTS[name]
    assert token(LIGHT, f"fruit-{name}") == colour.light
    assert token(DARK, f"fruit-{name}") == colour.dark
    assert f".fruit-{name} {{ --fruit: var(--fruit-{name}); }}" in DARK


def test_a_product_chooses_from_the_list_and_no_other():
    assert {*Accent.values} == {*ACCENTS}
    assert Product._meta.get_field("accent").default == USUAL
    assert accent_of("unheard of") == ACCENTS[USUAL]


def test_no_two_colours_are_the_same():
    assert len({each.light for each in ACCENTS.values()}) == len(ACCENTS)
    assert len({each.dark for each in ACCENTS.values()}) == len(ACCENTS)
