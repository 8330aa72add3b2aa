"""The recipe file: what it may hold, and every way it can be wrong."""

import json
from decimal import Decimal

import pytest

from production.science.balance import FinishKind
from production.science.jars import JarError
from production.science.kinds import ProductKind
from production.science.recipe_file import RecipeFileError, read_recipe
from production.science.working import ScienceError

JAM = {"name": "Plum jam", "ingredients": ["6 cups crushed plums", "4 cups sugar"]}


def read(**more):
    return read_recipe(json.dumps({**JAM, **more}))


def test_lines_may_be_text_or_objects():
    objects = [
        {"material": "plums", "quantity": "6 cups", "form": "crushed"},
        {"ingredient": "sugar", "quantity": "4", "unit": "cup", "form": "granulated"},
    ]
    assert read(ingredients=objects).lines[0].grams == read().lines[0].grams
    assert read(ingredients=objects).lines[1].grams == 800


def test_a_number_is_a_quantity_too():
    found = read(ingredients=[{"material": "lemons", "quantity": 3, "form": "juice"}])
    assert found.lines[0].grams == 144


@pytest.mark.parametrize(
    ("line", "grams"),
    [
        ("Juice of 2 lemons", 96),
        ("4 teaspoons peeled, grated fresh ginger", 8),
        ("3 sticks cinnamon", 9),
        ("2 cloves garlic, minced", 6),
    ],
)
def test_lines_of_text_in_the_ways_cooks_write_them(line, grams):
    assert abs(read(ingredients=["1 cup sugar", line]).lines[1].grams - grams) <= 1


def test_an_unmeasured_line_is_listed_and_hides_nothing():
    found = read(ingredients=["1 cup sugar", "A little salt"])
    assert found.lines[1].pot.missing


def test_what_is_by_taste_is_not_missed():
    found = read(ingredients=["1 cup sugar", "food coloring, if desired"])
    assert found.lines[1].pot.missing == ()


def test_pulp_of_fruit_by_its_size():
    found = read(ingredients=["1 cup sugar", "pulp of 4 medium-sized oranges"])
    assert found.lines[1].grams == 524


def test_only_the_juice_of_a_jelly_s_fruit_goes_in():
    plums = ["2 lb plums", "3 cups sugar", "1 Tbsp grated orange peel"]
    jam, jelly = (
        read(name=f"Plum {kind}", ingredients=plums) for kind in ("jam", "jelly")
    )
    assert jelly.lines[0].grams < jam.lines[0].grams
    assert jelly.lines[0].is_juice
    assert jelly.lines[2].grams == jam.lines[2].grams


def test_grated_rind_of_a_fruit_is_its_peel():
    found = read(ingredients=["1 cup sugar", "Grated rind of 1 orange"])
    assert found.lines[1].is_peel


def test_notes_count_only_where_they_change_the_measure():
    berries = {"material": "blueberry", "quantity": "2 pints", "form": "crushed"}
    bought = {**berries, "note": "about 2 lb"}
    whole = {**berries, "note": "measured whole, then crushed"}
    crushed, still_crushed, as_whole = (
        read(ingredients=[entry]).lines[0].grams for entry in (berries, bought, whole)
    )
    assert crushed == still_crushed
    assert as_whole < crushed


def test_the_kind_is_read_from_the_file_or_the_name():
    assert read().kind is ProductKind.JAM
    assert read(kind="preserves").kind is ProductKind.PRESERVES
    assert read(product_type="fruit butter").kind is ProductKind.BUTTER
    assert read(kind="intermediate").kind is ProductKind.INTERMEDIATE
    unnamed = read(name="Plum delight")
    assert (unnamed.kind, len(unnamed.notes)) == (ProductKind.JAM, 1)


def test_a_jelly_of_peppers_is_a_pepper_jelly():
    found = read(name="Hot jelly", ingredients=["4 jalapeño peppers", "4 cups sugar"])
    assert found.kind is ProductKind.PEPPER_JELLY


@pytest.mark.parametrize(
    ("finish", "kind", "solids"),
    [
        ({"solids_percent": 68}, FinishKind.SOLIDS, "0.68"),
        ({"above_boiling_f": 9}, FinishKind.ABOVE_BOILING, "0.665"),
        ({"above_boiling_c": 5}, FinishKind.ABOVE_BOILING, "0.665"),
        ({"boil_min": 1}, FinishKind.TIME, None),
        ({"uncooked": True}, FinishKind.NONE, None),
        ("8 F above boiling water", FinishKind.ABOVE_BOILING, "0.651"),
    ],
)
def test_the_finish_may_be_words_or_a_figure(finish, kind, solids):
    found = read(finish=finish).finish
    assert found.kind is kind
    if solids:
        assert found.solids.likely == Decimal(solids)


