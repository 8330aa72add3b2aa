"""United States label content against worked cases of the regulation.

Each case names the provision it was computed from or is an example of. Marks:
R the regulation's or the agency's own example, C computed from the provision.
"""

from decimal import Decimal

import pytest

from labels.rules.net_quantity_text import net_quantity_problems
from labels.statements import net_quantity as net
from labels.statements.claims import (
    ClaimFacts,
    Verdict,
    claims_in,
    nutrition_claims,
    reduction_reached,
)
from labels.statements.fruit_content import us_percentage
from labels.statements.ingredient_laws import US_LAW, US_WORDS
from labels.statements.ingredient_list import (
    CompoundStyle,
    RecipeAsUsed,
    compose,
)
from labels.statements.ingredient_text import ingredient_runs
from labels.statements.ingredients import (
    Ingredient,
    IngredientError,
    Nature,
    Part,
    Substance,
)
from labels.statements.net_quantity import DeclaredQuantity, QuantityUnit
from labels.statements.type_sizes import US_NET_QUANTITY, US_TEXT
from labels.statements.us_names import (
    certified_colour_name,
    class_name,
    name_problem,
)

SQUARE_INCH = Decimal("6.4516")


def sub(name, **more):
    return Substance(name=name, **more)


def use(substance, grams):
    if isinstance(substance, str):
        substance = sub(substance)
    return Ingredient(substance=substance, mass_g=Decimal(grams))


def statement(lines, finished, **more):
    recipe = RecipeAsUsed(
        ingredients=tuple(lines), finished_mass_g=Decimal(finished), **more
    )
    runs = ingredient_runs(compose(recipe, US_LAW), US_WORDS)
    return "".join(run.text for run in runs)


def strawberry(sugar):
    return [
        use("strawberries", 1000),
        use("sugar", sugar),
        use("lemon juice", 40),
        use("pectin", 12),
    ]


# 21 CFR 101.7(i), (f): height of the net quantity by the area of the panel.
@pytest.mark.parametrize(
    ("square_inches", "height_mm"),
    [
        ("14.4", "3.175"),  # C cylinder 4 x 9 in
        ("6", "3.175"),  # C side 3 x 2 in
        ("5.0", "1.5875"),  # C exactly 5
        ("25.0", "3.175"),  # C exactly 25
        ("25.02", "4.7625"),  # C just above 25
        ("7.60", "3.175"),  # C wall 60 mm, diameter 65 mm
        ("3.70", "1.5875"),  # C mini jar
        ("21.0", "3.175"),  # C wall 120 mm, diameter 90 mm
    ],
)
def test_the_net_quantity_grows_with_the_panel(square_inches, height_mm):
    size = US_NET_QUANTITY.at(Decimal(square_inches) * SQUARE_INCH)
    assert size.minimum_mm == Decimal(height_mm)


def test_required_text_is_a_sixteenth_of_an_inch():
    """21 CFR 101.2(c): 1.6 mm passes, 1.4 mm fails."""
    assert Decimal("1.4") < US_TEXT.at().minimum_mm <= Decimal("1.6")


# 21 CFR 101.7(m)(1), (2), (5), (3), (4): the regulation's own examples (R).
def test_a_pound_and_a_half_has_three_wordings():
    assert net.us_weight_forms(Decimal(24)) == {
        "Net Wt 24 oz (1 lb 8 oz)",
        "Net Wt 24 oz (1 1/2 lb)",
        "Net Wt 24 oz (1.5 lb)",
    }


def test_three_quarters_of_a_pound_is_in_ounces_alone():
    assert net.us_weight_forms(Decimal(12)) == {"Net Wt 12 oz"}


def test_a_random_pack_shows_decimal_pounds():
    assert net.us_random_weight(Decimal("0.75")) == "Net Wt .75 lb"


def test_a_quart_stands_beside_its_fluid_ounces():
    assert net.us_fluid(Decimal(32)) == "Net 32 fl oz (1 qt)"


def test_a_quart_and_three_quarters_is_taken_apart():
    assert net.us_fluid(Decimal(56)) == "Net 56 fl oz (1 qt 1 pt 8 oz)"


@pytest.mark.parametrize(
    ("count", "noun", "fluid", "expected"),
    [
        (6, "bottles", True, "6-16 oz bottles-(96 fl oz)"),
        (3, "cans", False, "3-16 oz cans-(net wt. 48 oz)"),
    ],
)
def test_several_units_in_a_pack_show_the_total(count, noun, fluid, expected):
    """21 CFR 101.7(s), R."""
    assert net.us_multiunit(count, Decimal(16), noun=noun, fluid=fluid) == expected


