"""What a prediction is asked and what it answers."""

from dataclasses import dataclass, field
from decimal import Decimal

from inventory.words import say
from production.scaling import check_factor
from production.science.acidity import AcidAnswer
from production.science.balance import DEFAULT_LOSS, Balance, Finish
from production.science.batch_lines import BatchLine
from production.science.boiling import BoilingPoint, Kitchen
from production.science.finishing import FinishingPoint
from production.science.identity import IdentityInput, NameAnswer
from production.science.jars import FILL_C, DeclaredWeight, Fill, JarShape, jar_named
from production.science.keeping import KeepingAnswer, WaterActivityEstimate
from production.science.kinds import ProductKind
from production.science.processing import Canner, ProcessTime
from production.science.published import PublishedYield, YieldComparison
from production.science.span import Span
from production.science.working import ScienceError, Working

__all__ = [
    "DEFAULT_JARS",
    "BatchInput",
    "JarPrediction",
    "Prediction",
    "ProcessChoice",
]

DEFAULT_JARS = tuple(jar_named(name) for name in ("4 fl oz", "8 fl oz", "16 fl oz"))
QUARTER_INCH_MM = Decimal("6.35")
HALF_INCH_MM = Decimal("12.7")


@dataclass(frozen=True, slots=True, kw_only=True)
class ProcessChoice:
    """How the filled jars are heated.

    Attributes:
        canner: boiling water or steam.
        row: row of the process table; that of the kind where empty.
        recipe_min: sea-level minutes of the tested recipe, if it has its own.
        jars_sterile: empty jars are sterilised before filling.
    """

    canner: Canner = Canner.BOILING_WATER
    row: str = ""
    recipe_min: int | None = None
    jars_sterile: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchInput:
    """A batch to be predicted.

    Attributes:
        name: what it is called.
        kind: kind of product.
        lines: its ingredients, for the tested batch.
        finish: where the cooking stops.
        kitchen: altitude, pressure or reading; standard air at sea level where None.
        jars: jar sizes to count.
        headspace_mm: empty height under the lid; the kind's own where None.
        fill_c: temperature of the product as it is filled, degC.
        process: how the jars are heated.
        factor: share of the tested batch, at most 1.
        loss: share left on pot and spoon.
        correction: learnt from this kitchen's own batches: filled over expected jars.
        correction_batches: how many batches it was learnt from.
        published: what the recipe promises.
        notes: what reading the recipe brought up.
    """

    name: str
    kind: ProductKind
    lines: tuple[BatchLine, ...]
    finish: Finish
    kitchen: Kitchen | None = None
    jars: tuple[JarShape, ...] = DEFAULT_JARS
    headspace_mm: Decimal | None = None
    fill_c: Decimal = FILL_C.value
    process: ProcessChoice = field(default_factory=ProcessChoice)
    factor: Decimal = Decimal(1)
    loss: Span = DEFAULT_LOSS
    correction: Decimal = Decimal(1)
    correction_batches: int = 0
    published: PublishedYield | None = None
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        check_factor(self.factor)
        if not (self.correction.is_finite() and self.correction > 0):
            raise ScienceError(
                say(
                    "a learnt correction of {correction} is impossible; enter more "
                    "than 0",
                    correction=self.correction,
                )
            )
        if not self.jars:
            raise ScienceError(say("name at least one jar size to fill"))

    @property
    def headspace(self) -> Decimal:
        """Headspace in mm: as given, or the kind's own."""
        if self.headspace_mm is not None:
            return self.headspace_mm
        pieces = {ProductKind.CHUTNEY, ProductKind.FRUIT_IN_SYRUP}
        return HALF_INCH_MM if self.kind in pieces else QUARTER_INCH_MM


@dataclass(frozen=True, slots=True, kw_only=True)
class JarPrediction:
    """One jar size.

    Attributes:
        jar: the jar.
        count: jars of this size that the batch fills, estimated.
        full: whole jars to expect, rounded down.
        fill: what one jar holds.
        declared: net weight a label may state, from the thinnest likely product.
        process: minutes in the canner; None where the altitude is not known.
    """

    jar: JarShape
    count: Span
    full: int
    fill: Fill
    declared: DeclaredWeight
    process: ProcessTime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Prediction:
    """What a batch will do, with every term.

    Attributes:
        batch: what was asked.
        water: where water boils here.
        finish: the finishing point; None where no thermometer tells it.
        finish_words: how the cook knows that it is done.
        balance: pot, water off, loss, finished mass before any learnt correction.
        finished_g: finished mass after the learnt correction, g.
        jars: one prediction a jar size.
        acid: what the materials demand.
        activity: water activity, estimated.
        keeping: what the Food Code's table says without any reading.
        identity: what the standards ask.
        us_names: names in the United States, the standardised one first.
        abroad_names: names under the other standards.
        comparison: the published yield beside the balance.
        missing: what is not known, one phrase each; each widens the ranges.
        notes: what the maker should know.
        cautions: what can hurt.
        workings: the sums, in the order of the work.
    """

    batch: BatchInput
    water: BoilingPoint
    finish: FinishingPoint | None
    finish_words: str
    balance: Balance
    finished_g: Span
    jars: tuple[JarPrediction, ...]
    acid: AcidAnswer
    activity: WaterActivityEstimate
    keeping: KeepingAnswer
    identity: IdentityInput
    us_names: tuple[NameAnswer, ...]
    abroad_names: tuple[NameAnswer, ...]
    comparison: YieldComparison | None
    missing: tuple[str, ...]
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
    workings: tuple[Working, ...]