def test_a_spread_without_pectin_is_boiled_for_a_while():
    found = read(name="Peach spread").finish
    assert (found.kind, found.boil_off.likely) == (FinishKind.TIME, Decimal("0.12"))
    assert (
        read(name="Peach spread", finish="gel point").finish.kind
        is FinishKind.ABOVE_BOILING
    )
    strict = read(name="Peach spread", finish="65 % soluble solids").finish
    assert strict.kind is FinishKind.SOLIDS


def test_gelatin_sets_without_boiling_down():
    found = read(
        name="Grape jelly", ingredients=["3 cups grape juice", "2 Tbsp gelatin"]
    )
    assert found.finish.kind is FinishKind.TIME


def test_jars_may_be_named_or_measured():
    found = read(jars=["half-pint", {"name": "mine", "brim_ml": 240, "bore_mm": 60}])
    assert [jar.name for jar in found.jars] == ["8 fl oz", "mine"]
    area = read(jars=[{"name": "mine", "brim_ml": 240, "neck_area_cm2": 28}])
    assert area.jars[0].neck_area_cm2 == 28
    assert read(jars="190 ml").jars[0].name == "190 ml"


def test_other_keys_are_understood():
    found = read(
        headspace_in="0.25", fill_c=85, process="butter", process_min=10, sterile_jars=True,
        altitude_ft=5280, goes_in={"quantity": "5 cups", "what": "pulp"},
    )  # fmt: skip
    assert found.headspace == Decimal("6.350")
    assert (found.fill_c, found.process.row, found.process.recipe_min) == (
        85,
        "butter",
        10,
    )
    assert found.kitchen.altitude_ft == 5280
    assert read(headspace_mm=7).headspace == 7


def test_the_printed_yield_may_be_text_or_an_object():
    for promise in ("7 half-pints", {"text": "7 half-pints"}):
        assert read(published_yield=promise).published.text == "7 half-pints"


BROKEN = [
    ("{", "not valid JSON"),
    ("[" * 100_000, "not valid JSON"),
    ("[1]", "must be one object"),
    ("{}", 'needs "ingredients"'),
    ('{"ingredients": []}', 'needs "ingredients"'),
    ('{"ingredients": "sugar"}', 'needs "ingredients"'),
    ('{"ingredients": [7]}', "ingredient 1 must be"),
    ('{"ingredients": [{"quantity": "1 cup"}]}', "needs the name of a material"),
    ('{"ingredients": ["2 cups"]}', "needs the name of a material"),
    ('{"ingredients": [{"material": ["a"], "quantity": "1 g"}]}', "must be text"),
    ('{"ingredients": ["1 cup sugar"], "altitude_ft": "high"}', "must be a number"),
    ('{"ingredients": ["1 cup sugar"], "altitude_ft": true}', "must be a number"),
    ('{"ingredients": ["1 cup sugar"], "fill_c": NaN}', "no number"),
    ('{"ingredients": ["1 cup sugar"], "finish": {"by": "eye"}}', "needs one of"),
    ('{"ingredients": ["1 cup sugar"], "jars": []}', "is empty"),
    ('{"ingredients": ["1 cup sugar"], "jars": [{"name": "x"}]}', "a jar needs"),
    ('{"ingredients": ["1 cup sugar"], "process_min": 2.5}', "whole minutes"),
    ('{"ingredients": ["1 cup sugar"], "goes_in": "juice"}', "must be an object"),
    ('{"ingredients": [{"material": "water", "quantity": "1 cup", "in_pot": false}]}', "goes into the pot"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "match"), BROKEN)
def test_a_broken_file_is_refused_in_one_sentence(text, match):
    with pytest.raises(RecipeFileError, match=match) as caught:
        read_recipe(text)
    assert "\n" not in str(caught.value)


def test_files_and_recipes_have_a_size():
    with pytest.raises(RecipeFileError, match="500,000 characters"):
        read_recipe(" " * 500_001)
    with pytest.raises(RecipeFileError, match="200"):
        read(ingredients=["1 g sugar"] * 201)


def test_an_unknown_jar_and_impossible_solids_are_refused():
    with pytest.raises(JarError, match="no built-in jar"):
        read(jars=["bucket"])
    with pytest.raises(ScienceError, match="at most 100 %"):
        read(finish={"solids_percent": 120})
