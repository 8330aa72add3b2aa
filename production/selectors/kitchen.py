"""What the kitchen asks of the book: limits, readings, draws and yields of a batch."""

import datetime
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Max

from inventory.models import Business
from inventory.words import say
from production.gate import (
    BatchReadings,
    GateLimits,
    GateResult,
    PhReading,
    Requirement,
    judge,
)
from production.models import (
    Batch,
    Reading,
    Recipe,
    RecipeVersion,
)
from production.readings import PH_LIMIT
from production.science.atmosphere import METRES_PER_FOOT
from production.science.boiling import BoilingPoint, Kitchen, boiling_point
from production.science.finishing import (
    FinishingPoint,
    finishing_point,
    finishing_point_at,
)
from production.science.kinds import ProductKind
from production.science.processing import (
    Canner,
    ProcessQuestion,
    ProcessTime,
    SteamTimeError,
    process_time,
    row_for_kind,
)
from production.science.processing import rows as process_rows
from production.science.working import ScienceError
from production.selectors import instruments
from production.selectors.prediction import jars_expected

__all__ = [
    "NoVersionError",
    "asks_ph",
    "batch_readings",
    "boiling_by",
    "boiling_here",
    "canner_of",
    "current_version",
    "finish_of",
    "finish_point",
    "gate_limits",
    "judge_batch",
    "kitchen_altitude_m",
    "local_boiling",
    "ph_limit",
    "process_of",
    "processing_minutes",
    "standing_readings",
]

HUNDREDTH = Decimal("0.01")
TENTH = Decimal("0.1")
WITHOUT_JARS = {Requirement.PH, Requirement.PH_CALIBRATION}


class NoVersionError(ValueError):
    """A recipe that was named but never written."""


def current_version(recipe: Recipe, *, on: datetime.date) -> RecipeVersion:
    """The version a recipe is cooked by on a day.

    Raises:
        NoVersionError: none was written by then.
    """
    version = RecipeVersion.objects.current(on=on).filter(recipe=recipe).first()
    if version is None:
        raise NoVersionError(
            say(
                "{recipe} has no version yet; write its ingredients first",
                recipe=recipe,
            )
        )
    return version


def kitchen_altitude_m(batch: Batch) -> Decimal:
    """Altitude the batch is cooked at, m: its own once started, else the kitchen's."""
    if batch.altitude_m is not None:
        return batch.altitude_m
    return Business.current().altitude_m


def canner_of(batch: Batch) -> str:
    """The canner of the batch, else the kitchen's."""
    return batch.canner or Business.current().canner


def standing_readings(batch: Batch) -> dict[str, Reading]:
    """The newest reading of each kind that was not undone; of pH the highest."""
    newest: dict[str, Reading] = {}
    for reading in _not_undone(batch):
        kept = newest.get(reading.kind)
        is_lower_ph = (
            reading.kind == Reading.Kind.PH
            and kept is not None
            and kept.value > reading.value
        )
        if not is_lower_ph:
            newest[reading.kind] = reading
    return newest


def _not_undone(batch: Batch) -> list[Reading]:
    """Readings that stand, oldest first; one query, none where prefetched."""
    standing = [each for each in batch.readings.all() if not each.is_undone]
    return sorted(standing, key=lambda each: (each.at, each.pk))


def local_boiling(batch: Batch) -> BoilingPoint:
    """Where water boils for this batch: by altitude and today's reading."""
    reading = standing_readings(batch).get(Reading.Kind.BOILING_WATER)
    if reading is not None:
        try:
            return boiling_by(batch, reading.value)
        except ScienceError:
            pass  # written down elsewhere, and no thermometer shows that here
    return boiling_by(batch, None)


def boiling_by(batch: Batch, reading_c: Decimal | None) -> BoilingPoint:
    """Where water boils for a batch, by a reading or by altitude alone.

    Raises:
        ScienceError: no sound thermometer shows such a reading here.
    """
    return boiling_point(
        Kitchen(
            altitude_ft=kitchen_altitude_m(batch) / METRES_PER_FOOT.value,
            reading_c=reading_c,
        )
    )


def boiling_here() -> BoilingPoint:
    """Where water boils in this kitchen, by its altitude."""
    altitude = Business.current().altitude_m
    return boiling_point(Kitchen(altitude_ft=altitude / METRES_PER_FOOT.value))


def finish_of(version: RecipeVersion, water: BoilingPoint) -> FinishingPoint | None:
    """The finishing point of a version where water boils so; None where none applies.

    Raises:
        ScienceError: the recipe's figure lies outside the tables.
    """
    if version.finish == RecipeVersion.Finish.ABOVE_BOILING and version.finish_above_c:
        return finishing_point_at(water, above_c=version.finish_above_c)
    least_tabled = Decimal("0.30")
    if (
        version.finish == RecipeVersion.Finish.SOLIDS
        and version.finish_solids
        and version.finish_solids >= least_tabled
    ):
        return finishing_point(water, solids=version.finish_solids)
    return None


def finish_point(batch: Batch) -> FinishingPoint | None:
    """The finishing point of a batch today; None where its recipe's has no table."""
    try:
        return finish_of(batch.version, local_boiling(batch))
    except ScienceError:
        return None


def asks_ph(version: RecipeVersion) -> bool:
    """Whether batches of a version are released on a measured pH.

    The recipe asks for it, or one of its materials is low in acid.
    """
    return version.ph_required or version.ph_limit is not None or version.is_low_in_acid


def ph_limit(version: RecipeVersion) -> Decimal:
    """Highest pH of a version's batches: its own limit, never above that of acid food."""
    return min(version.ph_limit or PH_LIMIT.value, PH_LIMIT.value)


