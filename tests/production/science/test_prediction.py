"""One prediction: all its figures hang together."""

import json
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from production.scaling import ScaledUpError
from production.science.atmosphere import AltitudeError
from production.science.balance import TargetTooLowError
from production.science.boiling import Kitchen
from production.science.identity import NameVerdict
from production.science.jars import jar_named
from production.science.prediction import ProcessChoice, predict
from production.science.prediction_report import as_data, as_lines, may_be_called
from production.science.processing import Canner, SteamTimeError
from production.science.recipe_file import read_recipe
from production.science.working import ScienceError

PLUM = {
    "name": "Plum jam",
    "ingredients": [
        "6 cups crushed plums",
        "5 cups sugar",
        "2 Tbsp bottled lemon juice",
    ],
    "yield": "6 half-pints",
}
PEPPER = {
    "name": "Pepper jelly",
    "ingredients": [
        {"material": "bell pepper", "quantity": "3 large", "form": "puréed, strained"},
        "1 1/2 cups white distilled vinegar",
        "7 cups sugar",
        "1 pouch (3 oz) liquid pectin",
    ],
}


def asked(recipe=None, *, altitude="800", **more):
    batch = read_recipe(json.dumps({**(recipe or PLUM)}))
    return replace(batch, kitchen=Kitchen(altitude_ft=Decimal(altitude)), **more)


@given(low=st.integers(min_value=0, max_value=9000))
@settings(max_examples=25, deadline=None)
def test_higher_up_it_finishes_cooler_and_processes_no_shorter(low):
    here, higher = (predict(asked(altitude=str(each))) for each in (low, low + 1500))
    assert higher.finish.true_c < here.finish.true_c
    assert higher.jars[1].process.minutes >= here.jars[1].process.minutes
    assert higher.finished_g == here.finished_g


@given(factor=st.sampled_from(["1", "0.75", "0.5", "0.25", "0.1"]))
@settings(max_examples=5, deadline=None)
def test_a_smaller_batch_scales_exactly(factor):
    whole = predict(asked())
    part = predict(asked(factor=Decimal(factor)))
    assert abs(
        part.balance.finished_g.likely
        - whole.balance.finished_g.likely * Decimal(factor)
    ) < Decimal("0.001")
    assert part.jars[1].fill == whole.jars[1].fill


def test_more_than_the_tested_batch_is_refused():
    with pytest.raises(ScaledUpError, match="cook two full batches"):
        asked(factor=Decimal(2))


def test_jars_times_their_fill_are_the_finished_mass():
    found = predict(asked())
    for jar in found.jars:
        mass = jar.count.likely * jar.fill.fill_g
        assert abs(mass - found.finished_g.likely) <= Decimal("0.06") * jar.fill.fill_g
        assert jar.full <= jar.count.likely
        assert jar.declared.grams <= jar.fill.fill_g


def test_a_learnt_correction_is_applied_and_shown():
    plain, learnt = (
        predict(asked()),
        predict(asked(correction=Decimal("0.9"), correction_batches=4)),
    )
    assert learnt.balance.finished_g == plain.balance.finished_g
    assert learnt.finished_g.likely < plain.finished_g.likely
    assert any("last 4 batches" in working.formula for working in learnt.workings)
    assert any("corrected by" in line for line in as_lines(learnt))
    with pytest.raises(ScienceError, match="more than 0"):
        asked(correction=Decimal(0))


def test_an_unknown_material_is_listed_and_the_range_widens():
    known = predict(asked())
    unknown = predict(
        asked({**PLUM, "ingredients": [*PLUM["ingredients"], "300 g yuzu"]})
    )
    assert unknown.missing
    assert (
        unknown.finished_g.high - unknown.finished_g.low
        > known.finished_g.high - known.finished_g.low
    )
    assert "yuzu" in unknown.us_names[0].missing[-1]
    assert any("yuzu" in line for line in as_lines(unknown))


def test_a_thermometer_reading_is_followed():
    batch = replace(
        asked(), kitchen=Kitchen(altitude_ft=Decimal(800), reading_c=Decimal("100.2"))
    )
    found = predict(batch)
    assert found.finish.shown_c == Decimal("105.20")
    assert any("on this thermometer" in line for line in as_lines(found))


def test_without_an_altitude_the_minutes_wait():
    found = predict(replace(asked(), kitchen=Kitchen(reading_c=Decimal(98))))
    assert found.jars[0].process is None
    assert any("altitude" in note for note in found.notes)
    assert any("needs an altitude" in line for line in list(as_lines(found)))
    assert as_data(found)["jars"][0]["process_min"] is None


def test_without_any_kitchen_it_is_sea_level_and_says_so():
    found = predict(replace(asked(), kitchen=None))
    assert found.water.true_c == Decimal("99.974")
    assert "sea level" in found.notes[0]


def test_pepper_jelly_is_cautioned():
    found = predict(asked(PEPPER))
    assert any("botulism" in caution for caution in found.cautions)
    assert any("meter" in caution for caution in found.cautions)
    assert found.finish is None
    assert "no temperature test" in found.finish_words
    assert found.us_names[0].name == "Pepper Jelly"


