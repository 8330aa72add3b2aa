"""What the papers of a batch say, assembled from the book."""

import datetime

from django.utils import timezone

from inventory.models import Business
from inventory.quantity_format import format_mass
from inventory.words import say, to_say
from production.models import Batch, RecipeStep
from production.papers.batch_sheet import BatchSheet, SheetDay, SheetLine, SheetStep
from production.science.processing import STERILE_BELOW_MIN
from production.selectors import cook_page, draws, kitchen, recipe_page
from production.selectors.batch_day import inputs_of
from production.wording import duration_text, number_text, percent_text

__all__ = ["batch_sheet", "is_a4"]

LETTER_COUNTRIES = {"US", "CA", "MX", "PH"}
BOILING_SUGAR = to_say(
    "Boiling sugar sticks and burns deeply: long sleeves, long spoon, "
    "no children at the stove."
)
HOT_JARS = to_say(
    "Full jars are hot and crack in a draught: use a lifter, set them on a cloth."
)
LOW_ACID = to_say(
    "This recipe holds ingredients low in acid: measure out the acid "
    "exactly, change nothing, and measure the pH. Botulism gives no "
    "warning."
)


def is_a4() -> bool:
    """Whether this kitchen prints on A4; US letter where that is usual."""
    return Business.current().country.upper() not in LETTER_COUNTRIES


def batch_sheet(batch: Batch) -> BatchSheet:
    """The sheets to cook a batch from, one a cook day."""
    business = Business.current()
    steps = sorted(batch.version.steps.all(), key=lambda step: step.position)
    numbers = sorted({step.day_offset for step in steps}) or [0]
    days = tuple(
        _day(batch, steps, offset, number, is_last=offset == numbers[-1])
        for number, offset in enumerate(numbers, 1)
    )
    return BatchSheet(
        recipe=batch.version.recipe.name,
        code=batch.code or "",
        under=_under(batch),
        days=days,
        footer=say(
            "{trade_name}: batch sheet, {version}",
            trade_name=business.trade_name,
            version=batch.version,
        ),
        is_a4=is_a4(),
    )


def _under(batch: Batch) -> str:
    words = [say("Version {version}", version=batch.version.number)]
    if batch.factor != 1:
        words.append(
            say("{factor} of the tested batch", factor=percent_text(batch.factor))
        )
    if batch.product:
        words.append(str(batch.product))
    if batch.expected_jars:
        words.append(
            say(
                "about {expected_jars} jars",
                expected_jars=number_text(batch.expected_jars, places=1),
            )
        )
    return ", ".join(words)


def _day(
    batch: Batch,
    steps: list[RecipeStep],
    offset: int,
    number: int,
    *,
    is_last: bool,
) -> SheetDay:
    own = [step for step in steps if step.day_offset == offset]
    positions = {step.position for step in own}
    first = timezone.localdate(batch.started_at) if batch.started_at else None
    on = (first or batch.planned_on) + datetime.timedelta(days=offset)
    return SheetDay(
        number=number,
        on=say("{on:%A} {day} {on:%B %Y}", on=on, day=on.day),
        lines=_lines(batch, positions),
        steps=tuple(_step(batch, step, own) for step in own),
        stand="" if is_last else _stand(own),
        figures=_figures(batch) if is_last else (),
        blanks=_blanks(batch)
        if is_last
        else (say("Begun at"), say("Left to stand at")),
        cautions=_cautions(batch, own),
    )


def _lines(batch: Batch, positions: set[int]) -> tuple[SheetLine, ...]:
    lots = _lots(batch)
    return tuple(
        SheetLine(
            cook=each.cook,
            weight=format_mass(each.grams),
            name=each.line.material.name,
            lots=lots.get(each.line.pk, ""),
            at_step=each.line.step_position,
            is_removed=each.line.removed_after,
        )
        for each in recipe_page.scaled_lines(batch.version, batch.factor)
        if each.line.step_position in positions
    )


def _lots(batch: Batch) -> dict[int, str]:
    """Lots of each line: those drawn, or those that would be."""
    words: dict[int, list[str]] = {}
    if batch.status == Batch.Status.PLANNED:
        for proposed in draws.proposed_draws(
            batch.version, factor=batch.factor, on=batch.planned_on
        ):
            words[proposed.line.pk] = [part.lot.code for part in proposed.parts]
    else:
        for each in inputs_of(batch):
            if each.line_id is not None:
                words.setdefault(each.line_id, []).append(each.movement.lot.code)
    return {line: ", ".join(codes) for line, codes in words.items()}


