"""The values the release gate works on: readings, limits, findings, overrides."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from enum import StrEnum

from inventory.measures import Measure, format_headspace, format_measure
from inventory.sourced import Kind, Sourced, Status
from inventory.words import say, to_say
from production.instruments import PhCalibration
from production.readings import PH_LIMIT
from production.wording import as_heading

__all__ = [
    "COOLING_LEAST_H",
    "COOLING_MOST_H",
    "FINISH_ABOVE_C",
    "FINISH_BELOW_C",
    "HEADSPACE_TOLERANCE_MM",
    "PH_METER_ABOVE",
    "PH_WORKING",
    "SOLIDS_ABOVE",
    "SOLIDS_BELOW",
    "STEAM_MOST_MIN",
    "STERILE_BELOW_MIN",
    "BatchReadings",
    "Finding",
    "GateError",
    "GateLimits",
    "GateResult",
    "NotReleasableError",
    "Override",
    "OverrideRefusedError",
    "PhReading",
    "Requirement",
    "Standing",
]


COOLING_LEAST_H = Sourced(
    value=Decimal(12),
    unit="h",
    kind=Kind.CONVENTION,
    source="So Easy to Preserve",
    section="upright, undisturbed, 12-24 h",
    edition="6th ed. 2020",
)
COOLING_MOST_H = Sourced(
    value=Decimal(24),
    unit="h",
    kind=Kind.CONVENTION,
    source="So Easy to Preserve",
    section="upright, undisturbed, 12-24 h; reprocess within 24 h",
    edition="6th ed. 2020",
)
FINISH_BELOW_C = Sourced(
    value=Decimal("1.0"),
    unit="degC",
    kind=Kind.CONVENTION,
    source="common practice",
    section="how far below the finishing point still counts as reached",
    status=Status.MEMORY,
)
FINISH_ABOVE_C = Sourced(
    value=Decimal("2.5"),
    unit="degC",
    kind=Kind.CONVENTION,
    source="common practice",
    section="how far above the finishing point still counts as reached",
    status=Status.MEMORY,
)
SOLIDS_BELOW = Sourced(
    value=Decimal("0.01"),
    unit="1",
    kind=Kind.CONVENTION,
    source="common practice",
    section="a hand refractometer's reading",
    status=Status.MEMORY,
)
SOLIDS_ABOVE = Sourced(
    value=Decimal("0.06"),
    unit="1",
    kind=Kind.CONVENTION,
    source="common practice",
    section="beyond it sugar crystals are likely",
    status=Status.MEMORY,
)
HEADSPACE_TOLERANCE_MM = Sourced(
    value=Decimal("3.2"),
    unit="mm",
    kind=Kind.CONVENTION,
    source="common practice",
    section="an eighth of an inch either way",
    status=Status.MEMORY,
)
STERILE_BELOW_MIN = Sourced(
    value=Decimal(10),
    unit="min",
    kind=Kind.CONVENTION,
    source="Michigan State University Extension 01600946",
    section="less than 10 minutes: sterile jars",
)
STEAM_MOST_MIN = Sourced(
    value=Decimal(45),
    unit="min",
    kind=Kind.CONVENTION,
    source="NCHFP, Using Atmospheric Steam Canners",
    section="total time, altitude included",
)
PH_WORKING = Sourced(
    value=Decimal("4.2"),
    unit="pH",
    kind=Kind.CONVENTION,
    source="FDA Food Code, Table B",
    section="lowest column edge, used as a working target",
)
PH_METER_ABOVE = Sourced(
    value=Decimal("4.0"),
    unit="pH",
    kind=Kind.LEGAL,
    source="21 CFR 114.80",
    section="(a)(2)",
    edition="November 2024",
)


class Requirement(StrEnum):
    """What the gate looks at, in the order of a cook day."""

    FINISH = "finish"
    HEADSPACE = "headspace"
    STERILE_JARS = "sterile_jars"
    PROCESSING = "processing"
    COOLING = "cooling"
    SEALS = "seals"
    PH = "ph"
    PH_CALIBRATION = "ph_calibration"

    @property
    def label(self) -> str:
        """The requirement in the words of the kitchen."""
        return say(_LABELS[self])

    @property
    def heading(self) -> str:
        """The same as a heading: "pH" keeps its small letter."""
        return as_heading(self.label)

    @property
    def rule(self) -> str:
        """What is compared with what, with the margins of this gate."""
        return say(_RULES[self], **_margins())

    @property
    def source(self) -> str:
        """Where the rule comes from."""
        found = _SOURCES[self]
        return f"{found.source}: {found.section}"


_LABELS = {
    Requirement.FINISH: to_say("finishing point"),
    Requirement.HEADSPACE: to_say("headspace"),
    Requirement.STERILE_JARS: to_say("sterile jars"),
    Requirement.PROCESSING: to_say("processing"),
    Requirement.COOLING: to_say("cooling"),
    Requirement.SEALS: to_say("seal check"),
    Requirement.PH: to_say("pH"),
    Requirement.PH_CALIBRATION: to_say("pH meter"),
}


def _margins() -> dict[str, object]:
    return {
        "below": format_measure(FINISH_BELOW_C.value, Measure.DEGREES),
        "above": format_measure(FINISH_ABOVE_C.value, Measure.DEGREES),
        "solids_below": f"{SOLIDS_BELOW.value:.0%}",
        "solids_above": f"{SOLIDS_ABOVE.value:.0%}",
        "headspace": format_headspace(HEADSPACE_TOLERANCE_MM.value),
        "sterile": STERILE_BELOW_MIN.value,
        "cool_least": COOLING_LEAST_H.value,
        "cool_most": COOLING_MOST_H.value,
        "ph_meter": PH_METER_ABOVE.value,
    }


_RULES = {
    Requirement.FINISH: to_say(
        "reached − expected lies between −{below} and +{above}; soluble solids "
        "between −{solids_below} and +{solids_above} of the recipe's"
    ),
    Requirement.HEADSPACE: to_say(
        "measured − the recipe's headspace is at most {headspace} either way"
    ),
    Requirement.STERILE_JARS: to_say(
        "jars are sterilised when they are processed less than {sterile} minutes"
    ),
    Requirement.PROCESSING: to_say(
        "minutes processed are at least the table's minutes for this altitude"
    ),
    Requirement.COOLING: to_say(
        "moment of the seal check − moment of processing is {cool_least} to "
        "{cool_most} hours"
    ),
    Requirement.SEALS: to_say("sealed + failed = jars filled"),
    Requirement.PH: to_say(
        "the highest pH measured is at most the limit of the recipe; above "
        "{ph_meter} only a meter may tell it"
    ),
    Requirement.PH_CALIBRATION: to_say(
        "the meter was calibrated in both buffers no longer ago than the days you set"
    ),
}
_SOURCES = {
    Requirement.FINISH: FINISH_BELOW_C,
    Requirement.HEADSPACE: HEADSPACE_TOLERANCE_MM,
    Requirement.STERILE_JARS: STERILE_BELOW_MIN,
    Requirement.PROCESSING: STEAM_MOST_MIN,
    Requirement.COOLING: COOLING_LEAST_H,
    Requirement.SEALS: COOLING_MOST_H,
    Requirement.PH: PH_METER_ABOVE,
    Requirement.PH_CALIBRATION: PH_METER_ABOVE,
}


class Standing(StrEnum):
    """How a batch stands with one requirement."""

    MET = "met"
    CAUTION = "caution"
    MISSING = "missing"
    OUT_OF_LIMITS = "out_of_limits"


class GateError(ValueError):
    """A batch was judged, overridden or released in a way the gate refuses."""


class OverrideRefusedError(GateError):
    """An override that nobody, or not this person, may give."""


class NotReleasableError(GateError):
    """A batch cannot leave held; `result` says what stands against it."""

    def __init__(self, batch: str, result: "GateResult") -> None:
        self.batch = batch
        self.result = result
        what = "; ".join(each.says for each in result.blocking)
        super().__init__(
            say("batch {batch} stays held: {what}", batch=batch, what=what)
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class PhReading:
    """One pH of the cooled product.

    Attributes:
        ph: as recorded; never rounded before it is compared.
        measured_at: when.
        meter: with which; empty where that was not written down.
    """

    ph: Decimal
    measured_at: datetime
    meter: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class GateLimits:
    """What this batch must reach, in this kitchen, on the day it was cooked.

    Attributes:
        finish_c: true finishing temperature today, None where none applies.
        solids_fraction: target soluble solids, None where the recipe sets none.
        rolling_boil_min: minutes of full rolling boil, for added pectin.
        headspace_mm: headspace of the recipe.
        processing_min: minutes for this product, jar, altitude and canner; None
            when no source gives them (then nothing can meet the requirement).
        is_steam_canner: processed in steam, with its own time limit.
        asks_ph: the product is released on a measured pH.
        ph_limit: highest pH at which a jar may be sold.
        calibration_days: how long a calibration of the meter is relied on.
    """

    headspace_mm: Decimal
    processing_min: Decimal | None
    finish_c: Decimal | None = None
    solids_fraction: Decimal | None = None
    rolling_boil_min: Decimal | None = None
    is_steam_canner: bool = False
    asks_ph: bool = False
    ph_limit: Decimal = PH_LIMIT.value
    calibration_days: int = 1

    def __post_init__(self) -> None:
        if self.ph_limit > PH_LIMIT.value:
            raise GateError(
                say(
                    "a pH limit of {ph_limit} is above {most}, the limit of acid "
                    "food; it can be set lower, never higher",
                    ph_limit=self.ph_limit,
                    most=PH_LIMIT.value,
                )
            )
        if self.calibration_days < 1:
            raise GateError(say("a calibration is relied on for at least one day"))


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchReadings:
    """What was recorded of a batch; None is "not recorded".

    Attributes:
        finish_c: finishing temperature reached, corrected for the thermometer.
        solids_fraction: soluble solids of the finished pot.
        rolling_boil_min: minutes at a full rolling boil.
        set_test: did a cold plate or sheet test set.
        headspace_mm: headspace measured.
        jars_sterile: whether the empty jars were sterilised.
        processing_min: minutes at a full boil (or of full steam).
        processed_at: end of processing, when cooling began.
        jars_filled: jars that went into the canner.
        jars_sealed: jars found sealed.
        jars_failed: jars found unsealed.
        jars_failed_settled: unsealed jars that left the lot with a reason.
        seals_checked_at: moment of the seal check.
        ph: every pH measured, in any order.
        calibrations: of every pH meter, in any order.
    """

    jars_filled: int
    finish_c: Decimal | None = None
    solids_fraction: Decimal | None = None
    rolling_boil_min: Decimal | None = None
    set_test: bool | None = None
    headspace_mm: Decimal | None = None
    jars_sterile: bool | None = None
    processing_min: Decimal | None = None
    processed_at: datetime | None = None
    jars_sealed: int | None = None
    jars_failed: int = 0
    jars_failed_settled: int = 0
    seals_checked_at: datetime | None = None
    ph: tuple[PhReading, ...] = ()
    calibrations: tuple[PhCalibration, ...] = ()

    @property
    def highest_ph(self) -> PhReading | None:
        """The pH that counts: the highest one measured, never an average."""
        return max(self.ph, key=lambda each: each.ph, default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """How a batch stands with one requirement.

    Attributes:
        requirement: which.
        standing: met, met with a caution, missing, or out of limits.
        says: one sentence; for what is not met it says what to do.
        may_override: the owner may accept it with a written reason.
    """

    requirement: Requirement
    standing: Standing
    says: str
    may_override: bool = False

    @property
    def is_open(self) -> bool:
        """Stands against a release."""
        return self.standing in {Standing.MISSING, Standing.OUT_OF_LIMITS}


@dataclass(frozen=True, slots=True, kw_only=True)
class Override:
    """A requirement accepted by the owner although it is not met."""

    requirement: Requirement
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GateResult:
    """All findings of a batch, and the overrides given.

    Attributes:
        findings: one for each requirement that applies, in the order of the day.
        overrides: the requirements accepted in writing.
    """

    findings: tuple[Finding, ...]
    overrides: tuple[Override, ...] = ()

    @property
    def blocking(self) -> tuple[Finding, ...]:
        """What still stands against a release."""
        accepted = {each.requirement for each in self.overrides}
        return tuple(
            each
            for each in self.findings
            if each.is_open and not (each.may_override and each.requirement in accepted)
        )

    @property
    def may_release(self) -> bool:
        """Nothing stands against a release."""
        return not self.blocking

    @property
    def is_barred(self) -> bool:
        """Out of a limit that no override lifts."""
        return any(e.standing is Standing.OUT_OF_LIMITS for e in self.never)

    @property
    def never(self) -> tuple[Finding, ...]:
        """What no override lifts."""
        return tuple(e for e in self.findings if e.is_open and not e.may_override)
