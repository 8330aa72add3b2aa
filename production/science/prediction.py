"""One prediction of a batch: everything that can be told before the pot is lit.

The command, the costing, the batch sheet and the planning all read this one result.
Each figure carries its working. Nothing in it releases a batch.
"""

from collections.abc import Sequence
from dataclasses import replace
from decimal import ROUND_FLOOR, Decimal

from inventory.measures import format_temperature
from inventory.quantity_format import format_mass
from inventory.words import say, to_say
from production.science.acidity import AcidAnswer, AcidDemand, acid_question
from production.science.balance import Balance, FinishKind, balance
from production.science.batch_lines import BatchLine
from production.science.boiling import BoilingPoint, Kitchen, boiling_point
from production.science.density import MOST_SOLIDS
from production.science.finishing import FinishingPoint, finishing_point
from production.science.identity import identity_input
from production.science.identity_abroad import abroad_names
from production.science.identity_us import us_names
from production.science.jars import JarShape, fill_jar, jar_named
from production.science.keeping import classify, estimate_activity
from production.science.kinds import ProductKind
from production.science.measuring import PRESSED_JUICE
from production.science.prediction_terms import (
    DEFAULT_JARS,
    QUARTER_INCH_MM,
    BatchInput,
    JarPrediction,
    Prediction,
    ProcessChoice,
)
from production.science.processing import (
    ProcessQuestion,
    ProcessTime,
    jar_class,
    process_time,
    row_for_kind,
)
from production.science.published import YieldComparison, compare_yield
from production.science.span import Span
from production.science.working import TIMES, Working, plain

__all__ = [
    "DEFAULT_JARS",
    "BatchInput",
    "JarPrediction",
    "Prediction",
    "ProcessChoice",
    "predict",
]

HALF_PINT = jar_named("8 fl oz")
THERMOMETER_TELLS = Decimal("0.55")
"""Below this share a temperature says nothing of the solids: the curve is too flat."""
THIN_SOLIDS = Decimal("0.60")
CRYSTALS_ABOVE = Decimal("0.70")
"""Sucrose saturates at 67 % at 20 degC (Bubnik and Kadlec, 1995); inversion in the
pot lets a jam hold a little more before it crystallises (common practice)."""
SCALD = to_say(
    "boiling sugar sticks and burns: long sleeves, a deep pot, nobody small near it"
)
HOT_JARS = to_say("fill hot jars only, on a dry cloth: cold glass cracks")


def predict(batch: BatchInput) -> Prediction:
    """Predict a batch.

    Args:
        batch: ingredients, finish, kitchen, jars.

    Returns:
        Masses to 0.1 g, jars to 0.1, and their workings. A material of which
        something is unknown is listed in ``missing`` and widens the range.

    Raises:
        ScienceError: something asked is physically impossible; the sentence names
            the value and its limits.
        ScalingError: more than the tested batch.
    """
    kitchen = batch.kitchen or Kitchen(altitude_ft=Decimal(0))
    water = boiling_point(kitchen)
    lines = tuple(_scaled(line, batch.factor) for line in batch.lines)
    found = balance([line.pot for line in lines], batch.finish, loss=batch.loss)
    finished = found.finished_g.scaled(batch.correction)
    finish, finish_words = _finish(water, found)
    jars = tuple(_jar(batch, kitchen, jar, found, finished) for jar in batch.jars)
    activity = estimate_activity(min(found.finished_solids.likely, MOST_SOLIDS))
    identity = identity_input(batch.kind, lines, found)
    comparison = _comparison(batch, found)
    acid = acid_question(lines)
    return Prediction(
        batch=batch,
        water=water,
        finish=finish,
        finish_words=finish_words,
        balance=found,
        finished_g=finished.rounded("0.1"),
        jars=jars,
        acid=acid,
        activity=activity,
        keeping=classify(None, activity),
        identity=identity,
        us_names=us_names(identity),
        abroad_names=abroad_names(identity),
        comparison=comparison,
        missing=found.missing,
        notes=_notes(batch, found, acid, comparison),
        cautions=_cautions(batch, acid),
        workings=_workings(batch, water, finish, found, finished, jars),
    )


def _scaled(line: BatchLine, factor: Decimal) -> BatchLine:
    if factor == 1:
        return line
    return replace(line, pot=replace(line.pot, grams=line.pot.grams.scaled(factor)))


def _finish(water: BoilingPoint, found: Balance) -> tuple[FinishingPoint | None, str]:
    """The finishing temperature, or in words why no thermometer tells it."""
    kind = found.finish.kind
    if kind is FinishKind.NONE:
        return None, say("not cooked down")
    if kind is FinishKind.TIME:
        return (
            None,
            say(
                "a full rolling boil for the recipe's own time; no temperature "
                "test applies"
            ),
        )
    solids = found.finished_solids.likely
    if solids < THERMOMETER_TELLS:
        return None, (
            say(
                "by thickness or refractometer, about {solids} % soluble solids; a "
                "thermometer cannot tell it",
                solids=plain(solids * 100),
            )
        )
    point = finishing_point(water, solids=solids)
    return point, say(
        "when the thermometer shows {shown}", shown=format_temperature(point.shown_c)
    )


def _jar(
    batch: BatchInput, kitchen: Kitchen, jar: JarShape, found: Balance, finished: Span
) -> JarPrediction:
    solids = found.finished_solids
    fill = fill_jar(
        jar, solids=solids.likely, headspace_mm=batch.headspace, fill_c=batch.fill_c
    )
    thinnest = fill_jar(
        jar, solids=solids.low, headspace_mm=batch.headspace, fill_c=batch.fill_c
    )
    count = finished.scaled(1 / fill.fill_g)
    return JarPrediction(
        jar=jar,
        count=count.rounded("0.1"),
        full=int(count.likely.to_integral_value(rounding=ROUND_FLOOR)),
        fill=fill,
        declared=thinnest.declared,
        process=_process(batch, kitchen, jar),
    )


