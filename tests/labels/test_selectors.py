"""The label's input from the book: weights, preparations, places, dates."""

import datetime
from decimal import Decimal

import pytest

from inventory.models import Business, Movement
from labels.models import PlaceProfile, ProductLabel
from labels.selectors import (
    LabelSelectionError,
    book_for,
    built_label,
    find_subject,
    label_of,
    report_of,
)
from labels.selectors.recipes import finished_mass_g
from labels.statements.label_text import Role
from production.models import Batch, BatchOutput, Reading
from tests import factories
from tests.labels.printing_scene import load_places, make_batch
from tests.trace_factories import put_into

pytestmark = pytest.mark.django_db
ON = datetime.date(2026, 6, 12)


@pytest.fixture
def batch(db):
    load_places()
    return make_batch()


def text_of(batch, **changes):
    look = label_of(batch.product)
    for name, value in changes.items():
        setattr(look, name, value)
    return built_label(look=look, batch=batch, on=ON).text


def words(text, role):
    return text.first(role).text


def test_a_batch_becomes_a_label(batch):
    text = text_of(batch)
    assert words(text, Role.IDENTITY) == "Plum Jam"
    assert words(text, Role.NET_QUANTITY) == "Net Wt 9.87 oz (280 g)"
    assert words(text, Role.INGREDIENTS).startswith("Ingredients: Plums, Sugar")
    assert words(text, Role.BATCH_CODE) == f"Batch {batch.code}"
    assert words(text, Role.MADE_ON) == "Made on June 10, 2026"
    assert words(text, Role.PLACE_STATEMENT) == (
        "These products are homemade and not subject to state inspection."
    )
    assert text.draft_reasons == ()


def test_the_batchs_own_best_by_wins(batch):
    lot = batch.outputs.get().lot
    lot.best_by = datetime.date(2027, 3, 1)
    lot.save(update_fields=["best_by"])
    assert words(text_of(batch), Role.BEST_BY) == "Best by March 1, 2027"


def test_a_product_without_a_batch_is_previewed(batch):
    Batch.objects.update(made_on=None)
    built = built_label(look=label_of(batch.product), on=ON)
    assert built.text.first(Role.BATCH_CODE) is None
    assert words(built.text, Role.IDENTITY) == "Plum Jam"


def test_the_weighed_mass_wins_over_the_filled(batch):
    filled = finished_mass_g(book_for(batch.product, batch), batch)
    Reading.objects.create(
        batch=batch, kind="finished_mass", value=Decimal(3100), at=factories.NOW
    )
    assert filled != finished_mass_g(book_for(batch.product, batch), batch) == 3100
    Reading.objects.update(is_undone=True)
    assert finished_mass_g(book_for(batch.product, batch), batch) == filled


def prepared(batch, *parts, name="plum base"):
    """A preparation of the kitchen that the batch drew 1 000 g of."""
    material = factories.make_material(name=name, label_name=name)
    recipe = factories.make_recipe(
        kind="intermediate", identity=name, makes_material=material
    )
    version = factories.make_version(recipe=recipe)
    for part, grams in parts:
        factories.make_line(version, material=part, grams=Decimal(grams))
    maker = Batch.objects.create(
        version=version, planned_on=factories.TODAY, status="released", code="26001AA"
    )
    lot = factories.make_lot(material=material, quantity=2000)
    BatchOutput.objects.create(batch=maker, lot=lot, filled=Decimal(2000))
    line = factories.make_line(batch.version, material=material, grams=Decimal(1000))
    put_into(batch, lot, 1000)
    batch.inputs.filter(movement__lot=lot).update(line=line)
    return material


def test_a_preparation_is_opened_into_its_ingredients(batch):
    almonds = factories.make_material(
        name="ground almonds",
        label_name="almonds",
        allergens=[{"kind": "tree_nut", "species": "almond"}],
    )
    sugar = factories.make_material(name="more sugar", label_name="sugar")
    prepared(batch, (almonds, 600), (sugar, 2400))
    built = built_label(look=label_of(batch.product), batch=batch, on=ON)
    masses = {e.name: e.mass_g for e in built.ingredient_list.everything}
    assert masses["sugar"] == 1200 + 1200
    assert masses["almonds"] == 300
    assert words(built.text, Role.ALLERGENS) == "Contains: Almonds."