def test_a_chutney_keeps_half_an_inch_and_no_thermometer():
    recipe = {
        "name": "Onion chutney",
        "ingredients": ["2 lb onions", "2 cups sugar", "2 cups vinegar"],
    }
    found = predict(asked(recipe))
    assert found.batch.headspace == Decimal("12.7")
    assert "thermometer cannot tell" in found.finish_words
    assert found.jars[1].process.minutes == 10


def test_a_conserve_asks_for_the_tested_recipe_s_minutes():
    recipe = {
        "name": "Plum conserve",
        "ingredients": [*PLUM["ingredients"], "1 cup chopped walnuts"],
    }
    found = predict(asked(recipe))
    assert found.jars[0].process.minutes is None
    assert any("tested recipe" in line for line in as_lines(found))
    choice = ProcessChoice(recipe_min=15)
    assert predict(asked(recipe, process=choice)).jars[0].process.minutes == 15


def test_fruit_in_syrup_is_no_jam():
    recipe = {
        "name": "Figs in syrup",
        "ingredients": ["2 lb figs", "2 cups sugar", "3 cups water"],
    }
    assert any("not a jam" in caution for caution in predict(asked(recipe)).cautions)


def test_an_intermediate_is_neither_cooked_nor_processed():
    recipe = {
        "name": "Frozen plums",
        "kind": "intermediate",
        "ingredients": ["5 lb plums"],
    }
    found = predict(asked(recipe))
    assert found.finish_words == "not cooked down"
    assert found.jars[0].process is None


def test_a_thin_pectin_jam_says_so():
    recipe = {
        "name": "Peach jam",
        "ingredients": ["5 cups crushed peaches", "3 cups sugar", "1 box pectin"],
    }
    assert any("keeps less long" in note for note in predict(asked(recipe)).notes)


def test_a_pot_of_sugar_is_told_to_crystallise():
    recipe = {
        "name": "Plum jelly",
        "ingredients": ["2 cups plum juice", "6 cups sugar", "1 box pectin"],
    }
    assert any("crystallise" in note for note in predict(asked(recipe)).notes)


def test_impossible_physics_is_refused_in_a_sentence():
    with pytest.raises(AltitudeError):
        predict(asked(altitude="40000"))
    with pytest.raises(TargetTooLowError):
        predict(asked({**PLUM, "finish": "45 % soluble solids"}))
    steam = ProcessChoice(canner=Canner.STEAM, recipe_min=50)
    with pytest.raises(SteamTimeError):
        predict(asked(process=steam))
    with pytest.raises(ScienceError, match="at least one jar"):
        asked(jars=())


def test_the_name_it_may_carry_is_the_likely_one():
    found = predict(asked())
    assert may_be_called(found).name == "Plum Jam"
    mango = predict(
        asked(
            {
                "name": "Mango jam",
                "ingredients": ["6 cups chopped mango", "4 cups sugar"],
            }
        )
    )
    assert mango.us_names[0].verdict is NameVerdict.ASK
    assert may_be_called(mango).name == "Mango Spread"


def test_no_name_is_given_where_only_the_authority_can_tell():
    recipe = {"name": "Pumpkin butter", "ingredients": ["4 lb pumpkin", "2 cups sugar"]}
    found = predict(asked(recipe))
    assert may_be_called(found) is None
    assert as_data(found)["may_be_called"] == ""
    assert not any("may be called" in line for line in as_lines(found))


def test_the_data_survive_json_and_hold_every_term():
    found = predict(asked(jars=(jar_named("8 fl oz"),)))
    data = json.loads(json.dumps(as_data(found)))
    assert data["boiling_point"]["f"] == pytest.approx(210.5, abs=0.2)
    assert data["finish"]["above_boiling"]["f"] == 9.0
    terms = (
        data["water_boiled_off_g"] + data["lost_g"] + data["finished_mass_g"]["likely"]
    )
    assert terms == pytest.approx(data["pot_mass_g"]["likely"], abs=0.2)
    assert data["jars"][0]["low"] < data["jars"][0]["likely"] < data["jars"][0]["high"]
    assert data["published_yield"]["verdict"] == "agrees"
    assert all(working["source"] for working in data["workings"])


def test_what_does_not_apply_is_null_in_the_data():
    data = as_data(predict(asked(PEPPER)))
    assert data["finish"]["c"] is None
    assert data["published_yield"] is None


def test_the_lines_show_the_batch():
    shown = "\n".join(as_lines(predict(asked(factor=Decimal("0.5")))))
    for words in (
        "50 % of the tested batch",
        "8 fl oz",
        "may be called",
        "boiling canner",
    ):
        assert words in shown


def test_five_minutes_are_shown_with_sterile_jars():
    sterile = predict(asked(process=ProcessChoice(jars_sterile=True)))
    assert any("5 min, sterile jars" in line for line in as_lines(sterile))
