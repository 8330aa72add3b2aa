"""The finishing point: degrees above boiling water for a share of soluble solids.

A table measured in 1912 and still in print links the two; between its rows the
line is straight. Real jam is partly inverted, so a thermometer alone tells the
soluble solids to about 1.5 points: that doubt is carried in every result.
Below 30 % solids the table reads high and is not used.
"""

from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from inventory.measures import Measure, format_measure, format_temperature
from inventory.sourced import Kind, Sourced, Status
from inventory.words import say
from production.science.boiling import BoilingPoint
from production.science.kinds import ProductKind
from production.science.working import ScienceError, Working, plain, rounded

__all__ = [
    "THERMOMETER_DOUBT",
    "ElevationError",
    "FinishingPoint",
    "SolidsError",
    "elevation_c",
    "finishing_point",
    "finishing_point_at",
    "rule_for",
    "solids_fraction",
]

BROWNE = "boiling-point table credited to C. A. Browne (1912)"
BROWNE_ROWS: tuple[tuple[Decimal, Decimal], ...] = tuple(
    (Decimal(solids) / 100, Decimal(elevation))
    for solids, elevation in (
        (30, "1.0"), (32, "1.1"), (34, "1.2"), (36, "1.3"), (38, "1.4"), (40, "1.5"),
        (42, "1.6"), (44, "1.7"), (46, "1.8"), (48, "1.9"), (50, "2.0"), (52, "2.1"),
        (54, "2.3"), (56, "2.4"), (58, "2.7"), (60, "3.0"), (62, "3.4"), (64, "4.0"),
        (66, "4.8"), (68, "5.6"), (70, "6.5"), (72, "7.4"), (74, "8.4"), (76, "9.4"),
        (78, "10.6"), (80, "12.0"), (82, "13.9"), (84, "16.3"), (86, "19.3"),
        (88, "23.1"), (90, "27.8"),
    )
)  # fmt: skip
"""(soluble solids, degC above boiling water), about one atmosphere, secondary."""

THERMOMETER_DOUBT = Sourced(
    value=Decimal("0.015"),
    unit="1",
    kind=Kind.CONVENTION,
    source="common practice",
    section="spread of the published tables and fits about +8 degF",
    status=Status.MEMORY,
)
JELLY_RULE = Sourced(
    value=Decimal(8) / Decimal("1.8"),
    unit="C degrees above boiling water (8 F degrees)",
    kind=Kind.CONVENTION,
    source="National Center for Home Food Preservation",
    section="Testing Jelly without Added Pectin",
)
JAM_RULE = Sourced(
    value=Decimal(5),
    unit="C degrees above boiling water (9 F degrees)",
    kind=Kind.CONVENTION,
    source="USDA Home and Garden Bulletin 56",
    section="jams, preserves and marmalades without added pectin",
    edition="1982",
)


class SolidsError(ScienceError):
    """A share of soluble solids the table, or nature, does not allow."""

    def __init__(self, fraction: Decimal) -> None:
        self.fraction = fraction
        low, high = BROWNE_ROWS[0][0] * 100, BROWNE_ROWS[-1][0] * 100
        super().__init__(
            say(
                "soluble solids of {fraction} % have no finishing temperature: the "
                "table takes {low} to {high} %",
                fraction=plain(fraction * 100),
                low=plain(low),
                high=plain(high),
            )
        )


