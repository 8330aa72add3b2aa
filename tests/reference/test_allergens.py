"""Allergens on labels against worked cases of the law of each place.

Sources: 21 USC 321(qq), 343(w) and FDA guidance of 6 January 2025 (US);
Regulation (EU) No 1169/2011 Art. 21 and Annex II (EU, UK); Food and Drug
Regulations B.01.010.1-.3 (Canada); Food Standards Code 1.2.3 (Australia, New
Zealand). C: computed from the provision.
"""

from decimal import Decimal

import pytest

from labels.statements import ingredient_laws as laws
from labels.statements.allergens import (
    AllergenMark,
    AllergenRegime,
    UnknownAllergenError,
    contains_words,
    declared_in,
    species_missing,
)
from labels.statements.ingredient_list import RecipeAsUsed, compose
from labels.statements.ingredient_text import ingredient_runs
from labels.statements.ingredients import Ingredient, Nature, Part, Substance

US, EU, CA, FR, ANZ = (
    AllergenRegime.US,
    AllergenRegime.EU,
    AllergenRegime.CA,
    AllergenRegime.CA_FR,
    AllergenRegime.ANZ,
)


def marks(*codes):
    return frozenset(AllergenMark.parse(code) for code in codes)


def shown(law, words, *substances, grams=10):
    lines = [Ingredient(substance=Substance(name="figs"), mass_g=Decimal(1000))]
    lines += [Ingredient(substance=s, mass_g=Decimal(grams)) for s in substances]
    recipe = RecipeAsUsed(ingredients=tuple(lines), finished_mass_g=Decimal(1000))
    runs = ingredient_runs(compose(recipe, law), words)
    return "".join(f"**{r.text}**" if r.emphasis else r.text for r in runs)


BUTTER = Substance(name="butter", allergens=marks("milk"))


# United States
@pytest.mark.parametrize(
    ("codes", "expected"),
    [
        (["milk"], ("Milk",)),  # butter against foam
        (["pecan"], ("Pecans",)),  # never "Tree nuts"
        (["soy"], ("Soy",)),  # lecithin
        (["egg:duck", "milk"], ("Milk", "Duck eggs")),  # curd
        (["fish:anchovies"], ("Fish (anchovies)",)),  # never "Fish" alone
        (["sesame"], ("Sesame",)),  # unrefined oil
        (["peanut"], ("Peanuts",)),  # cold-pressed oil
        (["mustard", "celery", "lupin"], ()),  # not federal
        (["sulphites"], ()),  # stay in the list
    ],
)
def test_us_contains_words(codes, expected):
    assert contains_words(marks(*codes), US) == expected


@pytest.mark.parametrize("nut", ["coconut", "chestnut", "shea"])
def test_nuts_the_guidance_no_longer_counts_are_no_allergen(nut):
    with pytest.raises(UnknownAllergenError):
        AllergenMark.parse(nut)


def test_a_fish_without_its_species_is_asked_for():
    assert species_missing(marks("fish"), US) == (AllergenMark("fish"),)
    assert species_missing(marks("fish"), EU) == ()


def test_us_order_is_always_the_same():
    codes = ["sesame", "soy", "wheat", "peanut", "walnut", "fish:cod", "egg", "milk"]
    groups = [mark.code for mark in declared_in(marks(*codes), US)]
    assert groups == [
        "milk",
        "egg",
        "fish",
        "walnut",
        "peanut",
        "wheat",
        "soy",
        "sesame",
    ]


def test_a_trace_in_a_flavour_is_declared():
    """343(w)(4): flavours are not exempt, whatever their amount."""
    flavour = Substance(
        name="natural flavor",
        nature=Nature.FLAVOURING,
        allergens=marks("milk"),
    )
    recipe = RecipeAsUsed(
        ingredients=(
            Ingredient(substance=Substance(name="figs"), mass_g=Decimal(9999)),
            Ingredient(substance=flavour, mass_g=Decimal(1)),
        ),
        finished_mass_g=Decimal(10000),
    )
    assert contains_words(compose(recipe, laws.US_LAW).marks, US) == ("Milk",)


# European Union and United Kingdom
def test_the_annex_name_is_emphasised_inside_the_list():
    assert shown(laws.EU_LAW, laws.EU_WORDS, BUTTER).endswith("butter (**milk**)")


def test_a_name_that_is_the_source_is_emphasised_itself():
    nuts = [
        Substance(name="almonds", allergens=marks("almond")),
        Substance(name="chopped walnuts", allergens=marks("walnut")),
    ]
    text = shown(laws.EU_LAW, laws.EU_WORDS, *nuts)
    assert text.endswith("**almonds**, chopped **walnuts**")


