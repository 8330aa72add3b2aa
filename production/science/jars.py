"""What a jar holds: brim-full volume less headspace, filled hot.

A jar is filled hot, and hot jam is about 3 % lighter per millilitre than cold:
the hot density decides the grams in the jar. Which volume a nominal size means
differs by maker; a measured brim-full capacity beats the built-in figure.
"""

from dataclasses import dataclass, replace
from decimal import ROUND_DOWN, ROUND_FLOOR, Decimal

from inventory.measures import format_headspace
from inventory.quantity_format import format_mass
from inventory.sourced import Kind, Sourced, Status
from inventory.words import say
from production.science.density import ICUMSA, density_g_per_ml
from production.science.working import (
    MINUS,
    TIMES,
    ScienceError,
    Working,
    plain,
    rounded,
)

__all__ = [
    "FILL_C",
    "FLUID_OUNCE_ML",
    "JARS",
    "OUNCE_G",
    "DeclaredWeight",
    "Fill",
    "JarError",
    "JarShape",
    "brim_from_water",
    "declare",
    "fill_jar",
    "fill_volume_ml",
    "headspace_ml",
    "jar_named",
    "neck_area",
]

PI = Decimal("3.14159265358979323846")
INCH_MM = Decimal("25.4")
WATER_20C_G_PER_ML = Decimal("0.998")
FLUID_OUNCE_ML = Sourced(
    value=Decimal("29.5735295625"),
    unit="ml",
    kind=Kind.DEFINED,
    source="NIST Handbook 44, Appendix C",
    section="liquid volume",
)
OUNCE_G = Sourced(
    value=Decimal("28.349523125"),
    unit="g",
    kind=Kind.DEFINED,
    source="NIST Handbook 44, Appendix C",
    section="avoirdupois mass",
)
FILL_C = Sourced(
    value=Decimal(90),
    unit="degC",
    kind=Kind.CONVENTION,
    source="common practice",
    section="temperature of a jam as it goes into the jar",
    status=Status.MEMORY,
)
HEADSPACE_JELLIED_MM = Sourced(
    value=INCH_MM / 4,
    unit="mm",
    kind=Kind.CONVENTION,
    source="USDA Complete Guide to Home Canning, Guide 7",
    section="headspace 1/4 inch",
    edition="AIB 539, rev. 2009",
)
HEADSPACE_PIECES_MM = Sourced(
    value=INCH_MM / 2,
    unit="mm",
    kind=Kind.CONVENTION,
    source="USDA AIB 539, Cranberry Orange Chutney",
    section="headspace 1/2 inch",
    edition="rev. 2009",
)
QUARTER_OUNCE = Decimal("0.25")


