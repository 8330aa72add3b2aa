"""A small kitchen for the tests of batches: recipe, lots, jars, people."""

import datetime
from decimal import Decimal

from inventory.models import Material
from production import batches
from production.models import Instrument, InstrumentCheck, Reading, RecipeVersion
from production.selectors import kitchen
from tests import factories

COOKED_AT = datetime.datetime(2026, 6, 10, 14, 0, tzinfo=datetime.UTC)
PROCESSED_AT = datetime.datetime(2026, 6, 10, 16, 0, tzinfo=datetime.UTC)
CHECKED_AT = PROCESSED_AT + datetime.timedelta(hours=16)
FEET = Decimal("0.3048")


def make_recipe(*, acidity="", altitude_ft=1240, **version_fields):
    """A jam of 1 kg fruit and 1 kg sugar with lots, jars and lids at hand."""
    factories.make_business(altitude_m=(altitude_ft * FEET).quantize(Decimal("0.1")))
    fruit = factories.make_fruit(acidity=acidity)
    sugar = factories.make_material(is_sweetener=True)
    values = {"process_min": 10, "published_jars": Decimal(6)}
    version = factories.make_version(**{**values, **version_fields})
    factories.make_line(version, material=fruit)
    factories.make_line(version, material=sugar)
    factories.make_step(version, kind="cook", needs="pot")
    factories.make_step(version, kind="process", needs="canner", unattended_min=40)
    for material in (fruit, sugar):
        factories.make_lot(material=material, quantity=5000)
    return version


def make_jam_product(version):
    """A product of the recipe whose jars and lids are in the book."""
    jar, lid = factories.make_packaging(), factories.make_packaging()
    for material in (jar, lid):
        factories.make_lot(material=material, quantity=24, cost=Decimal("12.00"))
    size = factories.make_jar_size(jar=jar, lid=lid)
    product = factories.make_product(jar_size=size)
    factories.make_filling(product, version.recipe)
    return product


def make_planned(version=None, **overrides):
    version = version or make_recipe()
    product = overrides.pop("product", None) or make_jam_product(version)
    return batches.plan(
        version=version, product=product, planned_on=factories.TODAY, **overrides
    )


def make_cooking(person, version=None, **overrides):
    return batches.start(
        batch=make_planned(version, **overrides), at=COOKED_AT, person=person
    )


def read(batch, person, kind, value, at=COOKED_AT, **more):
    return batches.record_reading(
        batch=batch, kind=kind, value=Decimal(value), at=at, person=person, **more
    )


def make_held(person, version=None, *, jars=6, **overrides):
    """A batch finished with good readings, seals not yet checked."""
    batch = make_cooking(person, version, **overrides)
    limits = kitchen.gate_limits(batch)
    read(batch, person, Reading.Kind.FINISH_TEMPERATURE, limits.finish_c)
    read(batch, person, Reading.Kind.HEADSPACE, limits.headspace_mm)
    read(
        batch,
        person,
        Reading.Kind.PROCESS_MIN,
        limits.processing_min,
        at=PROCESSED_AT,
    )
    filled = batches.Filled(product=batch.product, jars=jars)
    return batches.finish(batch=batch, at=PROCESSED_AT, person=person, filled=[filled])


def check_seals(batch, person, *, failed=0, at=CHECKED_AT, **more):
    output = batch.outputs.get()
    return batches.record_seals(
        output=output,
        sealed=int(output.filled) - failed,
        failed=failed,
        fate="discard" if failed else "",
        at=at,
        person=person,
        **more,
    )


def make_ready(person, version=None, **overrides):
    """A held batch that nothing stands against."""
    batch = make_held(person, version, **overrides)
    check_seals(batch, person)
    return batch


def make_calibration(*, at=CHECKED_AT, low="4.0", high="7.0"):
    meter, _ = Instrument.objects.get_or_create(
        name="pH meter", defaults={"kind": Instrument.Kind.PH_METER}
    )
    for true, shown in (("4.0", low), ("7.0", high)):
        InstrumentCheck.objects.create(
            instrument=meter,
            checked_at=at - datetime.timedelta(minutes=5),
            reference=f"buffer {true}",
            true_value=Decimal(true),
            reading=Decimal(shown),
            passed=True,
        )
    return meter


def make_low_acid_recipe(**fields):
    return make_recipe(acidity=Material.Acidity.LOW, **fields)


def make_marmalade(**fields):
    """A two-day recipe with an overnight stand."""
    values = {
        "finish": RecipeVersion.Finish.ABOVE_BOILING,
        "finish_above_c": Decimal("5.0"),
        "finish_solids": None,
    }
    version = make_recipe(**{**values, **fields})
    version.steps.all().delete()
    factories.make_step(version, kind="prepare", text="Slice the fruit thinly.")
    factories.make_step(
        version,
        kind="stand",
        text="Stand overnight in a cool place.",
        hands_on_min=0,
        unattended_min=720,
        stand_min_hours=12,
        stand_max_hours=18,
        needs="vessel",
    )
    for kind, needs, text in (
        ("cook", "pot", "Boil to the finishing point."),
        ("fill", "nothing", "Fill hot jars."),
        ("process", "canner", "Process in the canner."),
        ("cool", "nothing", "Cool untouched."),
    ):
        factories.make_step(version, kind=kind, needs=needs, text=text, day_offset=1)
    return version
