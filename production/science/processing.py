"""Minutes in the canner, by product, jar, altitude and canner.

Only published rows are looked up. Where there is none the answer is a question to
the tested recipe, never a guess from a neighbouring row; a recipe's own sea-level
minutes are then carried up by the five minutes a band that every published row adds.
"""

import tomllib
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from enum import StrEnum
from functools import cache
from pathlib import Path

from inventory.measures import format_headspace
from inventory.sourced import Kind, Sourced, Status
from inventory.words import say, to_say
from production.science.atmosphere import (
    ALTITUDE_LIMITS_FT,
    AltitudeError,
    altitude_text,
)
from production.science.kinds import ProductKind
from production.science.working import ScienceError, Working, plain

__all__ = [
    "STEAM_LIMIT_MIN",
    "Canner",
    "ProcessQuestion",
    "ProcessRow",
    "ProcessTime",
    "SteamTimeError",
    "altitude_band",
    "jar_class",
    "process_time",
    "row_for_kind",
    "rows",
    "sterilise_min",
]

TABLE = Path(__file__).with_name("processing.toml")
BAND_TOPS_FT = (Decimal(1000), Decimal(6000))
ADDED_PER_BAND_MIN = 5
STERILE_BELOW_MIN = Sourced(
    value=Decimal(10),
    unit="min",
    kind=Kind.CONVENTION,
    source="Michigan State University Extension, Preserving Food Safely 01600946",
    section="less than 10 minutes needs sterile jars",
)
STEAM_LIMIT_MIN = Sourced(
    value=Decimal(45),
    unit="min",
    kind=Kind.CONVENTION,
    source="National Center for Home Food Preservation",
    section="Using Atmospheric Steam Canners",
)
STERILISE_MIN = Sourced(
    value=Decimal(10),
    unit="min",
    kind=Kind.CONVENTION,
    source="Michigan State University Extension, Preserving Food Safely 01600946",
    section="boil empty jars 10 min below 1,000 ft, 1 min more per additional 1,000 ft",
)
JAR_CLASSES = (
    (125, "quarter-pint"),
    (260, "half-pint"),
    (500, "pint"),
    (1000, "quart"),
)
"""Largest brim-full capacity in ml that still belongs to a tested size."""
UNSTERILE_RULE = to_say(
    "10 minutes, and one more per additional {altitude} (convention, cautious)"
)
STEAM_CAUTIONS = (
    to_say("acid food only (pH 4.6 or below), by a tested recipe"),
    to_say(
        "vent until the dome stands at the boiling temperature of water "
        "here before timing"
    ),
    to_say("never open the canner to add water while it is timed"),
)
WATER_ABOVE_LIDS_MM = Decimal(25)
"""An inch, as the published times ask for."""
WATER_CAUTIONS = (
    to_say("water at least {height} above the lids all the time"),
    to_say("time from a full rolling boil; if it stops, start the whole time again"),
)
AFTERWARDS = to_say(
    "5 minutes with the heat off, then 12 to 24 hours upright and undisturbed"
)


class Canner(StrEnum):
    """What the filled jars are heated in."""

    BOILING_WATER = "boiling"
    STEAM = "steam"


class ProcessingError(ScienceError):
    """A process that no table and no rule allows."""