@pytest.mark.parametrize(
    ("amount", "unit", "expected"),
    [
        ("16", "oz", "Net Wt 16 oz (1 lb) 453 g"),  # C 101.7(j)(1); grams cut
        ("64", "oz", "Net Wt 4 lb (1.81 kg)"),  # C 101.7(k)
        ("6", "oz", "Net Wt 6 oz (170 g)"),  # R 101.7(j)(3)
    ],
)
def test_the_program_writes_the_lawful_form(amount, unit, expected):
    quantity = DeclaredQuantity(amount=Decimal(amount), unit=QuantityUnit(unit))
    assert net.us_weight(quantity) == expected


# C 101.7(a), (d), (f), (j), (r); 15 USC 1453(a)(2), (b).
@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("jumbo quart", "puffs"),  # R
        ("Net Wt full 12 oz (340 g)", "puffs"),
        ("8 FL OZ (237 mL)", "by weight"),
        ("Net Wt 1 lb 453 g", "ounces come first"),
        ("Net Wt 8.125 oz (230 g)", "two decimals"),
        ("Net Wt 8 2/16 oz (230 g)", "lowest terms"),
        ("Net Wt 8 1/3 oz (236 g)", "thirty-seconds"),
        ("8 oz (226 g)", '"Net Wt"'),
        ("Approx. Net Wt 8 oz (226 g)", "qualify"),
        ("Net Wt 8 oz", "grams are missing"),
    ],
)
def test_a_wrong_net_quantity_is_answered(text, words):
    assert any(words in problem for problem in net_quantity_problems(text))


def test_a_relish_goes_by_fluid_measure():
    """C 101.7(r)."""
    problems = net_quantity_problems("Net Wt 12 oz (340 g)", by_weight=False)
    assert any("fluid ounces" in problem for problem in problems)


@pytest.mark.parametrize(
    "text", ["Net Wt 8 1/8 oz (230 g)", "6 oz Net wt. (170 g)", "Net Wt. 6 oz (170 g)"]
)
def test_a_good_net_quantity_passes(text):
    assert net_quantity_problems(text) == ()


# C 101.4(a)(1), (2): order and the closing phrase.
def test_order_and_closing_phrase_of_a_strawberry_jam():
    assert statement(strawberry(900), 1500) == (
        "Ingredients: Strawberries, Sugar, Lemon juice, Contains 2% or less of: Pectin."
    )


def test_sugar_leads_when_it_weighs_more():
    assert statement(strawberry(1100), 1500).startswith("Ingredients: Sugar, Straw")


@pytest.mark.parametrize(("threshold", "held"), [("1", 1), ("1.5", 2), ("2", 2)])
def test_nothing_above_its_threshold_follows_the_phrase(threshold, held):
    lines = [use("figs", 900), use("pectin", "8.0"), use("citric acid", "11.0")]
    recipe = RecipeAsUsed(
        ingredients=tuple(lines),
        finished_mass_g=Decimal(1000),
        minor_threshold=Decimal(threshold),
    )
    assert len(compose(recipe, US_LAW).minor) == held


def test_a_phrase_of_three_percent_is_refused():
    with pytest.raises(IngredientError, match=r"2, 1\.5, 1 or 0\.5"):
        RecipeAsUsed(
            ingredients=(use("figs", 1),),
            finished_mass_g=Decimal(1),
            minor_threshold=Decimal(3),
        )


def test_bottled_lemon_juice_brings_its_own_list():
    """C 101.4(b)(2)(i), 101.22(j)."""
    bottled = sub(
        "lemon juice from concentrate",
        parts=tuple(
            Part(substance=part)
            for part in (
                sub("water"),
                sub("lemon juice concentrate"),
                sub(
                    "sodium bisulfite",
                    nature=Nature.ADDITIVE,
                    additive_class="preservative",
                ),
            )
        ),
    )
    text = statement([use("figs", 1000), use(bottled, 60)], 1000)
    assert (
        "Lemon juice from concentrate (water, lemon juice concentrate, "
        "sodium bisulfite [preservative])" in text
    )


CHOCOLATE = sub(
    "chocolate",
    parts=(
        Part(substance=sub("chocolate liquor"), share=Decimal("0.60")),
        Part(substance=sub("sugar"), share=Decimal("0.39")),
        Part(substance=sub("soy lecithin"), share=Decimal("0.01")),
    ),
)
CHERRIES = [use("cherries", 600), use("sugar", 500), use(CHOCOLATE, 100)]


