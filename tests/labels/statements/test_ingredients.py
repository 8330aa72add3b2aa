"""The recipe as used: what is refused, opened, merged and spread."""

from decimal import Decimal

import pytest

from labels.statements.allergens import AllergenMark, UnknownAllergenError
from labels.statements.ingredient_laws import ANZ_LAW, EU_LAW, US_LAW, US_WORDS
from labels.statements.ingredient_list import CompoundStyle, RecipeAsUsed, compose
from labels.statements.ingredient_text import ingredient_runs
from labels.statements.ingredients import (
    Incidental,
    Ingredient,
    IngredientError,
    Nature,
    Part,
    Substance,
    opened,
)

MILK = frozenset({AllergenMark("milk")})


def part(name, share=None, **more):
    return Part(
        substance=Substance(name=name, **more),
        share=None if share is None else Decimal(share),
    )


def use(substance, grams=100):
    if isinstance(substance, str):
        substance = Substance(name=substance)
    return Ingredient(substance=substance, mass_g=Decimal(grams))


def recipe(*lines, finished=1000, **more):
    return RecipeAsUsed(
        ingredients=tuple(lines), finished_mass_g=Decimal(finished), **more
    )


def names(found):
    return [entry.name for entry in found.everything]


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: use("figs", 0), "above 0 g"),
        (lambda: Substance(name=" "), "label name"),
        (lambda: Substance(name="figs", sulphite_ppm=Decimal(-1)), "below zero"),
        (lambda: part("sugar", "0"), "above 0"),
        (recipe, "without ingredients"),
        (lambda: recipe(use("figs"), finished=0), "finished weight"),
    ],
)
def test_what_cannot_be_is_refused(make, words):
    with pytest.raises(IngredientError, match=words):
        make()


def test_an_unknown_allergen_is_refused():
    with pytest.raises(UnknownAllergenError, match="use one of"):
        AllergenMark.parse("moonstone")
    assert str(AllergenMark.parse("Fish: cod")) == "fish:cod"
    assert str(AllergenMark.parse("milk")) == "milk"


def test_a_preparation_without_shares_is_asked_for():
    base = Substance(name="base", made_in_house=True, parts=(part("figs"),))
    with pytest.raises(IngredientError, match="enter the grams of that part"):
        opened([use(base)])


def test_allergens_of_a_preparation_must_come_from_its_parts():
    base = Substance(
        name="base", made_in_house=True, parts=(part("figs", "1"),), allergens=MILK
    )
    with pytest.raises(IngredientError, match="none of its parts"):
        opened([use(base)])


def test_a_preparation_of_preparations_is_opened_to_the_bottom():
    inner = Substance(
        name="inner", made_in_house=True, parts=(part("figs", "2"), part("salt", "1"))
    )
    outer = Substance(
        name="outer",
        made_in_house=True,
        parts=(Part(substance=inner, share=Decimal("0.5")),),
    )
    lines = opened([use(outer, 100)])
    assert [(x.substance.name, x.mass_g) for x in lines] == [
        ("figs", 100),
        ("salt", 50),
    ]


def test_the_same_ingredient_twice_is_one():
    found = compose(
        recipe(use("sugar", 300), use("Sugar", 200), use("figs", 400)), US_LAW
    )
    assert names(found) == ["sugar", "figs"]


def test_a_compound_without_shares_stays_whole_and_says_so():
    sauce = Substance(name="sauce", parts=(part("water"), part("salt")))
    found = compose(recipe(use(sauce), style=CompoundStyle.SPREAD), US_LAW)
    assert names(found) == ["sauce"]
    assert "stays in one piece" in found.notes[0]


def test_a_compound_spread_meets_the_same_ingredient():
    mix = Substance(name="mix", parts=(part("sugar", "0.9"), part("pectin", "0.1")))
    found = compose(
        recipe(use(mix), use("sugar", 50), style=CompoundStyle.SPREAD), EU_LAW
    )
    assert {e.name: e.mass_g for e in found.everything} == {"sugar": 140, "pectin": 10}


def test_a_carrier_stays_off_and_the_compound_stands_alone():
    pectin = Substance(
        name="pectin",
        parts=(part("pectin"), part("dextrose", incidental=Incidental.CARRIER)),
    )
    found = compose(recipe(use("figs"), use(pectin)), EU_LAW)
    text = "".join(r.text for r in ingredient_runs(found, US_WORDS))
    assert "(" not in text
    assert found.left_out[0].name == "dextrose"


def test_an_aid_with_an_allergen_is_never_left_out():
    aid = Substance(
        name="milk fining", incidental=Incidental.PROCESSING_AID, allergens=MILK
    )
    found = compose(recipe(use("figs"), use(aid)), US_LAW)
    assert "milk fining" in names(found)


def test_the_maker_may_list_water_that_boiled_away():
    water = Substance(name="water", nature=Nature.WATER)
    lines = (use("figs", 900), use(water, 300))
    assert "water" not in names(compose(recipe(*lines, finished=800), US_LAW))
    kept = recipe(*lines, finished=800, list_removed_water=True)
    assert "water" in names(compose(kept, US_LAW))
    assert kept.evaporated_g == 400
    assert kept.used_mass_g == 1200


@pytest.mark.parametrize(("finished", "listed"), [(940, False), (1000, True)])
def test_australian_water_counts_from_a_twentieth(finished, listed):
    """Food Standards Code 1.2.4-3 (second-hand)."""
    water = Substance(name="water", nature=Nature.WATER)
    found = compose(
        recipe(use("figs", 900), use(water, 300), finished=finished), ANZ_LAW
    )
    assert ("water" in names(found)) is listed


def test_sulphites_that_need_no_word_take_their_agent_along():
    agent = part(
        "sulfur dioxide",
        nature=Nature.ADDITIVE,
        allergens=frozenset({AllergenMark("sulphites")}),
    )
    figs = Substance(name="figs", parts=(part("figs"), agent), sulphite_ppm=Decimal(5))
    found = compose(recipe(use(figs)), US_LAW)
    assert found.left_out[0].name == "sulphites of figs"
    assert not found.marks


def test_everything_minor_stays_in_the_main_list():
    found = compose(recipe(use("salt", 1), use("spice", 2)), US_LAW)
    assert len(found.entries) == 2
    assert found.minor == ()
