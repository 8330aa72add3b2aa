"""Whether a thermometer and a pH meter can be trusted today.

Computes the error of a thermometer in boiling water and the validity of a
two-point pH calibration. It does not compute the local boiling point itself:
`production.science` does.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from inventory.measures import Measure, format_measure, format_temperature
from inventory.sourced import Kind, Sourced, Status
from inventory.words import say, say_count
from production.wording import span_text

__all__ = [
    "CalibrationFinding",
    "InstrumentError",
    "PhCalibration",
    "ThermometerCheck",
    "find_calibration",
]

_S77 = "a published guide to checking pH of preserves (2023)"

BUFFER_TOLERANCE = Sourced(
    value=Decimal("0.1"),
    unit="pH",
    kind=Kind.CONVENTION,
    source=_S77,
    section="6.9-7.1 in buffer 7, 3.9-4.1 in buffer 4",
    status=Status.SECONDARY,
)
LOW_BUFFER = Sourced(
    value=Decimal("4.0"),
    unit="pH",
    kind=Kind.CONVENTION,
    source="University of Wisconsin, Purchasing and Using a pH Meter",
    section="two-point calibration at each use",
)
HIGH_BUFFER = Sourced(
    value=Decimal("7.0"),
    unit="pH",
    kind=Kind.CONVENTION,
    source="University of Wisconsin, Purchasing and Using a pH Meter",
    section="two-point calibration at each use",
)
THERMOMETER_TRUSTED_C = Sourced(
    value=Decimal("1.0"),
    unit="degC",
    kind=Kind.CONVENTION,
    source="common practice",
    status=Status.MEMORY,
)
THERMOMETER_REPLACE_C = Sourced(
    value=Decimal("3.0"),
    unit="degC",
    kind=Kind.CONVENTION,
    source="common practice",
    status=Status.MEMORY,
)


class InstrumentError(ValueError):
    """A check of an instrument that cannot have happened as written."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ThermometerCheck:
    """One look at a thermometer in boiling water.

    Attributes:
        checked_at: when it was read.
        read_c: what it showed in water at a rolling boil.
        expected_c: the local boiling point of water.
    """

    checked_at: datetime
    read_c: Decimal
    expected_c: Decimal

    def __post_init__(self) -> None:
        if not Decimal(60) <= self.read_c <= Decimal(120):
            raise InstrumentError(
                say(
                    "{read_c} is no reading of boiling water; hold the probe in water "
                    "at a rolling boil, clear of the pot",
                    read_c=format_temperature(self.read_c),
                )
            )

    @property
    def error_c(self) -> Decimal:
        """How much the thermometer shows too high (negative: too low)."""
        return self.read_c - self.expected_c

    @property
    def is_trusted(self) -> bool:
        """Close enough to be used without a thought."""
        return abs(self.error_c) <= THERMOMETER_TRUSTED_C.value

    @property
    def must_be_replaced(self) -> bool:
        """So far off that the correction itself is in doubt."""
        return abs(self.error_c) > THERMOMETER_REPLACE_C.value

    @property
    def verdict(self) -> str:
        """One sentence for the page and the record."""
        off = format_measure(abs(self.error_c), Measure.DEGREES)
        high = self.error_c > 0
        if self.must_be_replaced:
            return say(
                "reads {off} too high: adjust or replace it before you cook"
                if high
                else "reads {off} too low: adjust or replace it before you cook",
                off=off,
            )
        if not self.error_c:
            return say("reads true")
        if self.is_trusted:
            return say(
                "reads {off} too high: near enough, and allowed for"
                if high
                else "reads {off} too low: near enough, and allowed for",
                off=off,
            )
        return say(
            "reads {off} too high: allowed for; check it again next time"
            if high
            else "reads {off} too low: allowed for; check it again next time",
            off=off,
        )

    def true_c(self, shown_c: Decimal) -> Decimal:
        """Return the temperature behind a reading of this thermometer."""
        return shown_c - self.error_c

    def shown_c(self, true_c: Decimal) -> Decimal:
        """Return what this thermometer will show at a temperature."""
        return true_c + self.error_c


@dataclass(frozen=True, slots=True, kw_only=True)
class PhCalibration:
    """One two-point calibration of a pH meter.

    Attributes:
        calibrated_at: when the buffers were read.
        low_read: what the meter showed in the pH 4 buffer afterwards.
        high_read: what it showed in the pH 7 buffer afterwards.
        meter: which meter, by a name of its own.
    """

    calibrated_at: datetime
    low_read: Decimal
    high_read: Decimal
    meter: str = ""

    def __post_init__(self) -> None:
        for read in (self.low_read, self.high_read):
            if not 0 <= read <= 14:
                raise InstrumentError(
                    say(
                        "pH {read} is off the scale of a pH meter; it lies between 0 and 14",
                        read=read,
                    )
                )

    @property
    def is_good(self) -> bool:
        """Both buffers were read within the tolerance."""
        tolerance = BUFFER_TOLERANCE.value
        return (
            abs(self.low_read - LOW_BUFFER.value) <= tolerance
            and abs(self.high_read - HIGH_BUFFER.value) <= tolerance
        )

    @property
    def verdict(self) -> str:
        """One sentence for the page and the record."""
        if self.is_good:
            return say("both buffers read within 0.1 pH")
        return say(
            "buffers 4.0 and 7.0 read {low_read} and {high_read}, more than "
            "0.1 away: fresh buffers, calibrate again, or replace the probe",
            low_read=self.low_read,
            high_read=self.high_read,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class CalibrationFinding:
    """Whether a pH reading had a good calibration behind it.

    Attributes:
        calibration: the one relied on, if any.
        says: one sentence, for the page and the record.
    """

    calibration: PhCalibration | None
    says: str

    @property
    def is_good(self) -> bool:
        """A good and recent calibration was found."""
        return self.calibration is not None


def find_calibration(
    calibrations: Iterable[PhCalibration], *, measured_at: datetime, valid_days: int
) -> CalibrationFinding:
    """Find the calibration a pH reading may rely on.

    The latest calibration before the reading counts: a failed one is not
    outvoted by an older good one.

    Args:
        calibrations: of this meter, in any order.
        measured_at: moment of the pH reading.
        valid_days: how many times 24 hours a calibration is relied on.
    """
    before = [each for each in calibrations if each.calibrated_at <= measured_at]
    if not before:
        return CalibrationFinding(
            calibration=None,
            says=say("no calibration of the pH meter before this reading"),
        )
    latest = max(before, key=lambda each: each.calibrated_at)
    age = measured_at - latest.calibrated_at
    if not latest.is_good:
        return CalibrationFinding(
            calibration=None,
            says=say("the last calibration failed: {verdict}", verdict=latest.verdict),
        )
    if age > timedelta(days=valid_days):
        return CalibrationFinding(
            calibration=None,
            says=say_count(
                "the last calibration was {age} before the reading, longer than "
                "the {count} day set",
                "the last calibration was {age} before the reading, longer than "
                "the {count} days set",
                valid_days,
                age=span_text(age),
            ),
        )
    return CalibrationFinding(
        calibration=latest,
        says=say("calibrated {age} before the reading", age=span_text(age)),
    )
