"""Every picture of a page has a name, a description and a table with its figures.

Told of the demonstration's book. WAI-ARIA 1.2, ``aria-details``: the region of a
picture names the element that holds the same in full.
"""

import json
import re
from xml.etree import ElementTree as ET

import pytest
from defusedxml.ElementTree import fromstring

PAGES = {
    "week": "reverse('production:week')",
    "week's paper": "reverse('production:week-paper', args=[plan.pk])",
    "demand": "reverse('production:week-demand')",
    "books": "reverse('production:books')",
    "history": "reverse('production:books-history')",
    "year": "reverse('production:books-this-year')",
    "trace": "reverse('production:trace-batch', args=[batch.code])",
    "sheet": "LabelSheet.objects.first().get_absolute_url()",
}
PROGRAM = f"""
import json
from django.contrib.auth.models import User
from django.db import transaction
from django.test import Client
from django.urls import reverse
from labels.models import *
from production.models import *

batch = Batch.objects.filter(status='released', product__isnull=False).last()
plan = Plan.objects.filter(kind='week').last()
addresses = {{{", ".join(f"{name!r}: {where}" for name, where in PAGES.items())}}}
with transaction.atomic():
    client = Client(headers={{'host': 'localhost'}})
    client.force_login(User.objects.get(username='owner'))
    told = {{name: client.get(at).content.decode() for name, at in addresses.items()}}
    transaction.set_rollback(True)
print('\\n' + json.dumps(told))
"""
SVG = "{http://www.w3.org/2000/svg}"
PICTURE = re.compile(r"<svg.*?</svg>", re.DOTALL)
REGION = re.compile(r'<div[^>]*aria-details="([^"]+)"[^>]*>\s*(?=<svg)')


@pytest.fixture(scope="module")
def told(told_book):
    answer = told_book.run("shell", "--verbosity", "0", "-c", PROGRAM)
    return json.loads(answer.stdout.strip().splitlines()[-1])


def pictures(html):
    for found in PICTURE.findall(html):
        plain = re.sub(r"<svg(?![^>]*xmlns)", f'<svg xmlns="{SVG[1:-1]}"', found)
        yield fromstring(plain)


@pytest.mark.parametrize("page", sorted(PAGES))
def test_each_picture_is_named_and_described(told, page):
    found = list(pictures(told[page]))
    assert found, f"{page} has no picture"
    for picture in found:
        has_links = picture.find(f".//{SVG}a") is not None
        assert picture.get("role") == ("group" if has_links else "img")
        named = picture.get("aria-labelledby").split()
        title, description = picture.find(f"{SVG}title"), picture.find(f"{SVG}desc")
        assert [title.get("id"), description.get("id")] == named
        assert title.text.strip()
        assert len(description.text.strip()) > 10
        assert "style" not in ET.tostring(picture, encoding="unicode").split("<desc")[0]


@pytest.mark.parametrize("page", sorted(PAGES))
def test_each_picture_names_a_table_that_is_there(told, page):
    html = told[page]
    regions = REGION.findall(html)
    assert len(regions) == len(PICTURE.findall(html))
    for names in regions:
        for name in names.split():
            _, _, rest = html.partition(f'id="{name}"')
            assert rest, f"{page} lacks {name}"
            assert re.search(r"<table|^[^<]*class=\"facts|<dt", rest[:3000])


@pytest.mark.parametrize("page", ["books", "week"])
def test_kinds_differ_without_colour(told, page):
    # Stripes are drawn in the colour of the page on top of the blocks.
    assert 'class="page"' in told[page]


def test_no_two_pictures_of_a_page_share_an_id(told):
    for page, html in told.items():
        ids = re.findall(r' id="([^"]+)"', html)
        assert len(ids) == len(set(ids)), page