def _step(batch: Batch, step: RecipeStep, day: list[RecipeStep]) -> SheetStep:
    times = []
    if step.hands_on_min:
        times.append(duration_text(step.hands_on_min))
    if step.kind == RecipeStep.Kind.PROCESS:
        minutes = kitchen.processing_minutes(batch)
        times.append(
            say("{minutes} min at a full boil", minutes=number_text(minutes))
            if minutes is not None
            else say("minutes of the tested recipe")
        )
    elif step.stand_min_hours:
        times.append(
            say(
                "stands {stand_min_hours} to {stand_max_hours} h",
                stand_min_hours=step.stand_min_hours,
                stand_max_hours=step.stand_max_hours,
            )
        )
    elif step.unattended_min:
        times.append(
            say(
                "{unattended_min} unattended",
                unattended_min=duration_text(step.unattended_min),
            )
        )
    return SheetStep(
        number=step.position,
        text=step.text,
        caution=_step_caution(batch, step, day),
        times=" + ".join(times),
    )


def _stand(steps: list[RecipeStep]) -> str:
    standing = [step for step in steps if step.stand_min_hours]
    if not standing:
        return say("Goes on the next cook day, on the next sheet.")
    last = standing[-1]
    return say(
        "Overnight stand: {stand_min_hours} to {stand_max_hours} hours, "
        "covered, in a cool place. Goes on with the next sheet.",
        stand_min_hours=last.stand_min_hours,
        stand_max_hours=last.stand_max_hours,
    )


def _figures(batch: Batch) -> tuple[tuple[str, str], ...]:
    today = cook_page.today_of(batch)
    return (
        (say("Finish at"), today.finish),
        (say("Headspace"), today.headspace),
        (say("Process ({canner})", canner=today.canner), today.process),
        (say("Water boils at, {altitude}", altitude=today.altitude), today.boiling),
    )


def _blanks(batch: Batch) -> tuple[str, ...]:
    limits = kitchen.gate_limits(batch)
    blanks = (
        [say("Water boiled at")]
        if batch.code
        else [say("Batch code"), say("Water boiled at")]
    )
    if limits.finish_c is not None:
        blanks.append(say("Finished at"))
    if limits.solids_fraction is not None:
        blanks.append(say("Solids (%)"))
    if limits.rolling_boil_min is not None:
        blanks.append(say("Rolling boil (min)"))
    blanks += [say("Jars filled"), say("Headspace"), say("Processed from"), say("to")]
    if limits.processing_min is not None and (
        limits.processing_min < STERILE_BELOW_MIN.value
    ):
        blanks.append(say("Jars sterilised"))
    blanks += [say("Seals checked at"), say("Sealed"), say("Not sealed")]
    if limits.asks_ph:
        most = number_text(limits.ph_limit)
        blanks += [say("pH (at most {most})", most=most), say("Meter checked")]
    blanks += [say("Hands-on min"), say("Cook")]
    return tuple(blanks)


def _cautions(batch: Batch, steps: list[RecipeStep]) -> tuple[str, ...]:
    """What is framed: the one thing that gives no warning of its own."""
    cooks = any(step.kind == RecipeStep.Kind.COOK for step in steps)
    return (say(LOW_ACID),) if cooks and kitchen.asks_ph(batch.version) else ()


def _step_caution(batch: Batch, step: RecipeStep, day: list[RecipeStep]) -> str:
    """The recipe's own caution, or the usual one, and what to mind at the canner."""
    said = [step.caution or _usual_caution(step, day)]
    if step.kind == RecipeStep.Kind.PROCESS:
        said += cook_page.today_of(batch).cautions[:2]
    return " ".join(_sentence(words) for words in said if words)


def _usual_caution(step: RecipeStep, day: list[RecipeStep]) -> str:
    """What can hurt at a step, once a day: where none of its kind says so itself."""
    usual = {
        RecipeStep.Kind.COOK.value: say(BOILING_SUGAR),
        RecipeStep.Kind.FILL.value: say(HOT_JARS),
    }.get(step.kind, "")
    alike = [other for other in day if other.kind == step.kind]
    is_said = any(other.caution for other in alike)
    return usual if alike[0] == step and not is_said else ""


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:] + ("" if words.endswith(".") else ".")
