"""Small books to trace in: batches that draw lots and make lots."""

import datetime
from decimal import Decimal
from itertools import count

from inventory.models import Movement
from production.batch_codes import BATCH_LETTERS, make_code
from production.models import Batch, BatchInput, BatchOutput
from tests.factories import NOW, TODAY, make_lot, make_product, make_version

_number = count(0)


def new_code(on=TODAY):
    """A code no other batch of the test run has; the day itself is left to the tests."""
    number = next(_number)
    day = on - datetime.timedelta(days=1 + number // len(BATCH_LETTERS))
    return make_code(day, BATCH_LETTERS[number % len(BATCH_LETTERS)])


def make_traced_batch(*, inputs=(), jars=24, product=None, output=None, **overrides):
    """A released batch that drew from lots and made one lot.

    ``inputs`` are lots, ``output`` a lot without ledger rows made beforehand (an
    intermediate); else a lot of ``jars`` jars of ``product`` is made.
    """
    values = {"status": Batch.Status.RELEASED, "planned_on": TODAY, "made_on": TODAY}
    values |= {"code": overrides.pop("code", None) or new_code()}
    if "version" not in overrides:
        values["version"] = make_version()
    if output is None and product is None:
        product = make_product()
    batch = Batch.objects.create(product=product, **{**values, **overrides})
    for lot in inputs:
        put_into(batch, lot)
    if output is None:
        released_at = NOW if batch.status == Batch.Status.RELEASED else None
        output = make_lot(
            quantity=0, code=batch.code, product=product, released_at=released_at
        )
    enter(output, jars, Movement.Reason.MADE)
    BatchOutput.objects.create(batch=batch, lot=output, filled=Decimal(jars))
    return batch


def put_into(batch, lot, quantity=10):
    movement = enter(lot, -quantity, Movement.Reason.DRAWN)
    return BatchInput.objects.create(batch=batch, movement=movement)


def enter(lot, quantity, reason, **more):
    """One ledger row."""
    values = {"on": TODAY, "at": NOW, **more}
    return Movement.objects.create(
        lot=lot, quantity=Decimal(quantity), reason=reason, **values
    )


def jars_of(batch):
    return batch.outputs.get().lot
