"""What the kitchen asks of the book: figures of the day, draws, papers, checks."""

import datetime
from decimal import Decimal

import pytest
from django.db import IntegrityError

from inventory.models import Lot
from production import batches
from production.batches import beginning
from production.models import Batch, RecipeVersion, StepRecord
from production.selectors import (
    batch_papers,
    cook_page,
    draws,
    kitchen,
    net_check,
    recipe_page,
)
from tests import factories
from tests.production import kitchen as book

pytestmark = pytest.mark.django_db


@pytest.fixture
def cook():
    return factories.make_owner()


def test_water_is_drawn_from_no_lot(cook):
    version = book.make_recipe()
    water = factories.make_material(name="Water", solids_fraction=Decimal(0))
    factories.make_line(version, material=water)
    batch = book.make_cooking(cook, version)
    assert batch.inputs.count() == 2


def test_two_lines_of_one_material_share_its_lots(cook):
    version = book.make_recipe()
    sugar = version.lines.get(position=2).material
    factories.make_line(version, material=sugar, grams=Decimal(4500))
    found = draws.proposed_draws(version, factor=Decimal(1), on=factories.TODAY)
    assert [each.short for each in found] == [0, 0, 500]


def test_lots_of_tomorrow_or_past_their_best_are_not_proposed():
    version = book.make_recipe()
    sugar = version.lines.get(position=2).material
    Lot.objects.filter(material=sugar).update(received_on=datetime.date(2026, 6, 11))
    found = draws.proposed_draws(version, factor=Decimal(1), on=factories.TODAY)
    assert found[1].parts == ()


@pytest.mark.parametrize(
    ("feet", "minutes"), [(1000, 10), (1240, 15), (6000, 15), (6001, 20)]
)
def test_processing_follows_the_altitude_bands(feet, minutes):
    """NCHFP: 5/10/15 minutes by band; a recipe's own minutes rise by 5 a band."""
    batch = book.make_planned(book.make_recipe(altitude_ft=feet))
    assert kitchen.processing_minutes(batch) == minutes


def test_a_conserve_without_tested_minutes_asks_for_them():
    version = book.make_recipe(process_min=0, process_kind="conserve")
    version.recipe.kind = "conserve"
    version.recipe.save()
    batch = book.make_planned(version)
    assert kitchen.processing_minutes(batch) is None
    assert "tested recipe" in cook_page.today_of(batch).process
    sheet = batch_papers.batch_sheet(batch)
    assert "minutes of the tested recipe" in [s.times for s in sheet.days[0].steps][-1]


def test_too_many_minutes_for_a_steam_canner_are_said():
    version = book.make_recipe(process_min=44)
    factories.make_business(canner="steam", altitude_m=Decimal(2000))
    batch = book.make_planned(version)
    assert "boiling-water canner" in cook_page.today_of(batch).process
    assert kitchen.gate_limits(batch).is_steam_canner


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"finish_solids": Decimal("0.65")}, "°F"),
        ({"finish_solids": Decimal("0.25")}, "25 % soluble solids"),
        ({"finish": "time", "finish_solids": Decimal("0.62")}, "full rolling boil"),
        ({"finish": "none", "finish_solids": None}, "own test"),
    ],
)
def test_the_finish_is_said_as_the_recipe_means_it(fields, words):
    batch = book.make_planned(book.make_recipe(**fields))
    assert words in cook_page.today_of(batch).finish


def test_every_kind_of_finish_asks_for_its_reading(cook):
    def kinds(**fields):
        batch = book.make_cooking(cook, book.make_recipe(**fields))
        return [each.kind.value for each in cook_page.readings_of(batch)]

    assert "solids" in kinds()
    assert "rolling_boil" in kinds(finish="time", finish_solids=None)
    sterile = kinds(process_min=5, altitude_ft=500)
    assert "jars_sterile" not in sterile


def test_unsterile_jars_near_sea_level_need_ten_minutes(cook):
    version = book.make_recipe(process_min=5, altitude_ft=500)
    batch = book.make_cooking(cook, version)
    assert kitchen.processing_minutes(batch) == 10
    book.read(batch, cook, "jars_sterile", 1)
    assert kitchen.processing_minutes(batch) == 5


def test_a_running_step_knows_when_its_timer_is_up(cook):
    batch = book.make_cooking(cook, book.make_marmalade())
    stand = batch.version.steps.get(position=2)
    batches.begin_step(batch=batch, step=stand, at=book.COOKED_AT, person=cook)
    shown = cook_page.steps_of(batch)
    assert [each.opens_day for each in shown[:3]] == [1, 0, 2]
    assert shown[1].state == "running"
    assert shown[1].ends_at == book.COOKED_AT + datetime.timedelta(hours=12)
    assert StepRecord.objects.get().done_at is None


def test_papers_follow_the_country():
    book.make_recipe()
    assert not batch_papers.is_a4()
    factories.make_business(country="GB")
    assert batch_papers.is_a4()


