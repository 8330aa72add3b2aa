"""The verbs of instruments: add one, check it against something known."""

import datetime
from decimal import Decimal

from django.contrib.auth.models import User
from django.db import transaction

from inventory.words import say
from production.instruments import (
    HIGH_BUFFER,
    LOW_BUFFER,
    InstrumentError,
    PhCalibration,
    ThermometerCheck,
)
from production.models import Instrument, InstrumentCheck

__all__ = ["add", "calibrate_ph", "check", "check_thermometer"]

BOILING = "boiling water"
SHARE_OFF = Decimal("0.01")
"""A scale or refractometer is trusted within this part of what is known
(common practice)."""


@transaction.atomic
def add(*, name: str, kind: str) -> Instrument:
    """Add an instrument to the book."""
    instrument = Instrument(name=name.strip(), kind=kind)
    instrument.full_clean()
    instrument.save()
    return instrument


@transaction.atomic
def check_thermometer(
    *,
    instrument: Instrument,
    read_c: Decimal,
    expected_c: Decimal,
    at: datetime.datetime,
    person: User | None,
) -> InstrumentCheck:
    """Record what a thermometer showed in boiling water.

    Args:
        instrument: a thermometer.
        read_c: what it showed, degC.
        expected_c: where water boils here, degC.
        at: the moment.
        person: who read it.

    Raises:
        InstrumentError: not a thermometer, or no reading of boiling water.
    """
    _require(instrument, Instrument.Kind.THERMOMETER)
    found = ThermometerCheck(checked_at=at, read_c=read_c, expected_c=expected_c)
    return _save(
        InstrumentCheck(
            instrument=instrument,
            checked_at=at,
            person=person,
            reference=BOILING,
            true_value=expected_c,
            reading=read_c,
            passed=not found.must_be_replaced,
            note=found.verdict,
        )
    )


@transaction.atomic
def calibrate_ph(
    *,
    instrument: Instrument,
    low_read: Decimal,
    high_read: Decimal,
    at: datetime.datetime,
    person: User | None,
) -> PhCalibration:
    """Record a two-point calibration of a pH meter: two checks of one moment.

    Args:
        instrument: a pH meter.
        low_read: what it showed in the pH 4 buffer.
        high_read: what it showed in the pH 7 buffer.
        at: the moment.
        person: who calibrated it.

    Raises:
        InstrumentError: not a pH meter, or off its scale.
    """
    _require(instrument, Instrument.Kind.PH_METER)
    found = PhCalibration(calibrated_at=at, low_read=low_read, high_read=high_read)
    for buffer, read in ((LOW_BUFFER, low_read), (HIGH_BUFFER, high_read)):
        _save(
            InstrumentCheck(
                instrument=instrument,
                checked_at=at,
                person=person,
                reference=f"buffer {buffer.value}",
                true_value=buffer.value,
                reading=read,
                passed=found.is_good,
                note=found.verdict[:160],
            )
        )
    return found


@transaction.atomic
def check(
    *,
    instrument: Instrument,
    reference: str,
    true_value: Decimal,
    reading: Decimal,
    at: datetime.datetime,
    person: User | None,
) -> InstrumentCheck:
    """Record a check of a scale or refractometer against something known.

    Raises:
        InstrumentError: a thermometer or pH meter, or nothing known to compare.
    """
    _require(instrument, Instrument.Kind.SCALE, Instrument.Kind.REFRACTOMETER)
    if true_value < 0 or not reference.strip():
        raise InstrumentError(
            say("say what it was checked against, and its true value")
        )
    off = abs(reading - true_value)
    passed = off <= max(true_value * SHARE_OFF, Decimal("0.5"))
    return _save(
        InstrumentCheck(
            instrument=instrument,
            checked_at=at,
            person=person,
            reference=reference.strip(),
            true_value=true_value,
            reading=reading,
            passed=passed,
            note=""
            if passed
            else "off by more than a hundredth: adjust it or replace it",
        )
    )


def _require(instrument: Instrument, *kinds: Instrument.Kind) -> None:
    if instrument.kind not in kinds:
        raise InstrumentError(
            say(
                "{instrument} is a {kind}; that check is not for it",
                instrument=instrument,
                kind=instrument.get_kind_display(),
            )
        )


def _save(row: InstrumentCheck) -> InstrumentCheck:
    row.full_clean()
    row.save()
    return row
