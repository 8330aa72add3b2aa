"""Every rule passes a good label and finds the fault it is there for."""

import datetime
from dataclasses import replace
from decimal import Decimal

import pytest

from labels.rules.check import rules
from labels.rules.report_data import as_data
from labels.rules.rule import Severity, State, rule
from labels.statements.allergens import AllergenMark
from labels.statements.ingredients import Nature
from labels.statements.label_input import Jurisdiction, Outlets
from labels.statements.label_text import MeasuredOn, Role, TypeSize, TypeSizeRule
from labels.statements.net_quantity import DeclaredQuantity, QuantityUnit
from labels.statements.nutrition import NutrientAmounts
from labels.statements.nutrition_us import YearOfSales
from tests.labels.label_values import (
    KITCHEN,
    built,
    outcome,
    place,
    recipe,
    report,
    state,
    use,
    with_element,
)

MILK = frozenset({AllergenMark("milk")})
FISH = frozenset({AllergenMark("fish")})
BUTTERED = recipe(
    use("strawberries", 1000, Nature.FRUIT),
    use("sugar", 900, Nature.SUGAR),
    use("butter", 5, allergens=MILK),
)


def test_every_rule_says_where_it_is_written():
    assert len(rules()) >= 35
    for found in rules():
        assert found.citation
        assert found.title
        assert "complian" not in found.title.casefold()
        assert found.jurisdictions


def test_two_rules_may_not_share_a_code():
    with pytest.raises(ValueError, match="NAME"):
        rule("NAME", "again", citation="nowhere")(lambda label: [])


@pytest.mark.parametrize("jurisdiction", list(Jurisdiction))
def test_a_good_label_has_nothing_to_mend(jurisdiction):
    label = built(
        None,
        jurisdiction,
        soluble_solids_percent=Decimal(66),
        identities=(("fr", "Confiture de fraises"),),
        recipe=recipe(
            use("strawberries", 1000, Nature.FRUIT, names=(("fr", "fraises"),)),
            use("sugar", 900, Nature.SUGAR, names=(("fr", "sucre"),)),
        ),
    )
    assert report(label).of(State.FOUND) == ()


def test_passed_rules_are_listed_too():
    found = report(built(place("us-fl")))
    asked = {r.code for r in rules() if Jurisdiction.US in r.jurisdictions}
    assert {outcome.rule.code for outcome in found.outcomes} == asked
    assert found.counts["passed"] > 20
    assert not found.stops_printing


@pytest.mark.parametrize(
    ("code", "role"),
    [
        ("NAME", Role.IDENTITY),
        ("QUANTITY", Role.NET_QUANTITY),
        ("INGREDIENTS", Role.INGREDIENTS),
        ("BATCH", Role.BATCH_CODE),
    ],
)
def test_a_missing_element_is_found(code, role):
    label = with_element(built(), role)
    assert state(label, code) == "found"
    assert report(label).stops_printing is (code != "BATCH")


def test_an_allergen_lost_from_the_label_is_found():
    label = built(recipe=BUTTERED)
    assert state(label, "ALLERGENS") == "passed"
    lost = with_element(label, Role.ALLERGENS, "Contains: Eggs.")
    assert "Milk" in outcome(lost, "ALLERGENS").findings[0].what


def test_an_ingredient_lost_from_the_list_is_found():
    label = built()
    lost = with_element(label, Role.INGREDIENTS, "Ingredients: Strawberries.")
    assert '"sugar"' in outcome(lost, "NAMES-ALL").findings[0].what


def test_a_wrong_order_is_found():
    label = built()
    entries = replace(
        label.ingredient_list,
        entries=tuple(reversed(label.ingredient_list.entries)),
    )
    wrong = replace(label, ingredient_list=entries)
    assert state(label, "ORDER") == "passed"
    assert state(wrong, "ORDER") == "found"


def test_sulphites_near_the_limit_are_asked_about():
    lines = recipe(
        use("figs", 1000, Nature.FRUIT),
        use("lemon juice", 100, sulphite_ppm=Decimal(90)),
        finished=1000,
    )
    assert state(built(recipe=lines), "SULPHITES") == "ask"
    assert state(built(), "SULPHITES") == "passed"


