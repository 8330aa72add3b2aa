"""Beside every computed figure stands a why with the page's own numbers and a source.

Told of the demonstration's book: each page is opened, each why must hold a sum, name
its source, and share a figure with the rest of its page.
"""

import json
import re

import pytest

PAGES = {
    "week": "reverse('production:week')",
    "demand": "reverse('production:week-demand')",
    "books": "reverse('production:books')",
    "jar": "reverse('production:jar-cost', args=[batch.product.code])",
    "batch cost": "reverse('production:batch-cost', args=[batch.pk])",
    "what if": "reverse('production:books-what-if') + '?product=' + batch.product.code",
    "outlets": "reverse('production:books-outlets') + '?days=365'",
    "year": "reverse('production:books-this-year')",
    "stock": "reverse('production:books-stock')",
    "product": "batch.product.get_absolute_url()",
    "prediction": "reverse('production:recipe-prediction', args=[recipe.slug])",
    "recipe": "recipe.get_absolute_url()",
    "held batch": "Batch.objects.filter(status='held').first().get_absolute_url()",
    "trace": "reverse('production:trace-batch', args=[batch.code])",
    "drill": "MockRecall.objects.first().get_absolute_url()",
    "market day": "day.get_absolute_url()",
    "cash": "reverse('inventory:marketday-cash', args=[day.pk])",
    "visit": "ConsignmentVisit.objects.last().get_absolute_url()",
    "lot": "Lot.objects.filter(material__isnull=False).last().get_absolute_url()",
    "jars": "Lot.objects.filter(product__isnull=False).last().get_absolute_url()",
    "material": "Pack.objects.first().material.get_absolute_url()",
    "freezer": "reverse('inventory:freezer')",
    "label check": "reverse('labels:check', args=[batch.code])",
    "label print": "reverse('labels:print', args=[batch.code])",
    "print run": "PrintRun.objects.filter(is_draft=False).first().get_absolute_url()",
}
PROGRAM = f"""
import json
from django.contrib.auth.models import User
from django.db import transaction
from django.test import Client
from django.urls import reverse
from inventory.models import *
from labels.models import *
from production.models import *

batch = Batch.objects.filter(status='released', product__isnull=False).last()
recipe = batch.version.recipe
day = MarketDay.objects.filter(status='counted', cash_counted__isnull=False).last()
addresses = {{{", ".join(f"{name!r}: {where}" for name, where in PAGES.items())}}}
with transaction.atomic():
    client = Client(headers={{'host': 'localhost'}})
    client.force_login(User.objects.get(username='owner'))
    told = {{name: client.get(at).content.decode() for name, at in addresses.items()}}
    transaction.set_rollback(True)
print('\\n' + json.dumps(told))
"""
WHY = re.compile(
    r'<details class="why"><summary>(?P<of>.*?)</summary><div class="sum">(?P<sum>.*?)'
    r'</div><p class="source">(?P<source>.*?)</p></details>',
    re.DOTALL,
)
FIGURE = re.compile(r"\d+(?:[.,]\d+)*")


@pytest.fixture(scope="module")
def told(told_book):
    answer = told_book.run("shell", "--verbosity", "0", "-c", PROGRAM)
    return json.loads(answer.stdout.strip().splitlines()[-1])


def words(html):
    return re.sub(r"<[^>]+>", " ", html)


def numbers(html):
    return {figure.rstrip(".,") for figure in FIGURE.findall(words(html))}


@pytest.mark.parametrize("page", sorted(PAGES))
def test_the_page_says_why_with_its_own_numbers(told, page):
    html = told[page]
    whys = list(WHY.finditer(html))
    assert whys, f"{page} has no why"
    elsewhere = numbers(WHY.sub("", html))
    for why in whys:
        assert words(why["source"]).strip(), why["of"]
        assert words(why["sum"]).strip(), why["of"]
    assert any(numbers(why["sum"]) & elsewhere for why in whys)


@pytest.mark.parametrize("page", sorted(PAGES))
def test_a_why_opens_without_scripts_and_by_keyboard(told, page):
    for why in WHY.finditer(told[page]):
        assert "<summary" not in why["of"]
        assert "onclick" not in why[0]


@pytest.mark.parametrize(
    ("page", "sum_"),
    [
        ("jar", r"\(ingredients\) \+ .*\(packaging\).* = "),
        ("jar", r"\(price\) − .*\(cost of the jar\).* = "),
        ("batch cost", r"\(amount used\).*\(failed seals\).* = "),
        ("outlets", r"\(takings\) − .*\(fees\) − .*\(drive\) − .*\(jars\) = "),
        ("year", r"42: [\d.,]+ − [\d.,]+ = [\d.,]+"),
        ("trace", r"\(on the shelf\) \+ .*\(sold\).* = \d+"),
        ("market day", r"\(Float in\) \+ .*\(By card\) − .*\(Paid out\) = "),
        ("lot", r" = "),
        ("print run", r"\(Printed\) − .*\(Spoiled\).* = \d+"),
        ("label check", r"× 28\.3495 = |÷ 28\.3495 = "),
        ("week", r"needed, less what still keeps of"),
    ],
)
def test_the_sum_is_the_one_of_that_figure(told, page, sum_):
    sums = (re.sub(r"\s+", " ", words(why["sum"])) for why in WHY.finditer(told[page]))
    assert any(re.search(sum_, each) for each in sums)


def test_the_lines_of_a_jar_add_up_to_what_it_costs(told):
    of_cost = next(WHY.finditer(told["jar"]))
    *terms, total = (
        float(figure.replace(",", ""))
        for figure in FIGURE.findall(words(of_cost["sum"]))
    )
    assert sum(terms) == pytest.approx(total, abs=0.0001)