class SteamTimeError(ProcessingError):
    """More minutes than an atmospheric steam canner can hold without more water."""

    def __init__(self, minutes: int) -> None:
        self.minutes = minutes
        super().__init__(
            say(
                "{minutes} minutes are more than the {steam_limit_min} that an "
                "atmospheric steam canner allows; use a boiling-water canner",
                minutes=minutes,
                steam_limit_min=plain(STEAM_LIMIT_MIN.value),
            )
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class ProcessRow:
    """One published row.

    Attributes:
        key: the kind of product it stands for.
        product: as the row names it.
        sizes: jar classes it was tested in.
        minutes: at the three altitude bands.
        sterile: it stands for jars sterilised before filling.
        headspace_mm: headspace it was tested with, mm.
        fact: where the minutes come from.
    """

    key: str
    product: str
    sizes: tuple[str, ...]
    minutes: tuple[int, int, int]
    sterile: bool
    headspace_mm: Decimal
    fact: Sourced


@dataclass(frozen=True, slots=True, kw_only=True)
class ProcessQuestion:
    """What the minutes depend on.

    Attributes:
        row: key of the published row ("jam", "butter", "chutney"); any other word
            means that no row was published.
        size: jar class ("quarter-pint", "half-pint", "pint", "quart").
        altitude_ft: ft above sea level.
        canner: boiling water or steam.
        jars_sterile: the empty jars were sterilised before filling.
        recipe_min: sea-level minutes of the tested recipe itself, if it has its own.
    """

    row: str
    size: str
    altitude_ft: Decimal
    canner: Canner = Canner.BOILING_WATER
    jars_sterile: bool = False
    recipe_min: int | None = None

    def __post_init__(self) -> None:
        low, high = ALTITUDE_LIMITS_FT
        if not self.altitude_ft.is_finite() or not low <= self.altitude_ft <= high:
            raise AltitudeError(self.altitude_ft)
        if self.recipe_min is not None and self.recipe_min <= 0:
            raise ProcessingError(
                say(
                    "{recipe_min} processing minutes are impossible; enter 1 or more",
                    recipe_min=self.recipe_min,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class ProcessTime:
    """The answer.

    Attributes:
        minutes: minutes in the canner; None where nothing tested is known.
        band: the altitude band, in words.
        sterile_needed: the empty jars must be sterilised first.
        sterilise_min: minutes to boil empty jars here.
        question: what to ask, where ``minutes`` is None.
        cautions: what to mind, in order.
        workings: the rule behind the minutes.
    """

    minutes: int | None
    band: str
    sterile_needed: bool
    sterilise_min: int
    question: str
    cautions: tuple[str, ...]
    workings: tuple[Working, ...]


@cache
def rows() -> tuple[ProcessRow, ...]:
    """All published rows."""
    document = tomllib.loads(TABLE.read_text(encoding="utf-8"), parse_float=Decimal)
    return tuple(
        ProcessRow(
            key=row["key"],
            product=row["product"],
            sizes=tuple(row["sizes"]),
            minutes=(row["minutes"][0], row["minutes"][1], row["minutes"][2]),
            sterile=row["sterile"],
            headspace_mm=row["headspace_mm"],
            fact=Sourced(
                value=Decimal(row["minutes"][0]),
                unit="min",
                kind=Kind.CONVENTION,
                source=row["source"],
                section=row["product"],
                edition=row["edition"],
                status=Status(row["status"]),
            ),
        )
        for row in document["row"]
    )


def row_for_kind(kind: ProductKind) -> str:
    """Key of the row a kind belongs to; its own value where none was published.

    Conserves hold nuts or dried fruit and have no published row of their own.
    """
    if kind in {
        ProductKind.CONSERVE,
        ProductKind.FRUIT_IN_SYRUP,
        ProductKind.INTERMEDIATE,
    }:
        return kind.value
    return "jam" if kind.is_jellied else kind.value


def jar_class(brim_ml: Decimal) -> str:
    """The jar class a capacity belongs to, the next larger one where between.

    Args:
        brim_ml: brim-full capacity, ml.

    Returns:
        A size of the table, or words that no row of it holds.
    """
    for most_ml, name in JAR_CLASSES:
        if brim_ml <= most_ml:
            return name
    return say("larger than quart")


def band_name(band: int) -> str:
    """The altitudes of a band, in words."""
    lowest, highest = (altitude_text(top) for top in BAND_TOPS_FT)
    if band == 0:
        return say("up to {lowest}", lowest=lowest)
    if band == 1:
        return say(
            "{above} to {highest}",
            above=altitude_text(BAND_TOPS_FT[0] + 1),
            highest=highest,
        )
    return say("above {highest}", highest=highest)


def altitude_band(altitude_ft: Decimal) -> int:
    """0, 1 or 2; a band is closed at its top (1,000 ft belongs to the first)."""
    return sum(altitude_ft > top for top in BAND_TOPS_FT)


def thousands_above(altitude_ft: Decimal) -> int:
    """Begun thousands of feet above the first thousand."""
    steps = ((altitude_ft - 1000) / 1000).to_integral_value(rounding=ROUND_CEILING)
    return max(0, int(steps))


def sterilise_min(altitude_ft: Decimal) -> int:
    """Minutes to boil empty jars: 10, and one per begun 1,000 ft above 1,000."""
    return int(STERILISE_MIN.value) + thousands_above(altitude_ft)


def process_time(question: ProcessQuestion) -> ProcessTime:
    """Minutes in the canner.

    Args:
        question: product, jar, altitude, canner, sterile jars or not.

    Returns:
        The minutes with their rule; None and a question where nothing tested is known.

    Raises:
        SteamTimeError: more minutes than a steam canner allows.
    """
    band = altitude_band(question.altitude_ft)
    row = next(
        (
            row
            for row in rows()
            if row.key == question.row and question.size in row.sizes
        ),
        None,
    )
    listed, workings = _listed(question, row, band)
    minutes = listed
    if (
        listed is not None
        and listed < STERILE_BELOW_MIN.value
        and not question.jars_sterile
    ):
        minutes = max(listed, 10 + thousands_above(question.altitude_ft))
        workings = (*workings, _unsterile_working(minutes))
    if minutes is not None and question.canner is Canner.STEAM:
        if minutes > STEAM_LIMIT_MIN.value:
            raise SteamTimeError(minutes)
        workings = (*workings, _steam_working(minutes))
    steam = question.canner is Canner.STEAM
    return ProcessTime(
        minutes=minutes,
        band=band_name(band),
        sterile_needed=minutes is not None and minutes < STERILE_BELOW_MIN.value,
        sterilise_min=sterilise_min(question.altitude_ft),
        question="" if minutes is not None else _ask(question),
        cautions=tuple(
            say(each, height=format_headspace(WATER_ABOVE_LIDS_MM))
            for each in (*(STEAM_CAUTIONS if steam else WATER_CAUTIONS), AFTERWARDS)
        ),
        workings=workings,
    )


def _listed(
    question: ProcessQuestion, row: ProcessRow | None, band: int
) -> tuple[int | None, tuple[Working, ...]]:
    """Minutes of the published row, or of the recipe carried to this altitude."""
    from_recipe = None
    if question.recipe_min is not None:
        from_recipe = question.recipe_min + ADDED_PER_BAND_MIN * band
    if row is None:
        if from_recipe is None:
            return None, ()
        return from_recipe, (_recipe_working(question, band, from_recipe),)
    listed = row.minutes[band]
    working = Working(
        figure=say("process"),
        value=f"{listed} min",
        formula=f"{row.product}, {question.size}, {band_name(band)}",
        source=row.fact.citation,
    )
    if from_recipe is not None and from_recipe > listed:
        return from_recipe, (working, _recipe_working(question, band, from_recipe))
    return listed, (working,)


def _recipe_working(question: ProcessQuestion, band: int, minutes: int) -> Working:
    return Working(
        figure=say("process, by the tested recipe"),
        value=f"{minutes} min",
        formula=(
            say(
                "{recipe_min} min at sea level by the tested recipe, plus "
                "{added_per_band_min} min for each altitude band above it "
                "({band_names})",
                recipe_min=question.recipe_min,
                added_per_band_min=ADDED_PER_BAND_MIN,
                band_names=band_name(band),
            )
        ),
        source=say(
            "the recipe; every published row adds 5 minutes a band (convention)"
        ),
    )


def _unsterile_working(minutes: int) -> Working:
    return Working(
        figure=say("process, jars not sterilised"),
        value=f"{minutes} min",
        formula=say(UNSTERILE_RULE, altitude=altitude_text(BAND_TOPS_FT[0])),
        source=STERILE_BELOW_MIN.citation,
    )


def _steam_working(minutes: int) -> Working:
    return Working(
        figure=say("in the steam canner"),
        value=f"{minutes} min",
        formula=say(
            "the same time as in boiling water, at most {steam_limit_min} min",
            steam_limit_min=plain(STEAM_LIMIT_MIN.value),
        ),
        source=STEAM_LIMIT_MIN.citation,
    )


def _ask(question: ProcessQuestion) -> str:
    return say(
        "no tested process time is published for {row} in {size} jars: "
        "take the minutes from a tested recipe, or ask your extension "
        "office or process authority",
        row=question.row.replace("_", " "),
        size=question.size,
    )
