"""Laws of the ingredient statement over random nested recipes."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from labels.statements import ingredient_laws as laws
from labels.statements.allergens import (
    AllergenMark,
    all_allergens,
    contains_words,
    declared_in,
    names_source,
    source_word,
)
from labels.statements.ingredient_list import CompoundStyle, RecipeAsUsed, compose
from labels.statements.ingredient_text import ingredient_runs
from labels.statements.ingredients import (
    Incidental,
    Ingredient,
    Nature,
    Part,
    Substance,
    opened,
)
from labels.statements.label_input import Jurisdiction
from tests.labels.label_values import built, outcome

PLACES = {
    "us": (laws.US_LAW, laws.US_WORDS),
    "eu": (laws.EU_LAW, laws.EU_WORDS),
    "ca": (laws.CA_LAW, laws.CA_WORDS),
    "ca-fr": (laws.CA_LAW, laws.CA_FR_WORDS),
    "anz": (laws.ANZ_LAW, laws.ANZ_WORDS),
    "codex": (laws.CODEX_LAW, laws.CODEX_WORDS),
}
marks = st.builds(
    AllergenMark,
    st.sampled_from(sorted(all_allergens())),
    st.sampled_from(["", "anchovies"]),
)
names = st.sampled_from(
    [
        "apple",
        "pear",
        "fig",
        "plum",
        "sugar",
        "honey",
        "ginger",
        "butter",
        "sauce",
        "stock",
        "malt",
        "nougat",
        "pesto",
    ]
)
grams = st.decimals(Decimal("0.1"), Decimal(2000), places=1)


@st.composite
def substances(draw, depth=2):
    """A substance with up to two levels of parts."""
    parts = ()
    in_house = False
    if depth and draw(st.booleans()):
        shared = draw(st.booleans())
        inner = draw(st.lists(substances(depth - 1), min_size=1, max_size=3))
        share = Decimal(1) / len(inner) if shared else None
        parts = tuple(Part(substance=part, share=share) for part in inner)
        in_house = shared and draw(st.booleans())
    own = st.frozensets(marks, max_size=2) if not in_house else st.just(frozenset())
    return Substance(
        name=draw(names),
        nature=draw(st.sampled_from(Nature)) if not in_house else Nature.OTHER,
        allergens=draw(own),
        parts=parts,
        additive_class=draw(st.sampled_from(["", "", "preservative"])),
        incidental=draw(st.sampled_from([None, None, *Incidental])),
        made_in_house=in_house,
    )


lines = st.builds(Ingredient, substance=substances(), mass_g=grams)
recipes = st.builds(
    RecipeAsUsed,
    ingredients=st.lists(lines, min_size=1, max_size=4).map(tuple),
    finished_mass_g=grams,
    style=st.sampled_from(CompoundStyle),
)


quick = settings(
    max_examples=50, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)


def label_words(recipe, place):
    law, words = PLACES[place]
    entries = compose(recipe, law)
    runs = ingredient_runs(entries, words)
    return entries, runs


def all_marks(recipe):
    found = set()
    for line in opened(recipe.ingredients):
        found |= line.substance.all_allergens
    return found


@pytest.mark.parametrize("place", PLACES)
@quick
@given(recipe=recipes)
def test_every_allergen_of_every_part_reaches_the_label(place, recipe):
    entries, runs = label_words(recipe, place)
    law, words = PLACES[place]
    text = "".join(run.text for run in runs)
    contains = set(contains_words(entries.marks, words.regime))
    for mark in declared_in(all_marks(recipe), law.regime):
        assert mark in entries.marks
        if words.annotate or mark.code == "sulphites":
            assert names_source(text, mark, words.regime) or (
                source_word(mark, words.regime) in text
            )
        else:
            assert source_word(mark, words.regime) in contains


@pytest.mark.parametrize("place", ["eu", "anz"])
@quick
@given(recipe=recipes)
def test_allergens_inside_the_list_are_emphasised(place, recipe):
    entries, runs = label_words(recipe, place)
    law, words = PLACES[place]
    strong = " ".join(run.text for run in runs if run.emphasis)
    for mark in declared_in(entries.marks, law.regime):
        assert names_source(strong, mark, words.regime) or (
            source_word(mark, words.regime) in strong
        )


@pytest.mark.parametrize("place", PLACES)
@quick
@given(recipe=recipes)
def test_no_entry_stands_before_a_heavier_one(place, recipe):
    entries, _ = label_words(recipe, place)
    for group in (entries.entries, entries.minor):
        masses = [entry.mass_g for entry in group]
        assert masses == sorted(masses, reverse=True)
    limit = recipe.minor_threshold / 100 * recipe.finished_mass_g
    assert all(entry.mass_g <= limit for entry in entries.minor)


@pytest.mark.parametrize("place", PLACES)
@quick
@given(recipe=recipes, data=st.data())
def test_the_order_of_the_lines_never_matters(place, recipe, data):
    shuffled = data.draw(st.permutations(recipe.ingredients))
    again = RecipeAsUsed(
        ingredients=tuple(shuffled),
        finished_mass_g=recipe.finished_mass_g,
        style=recipe.style,
    )
    assert label_words(again, place)[1] == label_words(recipe, place)[1]


@quick
@given(recipe=recipes)
def test_every_gram_is_named_or_left_out_with_a_reason(recipe):
    whole = replace(recipe, style=CompoundStyle.NESTED)
    entries, _ = label_words(whole, "us")
    named = sum(entry.mass_g for entry in entries.everything)
    left = sum(item.mass_g for item in entries.left_out if not item.within)
    used = sum(line.mass_g for line in opened(recipe.ingredients))
    assert all(item.reason and item.citation for item in entries.left_out)
    assert abs(used - named - left) < Decimal("1e-15")


@pytest.mark.parametrize("jurisdiction", list(Jurisdiction))
@quick
@given(recipe=recipes)
def test_the_independent_rules_find_no_fault(jurisdiction, recipe):
    """The rules weigh and look through the recipe itself, not the list."""
    label = built(None, jurisdiction, recipe=recipe)
    for code in ("ALLERGENS", "NAMES-ALL", "ORDER"):
        assert outcome(label, code).findings == ()
