"""Planning a batch and starting it: the lots it draws, the code it gets."""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from uuid import UUID

from django.contrib.auth.models import User
from django.db import IntegrityError, transaction
from django.utils import timezone

from inventory import ledger
from inventory.models import Business, Lot, Product
from inventory.words import say
from production.batch_codes import make_code, next_letter, read_code
from production.batches.errors import (
    BatchError,
    ShortOfMaterialError,
    WrongStatusError,
)
from production.models import Batch, BatchInput, RecipeLine, RecipeVersion
from production.scaling import WholeOnlyError, check_factor
from production.selectors import draws as draw_lots
from production.selectors import kitchen

__all__ = ["Draw", "add", "cancel", "give_code", "plan", "stamp", "start", "take"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Draw:
    """So much of a lot for a line of the recipe, as bought.

    Attributes:
        lot: where it comes from.
        quantity: in the lot's unit.
        line: the recipe line; None for jars, lids and an earlier batch.
    """

    lot: Lot
    quantity: Decimal
    line: RecipeLine | None = None

    def __post_init__(self) -> None:
        if self.quantity <= 0:
            raise BatchError(
                say(
                    "{quantity} {unit} of {lot} is nothing to draw; enter more than 0, "
                    "or leave the lot out",
                    quantity=self.quantity,
                    unit=say(self.lot.unit),
                    lot=self.lot,
                )
            )


@transaction.atomic
def plan(
    *,
    version: RecipeVersion,
    planned_on: datetime.date,
    product: Product | None = None,
    factor: Decimal = Decimal(1),
    note: str = "",
) -> Batch:
    """Plan a batch of a recipe version.

    Args:
        version: what is cooked; scaled down freely, never up.
        planned_on: its first cook day.
        product: what its jars are meant for; None for an intermediate.
        factor: share of the tested batch, above 0 and at most 1.
        note: anything to remember.

    Raises:
        ScaledUpError: more than the tested batch was asked for.
        ScalingError: nothing would be cooked.
        WholeOnlyError: part of a recipe that is cooked in full batches only.
        BatchError: the product is filled with another recipe.
    """
    check_factor(factor)
    if version.whole_only and factor != 1:
        raise WholeOnlyError(str(version.recipe))
    _check_product(version, product)
    batch = Batch(
        version=version,
        product=product,
        planned_on=planned_on,
        factor=factor,
        note=note,
    )
    kitchen.set_expected(batch)
    batch.full_clean()
    batch.save()
    return batch


def _check_product(version: RecipeVersion, product: Product | None) -> None:
    if product is None:
        if version.recipe.makes_material is None:
            raise BatchError(
                say(
                    "say which product the jars of {recipe} are meant for",
                    recipe=version.recipe,
                )
            )
        return
    filling = getattr(product, "filling", None)
    if filling is None or filling.recipe_id != version.recipe_id:
        raise BatchError(
            say(
                "{product} is not filled with {recipe}",
                product=product,
                recipe=version.recipe,
            )
        )


@transaction.atomic
def cancel(*, batch: Batch) -> None:
    """Drop a planned batch; nothing was drawn yet.

    Raises:
        WrongStatusError: cooking has begun.
    """
    if batch.status != Batch.Status.PLANNED:
        raise WrongStatusError(batch, batch.get_status_display(), say("planned"))
    batch.delete()


@transaction.atomic
def start(
    *,
    batch: Batch,
    at: datetime.datetime,
    person: User | None,
    draws: Sequence[Draw] | None = None,
) -> Batch:
    """Start cooking: draw the lots, give the batch its code, freeze its recipe.

    Args:
        batch: a planned batch.
        at: the moment.
        person: who cooks.
        draws: the lots chosen; by default oldest best-by first.

    Raises:
        WrongStatusError: the batch was started before.
        ShortOfMaterialError: the lots at home do not hold enough.
        BatchError: a line got no lot, or a lot of another material.
        LedgerError: a lot is stopped or holds too little.
    """
    batch = Batch.objects.select_for_update().get(pk=batch.pk)
    if batch.status != Batch.Status.PLANNED:
        raise WrongStatusError(batch, batch.get_status_display(), say("planned"))
    on = timezone.localdate(at)
    chosen = _propose(batch, on) if draws is None else list(draws)
    _check_draws(batch, chosen, on)
    _freeze_version(batch.version, at)
    _set_kitchen(batch)
    kitchen.set_expected(batch)
    batch.status = Batch.Status.COOKING
    batch.started_at = at
    batch.cook = person
    give_code(batch, on)
    for draw in chosen:
        take(batch, draw, at=at, person=person)
    return batch


def _propose(batch: Batch, on: datetime.date) -> list[Draw]:
    chosen = []
    for proposed in draw_lots.proposed_draws(batch.version, factor=batch.factor, on=on):
        if proposed.short > 0:
            raise ShortOfMaterialError(
                proposed.line.material,
                proposed.needed,
                draw_lots.quantities_of(proposed.parts),
                proposed.line.material.unit,
            )
        chosen += [
            Draw(lot=part.lot, quantity=part.quantity, line=proposed.line)
            for part in proposed.parts
        ]
    return chosen


def _check_draws(batch: Batch, draws: Sequence[Draw], on: datetime.date) -> None:
    drawn = {draw.line.pk for draw in draws if draw.line is not None}
    for line in batch.version.lines.select_related("material"):
        if line.pk not in drawn and draw_lots.is_kept_in_lots(line.material):
            raise BatchError(
                say("no lot was chosen for the {material}", material=line.material)
            )
    for draw in draws:
        wanted = draw.line
        if wanted is None or wanted.version_id != batch.version_id:
            raise BatchError(
                say(
                    "lot {lot} is for no line of {version}",
                    lot=draw.lot,
                    version=batch.version,
                )
            )
        if draw.lot.material_id != wanted.material_id:
            raise BatchError(
                say(
                    "lot {lot} is not {material}",
                    lot=draw.lot,
                    material=wanted.material,
                )
            )
        _refuse_old(draw.lot, on)


def _freeze_version(version: RecipeVersion, at: datetime.datetime) -> None:
    if version.frozen_at is None:
        version.frozen_at = at
        version.save(update_fields=["frozen_at"])


def _set_kitchen(batch: Batch) -> None:
    business = Business.current()
    batch.altitude_m = business.altitude_m
    batch.canner = business.canner
    if kitchen.asks_ph(batch.version):
        batch.ph_limit = kitchen.ph_limit(batch.version)


def give_code(batch: Batch, on: datetime.date) -> None:
    """Save the batch with the next free code of a day, trying twice.

    The code's uniqueness is the database's; a second cook who took the same
    letter meanwhile makes the first try fail.
    """
    batch.made_on = on
    for is_last in (False, True):
        taken = Batch.objects.filter(made_on=on, code__isnull=False)
        letters = [
            read_code(code).letter
            for code in taken.values_list("code", flat=True)
            if code
        ]
        batch.code = make_code(on, next_letter(letters))
        try:
            with transaction.atomic():
                batch.full_clean(exclude={"code"})
                batch.save()
        except IntegrityError:
            if is_last:
                raise
        else:
            return


@transaction.atomic
def add(
    *,
    batch: Batch,
    lot: Lot,
    quantity: Decimal,
    at: datetime.datetime,
    person: User | None,
    token: UUID | None = None,
) -> BatchInput:
    """Put more of an ingredient into a pot that is cooking.

    Args:
        batch: cooking.
        lot: of a material the recipe names, so that the label names it too.
        quantity: in the lot's unit, as bought.
        at: the moment.
        person: who did it.
        token: made where the touch was made; the same token draws once.

    Raises:
        WrongStatusError: the batch is not cooking.
        BatchError: the recipe does not name the material, or the lot is too old.
        LedgerError: the lot is stopped or holds too little.
    """
    batch = Batch.objects.select_for_update().get(pk=batch.pk)
    if batch.status != Batch.Status.COOKING:
        raise WrongStatusError(batch, batch.get_status_display(), say("cooking"))
    lines = batch.version.lines.filter(material=lot.material).order_by("position")
    line = lines.first()
    if line is None:
        raise BatchError(
            say(
                "{lot} is no ingredient of {version}, so the label would not name "
                "it; write a new version of the recipe and cook by that",
                lot=lot.name,
                version=batch.version,
            )
        )
    draw = Draw(lot=lot, quantity=quantity, line=line)
    _refuse_old(lot, timezone.localdate(at))
    return take(batch, draw, at=at, person=person, token=token)


def _refuse_old(lot: Lot, on: datetime.date) -> None:
    if lot.best_by and lot.best_by < on:
        raise BatchError(
            say(
                "lot {lot} was best by {best_by}; choose another lot, or write it off",
                lot=lot,
                best_by=lot.best_by,
            )
        )


def stamp(
    batch: Batch, *, at: datetime.datetime, person: User | None, note: str = ""
) -> ledger.Stamp:
    """When, by whom and for which batch stock changes."""
    return ledger.Stamp(
        on=timezone.localdate(at),
        at=at,
        person=person,
        cause=f"batch {batch.code}",
        note=note,
    )


def take(
    batch: Batch,
    draw: Draw,
    *,
    at: datetime.datetime,
    person: User | None,
    token: UUID | None = None,
) -> BatchInput:
    """Draw a lot into a batch: one row of the ledger and what ties it to the batch."""
    movement = ledger.draw(
        lot=draw.lot,
        quantity=draw.quantity,
        stamp=replace(stamp(batch, at=at, person=person), token=token),
    )
    drawn, _ = BatchInput.objects.get_or_create(
        movement=movement, defaults={"batch": batch, "line": draw.line}
    )
    return drawn