def gate_limits(batch: Batch) -> GateLimits:
    """What a batch must reach, in this kitchen, by today's boiling water."""
    version = batch.version
    point = finish_point(batch)
    boils = version.finish == RecipeVersion.Finish.TIME
    cooks_down = version.finish not in {
        RecipeVersion.Finish.TIME,
        RecipeVersion.Finish.NONE,
    }
    return GateLimits(
        finish_c=point.shown_c if point else None,
        solids_fraction=version.finish_solids if cooks_down else None,
        rolling_boil_min=Decimal(1) if boils else None,
        headspace_mm=version.headspace_mm,
        processing_min=processing_minutes(batch),
        is_steam_canner=canner_of(batch) == Business.Canner.STEAM,
        asks_ph=asks_ph(version) or batch.ph_limit is not None,
        ph_limit=min(batch.ph_limit or PH_LIMIT.value, ph_limit(version)),
        calibration_days=max(1, Business.current().calibration_days),
    )


def process_of(batch: Batch) -> ProcessTime:
    """Minutes in the canner for this product, jar, altitude and canner.

    Raises:
        SteamTimeError: more minutes than a steam canner allows.
    """
    sterile = standing_readings(batch).get(Reading.Kind.JARS_STERILE)
    size = batch.product.jar_size.processing_size if batch.product else "half-pint"
    return process_time(
        ProcessQuestion(
            row=_process_row(batch.version),
            size=size,
            altitude_ft=kitchen_altitude_m(batch) / METRES_PER_FOOT.value,
            canner=Canner(canner_of(batch)),
            jars_sterile=bool(sterile and sterile.value),
            recipe_min=batch.version.process_min or None,
        )
    )


def _process_row(version: RecipeVersion) -> str:
    """The published row a version names, or the one of its kind."""
    named = version.process_kind
    if any(row.key == named for row in process_rows()):
        return named
    return row_for_kind(ProductKind(version.recipe.kind))


def processing_minutes(batch: Batch) -> Decimal | None:
    """Minutes of processing asked of this batch; None where no source gives them."""
    try:
        minutes = process_of(batch).minutes
    except SteamTimeError as error:
        return Decimal(error.minutes)
    return None if minutes is None else Decimal(minutes)


def batch_readings(batch: Batch) -> BatchReadings:
    """What was recorded of a batch, for the gate."""
    found = standing_readings(batch)

    def value(kind: Reading.Kind) -> Decimal | None:
        reading = found.get(kind)
        return reading.value if reading else None

    def answer(kind: Reading.Kind) -> bool | None:
        said = value(kind)
        return None if said is None else bool(said)

    processed = found.get(Reading.Kind.PROCESS_MIN)
    seals = _seals(batch)
    ph = [each for each in _not_undone(batch) if each.kind == Reading.Kind.PH]
    return BatchReadings(
        finish_c=value(Reading.Kind.FINISH_TEMPERATURE),
        solids_fraction=value(Reading.Kind.SOLIDS),
        rolling_boil_min=value(Reading.Kind.ROLLING_BOIL),
        set_test=answer(Reading.Kind.SET_TEST),
        headspace_mm=value(Reading.Kind.HEADSPACE),
        jars_sterile=answer(Reading.Kind.JARS_STERILE),
        processing_min=value(Reading.Kind.PROCESS_MIN),
        processed_at=processed.at if processed else None,
        jars_filled=seals.filled,
        jars_sealed=seals.sealed,
        jars_failed=seals.failed,
        jars_failed_settled=seals.settled,
        seals_checked_at=seals.checked_at,
        ph=tuple(
            PhReading(
                ph=each.value,
                measured_at=each.at,
                meter=str(each.instrument_id or ""),
            )
            for each in ph
        ),
        calibrations=instruments.ph_calibrations(),
    )


def judge_batch(batch: Batch) -> GateResult:
    """How the batch stands with the release gate; without jars only its pH is asked."""
    result = judge(batch_readings(batch), gate_limits(batch))
    if any(each.jar_size_id for each in batch.outputs.all()):
        return result
    kept = (each for each in result.findings if each.requirement in WITHOUT_JARS)
    return GateResult(findings=tuple(kept))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Seals:
    filled: int
    sealed: int | None
    failed: int
    settled: int
    checked_at: datetime.datetime | None


def _seals(batch: Batch) -> _Seals:
    """The seal checks of every jar lot; the earliest moment counts for cooling."""
    outputs = [each for each in batch.outputs.all() if each.lot.product_id]
    checks = {
        each.pk: max(each.seal_checks.all(), key=lambda check: check.checked_at)
        for each in outputs
        if each.seal_checks.all()
    }
    whole = bool(outputs) and len(checks) == len(outputs)
    return _Seals(
        filled=sum(int(each.filled) for each in outputs),
        sealed=sum(c.sealed for c in checks.values()) if whole else None,
        failed=sum(c.failed for c in checks.values()),
        settled=sum(c.failed for c in checks.values() if c.fate),
        checked_at=min((c.checked_at for c in checks.values()), default=None),
    )


def last_cook_day(version: RecipeVersion) -> int:
    """Days from the first cook day to the last."""
    found = version.steps.aggregate(last=Max("day_offset"))["last"]
    return int(found or 0)


def set_expected(batch: Batch) -> None:
    """Fill in what the batch should give: by the balance, else by its recipe's word."""
    promised = batch.version.published_jars
    try:
        finished_g, jars = jars_expected(batch)
    except ScienceError:
        if promised is not None:
            batch.expected_jars = (promised * batch.factor).quantize(HUNDREDTH)
        return
    batch.expected_mass_g = finished_g.quantize(TENTH)
    if batch.product is not None:
        batch.expected_jars = jars.count.likely.quantize(HUNDREDTH)
