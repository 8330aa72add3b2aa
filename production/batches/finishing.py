"""From pot to shelf: the jar lots a batch makes, their seals and their weights."""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.contrib.auth.models import User
from django.db import transaction

from inventory import ledger
from inventory.models import Business, Lot, Movement, Product
from production.batches.beginning import Draw, stamp, take
from production.batches.errors import AskAgainError, BatchError, WrongStatusError
from production.best_by import add_months
from production.gate_terms import COOLING_LEAST_H, COOLING_MOST_H
from production.models import Batch, BatchOutput, JarWeighing, SealCheck
from production.selectors import draws as draw_lots
from production.selectors import kitchen, recipe_page
from production.wording import number_text, span_text

__all__ = ["Filled", "finish", "record_seals", "weigh"]

COST_STEP = Decimal("0.0001")


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
            raise BatchError(f"enter how many jars of {self.product} were filled")


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
        raise WrongStatusError(batch, batch.get_status_display(), "cooking")
    _check_filled(batch, filled, made_g)
    batch.status = Batch.Status.HELD
    batch.finished_at = at
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
        raise BatchError("enter the jars filled, or the weight of what was made")
    if len({each.product.pk for each in filled}) < len(filled):
        raise BatchError("a product is entered twice; add its jars up")
    if made_g is not None and batch.version.recipe.makes_material is None:
        raise BatchError(f"{batch.version.recipe} is filled into jars; enter how many")
    if made_g is not None and made_g <= 0:
        raise BatchError("enter the weight of what was made, more than 0 g")


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
        code = self.batch.code or ""
        lot = Lot(
            code=f"{code}-{number + 1}" if number else code,
            product=product,
            received_on=self.stamp.on,
            cost=cost,
            best_by=self.best_by or add_months(self.stamp.on, months),
        )
        self._receive(lot, Decimal(filled.jars))
        self._output(lot, Decimal(filled.jars), product)

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
        self._receive(lot, made_g)
        self._output(lot, made_g, None)

    def _receive(self, lot: Lot, quantity: Decimal) -> None:
        ledger.receive(
            lot=lot,
            quantity=quantity,
            stamp=self.stamp,
            reason=Movement.Reason.MADE,
        )

    def _output(self, lot: Lot, quantity: Decimal, product: Product | None) -> None:
        BatchOutput.objects.create(
            batch=self.batch,
            lot=lot,
            jar_size=product.jar_size if product else None,
            filled=quantity,
        )


@transaction.atomic
def record_seals(  # noqa: PLR0913 - each is a part of one seal check
    *,
    output: BatchOutput,
    sealed: int,
    failed: int,
    at: datetime.datetime,
    person: User | None,
    fate: str = "",
    is_confirmed: bool = False,
    note: str = "",
) -> SealCheck:
    """Record the seal check of every jar of a lot; failed jars leave it.

    Args:
        output: the jar lot of a held batch, not checked before.
        sealed: jars found sealed.
        failed: jars found unsealed.
        at: the moment of the check.
        person: who checked.
        fate: what became of the failed jars, one of `SealCheck.Fate`.
        is_confirmed: a check sooner than 12 hours after processing is meant.
        note: anything to remember.

    Raises:
        AskAgainError: the jars have not cooled for 12 hours.
        BatchError: the jars do not add up, no fate, or too late to reprocess.
        WrongStatusError: the batch is not held.
    """
    batch = Batch.objects.select_for_update().get(pk=output.batch_id)
    if batch.status != Batch.Status.HELD:
        raise WrongStatusError(batch, batch.get_status_display(), "held")
    if output.seal_checks.exists():
        raise BatchError(f"the seals of {output.lot} were checked already")
    _check_seal_count(output, sealed, failed)
    _check_fate(failed, fate)
    _check_cooling(batch, at, fate, is_confirmed=is_confirmed)
    check = SealCheck(
        output=output,
        checked_at=at,
        sealed=sealed,
        failed=failed,
        fate=fate if failed else "",
        person=person,
        note=note,
    )
    check.full_clean()
    check.save()
    if failed:
        ledger.write_off(
            lot=output.lot,
            quantity=Decimal(failed),
            stamp=stamp(
                batch, at=at, person=person, note=f"seal: {check.get_fate_display()}"
            ),
            reason=Movement.Reason.SEAL,
        )
    return check


def _check_seal_count(output: BatchOutput, sealed: int, failed: int) -> None:
    if sealed < 0 or failed < 0:
        raise BatchError("jars are counted from 0 up")
    if output.jar_size is None:
        raise BatchError(f"{output.lot} is no lot of jars; there are no seals to check")
    if sealed + failed != output.filled:
        raise BatchError(
            f"{number_text(output.filled)} jars were filled, but {sealed} sealed and "
            f"{failed} unsealed make {sealed + failed}; check every jar"
        )


def _check_fate(failed: int, fate: str) -> None:
    if failed and fate not in SealCheck.Fate.values:
        raise BatchError(
            "say what becomes of the unsealed jars: refrigerate, reprocess or discard"
        )


def _check_cooling(
    batch: Batch, at: datetime.datetime, fate: str, *, is_confirmed: bool
) -> None:
    processed_at = kitchen.batch_readings(batch).processed_at
    if processed_at is None:
        raise BatchError(
            "record the processing first: the jars cool 12 to 24 hours after it"
        )
    cooled = at - processed_at
    if cooled < datetime.timedelta(0):
        raise BatchError("the seal check lies before the end of processing")
    too_late = datetime.timedelta(hours=int(COOLING_MOST_H.value))
    if fate == SealCheck.Fate.REPROCESS and cooled > too_late:
        raise BatchError(
            f"{span_text(cooled)} after processing it is too late to reprocess; "
            "refrigerate or discard the unsealed jars"
        )
    soon = datetime.timedelta(hours=int(COOLING_LEAST_H.value))
    if cooled < soon and not is_confirmed:
        raise AskAgainError(
            f"the jars have cooled for {span_text(cooled)} only; leave them 12 to 24 "
            "hours, or confirm that you checked them now"
        )


@transaction.atomic
def weigh(
    *,
    output: BatchOutput,
    weights: Sequence[tuple[Decimal, Decimal]],
    at: datetime.datetime,
) -> list[JarWeighing]:
    """Record weighed jars of a lot.

    Args:
        output: the jar lot.
        weights: gross and tare of each jar, g, at room temperature.
        at: the moment.

    Raises:
        BatchError: nothing was weighed, more jars than there are, or a full jar
            is lighter than an empty one.
    """
    if not weights:
        raise BatchError("no jar was weighed")
    before = output.weighings.count()
    if before + len(weights) > output.filled:
        raise BatchError(
            f"{before + len(weights)} jars would have been weighed, but "
            f"{number_text(output.filled)} were filled"
        )
    rows = []
    for gross, tare in weights:
        if tare <= 0 or gross <= tare:
            raise BatchError(
                f"a full jar of {number_text(gross)} g must be heavier than its empty "
                f"jar of {number_text(tare)} g"
            )
        row = JarWeighing(output=output, weighed_at=at, gross_g=gross, tare_g=tare)
        row.full_clean()
        rows.append(row)
    return JarWeighing.objects.bulk_create(rows)
