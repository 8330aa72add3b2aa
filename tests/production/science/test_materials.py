"""The material table, finding a material by a cook's name, and its forms."""

from decimal import Decimal

import pytest

from inventory.sourced import Kind, Sourced, Status
from production.science.balance import Role
from production.science.forms import Form, read_preparation
from production.science.materials import Material, MaterialError, _document, find, table

NAMES = [
    ("strawberries, crushed", "", "strawberry"),
    ("powdered pectin", "", "powdered pectin"),
    ("pectin", "powdered", "powdered pectin"),
    ("pectin", "liquid", "liquid pectin"),
    ("packages (3 oz) liquid pectin", "", "liquid pectin"),
    ("bottled lemon juice", "", "lemon juice"),
    ("juice of lemons", "", "lemon juice"),
    ("lemon rind", "grated", "lemon peel"),
    ("cherry", "ground or finely chopped, pitted", "sour cherry"),
    ("cherry", "sweet, pitted", "sweet cherry"),
    ("apple juice", "", "apple"),
    ("grape juice", "", "grape juice"),
    ("apple cider vinegar", "", "vinegar"),
    ("orange peel with albedo", "thinly sliced", "orange peel"),
    ("nutmeg or cinnamon", "ground", "spice"),
    ("yellow bell pepper", "", "bell pepper"),
    ("jalapeño peppers", "", "hot pepper"),
    ("ginger", "crystallized", "candied ginger"),
    ("frozen concentrated orange juice", "", "orange juice concentrate"),
    ("dark brown sugar", "packed", "brown sugar"),
    ("plum tomatoes", "", "tomato"),
    ("Concord grapes", "stemmed", "grape"),
    ("red pepper", "crushed", "bell pepper"),
    ("mint leaves", "", "herb"),
]


@pytest.mark.parametrize(("name", "form", "found"), NAMES)
def test_a_cook_s_name_finds_its_material(name, form, found):
    assert find(name, form).name == found


@pytest.mark.parametrize("name", ["yuzu", "dragon fruit", "", "12 %"])
def test_an_unknown_name_finds_nothing(name):
    assert find(name) is None


@pytest.mark.parametrize("material", table(), ids=lambda material: material.name)
def test_every_material_is_found_by_its_own_name_and_aliases(material):
    for name in (material.name, *material.aliases):
        assert find(name) is material


@pytest.mark.parametrize("material", table(), ids=lambda material: material.name)
def test_every_row_is_physically_possible(material):
    assert 0 <= material.solids.low <= material.solids.high <= 1
    assert 0 <= material.insoluble <= 1
    for grams in material.cup_g.values():
        assert 10 <= grams <= 350
    if material.ph:
        assert 2 <= material.ph[0] <= material.ph[1] <= 8


def test_every_column_of_the_table_names_its_source():
    document = _document()
    columns = {key for row in document["material"] for key in row}
    sources = document["sources"]
    free = {"name", "aliases", "role", "family", "memory", "juice_solids", "whole_use"}
    for column in columns - free:
        fact = Sourced(
            value=Decimal(1),
            unit="1",
            kind=Kind.MEASURED,
            source=sources[column],
            status=Status.SECONDARY,
        )
        assert fact.citation


def test_fields_from_memory_are_fields_of_their_row():
    for row in _document()["material"]:
        for field in row.get("memory", ()):
            name, _, part = field.partition(".")
            assert name in row, (row["name"], field)
            assert not part or part in row[name], (row["name"], field)


def test_a_missing_form_falls_back_on_the_family():
    peach = find("peach")
    assert peach.grams_per_cup(Form.SLICED) == 154
    assert peach.grams_per_cup(Form.CRUSHED) == 225
    assert peach.has_own_cup(Form.SLICED)
    assert not peach.has_own_cup(Form.CRUSHED)
    assert find("bell pepper").grams_per_cup(Form.DICED) == 149
    assert find("sugar").grams_per_cup(Form.GRATED) == 200
    assert Material(name="x", cup_g={"packed": Decimal(3)}).grams_per_cup(None) == 3
    assert Material(name="x").grams_per_cup(None) is None


def test_an_impossible_material_is_refused():
    with pytest.raises(MaterialError, match="needs a name"):
        Material(name=" ")
    with pytest.raises(MaterialError, match="more than 0"):
        Material(name="x", edible=Decimal(0))


FORMS = [
    ("crushed", Form.CRUSHED),
    ("measured whole, then crushed", Form.WHOLE),
    ("puréed, strained", Form.PUREED),
    ("peeled, cored, finely chopped", Form.FINE),
    ("thinly sliced", Form.SLICED),
    ("cut up", Form.CHOPPED),
    ("quartered", Form.HALVES),
    ("prepared: peeled, chopped, simmered 10 minutes", Form.COOKED),
    ("sections", Form.SECTIONS),
    ("grated", Form.GRATED),
    ("cubes", Form.DICED),
    ("juice, strained", Form.JUICE),
    ("ground, pressed for juice", None),
    ("", None),
]


@pytest.mark.parametrize(("text", "form"), FORMS)
def test_the_form_is_read_from_the_words(text, form):
    assert read_preparation(text).form is form


def test_other_words_tell_what_was_done():
    assert read_preparation("peeled and sliced").peeled
    assert read_preparation("prepared").ready
    assert read_preparation("crushed, pressed for juice").pressed
    assert read_preparation("sieved after cooking").sieved
    assert not read_preparation("juice, strained").sieved
    assert read_preparation("thinly sliced, taken out before filling").left_out


def test_roles_are_told():
    assert find("honey").role is Role.SWEETENER
    assert find("apple juice concentrate").is_juice
    assert not find("apple").is_juice
