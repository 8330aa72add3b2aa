"""What a recipe learns from its batches, whatever jars they went into."""

from decimal import Decimal

import pytest

from production import batches
from production.selectors import recipe_page
from tests import factories
from tests.production import kitchen as book

pytestmark = pytest.mark.django_db


@pytest.fixture
def small(owner):
    """A cooking batch planned in half-pints, and a product in jars of half that."""
    batch = book.make_cooking(owner)
    jar, lid = factories.make_packaging(), factories.make_packaging()
    for material in (jar, lid):
        factories.make_lot(material=material, quantity=24)
    size = factories.make_jar_size(brim_ml=Decimal("134.0"), jar=jar, lid=lid)
    product = factories.make_product(jar_size=size)
    factories.make_filling(product, batch.version.recipe)
    return batch, product


def finish(batch, owner, filled):
    batches.finish(
        batch=batch,
        at=book.PROCESSED_AT,
        person=owner,
        filled=[batches.Filled(product=product, jars=jars) for product, jars in filled],
    )
    return recipe_page.yields_of(batch.version.recipe).batches[0]


def test_small_jars_count_by_what_they_hold(small, owner):
    batch, product = small
    found = finish(batch, owner, [(batch.product, 4), (product, 4)])
    # 250 ml and 134 ml, each less 6.4 mm over 28 cm² (17.92 ml): exactly a half.
    assert found.filled == 4 + 4 * Decimal("116.08") / Decimal("232.08")


def test_one_size_counts_as_it_is(small, owner):
    batch, _product = small
    assert finish(batch, owner, [(batch.product, 6)]).filled == 6


def test_a_headspace_no_jar_has_falls_back_on_the_brim(small, owner):
    batch, product = small
    batch.version.headspace_mm = Decimal(100)
    type(batch.version).objects.filter(pk=batch.version.pk).update(
        headspace_mm=Decimal(100)
    )
    found = finish(batch, owner, [(product, 5)])
    assert found.filled == 5 * Decimal("134.0") / Decimal("250.0")