@pytest.mark.parametrize(
    ("style", "expected"),
    [
        (
            CompoundStyle.NESTED,
            "Cherries, Sugar, Chocolate (chocolate liquor, sugar, soy lecithin)",
        ),
        (CompoundStyle.SPREAD, "Cherries, Sugar, Chocolate liquor, Soy lecithin"),
    ],
)
def test_a_compound_stands_in_either_style(style, expected):
    """C 101.4(b)(2)(i), (ii)."""
    text = statement(CHERRIES, 900, style=style, minor_threshold=Decimal(0))
    assert text == f"Ingredients: {expected}."


def test_spread_sugar_is_added_to_the_sugar():
    """C: 500 + 39 g."""
    recipe = RecipeAsUsed(
        ingredients=tuple(CHERRIES),
        finished_mass_g=Decimal(900),
        style=CompoundStyle.SPREAD,
    )
    sugar = next(e for e in compose(recipe, US_LAW).entries if e.name == "sugar")
    assert sugar.mass_g == 539


def test_dried_whole_egg_is_eggs():
    assert class_name("dried whole egg") == "eggs"  # R 101.4(b)(10)


def test_a_lake_keeps_its_word():
    """R 101.22(k)(1)."""
    assert certified_colour_name("FD&C Blue No. 1 aluminium lake") == "Blue 1 Lake"


@pytest.mark.parametrize(
    ("name", "material"),
    [
        ("sugar", "coconut palm sugar"),  # C 101.4(b)(20)
        ("spice", "garlic powder"),  # R 101.22(h)(3)
        ("potassium sorbate", "potassium sorbate"),  # C 101.22(j)
    ],
)
def test_a_wrong_name_is_answered(name, material):
    assert name_problem(name, material)


def test_a_preservative_with_its_function_is_right():
    assert name_problem("potassium sorbate", additive_class="preservative") == ""


@pytest.mark.parametrize(
    ("grams", "ppm", "finished", "expected_ppm", "declared"),
    [
        (200, 2000, 1500, "266.7", True),  # C dried apricots
        (50, 80, 1000, "4.0", False),  # C wine
        (200, 80, 1000, "16.0", True),  # C wine
    ],
)
def test_sulphites_are_declared_from_ten_ppm(
    grams, ppm, finished, expected_ppm, declared
):
    """C 101.100(a)(4)."""
    lines = [use("figs", 1000), use(sub("wine", sulphite_ppm=Decimal(ppm)), grams)]
    recipe = RecipeAsUsed(ingredients=tuple(lines), finished_mass_g=Decimal(finished))
    entries = compose(recipe, US_LAW)
    text = "".join(run.text for run in ingredient_runs(entries, US_WORDS))
    assert f"{entries.sulphite.ppm:.1f}" == expected_ppm
    assert ("sulfites" in text) is declared


def test_a_percentage_is_a_whole_one():
    """C 101.4(e)."""
    assert us_percentage("strawberries", Decimal("0.436")) == "strawberries (44%)"


@pytest.mark.parametrize(("finished", "listed"), [(1250, False), (1550, True)])
def test_water_is_listed_unless_it_boiled_away(finished, listed):
    """C: 200 g added, 450 g or 150 g evaporated."""
    lines = [use("figs", 1500), use(sub("water", nature=Nature.WATER), 200)]
    assert ("Water" in statement(lines, finished)) is listed


# Claims: 21 CFR 101.60, 101.95, 101.9(j)(1).
@pytest.mark.parametrize(("before", "after"), [(12, 9), (8, 6), (150, 100)])
def test_a_quarter_less_carries_the_claim(before, after):
    """C and R 101.60(c)(5), (c)(5)(ii)(B), (b)(4)(ii)."""
    assert reduction_reached(Decimal(before), Decimal(after))


@pytest.mark.parametrize(
    ("text", "verdict"),
    [
        ("No sugar added", Verdict.REFUSE),  # R 101.60(c)(2), juice concentrate
        ("Low-sugar strawberry spread", Verdict.REFUSE),  # C 101.60(c)
        ("Reduced sugar", Verdict.LOOK),  # C 101.60(c)(5)
        ("Fresh pasta sauce", Verdict.LOOK),  # R 101.95
        ("Relieves sore throats", Verdict.REFUSE),  # C 101.9(k)(1)
        ("Healthy", Verdict.LOOK),
    ],
)
def test_a_claim_is_caught(text, verdict):
    assert [claim.verdict for claim in claims_in(text, ClaimFacts())] == [verdict]


def test_a_figure_of_calories_ends_the_exemption():
    """C 101.9(j)(1)(i)."""
    found = claims_in("only 50 calories", ClaimFacts())
    assert nutrition_claims(found)


def test_plain_words_are_no_claim():
    assert claims_in("Made with care in small batches", ClaimFacts()) == ()