class JarError(ScienceError):
    """A jar that cannot be filled as asked."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JarShape:
    """A jar as far as filling is concerned.

    Attributes:
        name: its nominal size ("8 fl oz").
        brim_ml: water it holds brim-full, ml.
        neck_area_cm2: inside area at the headspace, cm².
        measured: the maker weighed this jar full of water.
    """

    name: str
    brim_ml: Decimal
    neck_area_cm2: Decimal
    measured: bool = False

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise JarError(say("a jar size needs a name"))
        if not (self.brim_ml.is_finite() and self.brim_ml > 0):
            raise JarError(
                say(
                    "the jar {name} holds {brim_ml} ml; enter more than 0",
                    name=self.name,
                    brim_ml=self.brim_ml,
                )
            )
        if not (self.neck_area_cm2.is_finite() and self.neck_area_cm2 > 0):
            raise JarError(
                say(
                    "the neck of the jar {name} is {neck_area_cm2} cm² wide; enter "
                    "more than 0",
                    name=self.name,
                    neck_area_cm2=self.neck_area_cm2,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class DeclaredWeight:
    """The net weight a label may state: never more than the jar holds.

    Attributes:
        ounces: avoirdupois ounces, a whole number of quarters, rounded down.
        grams: whole grams (tenths below 100 g), rounded down from the ounces.
    """

    ounces: Decimal
    grams: Decimal

    @property
    def text(self) -> str:
        """Both units ("9.75 oz (276 g)")."""
        return f"{plain(self.ounces, '0.01')} oz ({plain(self.grams)} g)"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fill:
    """What goes into one jar.

    Attributes:
        jar: the jar.
        headspace_mm: empty height left under the lid, mm.
        headspace_ml: the volume of it, ml.
        filled_ml: product in the jar as it is filled, ml.
        fill_g: product in the jar, g: hot density times filled volume.
        cold_ml: the same product at 20 degC, ml.
        declared: net weight that a label may state.
        workings: the sums behind them.
    """

    jar: JarShape
    headspace_mm: Decimal
    headspace_ml: Decimal
    filled_ml: Decimal
    fill_g: Decimal
    cold_ml: Decimal
    declared: DeclaredWeight
    workings: tuple[Working, ...]


def neck_area(bore_mm: Decimal) -> Decimal:
    """Inside area of a round mouth, cm², rounded to 0.001: pi/4 d²."""
    return rounded(PI / 4 * bore_mm**2 / 100, "0.001")


def _size(name: str, brim_ml: str, bore_mm: str) -> JarShape:
    return JarShape(
        name=name, brim_ml=Decimal(brim_ml), neck_area_cm2=neck_area(Decimal(bore_mm))
    )


def _ounces(name: str, count: int, bore_mm: str) -> JarShape:
    return _size(name, str(rounded(FLUID_OUNCE_ML.value * count, "0.1")), bore_mm)


JARS: tuple[JarShape, ...] = (
    _size("30 ml", "30", "36"),
    _size("41 ml", "41", "36"),
    _size("106 ml", "106", "47"),
    _ounces("4 fl oz", 4, "60"),
    _size("190 ml", "190", "54"),
    _size("212 ml", "212", "54"),
    _size("228 ml", "228", "57"),
    _ounces("8 fl oz", 8, "60"),
    _size("284 ml", "284", "57"),
    _size("314 ml", "314", "57"),
    _size("340 ml", "340", "57"),
    _ounces("12 fl oz", 12, "60"),
    _size("370 ml", "370", "73"),
    _size("380 ml", "380", "57"),
    _ounces("16 fl oz", 16, "60"),
    _ounces("16 fl oz wide", 16, "76"),
    _ounces("32 fl oz", 32, "60"),
)
"""Generic nominal sizes, taken as brim-full. Imperial capacities are exact; mouth
widths are from memory and only set the headspace volume."""

OTHER_NAMES = {
    "quarter pint": "4 fl oz",
    "half pint": "8 fl oz",
    "pint": "16 fl oz",
    "pint wide": "16 fl oz wide",
    "quart": "32 fl oz",
    "4 oz": "4 fl oz",
    "8 oz": "8 fl oz",
    "12 oz": "12 fl oz",
    "16 oz": "16 fl oz",
    "32 oz": "32 fl oz",
}


def jar_named(name: str) -> JarShape:
    """The built-in jar of a nominal size.

    Args:
        name: "8 fl oz", "half-pint", "190 ml".

    Returns:
        The jar, its capacity taken as brim-full.

    Raises:
        JarError: no built-in size has that name.
    """
    key = " ".join(name.lower().replace("-", " ").split())
    key = key.removesuffix(" jar").removesuffix(" jars")
    key = OTHER_NAMES.get(key, key)
    for jar in JARS:
        if jar.name == key:
            return jar
    sizes = ", ".join(jar.name for jar in JARS)
    raise JarError(
        say(
            'no built-in jar size is called "{name}"; the sizes are {sizes}',
            name=name,
            sizes=sizes,
        )
    )


def brim_from_water(*, empty_g: Decimal, full_of_water_g: Decimal) -> Decimal:
    """Brim-full capacity from two weighings of one jar, ml, rounded to 0.1.

    Args:
        empty_g: the dry empty jar, g.
        full_of_water_g: the jar brim-full of water at about 20 degC, g.

    Raises:
        JarError: the full jar is not heavier than the empty one.
    """
    if full_of_water_g <= empty_g:
        raise JarError(
            say(
                "the jar full of water ({full_of_water_g} g) must weigh more than "
                "the empty jar ({empty_g} g)",
                full_of_water_g=plain(full_of_water_g),
                empty_g=plain(empty_g),
            )
        )
    return rounded((full_of_water_g - empty_g) / WATER_20C_G_PER_ML, "0.1")


def headspace_ml(neck_area_cm2: Decimal, headspace_mm: Decimal) -> Decimal:
    """Volume of the headspace, ml, unrounded: neck area times height."""
    return neck_area_cm2 * headspace_mm / 10


def fill_volume_ml(jar: JarShape, headspace_mm: Decimal) -> Decimal:
    """Volume of product in a jar at a headspace, ml, unrounded.

    Raises:
        JarError: the headspace leaves nothing to fill.
    """
    empty_ml = headspace_ml(jar.neck_area_cm2, headspace_mm)
    if headspace_mm < 0 or empty_ml >= jar.brim_ml:
        raise JarError(
            say(
                "a headspace of {headspace} in the jar {jar} is impossible; "
                "enter 0 or more, and less than the jar is deep",
                headspace=format_headspace(headspace_mm),
                jar=jar.name,
            )
        )
    return jar.brim_ml - empty_ml


def declare(fill_g: Decimal) -> DeclaredWeight:
    """The net weight to state for jars that hold at least ``fill_g``.

    Quarter ounces downwards, or tenths of an ounce under one ounce; grams from
    the ounces, again downwards, to three figures (two below 100 g).

    Args:
        fill_g: grams in the jar.

    Returns:
        Ounces and grams, both no more than the jar holds.

    Source: 16 CFR 500.19(b) for the number of digits; a rounded declaration may
    in no case overstate (uniform packaging regulation, NIST Handbook 130).
    """
    exact_oz = fill_g / OUNCE_G.value
    step = QUARTER_OUNCE if exact_oz >= 1 else Decimal("0.1")
    ounces = (exact_oz / step).to_integral_value(rounding=ROUND_FLOOR) * step
    digit = Decimal(1) if fill_g >= Decimal(10) else Decimal("0.1")
    grams = (ounces * OUNCE_G.value).quantize(digit, rounding=ROUND_DOWN)
    return DeclaredWeight(ounces=ounces, grams=grams)


def fill_jar(
    jar: JarShape,
    *,
    solids: Decimal,
    headspace_mm: Decimal = HEADSPACE_JELLIED_MM.value,
    fill_c: Decimal = FILL_C.value,
) -> Fill:
    """What one jar holds when it is filled at a temperature and a headspace.

    Args:
        jar: the jar.
        solids: soluble solids of the product as a fraction, 0 to 0.85.
        headspace_mm: empty height under the lid, mm.
        fill_c: temperature of the product as it goes in, degC.

    Returns:
        Volumes, grams and the net weight to declare; grams to 0.1.

    Raises:
        JarError: the headspace leaves nothing to fill.
        DensityError: solids or temperature are outside the density table.
    """
    filled_ml = fill_volume_ml(jar, headspace_mm)
    hot = density_g_per_ml(solids, fill_c)
    cold = density_g_per_ml(solids, Decimal(20))
    fill_g = filled_ml * hot
    fill = Fill(
        jar=jar,
        headspace_mm=headspace_mm,
        headspace_ml=rounded(jar.brim_ml - filled_ml, "0.01"),
        filled_ml=rounded(filled_ml, "0.01"),
        fill_g=rounded(fill_g, "0.1"),
        cold_ml=rounded(fill_g / cold, "0.1"),
        declared=declare(fill_g),
        workings=(),
    )
    return replace(fill, workings=_workings(fill, solids, fill_c, hot))


def _workings(
    fill: Fill, solids: Decimal, fill_c: Decimal, hot: Decimal
) -> tuple[Working, ...]:
    jar = fill.jar
    capacity = (
        say("as weighed with water")
        if jar.measured
        else say("nominal size taken as brim-full")
    )
    return (
        Working(
            figure=say("one jar holds"),
            value=format_mass(fill.fill_g),
            formula=(
                say(
                    "({brim_ml} ml {minus} {headspace_ml} ml of {headspace_mm} mm "
                    "headspace over {neck_area_cm2} cm²) {times} {hot} g/ml at "
                    "{solids} % and {fill_c} °C",
                    brim_ml=plain(jar.brim_ml),
                    minus=MINUS,
                    headspace_ml=plain(fill.headspace_ml),
                    headspace_mm=plain(fill.headspace_mm),
                    neck_area_cm2=plain(jar.neck_area_cm2),
                    times=TIMES,
                    hot=plain(hot, "0.001"),
                    solids=plain(solids * 100),
                    fill_c=plain(fill_c),
                )
            ),
            source=f"{ICUMSA}; {capacity}",
            estimate=not jar.measured,
        ),
        Working(
            figure=say("net weight to declare"),
            value=fill.declared.text,
            formula=say(
                "{fill_g} g rounded down to quarter ounces, then to whole grams",
                fill_g=plain(fill.fill_g),
            ),
            source="16 CFR 500.19(b); NIST Handbook 130: a rounded declaration never overstates",
        ),
    )