def _process(batch: BatchInput, kitchen: Kitchen, jar: JarShape) -> ProcessTime | None:
    if kitchen.altitude_ft is None or batch.kind is ProductKind.INTERMEDIATE:
        return None
    choice = batch.process
    return process_time(
        ProcessQuestion(
            row=choice.row or row_for_kind(batch.kind),
            size=jar_class(jar.brim_ml),
            altitude_ft=kitchen.altitude_ft,
            canner=choice.canner,
            jars_sterile=choice.jars_sterile,
            recipe_min=choice.recipe_min,
        )
    )


def _comparison(batch: BatchInput, found: Balance) -> YieldComparison | None:
    if batch.published is None:
        return None
    half_pint = fill_jar(
        HALF_PINT, solids=found.finished_solids.likely, headspace_mm=QUARTER_INCH_MM
    )
    published = replace(
        batch.published,
        low_ml=batch.published.low_ml * batch.factor,
        high_ml=batch.published.high_ml * batch.factor,
    )
    return compare_yield(found, published, half_pint=half_pint)


def _notes(
    batch: BatchInput,
    found: Balance,
    acid: AcidAnswer,
    comparison: YieldComparison | None,
) -> tuple[str, ...]:
    notes = [*batch.notes, *found.notes, *acid.notes, *_pressed_note(batch)]
    if batch.kitchen is None:
        notes.append(say("no altitude was given: everything here is for sea level"))
    elif batch.kitchen.altitude_ft is None:
        notes.append(say("the process minutes need an altitude: enter it"))
    notes += _solids_notes(batch, found)
    if comparison:
        notes.append(comparison.sentence)
    return tuple(notes)


def _pressed_note(batch: BatchInput) -> list[str]:
    """Fruit of which only the juice is counted."""
    pressed = [line.pot.name for line in batch.lines if line.preparation.pressed]
    if not pressed:
        return []
    shares = PRESSED_JUICE.scaled(Decimal(100)).text()
    return [
        (
            say(
                "of {pressed} only the juice is counted, {shares} % of the fruit: "
                "measure the juice and write that instead",
                pressed=", ".join(pressed),
                shares=shares,
            )
        )
    ]


def _solids_notes(batch: BatchInput, found: Balance) -> list[str]:
    """What the soluble solids mean for keeping and for the look of it."""
    likely = found.finished_solids.likely
    shown = say("about {likely} % soluble solids", likely=plain(likely * 100))
    if batch.kind.is_jellied and likely < THIN_SOLIDS:
        return [
            say(
                "{shown}: it keeps less long once opened than a full-sugar product",
                shown=shown,
            )
        ]
    if likely > CRYSTALS_ABOVE:
        return [say("{shown}: sugar is likely to crystallise in the jar", shown=shown)]
    return []


def _cautions(batch: BatchInput, acid: AcidAnswer) -> tuple[str, ...]:
    cautions = [say(SCALD), say(HOT_JARS)]
    if acid.may_be_acidified:
        cautions.append(
            say(
                "{low}: low in acid, where botulism can grow; this may be an "
                "acidified food: ask a process authority before you sell it",
                low=", ".join(acid.low),
            )
        )
    if acid.demand is not AcidDemand.NONE:
        cautions.append(
            say("measure the pH of this batch with a meter: 4.6 is the limit")
        )
    if batch.kind is ProductKind.FRUIT_IN_SYRUP:
        cautions.append(
            say("fruit in syrup is not a jam: keep to a tested recipe and its minutes")
        )
    return tuple(cautions)


def _workings(
    batch: BatchInput,
    water: BoilingPoint,
    finish: FinishingPoint | None,
    found: Balance,
    finished: Span,
    jars: Sequence[JarPrediction],
) -> tuple[Working, ...]:
    learnt: tuple[Working, ...] = ()
    if batch.correction != 1:
        learnt = (_learnt_working(batch, found, finished),)
    per_jar = [
        working
        for jar in jars
        for working in (
            _count_working(jar, finished),
            *jar.fill.workings[:1],
            *(jar.process.workings if jar.process else ()),
        )
    ]
    return (
        *water.workings,
        *(finish.workings if finish else ()),
        *found.workings,
        *learnt,
        *per_jar,
    )


def _learnt_working(batch: BatchInput, found: Balance, finished: Span) -> Working:
    return Working(
        figure=say("finished, corrected by this kitchen"),
        value=finished.weight_text,
        formula=(
            say(
                "{likely} {times} {correction}, filled over expected jars of the "
                "last {correction_batches} batches",
                likely=format_mass(found.finished_g.likely),
                times=TIMES,
                correction=plain(batch.correction, "0.001"),
                correction_batches=batch.correction_batches or "few",
            )
        ),
        source=say("this kitchen's own batches"),
        estimate=True,
    )


def _count_working(jar: JarPrediction, finished: Span) -> Working:
    return Working(
        figure=say("jars of {jar}", jar=jar.jar.name),
        value=jar.count.text(),
        formula=say(
            "{finished} over {fill} a jar",
            finished=finished.weight_text,
            fill=format_mass(jar.fill.fill_g),
        ),
        source=say("soluble-solids balance and what one jar holds"),
        estimate=True,
    )
