"""Does the product keep without cold? pH and water activity against the Food Code.

Interaction table A is for food heated and then packed in the closed jar; table B for
food not heated, or heated and left open. A cell that asks for an assessment means:
not for sale at room temperature until a laboratory or process authority has said so.

A water activity worked out from soluble solids is an estimate with its own type. It
may warn, and it never stands where a measurement is asked for. A jam of 65 % solids
lies near 0.86, not below 0.85: its safety rests on acid.
"""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from inventory.sourced import Kind, Sourced, Status
from inventory.words import say, to_say
from production.science.working import ScienceError, Working, plain, rounded

__all__ = [
    "ACID_LIMIT_PH",
    "KeepingAnswer",
    "KeepingClass",
    "MeasuredActivity",
    "Packing",
    "WaterActivityEstimate",
    "classify",
    "estimate_activity",
    "norrish_activity",
]

FOOD_CODE = "FDA Food Code 1-201.10(B), interaction tables A and B (as reprinted in state rules)"
ACID_LIMIT_PH = Sourced(
    value=Decimal("4.6"),
    unit="pH",
    kind=Kind.LEGAL,
    source="21 CFR 114.3",
    section="(a), (d)",
    edition="2023",
)
SUCROSE_K = Sourced(
    value=Decimal("6.47"),
    unit="1",
    kind=Kind.MEASURED,
    source="Norrish constants of Chirife, Ferro Fontan and Benmergui",
    edition="1980",
    status=Status.SECONDARY,
)
HEXOSE_K = Sourced(
    value=Decimal("2.25"),
    unit="1",
    kind=Kind.MEASURED,
    source="Norrish constants of Chirife, Ferro Fontan and Benmergui",
    edition="1980",
    status=Status.SECONDARY,
)
SUCROSE_G_PER_MOL = Decimal("342.30")
HEXOSE_G_PER_MOL = Decimal("180.16")
WATER_G_PER_MOL = Decimal("18.015")
USUAL_INVERTED = Decimal("0.30")
MOST_SOLIDS = Decimal("0.85")
ACTIVITY_DOUBT = Decimal("0.02")


class Packing(StrEnum):
    """Which of the two tables applies."""

    SEALED_HOT = to_say("heated and packed")
    OPEN = to_say("not heated, or not packed")


class KeepingClass(StrEnum):
    """What the tables say."""

    KEEPS = "non-TCS"
    ASSESS = to_say("product assessment required")
    UNKNOWN = to_say("not known")

    @property
    def meaning(self) -> str:
        """What the maker does about it."""
        return {
            KeepingClass.KEEPS: say("needs no cold to keep safe, by this table"),
            KeepingClass.ASSESS: say(
                "do not sell at room temperature until a laboratory or process authority "
                "has assessed it"
            ),
            KeepingClass.UNKNOWN: say(
                "measure the pH (and the water activity, if it can be)"
            ),
        }[self]


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredActivity:
    """Water activity read off an instrument."""

    value: Decimal

    def __post_init__(self) -> None:
        _check_activity(self.value)


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterActivityEstimate:
    """Water activity worked out from soluble solids: an estimate, never a reading.

    Attributes:
        low: the least it may be.
        likely: the figure of the model.
        high: the most it may be; the figure a cautious reader uses.
        working: the sum.
    """

    low: Decimal
    likely: Decimal
    high: Decimal
    working: Working

    def __post_init__(self) -> None:
        for value in (self.low, self.likely, self.high):
            _check_activity(value)


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepingAnswer:
    """What the Food Code tables say about one product.

    Attributes:
        keeping: the class.
        table: "A" or "B".
        rests_on_estimate: the water activity behind it was not measured, so the
            answer is no ground for a release.
        workings: the cell and its edges.
    """

    keeping: KeepingClass
    table: str
    rests_on_estimate: bool
    workings: tuple[Working, ...]


def _check_activity(value: Decimal) -> None:
    if not (value.is_finite() and 0 < value <= 1):
        raise ScienceError(
            say(
                "a water activity of {value} is impossible; enter more than 0, at "
                "most 1",
                value=value,
            )
        )


def _check_ph(value: Decimal) -> None:
    if not (value.is_finite() and 0 <= value <= 14):
        raise ScienceError(
            say("a pH of {value} is impossible; enter 0 to 14", value=value)
        )


def _table_a(ph: Decimal, activity: Decimal) -> KeepingClass:
    """Heated to destroy vegetative cells, then packed."""
    if ph <= Decimal("4.6") or activity <= Decimal("0.92"):
        return KeepingClass.KEEPS
    if activity <= Decimal("0.95") and ph <= Decimal("5.6"):
        return KeepingClass.KEEPS
    return KeepingClass.ASSESS