def test_a_juice_stays_a_juice_and_keeps_its_allergens(batch):
    grapes = factories.make_fruit(
        name="grapes", allergens=[{"kind": "sulphites"}], label_name="grapes"
    )
    prepared(batch, (grapes, 3000), name="grape juice")
    text = words(text_of(batch), Role.INGREDIENTS)
    assert "Grape juice (sulfites)" in text
    assert "Grapes" not in text


def test_what_is_taken_out_again_is_not_named(batch):
    bag = factories.make_material(name="cinnamon sticks", label_name="cinnamon")
    factories.make_line(
        batch.version, material=bag, grams=Decimal(5), removed_after=True
    )
    built = built_label(look=label_of(batch.product), batch=batch, on=ON)
    assert [left.name for left in built.ingredient_list.left_out] == ["cinnamon"]
    assert "innamon" not in words(built.text, Role.INGREDIENTS)


def test_an_unknown_allergen_is_said(batch):
    line = batch.version.lines.first()
    line.material.allergens = [{"kind": "moonstone"}]
    line.material.save()
    with pytest.raises(LabelSelectionError, match="moonstone"):
        text_of(batch)


def test_another_country_does_not_take_the_places_words(batch):
    text = text_of(batch, jurisdiction="UK")
    assert text.place_code == ""
    assert text.draft_reasons == ()
    assert text.first(Role.PLACE_STATEMENT) is None


def test_without_a_place_there_are_only_drafts(batch):
    Business.objects.update(place_code="")
    assert "no place is chosen" in text_of(batch).draft_reasons[0]


def test_an_unfinished_place_only_drafts(batch):
    Business.objects.update(place_code="us-in")
    assert "outline" in text_of(batch).draft_reasons[0]


def test_a_place_of_ones_own_prints(batch):
    PlaceProfile.objects.create(
        code="own-here",
        place="Here",
        country="US",
        authority="the office",
        completeness="own",
        status="own",
        read_on=ON,
        body={"statement_basis": "exact", "required_statement": "Made at home."},
    )
    Business.objects.update(place_code="own-here")
    text = text_of(batch)
    assert text.draft_reasons == ()
    assert words(text, Role.PLACE_STATEMENT) == "Made at home."


def test_a_nutrition_table_comes_from_the_public_table(batch):
    look = ProductLabel.objects.create(product=batch.product, shows_nutrition=True)
    batch.version.lines.exclude(material__label_name="sugar").delete()
    text = built_label(look=look, batch=batch, on=ON).text
    assert "Includes" in words(text, Role.NUTRITION)


def test_a_material_without_composition_is_asked_for(batch):
    look = ProductLabel(product=batch.product, shows_nutrition=True)
    factories.make_line(
        batch.version,
        material=factories.make_material(name="moon dust"),
        grams=Decimal(9),
    )
    with pytest.raises(LabelSelectionError, match="moon dust"):
        built_label(look=look, batch=batch, on=ON)


@pytest.mark.parametrize("text", ["code", "product"])
def test_a_subject_is_found_by_code_or_product(batch, text):
    found = find_subject(batch.code.lower() if text == "code" else batch.product.code)
    assert found.product == batch.product
    assert (found.batch == batch) is (text == "code")


def test_nothing_by_that_name_is_said():
    with pytest.raises(LabelSelectionError, match="no batch has that code"):
        find_subject("nonsense")


def test_sales_of_the_year_reach_the_rules(batch):
    Business.objects.update(place_code="us-fl")
    lot = batch.outputs.get().lot
    Movement.objects.create(
        lot=lot,
        quantity=Decimal(-4),
        reason="sold",
        on=ON,
        at=factories.NOW,
        unit_price=Decimal(9),
    )
    label = report_of(look=label_of(batch.product), batch=batch, on=ON).label
    assert label.sales_this_year == 36
    assert label.year_of_sales.units_of_product == 4


