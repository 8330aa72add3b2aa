"""From pot to shelf: the jar lots a batch makes, the jars and lids they took."""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.contrib.auth.models import User
from django.db import transaction

from inventory import ledger
from inventory.models import Business, Lot, Movement, Product
from inventory.words import say
from production.batches.beginning import Draw, stamp, take
from production.batches.errors import BatchError, WrongStatusError
from production.best_by import add_months
from production.models import Batch, BatchOutput
from production.selectors import draws as draw_lots
from production.selectors import recipe_page

__all__ = ["Filled", "finish"]

COST_STEP = Decimal("0.0001")
CODES_TRIED = 9
AGAIN = ["received_on", "cost", "best_by", "is_tax_exempt"]
"""What a lot filled again takes from its new finish."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Filled:
    """Jars of one product that were filled.

    Attributes:
        product: what they are sold as.
        jars: how many went into the canner.
    """

    product: Product
    jars: int

    def __post_init__(self) -> None:
        if self.jars < 1:
            raise BatchError(
                say(
                    "enter how many jars of {product} were filled", product=self.product
                )
            )


@transaction.atomic
def finish(  # noqa: PLR0913 - each is a fact about the finished pot
    *,
    batch: Batch,
    at: datetime.datetime,
    person: User | None,
    filled: Sequence[Filled] = (),
    made_g: Decimal | None = None,
    best_by: datetime.date | None = None,
    hands_on_min: int | None = None,
) -> Batch:
    """Finish cooking: the pot becomes lots, the batch is held.

    Jars and lids are drawn as far as the book has them at home.

    Args:
        batch: cooking.
        at: the moment.
        person: who finished it.
        filled: the jars, one entry a product.
        made_g: for an intermediate, its weight in g.
        best_by: by default from the product, the business or the material.
        hands_on_min: minutes of work, where they were counted.

    Raises:
        WrongStatusError: the batch is not cooking.
        BatchError: not exactly one of jars and weight, or a product twice.
    """
    batch = Batch.objects.select_for_update().get(pk=batch.pk)
    if batch.status != Batch.Status.COOKING:
        raise WrongStatusError(batch, batch.get_status_display(), say("cooking"))
    _check_filled(batch, filled, made_g)
    batch.status = Batch.Status.HELD
    batch.finished_at = at
    if hands_on_min is not None:
        batch.hands_on_min = hands_on_min
    batch.full_clean()
    batch.save()
    made = _Made(batch=batch, at=at, person=person, best_by=best_by)
    if made_g is not None:
        made.intermediate(made_g)
    else:
        made.all_jars(filled)
        _learn_yield(batch)
    return batch


def _learn_yield(batch: Batch) -> None:
    """Let the recipe's predictions learn from what its last batches filled."""
    recipe = batch.version.recipe
    learnt = recipe_page.yields_of(recipe).learnt_correction
    recipe.versions.update(yield_correction=learnt)


def _check_filled(
    batch: Batch, filled: Sequence[Filled], made_g: Decimal | None
) -> None:
    if bool(filled) == (made_g is not None):
        raise BatchError(say("enter the jars filled, or the weight of what was made"))
    if len({each.product.pk for each in filled}) < len(filled):
        raise BatchError(say("a product is entered twice; add its jars up"))
    if made_g is not None and batch.version.recipe.makes_material is None:
        raise BatchError(
            say(
                "{recipe} is filled into jars; enter how many",
                recipe=batch.version.recipe,
            )
        )
    if made_g is not None and made_g <= 0:
        raise BatchError(say("enter the weight of what was made, more than 0 g"))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Made:
    """Writes the lots of one finished batch."""

    batch: Batch
    at: datetime.datetime
    person: User | None
    best_by: datetime.date | None

    @property
    def stamp(self) -> ledger.Stamp:
        return stamp(self.batch, at=self.at, person=self.person)

    def all_jars(self, filled: Sequence[Filled]) -> None:
        for each in filled:
            self.draw_packaging(each)
        cost = draw_lots.drawn_cost(self.batch)
        volumes = [each.product.jar_size.brim_ml * each.jars for each in filled]
        for number, each in enumerate(filled):
            share = cost * volumes[number] / sum(volumes, Decimal(0))
            self.jars(each, number, share.quantize(COST_STEP))

    def draw_packaging(self, filled: Filled) -> None:
        size = filled.product.jar_size
        for material in (size.jar, size.lid):
            parts = draw_lots.packaging_parts(
                material, Decimal(filled.jars), on=self.stamp.on
            )
            for part in parts:
                draw = Draw(lot=part.lot, quantity=part.quantity)
                take(self.batch, draw, at=self.at, person=self.person)

    def jars(self, filled: Filled, number: int, cost: Decimal) -> None:
        product = filled.product
        months = product.best_by_months or Business.current().best_by_months
        lot = Lot(
            code=self.code_of(number, product),
            product=product,
            received_on=self.stamp.on,
            cost=cost,
            best_by=self.best_by or add_months(self.stamp.on, months),
            is_tax_exempt=self.batch.version.is_tax_exempt,
        )
        lot = self._receive(lot, Decimal(filled.jars))
        self._output(lot, Decimal(filled.jars), product)

    def code_of(self, number: int, product: Product) -> str:
        """The batch's code, numbered; a lot of a finish taken back keeps its own."""
        code = self.batch.code or ""
        for tried in range(number, number + CODES_TRIED):
            found = f"{code}-{tried + 1}" if tried else code
            taken = Lot.objects.filter(code=found, batch_output=None).first()
            if taken is None or taken.product_id == product.pk:
                return found
        return f"{code}-{number + CODES_TRIED + 1}"

    def intermediate(self, made_g: Decimal) -> None:
        material = self.batch.version.recipe.makes_material
        keeps = material and (material.frozen_days or material.fresh_days)
        best_by = self.best_by
        if best_by is None and keeps:
            best_by = self.stamp.on + datetime.timedelta(days=keeps)
        lot = Lot(
            code=self.batch.code or "",
            material=material,
            received_on=self.stamp.on,
            cost=draw_lots.drawn_cost(self.batch).quantize(COST_STEP),
            best_by=best_by,
            is_frozen=bool(material and material.freezable),
        )
        lot = self._receive(lot, made_g)
        self._output(lot, made_g, None)

    def _receive(self, lot: Lot, quantity: Decimal) -> Lot:
        made = Movement.Reason.MADE
        before = Lot.objects.filter(code=lot.code, batch_output=None).first()
        if before is None:
            return ledger.receive(
                lot=lot, quantity=quantity, stamp=self.stamp, reason=made
            )
        # Its finish was taken back: the same lot is filled again, its row put right.
        for name in AGAIN:
            setattr(before, name, getattr(lot, name))
        before.full_clean()
        before.save(update_fields=AGAIN)
        row = before.movements.get(reason=made, corrects=None)
        ledger.correct(movement=row, quantity=quantity, stamp=self.stamp)
        return before

    def _output(self, lot: Lot, quantity: Decimal, product: Product | None) -> None:
        BatchOutput.objects.create(
            batch=self.batch,
            lot=lot,
            jar_size=product.jar_size if product else None,
            filled=quantity,
        )