def _table_b(ph: Decimal, activity: Decimal) -> KeepingClass:
    """Not heated, or heated but not packed."""
    if activity < Decimal("0.88") or ph < Decimal("4.2"):
        return KeepingClass.KEEPS
    allowed_ph = Decimal("4.2")
    inclusive = False
    if activity <= Decimal("0.90"):
        allowed_ph, inclusive = Decimal("5.0"), True
    elif activity <= Decimal("0.92"):
        allowed_ph, inclusive = Decimal("4.6"), True
    keeps = ph <= allowed_ph if inclusive else ph < allowed_ph
    return KeepingClass.KEEPS if keeps else KeepingClass.ASSESS


def classify(
    ph: Decimal | None,
    activity: MeasuredActivity | WaterActivityEstimate | None,
    *,
    packing: Packing = Packing.SEALED_HOT,
) -> KeepingAnswer:
    """Look a product up in the Food Code's tables.

    Readings are compared as recorded, never rounded first. An estimate of water
    activity enters at its high, cautious end.

    Args:
        ph: measured equilibrium pH; None where it was not measured.
        activity: measured or estimated water activity; None where neither is.
        packing: which table applies.

    Returns:
        The class, the table, and whether it rests on an estimate.

    Raises:
        ScienceError: a reading is impossible.

    Source: FDA Food Code 1-201.10(B), interaction tables A and B.
    """
    if ph is not None:
        _check_ph(ph)
    cell = _table_a if packing is Packing.SEALED_HOT else _table_b
    table = "A" if packing is Packing.SEALED_HOT else "B"
    worst_ph = Decimal(14) if ph is None else ph
    worst_activity = _cautious(activity)
    keeping = cell(worst_ph, worst_activity)
    if keeping is KeepingClass.ASSESS and (ph is None or activity is None):
        keeping = KeepingClass.UNKNOWN
    needed = cell(worst_ph, Decimal(1)) is not KeepingClass.KEEPS
    estimated = isinstance(activity, WaterActivityEstimate) and needed
    working = Working(
        figure=say("keeping"),
        value=say(keeping.value),
        formula=(
            say(
                "table {table}, pH {ph}, water activity {activity}{estimated}",
                table=table,
                ph=say("not measured") if ph is None else ph,
                activity=say("not known") if activity is None else worst_activity,
                estimated=say(" (estimate, high end)")
                if isinstance(activity, WaterActivityEstimate)
                else "",
            )
        ),
        source=FOOD_CODE,
        estimate=estimated,
    )
    return KeepingAnswer(
        keeping=keeping, table=table, rests_on_estimate=estimated, workings=(working,)
    )


def _cautious(activity: MeasuredActivity | WaterActivityEstimate | None) -> Decimal:
    if activity is None:
        return Decimal(1)
    return activity.value if isinstance(activity, MeasuredActivity) else activity.high


def norrish_activity(
    grams: Decimal, water_g: Decimal, *, molar_g: Decimal, k: Decimal
) -> Decimal:
    """Water activity of one solute in water, unrounded: Xw exp(-K Xs²), 25 degC.

    Args:
        grams: solute, g.
        water_g: water, g.
        molar_g: molar mass of the solute, g/mol.
        k: Norrish constant of the solute.

    Source: R. S. Norrish, J. Food Technology 1 (1966); constants of Chirife et al.
    """
    moles, water = grams / molar_g, water_g / WATER_G_PER_MOL
    share = moles / (moles + water)
    return (1 - share) * (-k * share**2).exp()


def estimate_activity(
    solids: Decimal, *, inverted: Decimal = USUAL_INVERTED
) -> WaterActivityEstimate:
    """Estimate water activity from soluble solids.

    Args:
        solids: soluble solids as a fraction, 0 to 0.85.
        inverted: share of the sugar that is glucose and fructose.

    Returns:
        The estimate, rounded to 0.001, with 0.02 of doubt either way.

    Raises:
        ScienceError: the solids are outside the model.

    Source: Norrish for each sugar, Ross (1975) for the mixture.
    """
    if not 0 <= solids <= MOST_SOLIDS:
        raise ScienceError(
            say(
                "water activity cannot be estimated at {solids} % soluble solids; "
                "0 to 85 % can",
                solids=plain(solids * 100),
            )
        )
    water_g = 1 - solids
    sucrose = norrish_activity(
        solids * (1 - inverted), water_g, molar_g=SUCROSE_G_PER_MOL, k=SUCROSE_K.value
    )
    hexose = norrish_activity(
        solids * inverted, water_g, molar_g=HEXOSE_G_PER_MOL, k=HEXOSE_K.value
    )
    likely = rounded(sucrose * hexose, "0.001")
    return WaterActivityEstimate(
        low=likely - ACTIVITY_DOUBT,
        likely=likely,
        high=min(likely + ACTIVITY_DOUBT, Decimal(1)),
        working=Working(
            figure=say("water activity"),
            value=say("about {likely}", likely=likely),
            formula=(
                say(
                    "{solids} % soluble solids, {inverted} % of the sugar inverted; "
                    "each sugar alone in the water, multiplied",
                    solids=plain(solids * 100),
                    inverted=plain(inverted * 100),
                )
            ),
            source=f"{SUCROSE_K.citation}; Ross (1975)",
            estimate=True,
        ),
    )