class ElevationError(ScienceError):
    """Degrees above boiling that the table does not hold."""

    def __init__(self, above_c: Decimal) -> None:
        self.above_c = above_c
        low, high = BROWNE_ROWS[0][1], BROWNE_ROWS[-1][1]
        super().__init__(
            say(
                "{above} above boiling water is not a finishing point: the "
                "table takes {low} to {high} above",
                above=format_measure(above_c, Measure.DEGREES),
                low=format_measure(low, Measure.DEGREES),
                high=format_measure(high, Measure.DEGREES),
            )
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class FinishingPoint:
    """When to stop cooking, in this kitchen, today.

    Attributes:
        above_c: C degrees above the local boiling point of water.
        true_c: the temperature itself in degC.
        shown_c: what the maker's own thermometer shows then, in degC.
        solids_low: least soluble solids (fraction) that this reading may mean.
        solids: the likely soluble solids.
        solids_high: most soluble solids that it may mean.
        workings: the sums behind them.
    """

    above_c: Decimal
    true_c: Decimal
    shown_c: Decimal
    solids_low: Decimal
    solids: Decimal
    solids_high: Decimal
    workings: tuple[Working, ...]


def elevation_c(fraction: Decimal) -> Decimal:
    """How far above water a sugar mix boils.

    Args:
        fraction: soluble solids, 0.30 to 0.90.

    Returns:
        C degrees above the boiling point of water, rounded to 0.01.

    Raises:
        SolidsError: the fraction is outside the table.

    Source: boiling-point table credited to C. A. Browne (1912).
    """
    for (x0, y0), (x1, y1) in pairwise(BROWNE_ROWS):
        if x0 <= fraction <= x1:
            return rounded(y0 + (y1 - y0) * (fraction - x0) / (x1 - x0), "0.01")
    raise SolidsError(fraction)


def solids_fraction(above_c: Decimal) -> Decimal:
    """The reverse: soluble solids from degrees above boiling water.

    Args:
        above_c: C degrees above the local boiling point, 1.0 to 27.8.

    Returns:
        Soluble solids as a fraction, rounded to 0.001.

    Raises:
        ElevationError: the elevation is outside the table.

    Source: boiling-point table credited to C. A. Browne (1912).
    """
    for (x0, y0), (x1, y1) in pairwise(BROWNE_ROWS):
        if y0 <= above_c <= y1:
            return rounded(x0 + (x1 - x0) * (above_c - y0) / (y1 - y0), "0.001")
    raise ElevationError(above_c)


def rule_for(kind: ProductKind) -> Sourced:
    """The usual degrees above boiling for a kind cooked without added pectin."""
    return JELLY_RULE if kind.is_jelly else JAM_RULE


def finishing_point(water: BoilingPoint, *, solids: Decimal) -> FinishingPoint:
    """The temperature at which the mix holds a wanted share of soluble solids.

    Args:
        water: where water boils here today.
        solids: wanted soluble solids as a fraction, 0.30 to 0.90.

    Returns:
        The finishing point with its doubt and its working.

    Raises:
        SolidsError: the fraction is outside the table.
    """
    above = elevation_c(solids)
    formula = say(
        "{solids} % soluble solids boil {above}",
        solids=plain(solids * 100),
        above=_above(above),
    )
    return _point(water, above, solids, formula, BROWNE)


def finishing_point_at(
    water: BoilingPoint, *, above_c: Decimal, source: str = "the recipe"
) -> FinishingPoint:
    """The finishing point for a rule in degrees above boiling water.

    Args:
        water: where water boils here today.
        above_c: C degrees above boiling water, 1.0 to 27.8.
        source: where the rule comes from.

    Returns:
        The finishing point, with the soluble solids that it means.

    Raises:
        ElevationError: the elevation is outside the table.
    """
    solids = solids_fraction(above_c)
    return _point(water, above_c, solids, _above(above_c), source)


def _above(above_c: Decimal) -> str:
    return say(
        "{above} above boiling water",
        above=format_measure(above_c, Measure.DEGREES, places=2),
    )


def _point(
    water: BoilingPoint, above_c: Decimal, solids: Decimal, formula: str, source: str
) -> FinishingPoint:
    true_c = rounded(water.true_c + above_c, "0.01")
    shown_c = rounded(water.shown_c + above_c, "0.01")
    doubt = THERMOMETER_DOUBT.value
    workings = [
        Working(
            figure=say("stop cooking at"),
            value=format_temperature(true_c),
            formula=say(
                "{formula}; water boils here at {true_c}",
                formula=formula,
                true_c=format_temperature(water.true_c),
            ),
            source=source,
        ),
        Working(
            figure=say("soluble solids then"),
            value=f"{plain(solids * 100)} % ± {plain(doubt * 100)}",
            formula=say(
                "a thermometer cannot tell sucrose from the sugars it turns into"
            ),
            source=BROWNE,
            estimate=True,
        ),
    ]
    if water.shown_c != water.true_c:
        workings.append(_on_own_thermometer(water, above_c, shown_c))
    return FinishingPoint(
        above_c=above_c,
        true_c=true_c,
        shown_c=shown_c,
        solids_low=solids - doubt,
        solids=solids,
        solids_high=solids + doubt,
        workings=tuple(workings),
    )


def _on_own_thermometer(
    water: BoilingPoint, above_c: Decimal, shown_c: Decimal
) -> Working:
    return Working(
        figure=say("on this thermometer that shows as"),
        value=format_temperature(shown_c),
        formula=say(
            "{shown_c} in boiling water, plus {above}",
            shown_c=format_temperature(water.shown_c),
            above=format_measure(above_c, Measure.DEGREES, places=2),
        ),
        source="the maker's own reading in plain boiling water",
    )
