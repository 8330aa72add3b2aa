"""``predict_batch``: a recipe of the book, a recipe file, and what it refuses."""

import json
from decimal import Decimal
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.db import DatabaseError

from inventory.models import Business
from production.models import Recipe, RecipeVersion
from production.selectors import prediction
from tests.factories import (
    make_business,
    make_filling,
    make_fruit,
    make_jar_size,
    make_line,
    make_material,
    make_product,
    make_recipe,
    make_version,
)

pytestmark = pytest.mark.django_db
FILE = {
    "name": "Plum jam",
    "ingredients": [
        "6 cups crushed plums",
        "4 cups sugar",
        "2 Tbsp bottled lemon juice",
    ],
}


@pytest.fixture
def version():
    make_business(altitude_m=Decimal("378.0"))
    version = make_version(
        recipe=make_recipe(name="Strawberry jam", slug="strawberry-jam"),
        published_jars=Decimal(7),
        published_jar_ml=Decimal("236.6"),
    )
    make_line(version, material=make_fruit(name="Strawberries"), grams=Decimal(1300))
    sugar = make_material(name="Sugar", is_sweetener=True)
    make_line(version, material=sugar, grams=Decimal(1200))
    return version


@pytest.fixture
def recipe_file(tmp_path):
    path = tmp_path / "recipe.json"
    path.write_text(json.dumps(FILE), encoding="utf-8")
    return path


def run(*args):
    out = StringIO()
    call_command("predict_batch", *map(str, args), stdout=out)
    return out.getvalue()


def data(*args):
    return json.loads(run(*args, "--format", "json"))


def refused(*args):
    with pytest.raises(CommandError) as caught:
        run(*args)
    assert caught.value.returncode == 2
    assert "\n" not in str(caught.value)
    return str(caught.value)


def test_a_recipe_of_the_book_is_predicted_in_its_kitchen(version):
    found = data("Strawberry jam")
    assert found["boiling_point"]["f"] == pytest.approx(209.7, abs=0.1)
    assert found["may_be_called"] == "Strawberry Jam"
    # By hand: (1300 x 0.98 x 0.08 + 1200) / 0.65 + 26 g of fibre, less 3 %.
    assert found["finished_mass_g"]["likely"] == pytest.approx(1968, abs=3)


def test_the_jars_are_those_of_its_products(version):
    make_filling(
        make_product(jar_size=make_jar_size(name="our half-pint")), version.recipe
    )
    assert [jar["jar"] for jar in data("strawberry-jam")["jars"]] == ["our half-pint"]


def test_altitude_canner_and_factor_are_taken(version):
    high = data(
        "strawberry", "--altitude", "7000", "--canner", "steam", "--factor", "0.5"
    )
    assert high["boiling_point"]["f"] == pytest.approx(199.2, abs=0.1)
    assert (high["canner"], high["factor"]) == ("steam", 0.5)
    assert high["jars"][0]["process_min"] > data("strawberry")["jars"][0]["process_min"]


def test_the_table_is_for_reading(version):
    shown = run("Strawberry jam")
    assert "water boils here at" in shown
    assert "net weight" in shown


def test_a_recipe_file_needs_no_book(recipe_file):
    Business.objects.all().delete()
    found = data("--recipe-file", recipe_file)
    assert found["jars"][1]["likely"] == pytest.approx(5.1, abs=0.2)
    assert "sea level" in found["notes"][0]


def test_a_recipe_file_is_cooked_in_the_book_s_kitchen(recipe_file):
    make_business(altitude_m=Decimal("2133.6"), canner="steam")
    found = data("--recipe-file", recipe_file)
    assert found["boiling_point"]["f"] == pytest.approx(199.2, abs=0.1)
    assert found["canner"] == "steam"


def test_the_file_s_own_altitude_wins_over_the_book_s(tmp_path):
    make_business(altitude_m=Decimal("2133.6"))
    path = tmp_path / "low.json"
    path.write_text(json.dumps({**FILE, "altitude_ft": 0}), encoding="utf-8")
    assert data("--recipe-file", path)["boiling_point"]["f"] == pytest.approx(
        211.95, abs=0.01
    )


