"""Writing recipes: versions freeze, quantities are weighed."""

import datetime
from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError

from inventory.quantities import QuantityError
from production import recipes
from production.models import RecipeVersion
from tests import factories
from tests.production import kitchen as book

pytestmark = pytest.mark.django_db

ON = datetime.date(2026, 6, 1)
STEPS = [recipes.StepDraft(text="Crush."), recipes.StepDraft(text="Cook.", kind="cook")]


@pytest.fixture
def recipe():
    return recipes.write_recipe(name="Plum Jam", kind="jam", identity="Plum Jam")


def make_lines(**cups):
    plums = factories.make_fruit(name="Plums", cup_weights_g=cups)
    sugar = factories.make_material(name="Sugar", density_g_per_ml=Decimal("0.85"))
    return [
        recipes.LineDraft(material=plums, as_typed="6 cups", form="crushed"),
        recipes.LineDraft(material=sugar, as_typed="1 kg", step=2),
    ]


def write(recipe, lines, steps=STEPS, **fields):
    return recipes.write_version(
        recipe=recipe, on=ON, fields=fields, lines=lines, steps=steps
    )


def test_a_cups_weight_depends_on_its_form(recipe):
    version = write(recipe, make_lines(crushed="230", sliced="165"))
    assert [line.grams for line in version.lines.all()] == [1380, 1000]
    assert recipe.slug == "plum-jam"


def test_an_unknown_measure_is_refused_with_what_is_missing(recipe):
    with pytest.raises(QuantityError, match="set the weight of one cup"):
        write(recipe, make_lines())
    assert not RecipeVersion.objects.exists()


def test_an_open_version_is_rewritten(recipe):
    lines = make_lines(crushed="230")
    first = write(recipe, lines)
    second = write(recipe, lines[1:], [STEPS[0], STEPS[1]], headspace_mm=Decimal(12))
    assert first.pk == second.pk
    assert second.lines.count() == 1


def test_a_cooked_version_stays_as_it_was(recipe):
    lines = make_lines(crushed="230")
    first = write(recipe, lines)
    for line in lines:
        factories.make_lot(material=line.material, quantity=5000)
    product = book.make_jam_product(first)
    cook = factories.make_owner()
    book.make_cooking(cook, first, product=product)
    second = write(recipe, lines[1:])
    assert (second.number, first.lines.count()) == (2, 2)
    assert RecipeVersion.objects.get(pk=first.pk).frozen_at is not None


@pytest.mark.parametrize("case", ["lines", "steps", "step", "packaging", "days"])
def test_an_incomplete_recipe_is_refused(recipe, case):
    lines, steps = make_lines(crushed="230"), list(STEPS)
    if case == "lines":
        lines = []
    if case == "steps":
        steps = []
    if case == "step":
        steps = STEPS[:1]
    if case == "packaging":
        jar = factories.make_packaging()
        lines = [recipes.LineDraft(material=jar, as_typed="1 each")]
    if case == "days":
        steps = [recipes.StepDraft(text="Cook.", day=1), *STEPS]
    with pytest.raises(recipes.RecipeError):
        write(recipe, lines, steps)


def test_a_ph_limit_above_that_of_acid_food_is_refused(recipe):
    with pytest.raises(ValidationError, match=r"4\.6 or lower"):
        write(recipe, make_lines(crushed="230"), ph_limit=Decimal("4.8"))


@pytest.mark.parametrize(
    "fields",
    [
        {"finish": "solids", "finish_solids": Decimal("0.95")},
        {"finish": "above_boiling", "finish_above_c": Decimal(40)},
    ],
)
def test_a_finish_outside_the_tables_is_refused(recipe, fields):
    with pytest.raises(recipes.RecipeError, match="table"):
        write(recipe, make_lines(crushed="230"), **fields)


def test_a_product_keeps_its_recipe_once_cooked():
    version = book.make_recipe()
    product = book.make_jam_product(version)
    other = factories.make_recipe()
    recipes.fill_with(product=product, recipe=other)
    recipes.fill_with(product=product, recipe=version.recipe)
    product.refresh_from_db()
    book.make_planned(version, product=product)
    with pytest.raises(recipes.RecipeError, match="make a new product"):
        recipes.fill_with(product=product, recipe=other)


def test_a_recipe_is_retired_and_taken_back(recipe):
    assert recipes.retire(recipe=recipe, on=ON).retired_on == ON
    assert recipes.retire(recipe=recipe, on=None).retired_on is None
