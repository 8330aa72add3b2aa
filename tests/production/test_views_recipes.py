"""The recipe pages."""

from decimal import Decimal

import pytest
from django.urls import reverse

from production import batches
from production.models import Recipe
from tests import factories
from tests.production import kitchen as book

pytestmark = pytest.mark.django_db


def url(name, *args):
    return reverse(f"production:{name}", args=args)


def test_the_list_counts_versions_and_batches(helper_client, helper):
    batch = book.make_cooking(helper)
    shown = helper_client.get(url("recipe-list")).content.decode()
    assert batch.version.recipe.name in shown


def test_a_recipe_scales_down_and_refuses_up(helper_client):
    version = book.make_recipe()
    address = version.recipe.get_absolute_url()
    half = helper_client.get(address, {"share": "50"}).content.decode()
    assert "500 g" in half
    more = helper_client.get(address, {"share": "150"}).content.decode()
    assert "one full and one half batch" in more


def test_a_drift_is_pointed_out(owner_client, owner):
    version = book.make_recipe()
    product = book.make_jam_product(version)
    batch = batches.start(
        batch=book.make_planned(version, product=product),
        at=book.COOKED_AT,
        person=owner,
    )
    filled = [batches.Filled(product=product, jars=3)]
    batches.finish(batch=batch, at=book.COOKED_AT, person=owner, filled=filled)
    shown = owner_client.get(version.recipe.get_absolute_url()).content.decode()
    assert "of the jars expected" in shown
    assert "check the recipe" in shown


def formset(prefix, *rows, fields=()):
    data = {f"{prefix}-TOTAL_FORMS": len(rows), f"{prefix}-INITIAL_FORMS": 0}
    for number, row in enumerate(rows):
        for name, value in {**dict(fields), **row}.items():
            data[f"{prefix}-{number}-{name}"] = value
    return data


STEP = {
    "kind": "prepare",
    "needs": "nothing",
    "day": 0,
    "hands_on_min": 5,
    "unattended_min": 0,
    "stand_min_hours": 0,
    "stand_max_hours": 0,
}
VERSION = {
    "finish": "solids",
    "finish_solids": "0.65",
    "headspace_mm": "6.4",
    "process_kind": "jam",
    "process_min": "10",
}


def write(client, recipe, *lines, **version):
    data = {
        **VERSION,
        **version,
        **formset("lines", *lines),
        **formset("steps", {"text": "Cook."}, fields=STEP),
    }
    return client.post(url("recipeversion-create", recipe.slug), data, follow=True)


def test_a_recipe_is_written_from_nothing(owner_client):
    typed = {"name": "Plum Jam", "kind": "jam", "identity": "Plum Jam"}
    owner_client.post(url("recipe-create"), typed)
    recipe = Recipe.objects.get()
    plums = factories.make_fruit()
    line = {"material": plums.name, "as_typed": "2 lb", "step": 1}
    shown = write(owner_client, recipe, line).content.decode()
    assert "2 lb" in shown
    assert recipe.versions.get().lines.get().grams == Decimal("907.18")


def test_a_quantity_without_a_weight_keeps_what_was_typed(owner_client):
    recipe = factories.make_recipe()
    plums = factories.make_fruit()
    line = {"material": plums.name, "as_typed": "4 each", "step": 1}
    shown = write(owner_client, recipe, line).content.decode()
    assert "set the weight of one" in shown
    assert 'value="4 each"' in shown
    assert not recipe.versions.exists()


def test_a_finish_needs_its_figure(owner_client):
    recipe = factories.make_recipe()
    plums = factories.make_fruit()
    line = {"material": plums.name, "as_typed": "1 kg", "step": 1}
    shown = write(owner_client, recipe, line, finish_solids="").content.decode()
    assert "This finish needs its figure" in shown


def test_a_cooked_version_gets_a_successor(owner_client, owner):
    batch = book.make_cooking(owner)
    recipe = batch.version.recipe
    form = owner_client.get(url("recipeversion-create", recipe.slug))
    assert "stays as it is" in form.content.decode()
    plums = factories.make_fruit()
    write(owner_client, recipe, {"material": plums.name, "as_typed": "1 kg", "step": 1})
    assert recipe.versions.count() == 2


def test_writing_is_the_owners(helper_client):
    recipe = book.make_recipe().recipe
    assert helper_client.get(url("recipe-create")).status_code == 403
    address = url("recipeversion-create", recipe.slug)
    assert helper_client.get(address).status_code == 403
    assert helper_client.post(url("recipe-retire", recipe.slug)).status_code == 403


def test_a_recipe_is_retired_and_taken_back(owner_client):
    recipe = book.make_recipe().recipe
    owner_client.post(url("recipe-retire", recipe.slug))
    recipe.refresh_from_db()
    assert recipe.retired_on is not None
    owner_client.post(url("recipe-retire", recipe.slug))
    recipe.refresh_from_db()
    assert recipe.retired_on is None
