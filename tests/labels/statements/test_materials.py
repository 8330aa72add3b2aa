"""Materials of the pantry as substances of a label."""

from decimal import Decimal

import pytest

from labels.statements.allergens import AllergenMark, UnknownAllergenError
from labels.statements.ingredients import Incidental, Nature
from labels.statements.materials import MaterialFacts, mark_of, substance_of


@pytest.mark.parametrize(
    ("kind", "species", "mark"),
    [
        ("milk", "", "milk"),
        ("tree_nut", "almond", "almond"),
        ("tree_nut", "Brazil nuts", "brazil_nut"),
        ("tree_nut", "pine_nut", "pine_nut"),
        ("fish", "anchovy", "fish:anchovy"),
    ],
)
def test_a_mark_of_the_pantry(kind, species, mark):
    assert str(mark_of(kind, species)) == mark


def test_a_nut_no_place_lists_is_refused():
    with pytest.raises(UnknownAllergenError, match="coconut"):
        mark_of("tree_nut", "coconut")


@pytest.mark.parametrize(
    ("facts", "nature"),
    [
        ({"name": "water"}, Nature.WATER),
        ({"name": "sugar", "is_sweetener": True}, Nature.SUGAR),
        ({"name": "figs", "is_fruit": True}, Nature.FRUIT),
        ({"name": "pectin", "label_class": "Gelling agent"}, Nature.ADDITIVE),
        ({"name": "cloves", "label_class": "spice"}, Nature.SPICE),
        (
            {"name": "nuts", "allergens": ({"kind": "tree_nut", "species": "pecan"},)},
            Nature.NUT,
        ),
        ({"name": "onions"}, Nature.OTHER),
    ],
)
def test_the_nature_of_a_material(facts, nature):
    assert substance_of(MaterialFacts(**facts)).nature is nature


def test_an_aid_and_what_is_taken_out_may_stay_off():
    aid = substance_of(MaterialFacts(name="filter", label_class="processing aid"))
    bag = substance_of(MaterialFacts(name="pips", is_taken_out=True))
    assert aid.incidental is bag.incidental is Incidental.PROCESSING_AID
    assert aid.additive_class == ""


def test_parts_keep_order_share_and_function():
    juice = substance_of(
        MaterialFacts(
            name="lemon juice",
            parts=(
                {"name": "water", "share": "0.6"},
                {"name": "lemon", "share": None, "parts": [{"name": "pulp"}]},
                {"name": "sodium metabisulfite (preservative)", "allergens": []},
            ),
        )
    )
    water, lemon, agent = juice.parts
    assert (water.share, lemon.share) == (Decimal("0.6"), None)
    assert lemon.substance.parts[0].substance.name == "pulp"
    assert agent.substance.name == "sodium metabisulfite"
    assert agent.substance.additive_class == "preservative"
    assert juice.all_allergens == {AllergenMark("sulphites")}


def test_a_sulphite_without_its_function_still_counts():
    (part,) = substance_of(
        MaterialFacts(name="figs", parts=({"name": "sulphur dioxide"},))
    ).parts
    assert part.substance.additive_class == "preservative"


def test_french_names_come_from_the_word_list():
    assert substance_of(MaterialFacts(name="Strawberries")).name_in("fr") == "fraises"
    assert substance_of(MaterialFacts(name="moon dust")).name_in("fr") is None