def test_the_sheet_names_lots_and_scales_the_cooks_words(cook):
    version = book.make_recipe()
    product = book.make_jam_product(version)
    planned = book.make_planned(version, product=product, factor=Decimal("0.5"))
    line = batch_papers.batch_sheet(planned).days[0].lines[0]
    assert (line.cook, line.weight) == ("500 g", "1 lb 1.6 oz")
    assert line.lots.startswith("T")
    started = batches.start(batch=planned, at=book.COOKED_AT, person=cook)
    again = batch_papers.batch_sheet(started).days[0].lines[0]
    assert again.lots == line.lots


def test_low_acid_recipes_carry_the_warning_and_a_line_for_the_ph():
    batch = book.make_planned(book.make_low_acid_recipe())
    day = batch_papers.batch_sheet(batch).days[-1]
    assert "Botulism" in day.cautions[0]
    assert any(blank.startswith("pH (at most 4.6)") for blank in day.blanks)


def test_a_declared_weight_beats_the_computed_one(cook):
    batch = book.make_held(cook)
    computed = net_check.declaration_of(batch.product, batch.version)
    batch.product.net_weight_g = Decimal(255)
    own = net_check.declaration_of(batch.product, batch.version)
    assert own.larger_g <= 255 < computed.larger_g


def test_a_jar_that_cannot_be_filled_has_no_declaration(cook):
    batch = book.make_held(cook)
    batch.product.jar_size.brim_ml = Decimal(1)
    assert net_check.declaration_of(batch.product, batch.version) is None


def test_a_lot_that_is_not_weighed_is_only_planned(cook):
    output = book.make_held(cook).outputs.get()
    found = net_check.net_check(output)
    assert (found.plan.sample, found.result) == (6, None)


def test_yields_and_trimmings_stand_on_the_recipe(cook):
    batch = book.make_held(cook)
    found = recipe_page.yields_of(batch.version.recipe)
    assert [each.code for each in found.batches] == [batch.code]
    (fruit,) = recipe_page.trims_of(batch.version)
    assert "not weighed here yet" in fruit.trim.says


def test_jars_of_another_size_count_as_the_part_they_hold(cook):
    version = book.make_recipe()
    product = book.make_jam_product(version)
    half = factories.make_jar_size(brim_ml=product.jar_size.brim_ml / 2)
    small = factories.make_product(jar_size=half)
    factories.make_filling(small, version.recipe)
    batch = book.make_cooking(cook, version, product=product)
    filled = [
        batches.Filled(product=product, jars=4),
        batches.Filled(product=small, jars=2),
    ]
    batches.finish(batch=batch, at=book.COOKED_AT, person=cook, filled=filled)
    assert recipe_page.yields_of(version.recipe).batches[0].filled == 5
    codes = [each.lot.code for each in batch.outputs.order_by("pk")]
    assert codes == [batch.code, f"{batch.code}-2"]


def test_an_intermediate_is_released_without_jars(cook):
    version = book.make_recipe()
    version.recipe.makes_material = factories.make_fruit(frozen_days=None)
    version.recipe.save()
    batch = batches.plan(version=version, planned_on=factories.TODAY)
    batch = batches.start(batch=batch, at=book.COOKED_AT, person=cook)
    batches.finish(batch=batch, at=book.COOKED_AT, person=cook, made_g=Decimal(900))
    assert batch.outputs.get().lot.best_by == datetime.date(2026, 6, 13)
    released = batches.release(batch=batch, at=book.CHECKED_AT, person=cook)
    assert released.status == Batch.Status.RELEASED


def test_a_recipe_that_makes_no_material_needs_a_product():
    with pytest.raises(batches.BatchError, match="say which product"):
        batches.plan(version=book.make_recipe(), planned_on=factories.TODAY)


def test_a_taken_letter_is_tried_once_more(cook, monkeypatch):
    first = book.make_cooking(cook)
    letters = iter([first.code[5], "B"])
    monkeypatch.setattr(beginning, "next_letter", lambda _taken: next(letters))
    second = book.make_cooking(cook)
    assert second.code[5] == "B"


def test_a_letter_taken_twice_is_given_up(cook, monkeypatch):
    first = book.make_cooking(cook)
    monkeypatch.setattr(beginning, "next_letter", lambda _taken: first.code[5])
    planned = book.make_planned()
    with pytest.raises(IntegrityError):
        batches.start(batch=planned, at=book.COOKED_AT, person=cook)


def test_impossible_physics_leaves_the_recipes_own_promise():
    version = book.make_recipe(finish_solids=Decimal("0.300"))
    assert book.make_planned(version).expected_jars == 6
    silent = book.make_recipe(finish_solids=Decimal("0.300"), published_jars=None)
    assert book.make_planned(silent).expected_jars is None


def test_the_current_version_is_the_newest_written():
    version = book.make_recipe()
    factories.make_version(
        recipe=version.recipe, number=2, written_on=datetime.date(2026, 7, 1)
    )
    found = kitchen.current_version(version.recipe, on=factories.TODAY)
    assert found == version
    with pytest.raises(kitchen.NoVersionError):
        kitchen.current_version(factories.make_recipe(), on=factories.TODAY)
    assert RecipeVersion.objects.count() == 2
