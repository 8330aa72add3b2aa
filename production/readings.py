"""What a cook reads off an instrument on a cook day, and which values are plausible.

A value outside the plausible range is not refused: the page asks once more and
takes the second answer. Limits of safety live in `production.gate`, not here.
"""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from inventory.measures import format_headspace, format_temperature
from inventory.quantity_format import format_mass
from inventory.sourced import Kind, Sourced
from inventory.words import say, to_say
from production.wording import (
    as_heading,
    number_text,
    percent_text,
)

__all__ = [
    "PH_LIMIT",
    "PLAUSIBLE",
    "PlausibleRange",
    "ReadingError",
    "ReadingKind",
    "ask_again",
    "reading_text",
]


class ReadingKind(StrEnum):
    """The readings a batch may carry, each in one unit: degC, fraction, min, mm, g."""

    BOILING_WATER = "boiling_water"
    FINISH_TEMPERATURE = "finish_temperature"
    SOLIDS = "solids"
    ROLLING_BOIL = "rolling_boil"
    SET_TEST = "set_test"
    FINISHED_MASS = "finished_mass"
    JARS_STERILE = "jars_sterile"
    FILL_TEMPERATURE = "fill_temperature"
    HEADSPACE = "headspace"
    PROCESS_MIN = "process_min"
    PH = "ph"
    WATER_ACTIVITY = "water_activity"

    @property
    def label(self) -> str:
        """The kind in the words of the kitchen."""
        return say(_LABELS[self])

    @property
    def heading(self) -> str:
        """The same as a heading: "pH" keeps its small letter."""
        return as_heading(self.label)


_LABELS = {
    ReadingKind.BOILING_WATER: to_say("boiling water today"),
    ReadingKind.FINISH_TEMPERATURE: to_say("finishing temperature"),
    ReadingKind.SOLIDS: to_say("soluble solids"),
    ReadingKind.ROLLING_BOIL: to_say("full rolling boil"),
    ReadingKind.SET_TEST: to_say("set test"),
    ReadingKind.FINISHED_MASS: to_say("finished mass"),
    ReadingKind.HEADSPACE: to_say("headspace"),
    ReadingKind.PROCESS_MIN: to_say("processing minutes"),
    ReadingKind.JARS_STERILE: to_say("sterile jars"),
    ReadingKind.FILL_TEMPERATURE: to_say("filling temperature"),
    ReadingKind.PH: to_say("pH"),
    ReadingKind.WATER_ACTIVITY: to_say("water activity"),
}

PH_LIMIT = Sourced(
    value=Decimal("4.6"),
    unit="pH",
    kind=Kind.LEGAL,
    source="21 CFR 114.3",
    section="(a), (b), (d)",
    edition="December 2023",
)


