"""Products, prices and jar sizes."""

from decimal import Decimal

import pytest
from django.urls import reverse

from inventory.models import JarSize, Product
from tests import factories
from tests.production import kitchen as book

pytestmark = pytest.mark.django_db


def url(name, *args):
    return reverse(f"production:{name}", args=args)


def product_fields(recipe, size, **changes):
    return {
        "name": "Plum jam",
        "recipe": recipe.name,
        "jar_size": size.pk,
        "accent": "plum",
        **changes,
    }


def test_a_product_is_added_with_its_recipe(owner_client):
    recipe, size = book.make_recipe().recipe, factories.make_jar_size()
    answer = owner_client.post(
        url("product-create"), product_fields(recipe, size), follow=True
    )
    product = Product.objects.get()
    assert product.filling.recipe == recipe
    assert product.code.startswith("plum-jam")
    assert "A jar holds" in answer.content.decode()


def test_two_products_of_one_name_get_codes_of_their_own(owner_client):
    recipe, size = book.make_recipe().recipe, factories.make_jar_size()
    for _ in range(2):
        owner_client.post(url("product-create"), product_fields(recipe, size))
    assert Product.objects.count() == 2


def test_a_cooked_product_keeps_its_recipe(owner_client, owner):
    product = book.make_cooking(owner).product
    other = factories.make_recipe()
    typed = product_fields(other, product.jar_size, name="Other")
    answer = owner_client.post(url("product-edit", product.code), typed)
    assert "make a new product" in answer.content.decode()
    product.refresh_from_db()
    assert product.name != "Other"


def test_prices_are_the_owners(owner_client, helper_client):
    product = book.make_jam_product(book.make_recipe())
    typed = {"outlet_kind": "market", "price": "9.50", "valid_from": "2026-06-01"}
    wrong = owner_client.post(
        url("price-create", product.code), {**typed, "price": "-1"}
    )
    assert 'value="-1"' in wrong.content.decode()
    owner_client.post(url("price-create", product.code), typed)
    assert product.prices.get().price == Decimal("9.50")
    seen = helper_client.get(product.get_absolute_url()).content.decode()
    assert "9.50" not in seen
    assert helper_client.post(url("price-create", product.code)).status_code == 403


def test_a_product_without_a_recipe_or_a_version_still_shows(owner_client):
    product = factories.make_product()
    assert owner_client.get(product.get_absolute_url()).status_code == 200
    factories.make_filling(product, factories.make_recipe())
    assert owner_client.get(product.get_absolute_url()).status_code == 200


def test_lists_show_products_and_jars(helper_client):
    product = book.make_jam_product(book.make_recipe())
    assert product.name in helper_client.get(url("product-list")).content.decode()
    shown = helper_client.get(url("jarsize-list")).content.decode()
    assert product.jar_size.name in shown


def test_a_jar_size_is_added_and_changed(owner_client):
    typed = {
        "name": "8 fl oz",
        "brim_ml": "236.6 ml",
        "neck_area_cm2": "28.3",
        "diameter_mm": "70 mm",
        "height_mm": "95 mm",
        "label_height_mm": "55 mm",
        "lid_diameter_mm": "70 mm",
        "processing_size": "half-pint",
        "per_canner_load": "9",
    }
    owner_client.post(url("jarsize-create"), typed)
    size = JarSize.objects.get()
    wrong = owner_client.post(url("jarsize-edit", size.pk), {**typed, "brim_ml": "big"})
    assert 'value="big"' in wrong.content.decode()
    owner_client.post(url("jarsize-edit", size.pk), {**typed, "brim_ml": "240 ml"})
    size.refresh_from_db()
    assert size.brim_ml == 240