def test_a_missing_address_is_found():
    bare = replace(KITCHEN, street="", city="", region="", postal_code="")
    label = built(producer=bare)
    assert state(label, "PRODUCER") == "found"
    assert len(outcome(label, "US-ADDRESS").findings) == 2
    assert state(built(), "US-ADDRESS") == "passed"


def test_a_date_before_the_cook_day_is_found():
    label = built(best_before_on=datetime.date(2026, 1, 1))
    assert state(label, "DATES") == "found"


@pytest.mark.parametrize(
    ("note", "expected"),
    [("No added sugar", "found"), ("All natural", "ask"), ("From our hill", "passed")],
)
def test_claims_are_read(note, expected):
    assert state(built(maker_note=note), "CLAIMS") == expected


def test_a_cross_contact_note_is_not_a_declaration():
    label = built(cross_contact_note="Made where nuts are used.")
    assert state(label, "CROSS-CONTACT") == "ask"


def test_a_volume_on_a_us_jam_is_found():
    label = with_element(built(), Role.NET_QUANTITY, "8 fl oz (237 ml)")
    assert state(label, "US-NET") == "found"


def test_a_relish_is_asked_about():
    assert state(built(identity="Corn Relish"), "US-RELISH") == "ask"


def test_a_preservative_without_function_is_found():
    lines = recipe(use("figs", 900), use("potassium sorbate", 1))
    assert state(built(recipe=lines), "US-NAMES") == "found"


def test_fish_without_species_is_found_and_only_drafted():
    lines = recipe(use("figs", 900), use("sauce", 10, allergens=FISH))
    label = built(recipe=lines)
    assert state(label, "US-SPECIES") == "found"
    assert label.text.draft_reasons


def year(food):
    return YearOfSales(
        all_to_consumers=Decimal(900_000),
        food_to_consumers=Decimal(food),
        units_of_product=200_000,
    )


def test_the_nutrition_exemption_is_explained_and_lost():
    assert state(built(), "US-NUTRITION") == "ask"
    exempt = outcome(built(), "US-NUTRITION", year_of_sales=year(40_000))
    assert exempt.state.value == "ask"
    assert "straight to the eater" in exempt.findings[0].what
    assert state(built(), "US-NUTRITION", year_of_sales=year(60_000)) == "found"
    assert state(built(claims=("Reduced sugar",)), "US-NUTRITION") == "found"


def test_butter_costs_the_plain_name():
    assert state(built(recipe=BUTTERED), "US-FAT") == "found"
    spread = built(recipe=BUTTERED, identity="Strawberry Spread")
    assert state(spread, "US-FAT") == "passed"


def test_nuts_belong_in_the_name():
    nuts = use("almonds", 80, Nature.NUT, allergens=frozenset({AllergenMark("almond")}))
    lines = recipe(use("pears", 900, Nature.FRUIT), nuts)
    assert state(built(recipe=lines, identity="Pear Conserve"), "US-NUTS") == "ask"
    named = built(recipe=lines, identity="Pear Conserve with Almonds")
    assert state(named, "US-NUTS") == "passed"


def european(**changes):
    return built(None, Jurisdiction.UK, **changes)


def test_european_rules_find_what_is_missing():
    assert state(european(best_before_on=None), "EU-DATE") == "found"
    assert state(european(storage=""), "EU-STORAGE") == "found"
    assert state(european(), "EU-SUGAR") == "found"
    plain = recipe(use("strawberries", 900), use("sugar", 700))
    assert state(european(recipe=plain), "EU-FRUIT") == "found"
    assert state(european(claims=("reduced sugar",)), "EU-NUTRITION") == "found"


def test_a_contains_box_is_unwelcome_in_the_eu():
    label = european()
    box = replace(label.text.first(Role.BEST_BY), role=Role.ALLERGENS)
    boxed = replace(label.text, elements=(*label.text.elements, box))
    assert state(label, "EU-LIST") == "passed"
    assert state(replace(label, text=boxed), "EU-LIST") == "found"


