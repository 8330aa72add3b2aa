"""Whole label texts, place by place."""

import datetime
from dataclasses import replace
from decimal import Decimal

import pytest

from labels.statements.allergens import AllergenMark
from labels.statements.ingredients import Nature
from labels.statements.label_input import (
    Jurisdiction,
    LabelInputError,
    Producer,
)
from labels.statements.label_text import Panel, Placement, Role
from labels.statements.nutrition import NutrientAmounts
from tests.labels.label_values import KITCHEN, built, label_input, place, recipe, use

MILK = frozenset({AllergenMark("milk")})
WHEAT = frozenset({AllergenMark("wheat")})
RICH = recipe(
    use("pears", 900, Nature.FRUIT, names=(("fr", "poires"),)),
    use("sugar", 700, Nature.SUGAR, names=(("fr", "sucre"),)),
    use("butter", 40, allergens=MILK, names=(("fr", "beurre"),)),
    use("breadcrumbs", 30, allergens=WHEAT, names=(("fr", "chapelure"),)),
)
AMOUNTS = NutrientAmounts(
    carbohydrate_g=Decimal(60),
    sugars_g=Decimal(58),
    added_sugars_g=Decimal(45),
    fibre_g=Decimal(1),
    protein_g=Decimal("0.4"),
    sodium_mg=Decimal(32),
)


def shown(label, role):
    return [element.text for element in label.text.of(role)]


@pytest.mark.parametrize("jurisdiction", list(Jurisdiction))
def test_every_label_says_the_five_things(jurisdiction):
    text = built(None, jurisdiction, recipe=RICH, is_jam=True).text
    for role in (
        Role.IDENTITY,
        Role.NET_QUANTITY,
        Role.INGREDIENTS,
        Role.PRODUCER,
        Role.BATCH_CODE,
    ):
        assert text.first(role)


@pytest.mark.parametrize("jurisdiction", list(Jurisdiction))
def test_words_of_the_makers_stay_as_written(jurisdiction):
    label = built(
        None,
        jurisdiction,
        maker_note="From our hill",
        cross_contact_note="Made where nuts are used.",
        claims=("Small batch",),
    )
    assert shown(label, Role.MAKER_NOTE) == ["From our hill"]
    assert shown(label, Role.CROSS_CONTACT) == ["Made where nuts are used."]
    assert shown(label, Role.CLAIM) == ["Small batch"]
    assert not label.text.first(Role.CLAIM).mandatory


@pytest.mark.parametrize("jurisdiction", list(Jurisdiction))
def test_a_product_without_a_batch_has_no_code_or_date(jurisdiction):
    label = built(None, jurisdiction, batch_code="", made_on=None, best_before_on=None)
    assert not label.text.first(Role.BATCH_CODE)
    assert not label.text.first(Role.BEST_BY)


def test_front_and_information_panel_are_told_apart():
    text = built().text
    front = {element.role for element in text.on(Panel.PRINCIPAL_DISPLAY)}
    assert front == {Role.IDENTITY, Role.NET_QUANTITY}
    quantity = text.first(Role.NET_QUANTITY)
    assert Placement.BOTTOM_30_PERCENT in quantity.placement


def test_us_allergens_are_never_smaller_than_the_list():
    element = built(recipe=RICH).text.first(Role.ALLERGENS)
    assert element.text == "Contains: Milk, Wheat."
    assert element.size.not_below is Role.INGREDIENTS


def test_us_nutrition_carries_its_table():
    element = built(nutrition=AMOUNTS).text.first(Role.NUTRITION)
    assert element.nutrition.title == "Nutrition Facts"
    assert element.text.startswith("Nutrition Facts about 14 servings")


def test_eu_nutrition_is_per_100_g_in_its_order():
    element = built(None, Jurisdiction.EU, nutrition=AMOUNTS).text.first(Role.NUTRITION)
    labels = [row.label for row in element.nutrition.rows]
    assert labels == [
        "Energy",
        "Fat",
        "of which saturates",
        "Carbohydrate",
        "of which sugars",
        "Protein",
        "Salt",
    ]
    assert element.nutrition.rows[3].amount == "59 g"
    assert element.text.startswith("Nutrition declaration per 100 g: energy")


