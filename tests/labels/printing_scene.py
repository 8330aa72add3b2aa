"""A small book to print from: a released batch of chutney, a sheet, a place."""

import datetime
from decimal import Decimal

from django.core.management import call_command

from inventory.models import Movement
from labels.models import LabelSheet, ProductLabel
from labels.printing import Wish
from production.batch_codes import make_code
from production.models import Batch, BatchOutput
from tests import factories
from tests.trace_factories import enter, put_into

ON = datetime.date(2026, 6, 12)
AT = datetime.datetime(2026, 6, 12, 8, 0, tzinfo=datetime.UTC)
SHEET = "102x85mm-2x3-letter"


def load_sheets():
    call_command("loaddata", "label_sheets", verbosity=0)
    return LabelSheet.objects.get(name=SHEET)


def load_places():
    call_command("loaddata", "place_profiles", verbosity=0)


def make_batch(*, status=Batch.Status.RELEASED, jars=12, letter="A", **product_values):
    """A batch of chutney with its jars."""
    factories.make_business()
    product = factories.make_product(
        name="Plum Jam", net_weight_g=Decimal(280), **product_values
    )
    recipe = factories.make_recipe(identity="Plum Jam")
    version = factories.make_version(recipe=recipe)
    factories.make_filling(product, recipe)
    batch = Batch.objects.create(
        product=product,
        version=version,
        status=status,
        planned_on=factories.TODAY,
        made_on=factories.TODAY,
        code=make_code(factories.TODAY, letter),
    )
    for name, grams in (("plums", 1500), ("sugar", 1200), ("lemon juice", 90)):
        material = factories.make_material(name=f"{name} {batch.code}", label_name=name)
        factories.make_line(version, material=material, grams=Decimal(grams))
        lot = factories.make_lot(material=material, quantity=5000)
        put_into(batch, lot, grams)
    _fill(batch, product, jars)
    return batch


def _fill(batch, product, jars):
    is_released = batch.status == Batch.Status.RELEASED
    lot = factories.make_lot(
        quantity=0,
        code=batch.code,
        product=product,
        released_at=factories.NOW if is_released else None,
    )
    enter(lot, jars, Movement.Reason.MADE)
    BatchOutput.objects.create(
        batch=batch, lot=lot, jar_size=product.jar_size, filled=Decimal(jars)
    )


def make_look(product, **overrides):
    return ProductLabel.objects.create(product=product, **overrides)


def make_wish(batch, sheet=None, **overrides):
    return Wish(batch=batch, sheet=sheet or load_sheets(), on=ON, **overrides)