def test_a_batch_that_fills_no_jars_has_no_label(batch):
    Batch.objects.update(product=None)
    with pytest.raises(LabelSelectionError, match="fills no jars"):
        find_subject(batch.code)


def test_an_unknown_place_is_said(batch):
    with pytest.raises(LabelSelectionError, match="no place profile"):
        built_label(look=label_of(batch.product), on=ON, place_code="nowhere")


def test_a_broken_profile_is_said(batch):
    PlaceProfile.objects.filter(code="us-mn").update(
        body={"statement_basis": "exact", "required_statement": None}
    )
    with pytest.raises(LabelSelectionError, match="holds none"):
        text_of(batch)


def test_the_fill_is_declared_where_no_weight_is(batch):
    batch.product.net_weight_g = None
    batch.product.save()
    text = words(text_of(batch), Role.NET_QUANTITY)
    assert text.startswith("Net Wt ")
    Business.objects.update(units="metric")
    assert words(text_of(batch), Role.NET_QUANTITY) != ""


def test_a_product_without_recipe_is_said():
    product = factories.make_product()
    with pytest.raises(LabelSelectionError, match="no recipe fills"):
        built_label(look=label_of(product), on=ON)


def test_a_recipe_without_lines_is_said(batch):
    batch.version.lines.all().delete()
    with pytest.raises(LabelSelectionError, match="no ingredients"):
        text_of(batch)


@pytest.mark.parametrize(
    ("name", "form", "used"),
    [
        ("lemons", "juice", "Lemon juice"),
        ("bitter oranges", "zest", "Bitter orange peel"),
        ("raspberries", "juice", "Raspberry juice"),
        ("tomatoes", "juice", "Tomato juice"),
        ("plums", "crushed", "Plums"),
    ],
)
def test_a_form_changes_the_name(batch, name, form, used):
    material = factories.make_material(name=f"{name} {form}", label_name=name)
    factories.make_line(
        batch.version, material=material, grams=Decimal(3000), form=form
    )
    assert used in words(text_of(batch), Role.INGREDIENTS)


def known_to_science(batch):
    """The batch's materials under names, and with solids, the science knows."""
    facts = {"plums": "0.143", "sugar": "1", "lemon juice": "0.08"}
    for line in batch.version.lines.select_related("material"):
        material = line.material
        material.name = material.label_name
        material.solids_fraction = Decimal(facts[material.label_name])
        material.is_sweetener = material.label_name == "sugar"
        material.save()


def test_names_are_answered_by_the_kitchens_science(batch):
    known_to_science(batch)
    names = report_of(look=label_of(batch.product), batch=batch, on=ON).label.names
    assert {name.place for name in names} >= {"United States", "Canada"}
    Reading.objects.create(
        batch=batch, kind="solids", value=Decimal("0.700"), at=factories.NOW
    )
    label = report_of(look=label_of(batch.product), batch=batch, on=ON).label
    assert label.built.given.soluble_solids_percent == 70


def test_the_maker_chooses_how_a_mixture_appears(batch):
    parts = [{"name": "sugar", "share": "0.9"}, {"name": "pectin", "share": "0.1"}]
    mix = factories.make_material(name="setting sugar", parts=parts)
    factories.make_line(batch.version, material=mix, grams=Decimal(100))
    whole = words(text_of(batch), Role.INGREDIENTS)
    assert "Setting sugar (sugar, pectin)" in whole
    spread = words(text_of(batch, compound_style="spread"), Role.INGREDIENTS)
    assert "Setting sugar" not in spread
    assert "Pectin" in spread


def test_the_maker_may_name_water_that_boiled_away(batch):
    water = factories.make_material(name="Water", label_name="water")
    factories.make_line(batch.version, material=water, grams=Decimal(500))
    boiled = Reading(kind="finished_mass", value=Decimal(2000), at=factories.NOW)
    boiled.batch = batch
    boiled.save()
    assert "ater" not in words(text_of(batch), Role.INGREDIENTS)
    assert "Water" in words(text_of(batch, lists_water=True), Role.INGREDIENTS)
