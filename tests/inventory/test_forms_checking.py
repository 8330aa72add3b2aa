"""A field is checked when it is left: said beside it, and nothing is saved."""

import pytest
from django.test import Client
from django.urls import reverse

from inventory.models import Lot, Material, Movement, Purchase
from production.models import Reading, RecipeVersion
from tests import factories
from tests.production import kitchen as book

pytestmark = pytest.mark.django_db

NO_ROWS = {"TOTAL_FORMS": 1, "INITIAL_FORMS": 0}


def check(client, address, field, **typed):
    answer = client.post(address, {**typed, "check": field})
    assert answer.status_code == 200
    return answer.content.decode()


def purchase(**line):
    typed = {f"line-{name}": value for name, value in NO_ROWS.items()}
    return typed | {f"line-0-{name}": value for name, value in line.items()}


def test_a_price_is_read_back_by_the_pound(owner_client):
    factories.make_fruit(name="Plums")
    typed = purchase(material="plums", amount="10 lb", cost="25")
    said = check(
        owner_client, reverse("inventory:purchase-add"), "line-0-cost", **typed
    )
    assert "innerHTML:#id_line-0-cost_said" in said
    assert "= $2.50 a lb" in said
    assert "<form" not in said


def test_a_check_saves_nothing_even_when_everything_is_right(owner_client):
    supplier = factories.make_supplier()
    factories.make_fruit(name="Plums")
    typed = purchase(material="plums", amount="10 lb", cost="25")
    typed |= {"supplier": supplier.pk, "bought_on": "2026-06-10"}
    check(owner_client, reverse("inventory:purchase-add"), "supplier", **typed)
    assert not Purchase.objects.exists()
    assert not Lot.objects.exists()
    owner_client.post(reverse("inventory:purchase-add"), typed)
    assert Purchase.objects.count() == 1


def test_what_is_wrong_is_said_on_its_field_and_on_no_empty_one(owner_client):
    said = check(owner_client, reverse("inventory:material-add"), "cups", cups="sliced")
    assert "does not end in a weight" in said
    assert "id_name_said" not in said
    assert not Material.objects.exists()


def test_a_recipe_line_is_read_back_in_grams(owner_client):
    recipe = factories.make_recipe()
    factories.make_fruit(name="Plums", density_g_per_ml="0.65")
    typed = {f"lines-{name}": value for name, value in NO_ROWS.items()}
    typed |= {f"steps-{name}": value for name, value in NO_ROWS.items()}
    typed |= {"lines-0-material": "Plums", "lines-0-as_typed": "2 lb"}
    address = reverse("production:recipeversion-create", args=[recipe.slug])
    said = check(owner_client, address, "lines-0-as_typed", **typed)
    assert "907" in said
    typed["lines-0-as_typed"] = "four handfuls"
    wrong = check(owner_client, address, "lines-0-as_typed", **typed)
    assert "errorlist" in wrong
    assert not RecipeVersion.objects.exists()


@pytest.mark.parametrize(
    ("typed", "said"),
    [("3.4", "= pH 3.4"), ("5.2", "above the limit"), ("hot", "errorlist")],
)
def test_a_reading_is_doubted_before_it_is_written_down(
    helper_client, helper, typed, said
):
    batch = book.make_cooking(helper, book.make_low_acid_recipe())
    address = reverse("production:reading-record", args=[batch.pk])
    told = check(helper_client, address, "value", kind="ph", value=typed)
    assert said in told
    assert not Reading.objects.exists()


def test_weights_are_read_back_as_net_contents(helper_client, helper):
    batch = book.make_held(helper)
    output = batch.outputs.get()
    address = reverse("production:jar-weights", args=[batch.pk, output.pk])
    told = check(helper_client, address, "jars", tares="180", jars="410\n412")
    assert "= 2 jars, 230.0 to 232.0 g net, 231.0 g on average" in told
    assert not output.weighings.exists()


def test_a_check_asks_for_the_same_door_and_knows_only_its_fields(owner_client):
    address = reverse("inventory:opening-add")
    assert Client().post(address, {"check": "cost"}).status_code == 302
    assert check(owner_client, address, "moon") == ""
    assert not Movement.objects.exists()