def test_eu_names_shares_of_what_the_name_speaks_of():
    label = built(
        None,
        Jurisdiction.EU,
        identity="Pear spread with butter",
        recipe=RICH,
        is_jam=False,
        named_ingredients=("pears", "butter"),
    )
    assert shown(label, Role.FRUIT_CONTENT) == ["Contains pears 60 %, butter 2.7 %"]


def test_uk_may_add_ounces():
    label = built(None, Jurisdiction.UK, shows_ounces=True)
    assert shown(label, Role.NET_QUANTITY) == ["283 g (9.98 oz)"]


def test_canada_speaks_both_languages():
    label = built(
        None, Jurisdiction.CA, recipe=RICH, identities=(("fr", "Tartinade de poires"),)
    )
    assert shown(label, Role.IDENTITY) == ["Strawberry Jam / Tartinade de poires"]
    assert shown(label, Role.ALLERGENS) == [
        "Contains: Milk, Wheat",
        "Contient : Blé, Lait",
    ]
    assert label.text.draft_reasons == ()


def test_canada_asks_for_the_species():
    fish = recipe(use("sauce", 10, allergens=frozenset({AllergenMark("fish")})))
    reasons = built(None, Jurisdiction.CA, recipe=fish).text.draft_reasons
    assert any("species" in reason for reason in reasons)


def test_australia_sums_up_in_bold_and_names_gluten():
    label = built(None, Jurisdiction.AU, recipe=RICH)
    element = label.text.first(Role.ALLERGENS)
    assert element.text == "Contains gluten, milk, wheat"
    assert all(run.emphasis for run in element.runs)
    assert shown(label, Role.FRUIT_CONTENT) == ["Contains pears 60 %"]


def test_codex_states_fruit_in_its_words():
    label = built(None, Jurisdiction.CODEX, recipe=RICH)
    assert shown(label, Role.FRUIT_CONTENT) == ["prepared with 60 g of fruit per 100 g"]
    assert shown(label, Role.BEST_BY) == ["Best before 2 June 2027"]
    plain = built(None, Jurisdiction.CODEX, is_jam=False)
    assert not plain.text.first(Role.FRUIT_CONTENT)


def test_nothing_named_needs_no_share():
    label = built(None, Jurisdiction.AU, is_jam=False)
    assert not label.text.first(Role.FRUIT_CONTENT)


def test_a_place_adds_its_own_lines():
    text = built(
        place("us-sd"), producer=replace(KITCHEN, mailing_address="Box 9")
    ).text
    assert "post: Box 9" in text.first(Role.PRODUCER).text
    assert "555 0100" in text.first(Role.PRODUCER).text
    assert text.first(Role.MADE_ON).text == "Made on June 2, 2026"


def test_a_directory_lets_the_street_go():
    maker = replace(KITCHEN, in_directory=True)
    assert "Example Lane" not in built(producer=maker).text.text


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"identity": " "}, "name of the food"),
        ({"producer": Producer(name="")}, "name of"),
    ],
)
def test_what_a_label_cannot_do_without(changes, words):
    with pytest.raises(LabelInputError, match=words):
        label_input(**changes)


def test_a_short_date_still_needs_the_lot():
    label = built(None, Jurisdiction.EU, shows_whole_date=False)
    assert label.text.first(Role.BATCH_CODE).mandatory
    whole = built(None, Jurisdiction.EU)
    assert not whole.text.first(Role.BATCH_CODE).mandatory


def test_keeping_less_than_three_months_shows_day_and_month():
    label = built(
        None,
        Jurisdiction.EU,
        shows_whole_date=False,
        best_before_on=datetime.date(2026, 8, 1),
    )
    assert shown(label, Role.BEST_BY) == ["Best before 1 August"]