def test_canadian_rules_find_what_is_missing():
    label = built(None, Jurisdiction.CA)
    assert state(label, "CA-LANGUAGES") == "found"
    assert state(label, "CA-UNIT") == "ask"
    shop = built(None, Jurisdiction.CA, outlets=Outlets(only_by_maker=False))
    assert state(shop, "CA-NUTRITION") == "found"
    millilitres = DeclaredQuantity(amount=Decimal(250), unit=QuantityUnit.MILLILITRE)
    volume = built(None, Jurisdiction.CA, quantity=millilitres)
    assert state(volume, "CA-UNIT") == "passed"


def test_an_australian_market_jar_asks_for_a_panel():
    assert state(built(None, Jurisdiction.AU), "AN-NUTRITION") == "ask"


def test_no_place_is_a_question():
    label = built()
    assert state(label, "PLACE-READ") == "ask"
    codes = {found.rule.code for found in report(label).outcomes}
    assert not {code for code in codes if code.startswith("PLACE-")} - {"PLACE-READ"}
    assert {o.rule.severity for o in report(label).outcomes} == set(Severity)


def test_a_rule_cites_the_law_of_the_label():
    assert outcome(built(), "NAME").citation == "21 CFR 101.3"
    assert "1169/2011" in outcome(european(), "NAME").citation
    law = place("us-fl")
    assert outcome(built(law), "PLACE-STATEMENT").citation == law.citation
    assert outcome(built(), "PLACE-READ").citation == "no place profile chosen"


def test_a_table_on_the_label_answers_the_nutrition_rules():
    amounts = NutrientAmounts(carbohydrate_g=Decimal(60))
    for jurisdiction, code in ((Jurisdiction.US, "US"), (Jurisdiction.UK, "EU")):
        label = built(None, jurisdiction, nutrition=amounts)
        assert state(label, f"{code}-NUTRITION") == "passed"


def test_a_lost_statement_or_size_is_found():
    label = built(place("us-ca"))
    lost = with_element(label, Role.PLACE_STATEMENT)
    assert "missing" in outcome(lost, "PLACE-STATEMENT").findings[0].what
    small = TypeSizeRule.fixed(
        TypeSize(
            minimum_mm=Decimal(1), measured_on=MeasuredOn.X_HEIGHT, citation="none"
        )
    )
    wrong = with_element(label, Role.PLACE_STATEMENT, size=small)
    assert "12 point" in outcome(wrong, "PLACE-TYPE").findings[0].what


def test_a_product_limit_is_not_the_years():
    label = built(place("us-co"))
    assert state(label, "PLACE-CAP", sales_this_year=Decimal(99_999)) == "passed"


def test_sulphites_of_unknown_amount_lost_from_the_list_are_found():
    figs = use("figs", 900, allergens=frozenset({AllergenMark("sulphites")}))
    label = built(recipe=recipe(figs))
    assert state(label, "ALLERGENS") == "passed"
    bare = with_element(label, Role.INGREDIENTS, "Ingredients: Figs.")
    assert "Sulfites" in outcome(bare, "ALLERGENS").findings[0].what


def test_spirits_stand_by_what_is_left_of_them():
    rum = use("rum", 900, Nature.ALCOHOL)
    lines = recipe(use("figs", 500), replace(rum, remaining_g=Decimal(50)))
    label = built(None, Jurisdiction.UK, recipe=lines)
    assert label.text.first(Role.INGREDIENTS).text == "Ingredients: figs, rum"
    assert state(label, "ORDER") == "passed"


def test_the_data_of_a_label_without_place():
    data = as_data(report(built()), subject="a jar")
    assert data["place"] is None
    assert data["subject"] == "a jar"


def test_a_report_without_questions_says_no_more_than_it_looked_at():
    label = built(None, Jurisdiction.EU, is_jam=False)
    found = report(label)
    quiet = replace(found, outcomes=found.of(State.PASSED))
    assert quiet.summary == "nothing missing that package law as read asks for"


def test_what_was_not_read_is_never_passed():
    label = built(place("us-pa"), outlets=Outlets(ways=frozenset({"home"})))
    for code in ("PLACE-STATEMENT", "PLACE-PARTICULARS", "PLACE-READ"):
        assert state(label, code) == "ask"
    assert state(label, "PLACE-CAP", sales_this_year=Decimal(1)) == "ask"
