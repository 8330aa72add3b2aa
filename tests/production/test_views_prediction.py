"""Prediction pages: of a recipe in the book, and of one on paper."""

from decimal import Decimal

import pytest
from django.urls import reverse

from tests.factories import (
    make_business,
    make_fruit,
    make_line,
    make_material,
    make_recipe,
    make_version,
)

pytestmark = pytest.mark.django_db
PAPER = {
    "name": "Plum jam",
    "ingredients": "6 cups crushed plums\n4 cups sugar\n\n- 2 Tbsp bottled lemon juice",
    "finish": "9 F above boiling water",
    "promised": "6 half-pints",
}


@pytest.fixture
def version():
    make_business(altitude_m=Decimal("378.0"))
    version = make_version(
        recipe=make_recipe(name="Strawberry jam", slug="strawberry-jam")
    )
    make_line(version, material=make_fruit(name="Strawberries"), grams=Decimal(1300))
    make_line(version, material=make_material(name="Sugar"), grams=Decimal(1200))
    return version


def ask(client, **data):
    return client.get(
        reverse("production:recipe-prediction", args=["strawberry-jam"]), data
    )


def try_it(client, **data):
    return client.get(reverse("production:recipe-try"), {**PAPER, **data})


def test_a_recipe_is_predicted_in_this_kitchen(owner_client, version):
    page = ask(owner_client)
    assert page.context["prediction"].water.true_c < 99
    assert "Strawberry Jam" in page.text
    assert "Why" in page.text


def test_today_s_kitchen_may_be_another(owner_client, version):
    answer = {
        "altitude": "7000",
        "canner": "steam",
        "share": "50",
        "reading": "199.5",
    }
    found = ask(owner_client, **answer).context["prediction"]
    assert found.batch.factor == Decimal("0.5")
    assert found.batch.process.canner.value == "steam"
    assert abs(found.water.shown_c - Decimal("93.06")) < Decimal("0.01")


def test_a_reading_in_celsius_is_taken_as_it_is(owner_client, version):
    found = ask(owner_client, reading="98.5 C").context["prediction"]
    assert found.water.shown_c == Decimal("98.5")


@pytest.mark.parametrize(
    ("answer", "words"),
    [
        ({"altitude": "40000 ft"}, "outside the model"),
        ({"share": "200"}, "two full batches"),
        ({"reading": "150 C"}, "read again"),
        ({"altitude": "high"}, "number"),
    ],
)
def test_what_cannot_be_is_said_and_what_was_typed_is_kept(
    owner_client, version, answer, words
):
    page = ask(owner_client, **answer)
    assert words in page.text
    assert next(iter(answer.values())) in page.text
    assert "prediction" not in page.context


def test_a_recipe_that_cannot_be_cooked_says_why(owner_client, version):
    version.finish_solids = Decimal("0.40")
    version.save()
    assert "already holds" in ask(owner_client).text.lower()


def test_a_recipe_that_is_not_there_is_not_found(owner_client):
    make_business()
    assert ask(owner_client).status_code == 404


def test_a_recipe_on_paper_is_tried(owner_client):
    make_business(altitude_m=Decimal("2133.6"), canner="steam")
    found = try_it(owner_client).context["prediction"]
    assert len(found.balance.lines) == 3
    assert found.water.true_c < 94
    assert found.batch.process.canner.value == "steam"


def test_an_empty_try_shows_only_the_form(owner_client):
    make_business()
    page = owner_client.get(reverse("production:recipe-try"))
    assert "Ingredients, one a line" in page.text
    assert "prediction" not in page.context


def test_an_unknown_material_is_listed_on_the_page(owner_client):
    make_business()
    page = try_it(
        owner_client, ingredients="6 cups crushed plums\n4 cups sugar\n200 g yuzu"
    )
    assert "yuzu is not in the material table" in page.text


def test_a_try_without_ingredients_keeps_what_was_typed(owner_client):
    make_business()
    page = try_it(owner_client, ingredients="")
    assert "Plum jam" in page.text
    assert "prediction" not in page.context


def test_a_name_is_told_where_only_the_authority_knows(owner_client):
    make_business()
    page = try_it(
        owner_client,
        name="Pumpkin butter",
        kind="butter",
        ingredients="4 lb pumpkin\n2 cups sugar",
        finish="",
        promised="",
    )
    assert "ask the authority" in page.text


@pytest.mark.parametrize("name", ["recipe-try", "recipe-prediction"])
def test_signed_out_is_sent_to_the_door(client, version, name):
    args = ["strawberry-jam"] if name == "recipe-prediction" else []
    page = client.get(reverse(f"production:{name}", args=args))
    assert page.status_code == 302
    assert "sign-in" in page.url


def test_a_helper_may_read_it(helper_client, version):
    assert ask(helper_client).status_code == 200


def test_the_recipe_links_to_its_prediction(owner_client, version):
    page = owner_client.get(version.recipe.get_absolute_url())
    assert reverse("production:recipe-prediction", args=["strawberry-jam"]) in page.text


def test_it_takes_few_queries(owner_client, version, django_assert_max_num_queries):
    with django_assert_max_num_queries(12):
        ask(owner_client)