def test_mustard_in_a_spice_mixture_is_emphasised():
    spice = Substance(
        name="mixed spices", nature=Nature.SPICE, allergens=marks("mustard")
    )
    text = shown(laws.EU_LAW, laws.EU_WORDS, spice, grams=5)
    assert text.endswith("mixed spices (contains **mustard**)")


def test_every_ingredient_from_one_source_says_so():
    """Art. 21(1): clear for each."""
    cream = Substance(name="cream", allergens=marks("milk"))
    text = shown(laws.EU_LAW, laws.EU_WORDS, BUTTER, cream)
    assert text.count("(**milk**)") == 2


@pytest.mark.parametrize("code", ["celery", "lupin"])
def test_celery_and_lupin_are_european(code):
    assert declared_in(marks(code), EU)
    assert not declared_in(marks(code), CA)


def test_pine_nuts_are_not_in_the_annex():
    assert declared_in(marks("pine_nut"), CA)
    assert declared_in(marks("pine_nut"), ANZ)
    assert not declared_in(marks("pine_nut"), EU)


@pytest.mark.parametrize(("ppm", "declared"), [("10.0", False), ("10.1", True)])
def test_sulphites_above_ten_are_emphasised_in_the_eu(ppm, declared):
    recipe = RecipeAsUsed(
        ingredients=(
            Ingredient(
                substance=Substance(name="apricots", sulphite_ppm=Decimal(5)),
                mass_g=Decimal(1000),
            ),
        ),
        finished_mass_g=Decimal(1000),
        measured_sulphite_ppm=Decimal(ppm),
    )
    runs = ingredient_runs(compose(recipe, laws.EU_LAW), laws.EU_WORDS)
    assert any(run.emphasis and run.text == "sulphites" for run in runs) is declared


def test_unmeasured_sulphites_are_an_upper_bound():
    """C: 300 g at 1 000 mg/kg in 1 000 g is 300 mg/kg until measured."""
    apricots = Substance(name="apricots", sulphite_ppm=Decimal(1000))
    text = shown(laws.EU_LAW, laws.EU_WORDS, apricots, grams=300)
    assert "apricots (**sulphites**)" in text


# Canada
def test_canada_has_both_statements():
    codes = marks("wheat", "milk")
    assert contains_words(codes, CA) == ("Milk", "Wheat")
    assert contains_words(codes, FR) == ("Blé", "Lait")


def test_canada_names_nuts_and_gluten_sources():
    codes = marks("walnut", "barley", "mustard", "sulphites", "triticale")
    assert contains_words(codes, CA) == (
        "Barley",
        "Mustard",
        "Sulphites",
        "Triticale",
        "Walnuts",
    )


@pytest.mark.parametrize("law", [laws.CA_LAW, laws.ANZ_LAW, laws.CODEX_LAW])
def test_exactly_ten_ppm_is_declared_outside_the_eu(law):
    recipe = RecipeAsUsed(
        ingredients=(
            Ingredient(
                substance=Substance(name="apricots", sulphite_ppm=Decimal(10)),
                mass_g=Decimal(100),
            ),
        ),
        finished_mass_g=Decimal(100),
    )
    assert AllergenMark("sulphites") in compose(recipe, law).marks


def test_sulphur_dioxide_is_followed_by_its_word():
    """B.01.010.2(6), (8), 40 ppm."""
    agent = Substance(
        name="sulphur dioxide",
        nature=Nature.ADDITIVE,
        additive_class="preservative",
        allergens=marks("sulphites"),
    )
    text = shown(laws.CA_LAW, laws.CA_WORDS, agent)
    assert text.endswith("Sulphur dioxide (sulphites)")


# Australia and New Zealand
def test_required_names_are_bold_in_the_list():
    agent = Substance(name="dried figs", sulphite_ppm=Decimal(2500))
    almonds = Substance(name="almonds", allergens=marks("almond"))
    text = shown(laws.ANZ_LAW, laws.ANZ_WORDS, BUTTER, almonds, agent)
    assert "butter (**milk**)" in text
    assert "**almonds**" in text
    assert "dried figs (**sulphites**)" in text


def test_alcohol_is_named_without_its_own_list_but_with_its_allergens():
    """Regulation (EU) No 1169/2011 Art. 16(4), Annex VII.E.2(c)."""
    wine = Substance(
        name="wine",
        nature=Nature.ALCOHOL,
        parts=(Part(substance=Substance(name="grapes")),),
        allergens=marks("sulphites"),
    )
    text = shown(laws.EU_LAW, laws.EU_WORDS, wine)
    assert text.endswith("wine (**sulphites**)")
