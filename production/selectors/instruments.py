"""What is known of the instruments: their calibrations, which one is in use."""

import datetime
from decimal import Decimal

from django.db.models import F, Max

from production.instruments import PhCalibration
from production.models import Instrument, InstrumentCheck, Reading

__all__ = ["ph_calibrations", "usual_instrument"]

INSTRUMENTS = {
    Reading.Kind.BOILING_WATER.value: Instrument.Kind.THERMOMETER,
    Reading.Kind.FINISH_TEMPERATURE.value: Instrument.Kind.THERMOMETER,
    Reading.Kind.FILL_TEMPERATURE.value: Instrument.Kind.THERMOMETER,
    Reading.Kind.SOLIDS.value: Instrument.Kind.REFRACTOMETER,
    Reading.Kind.FINISHED_MASS.value: Instrument.Kind.SCALE,
    Reading.Kind.PH.value: Instrument.Kind.PH_METER,
}
PH_BUFFER_SPLIT = Decimal("5.5")
"""Between the two buffers: below it a check is of buffer 4, above it of buffer 7."""


def ph_calibrations(instrument: Instrument | None = None) -> tuple[PhCalibration, ...]:
    """Two-point calibrations: checks of both buffers of one meter at one moment."""
    checks = InstrumentCheck.objects.filter(instrument__kind=Instrument.Kind.PH_METER)
    if instrument is not None:
        checks = checks.filter(instrument=instrument)
    pairs: dict[tuple[int, datetime.datetime], dict[str, Decimal]] = {}
    for check in checks.order_by("checked_at"):
        end = "low" if check.true_value < PH_BUFFER_SPLIT else "high"
        key = (check.instrument_id, check.checked_at)
        pairs.setdefault(key, {})[end] = check.reading
    return tuple(
        PhCalibration(
            calibrated_at=at,
            low_read=pair["low"],
            high_read=pair["high"],
            meter=str(meter),
        )
        for (meter, at), pair in pairs.items()
        if len(pair) == 2
    )


def usual_instrument(kind: str) -> Instrument | None:
    """What a reading is taken with: the instrument for it that was checked last."""
    wanted = INSTRUMENTS.get(kind)
    if wanted is None:
        return None
    return (
        Instrument.objects.filter(kind=wanted, retired_on=None)
        .annotate(last=Max("checks__checked_at"))
        .order_by(F("last").desc(nulls_last=True), "pk")
        .first()
    )
