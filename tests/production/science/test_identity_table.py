"""The table of fruits behind the names: complete, sourced, and fitting the materials."""

from production.science.identity import _document, fruits
from production.science.materials import table

NAMES = {material.name for material in table()}


def test_every_fruit_of_the_standards_is_a_material():
    assert set(fruits()) <= NAMES


def test_every_column_names_its_source():
    document = _document()
    columns = {key for row in document["fruit"] for key in row} - {"material", "label"}
    assert columns == set(document["sources"])
    assert all(document["sources"].values())


def test_every_class_of_fruit_has_its_figures():
    document = _document()
    for fruit in fruits().values():
        assert fruit.eu in document["eu_from_2026"]
        assert fruit.eu in document["eu_until_2026"]
        assert fruit.codex in document["codex_percent"]


def test_the_newer_european_figures_never_ask_for_less():
    document = _document()
    for name, figures in document["eu_until_2026"].items():
        newer = document["eu_from_2026"][name]
        assert all(old <= new for old, new in zip(figures, newer, strict=True))


def test_factors_mean_a_plausible_share_of_solids():
    for fruit in fruits().values():
        for factor in filter(None, (fruit.jelly_factor, fruit.butter_factor)):
            assert 5 <= 100 / factor <= 20