class ReadingError(ValueError):
    """A reading that no instrument could have shown."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlausibleRange:
    """The values a kitchen meets, inside the values an instrument can show.

    Attributes:
        low: lowest value met in a kitchen.
        high: highest value met in a kitchen.
        possible_low: below this the reading is refused.
        possible_high: above this the reading is refused.
        source: where the range comes from.
    """

    low: Decimal
    high: Decimal
    possible_low: Decimal
    possible_high: Decimal
    source: str

    def __post_init__(self) -> None:
        order = (self.possible_low, self.low, self.high, self.possible_high)
        if list(order) != sorted(order):
            raise ReadingError(
                say("a plausible range must lie inside the possible one")
            )


def _range(text: str, source: str) -> PlausibleRange:
    possible_low, low, high, possible_high = map(Decimal, text.split())
    return PlausibleRange(
        low=low,
        high=high,
        possible_low=possible_low,
        possible_high=possible_high,
        source=source,
    )


PLAUSIBLE: dict[ReadingKind, PlausibleRange] = {
    ReadingKind.BOILING_WATER: _range(
        "70 88 101.5 110", "common practice: 0-11,000 ft"
    ),
    ReadingKind.FINISH_TEMPERATURE: _range(
        "60 91 109 130", "common practice: 0-11,000 ft"
    ),
    ReadingKind.SOLIDS: _range("0.01 0.15 0.80 1", "common practice"),
    ReadingKind.ROLLING_BOIL: _range("0 0.5 30 180", "common practice"),
    ReadingKind.SET_TEST: _range("0 0 1 1", "did set: 1; did not: 0"),
    ReadingKind.HEADSPACE: _range("0 3 26 150", "common practice: 1/8 to 1 in"),
    ReadingKind.PROCESS_MIN: _range("0 5 45 600", "AIB 539 tables: 5 to 45 min"),
    ReadingKind.JARS_STERILE: _range("0 0 1 1", "sterile: 1; only clean: 0"),
    ReadingKind.FINISHED_MASS: _range("1 200 30000 500000", "common practice"),
    ReadingKind.FILL_TEMPERATURE: _range("0 70 105 125", "common practice: filled hot"),
    ReadingKind.WATER_ACTIVITY: _range("0 0.5 1 1", "physics: a share of one"),
    ReadingKind.PH: _range("0 2.4 4.6 14", "21 CFR 114.3; fruit and vinegar from 2.4"),
}

_NEAR_TARGET = {
    ReadingKind.FINISH_TEMPERATURE: Decimal(6),
    ReadingKind.BOILING_WATER: Decimal(2),
    ReadingKind.SOLIDS: Decimal("0.12"),
    ReadingKind.HEADSPACE: Decimal(10),
    ReadingKind.PROCESS_MIN: Decimal(15),
}


def reading_text(kind: ReadingKind, value: Decimal) -> str:
    """Return the value as it is shown, with its unit."""
    return _TEXTS[kind](value)


def _minutes_text(value: Decimal) -> str:
    return f"{number_text(value)} min"


def _yes_text(value: Decimal) -> str:
    return say("yes") if value else say("no")


def _ph_text(value: Decimal) -> str:
    return f"pH {number_text(value)}"


_TEXTS: dict[ReadingKind, Callable[[Decimal], str]] = {
    ReadingKind.BOILING_WATER: format_temperature,
    ReadingKind.FINISH_TEMPERATURE: format_temperature,
    ReadingKind.FILL_TEMPERATURE: format_temperature,
    ReadingKind.SOLIDS: percent_text,
    ReadingKind.ROLLING_BOIL: _minutes_text,
    ReadingKind.PROCESS_MIN: _minutes_text,
    ReadingKind.SET_TEST: _yes_text,
    ReadingKind.JARS_STERILE: _yes_text,
    ReadingKind.FINISHED_MASS: format_mass,
    ReadingKind.HEADSPACE: format_headspace,
    ReadingKind.PH: _ph_text,
    ReadingKind.WATER_ACTIVITY: number_text,
}


def ask_again(
    kind: ReadingKind, value: Decimal, *, target: Decimal | None = None
) -> str | None:
    """Say why a reading should be looked at once more, or None.

    Args:
        kind: what was read.
        value: the reading in the kind's unit.
        target: what this batch expects, where it expects something.

    Returns:
        One kind sentence for the cook, or None when the value is plausible.

    Raises:
        ReadingError: no instrument shows such a value.
    """
    usual = PLAUSIBLE[kind]
    shown = reading_text(kind, value)
    if not usual.possible_low <= value <= usual.possible_high:
        raise ReadingError(
            say(
                "a {kind} of {shown} cannot be; it lies between {low} and {high}",
                kind=kind.label,
                shown=shown,
                low=reading_text(kind, usual.possible_low),
                high=reading_text(kind, usual.possible_high),
            )
        )
    if kind is ReadingKind.PH and value > PH_LIMIT.value:
        return say(
            "{shown} is above the limit of {ph_limit}; once it is written down "
            "this batch can never be released. Rinse the probe, measure again, "
            "and enter what it shows",
            shown=shown,
            ph_limit=PH_LIMIT.value,
        )
    if not usual.low <= value <= usual.high:
        return say(
            "{shown} is unusual for the {kind}; please look once more",
            shown=shown,
            kind=kind.label,
        )
    near = _NEAR_TARGET.get(kind)
    if target is not None and near is not None and abs(value - target) > near:
        return say(
            "{shown} is far from the {kind} this batch expects; please look once more",
            shown=shown,
            kind=reading_text(kind, target),
        )
    return None