@pytest.mark.parametrize(
    ("args", "words"),
    [
        ((), "name one recipe"),
        (("Gravel jam",), 'no recipe in the book is called "Gravel jam"'),
        (("Strawberry jam", "--altitude", "40000"), "−1,500 ft to 16,500 ft"),
        (("Strawberry jam", "--altitude", "high"), "must be a number"),
        (("Strawberry jam", "--factor", "2"), "two full batches"),
        (("Strawberry jam", "--factor", "0"), "at least 1 %"),
        (("Strawberry jam", "--factor", "nan"), "must be a number"),
        (("--recipe-file", "/no/such/file.json"), "cannot be read"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(version, args, words):
    assert words in refused(*args)


def test_files_that_are_no_recipe_are_refused(tmp_path):
    binary = tmp_path / "picture.json"
    binary.write_bytes(b"\xff\xfe\x00")
    assert "not a text file" in refused("--recipe-file", binary)
    large = tmp_path / "large.json"
    large.write_text(" " * 1_000_001, encoding="utf-8")
    assert "larger than" in refused("--recipe-file", large)
    assert "cannot be read" in refused("--recipe-file", tmp_path)


def test_a_name_that_several_recipes_hold_asks_which(version):
    make_recipe(name="Strawberry rhubarb jam", slug="strawberry-rhubarb-jam")
    assert 'did you mean "Strawberry jam"' in refused("strawberry")


def test_a_recipe_without_a_version_says_so():
    make_business()
    make_recipe(name="Quince jelly", slug="quince-jelly")
    assert "no version yet" in refused("Quince jelly")


def test_a_book_that_is_not_set_up_says_so(monkeypatch):
    def missing(*args, **kwargs):
        raise DatabaseError("no such table")

    monkeypatch.setattr(Recipe.objects, "filter", missing)
    assert "not set up yet" in refused("Strawberry jam")


def test_a_file_is_predicted_without_a_database(monkeypatch, recipe_file):
    def missing(*args, **kwargs):
        raise DatabaseError("no such table")

    monkeypatch.setattr(Business.objects, "first", missing)
    assert data("--recipe-file", recipe_file)["name"] == "Plum jam"


FINISHES = [
    (
        {
            "finish": "above_boiling",
            "finish_solids": None,
            "finish_above_c": Decimal("5.0"),
        },
        66.5,
    ),
    ({"finish": "solids", "finish_solids": None}, 66.5),
    ({"finish": "solids", "finish_solids": Decimal("0.68")}, 68.0),
]


@pytest.mark.parametrize(("change", "percent"), FINISHES)
def test_each_way_to_finish_is_followed(version, change, percent):
    RecipeVersion.objects.update(**change)
    found = data("Strawberry jam")["finished_solids_percent"]["likely"]
    assert found == pytest.approx(percent, abs=0.1)


@pytest.mark.parametrize("finish", ["time", "none"])
def test_what_is_not_cooked_to_a_point_has_no_finishing_temperature(version, finish):
    RecipeVersion.objects.update(finish=finish)
    assert data("Strawberry jam")["finish"]["c"] is None


def test_a_line_taken_out_again_is_not_in_the_pot(version):
    before = data("Strawberry jam")["pot_mass_g"]
    make_line(version, material=make_material(name="Spice bag"), removed_after=True)
    assert data("Strawberry jam")["pot_mass_g"] == before


def test_fruit_only_the_book_knows_counts_as_fruit(version):
    yuzu = make_fruit(name="Yuzu", solids_fraction=Decimal("0.1"))
    make_line(version, material=yuzu, grams=Decimal(300))
    found = data("Strawberry jam")
    assert found["fruit_g"] == 1600
    assert found["missing"] == []


def test_a_row_of_the_process_table_may_be_named(version):
    RecipeVersion.objects.update(process_kind="chutney")
    assert data("Strawberry jam")["jars"][0]["process_min"] >= 15
    RecipeVersion.objects.update(process_kind="conserve", process_min=0)
    Recipe.objects.update(kind="conserve")
    assert data("Strawberry jam")["jars"][0]["process_min"] is None


def test_predictions_are_read_in_few_queries(version, django_assert_max_num_queries):
    with django_assert_max_num_queries(4):
        prediction.predict_version(version)


def test_an_intermediate_needs_no_name(version):
    Recipe.objects.update(kind="intermediate")
    found = data("Strawberry jam")
    assert (found["names"], found["may_be_called"]) == ([], "")


def test_a_preserve_is_told_from_a_jam_by_its_label(version):
    Recipe.objects.update(identity="Strawberry Preserves")
    assert data("Strawberry jam")["may_be_called"] == "Strawberry Preserves"


def test_of_a_jelly_s_whole_fruit_only_the_juice_is_counted(version):
    Recipe.objects.update(kind="jelly")
    found = data("Strawberry jam")
    assert found["fruit_g"] == 845
    assert "only the juice is counted" in found["notes"][0]
