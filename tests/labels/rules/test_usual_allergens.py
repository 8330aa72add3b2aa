"""Names that usually mean an allergen (common practice)."""

import pytest

from labels.rules.usual_allergens import usual_marks
from labels.statements.allergens import AllergenMark, AllergenRegime
from labels.statements.ingredients import Part, Substance
from tests.labels.label_values import built, outcome, recipe, state, use

US, EU = AllergenRegime.US, AllergenRegime.EU


def codes(name, regime=US):
    return {mark.code for mark in usual_marks(name, regime)}


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("unsalted butter", {"milk"}),
        ("soy sauce", {"soy", "wheat"}),
        ("Worcestershire sauce", {"fish"}),
        ("chopped pecans", {"pecan"}),
        ("malt vinegar", set()),  # barley is not federal
        ("white wine", {"sulphites"}),
        ("wine vinegar", set()),
        ("apple butter", set()),
        ("coconut milk", set()),
        ("peanut butter", {"peanut"}),
        ("almond milk", {"almond"}),
        ("buckwheat flour", set()),
        ("cream of tartar", set()),
        ("strawberries", set()),
    ],
)
def test_a_name_speaks_of_its_usual_source(name, expected):
    assert expected <= codes(name)
    if not expected:
        assert codes(name) == set()


def test_malt_is_barley_in_europe():
    assert codes("malt vinegar", EU) == {"barley"}


def test_an_unmarked_butter_is_asked_about():
    label = built(recipe=recipe(use("figs", 900), use("butter", 5)))
    (finding,) = outcome(label, "ALLERGEN-NAMES").findings
    assert finding.asks
    assert '"butter" usually holds milk' in finding.what


def test_a_marked_one_is_not():
    milk = frozenset({AllergenMark("milk")})
    label = built(recipe=recipe(use("figs", 900), use("butter", 5, allergens=milk)))
    assert state(label, "ALLERGEN-NAMES") == "passed"


def test_parts_are_read_too():
    sauce = use("sauce", 20, parts=(Part(substance=Substance(name="soy sauce")),))
    label = built(recipe=recipe(use("figs", 900), sauce))
    assert len(outcome(label, "ALLERGEN-NAMES").findings) == 2


def test_one_walnut_stands_for_the_other():
    nuts = frozenset({AllergenMark("black_walnut")})
    label = built(recipe=recipe(use("figs", 900), use("walnuts", 50, allergens=nuts)))
    assert state(label, "ALLERGEN-NAMES") == "passed"
