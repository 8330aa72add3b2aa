"""How a kind of product is usually finished, and what a recipe's own words say.

The default is used only where neither the recipe nor the maker says: such a target
gives way to the mix (it is not strict).
"""

import re
from decimal import Decimal

from production.science.balance import DEFAULT_BOIL_OFF, Finish, FinishKind
from production.science.finishing import THERMOMETER_DOUBT, rule_for, solids_fraction
from production.science.forms import words
from production.science.kinds import ProductKind
from production.science.span import Span

__all__ = ["finish_above", "finish_at_solids", "read_finish", "usual_finish"]

BUTTER_SOLIDS = Span(low=Decimal("0.40"), likely=Decimal("0.43"), high=Decimal("0.48"))
"""21 CFR 150.110(d)(3) asks for at least 43 %; the spread is common practice."""
CHUTNEY_SOLIDS = Span(low=Decimal("0.38"), likely=Decimal("0.47"), high=Decimal("0.58"))
SYRUP_SOLIDS = Span(low=Decimal("0.30"), likely=Decimal("0.42"), high=Decimal("0.60"))
"""Common practice: nobody sets these by solids, so the range is wide."""
SIMMERED_OFF = Span(low=Decimal("0.03"), likely=Decimal("0.05"), high=Decimal("0.08"))
REFRACTOMETER_DOUBT = Decimal("0.005")
WATER_BOILS_F = Decimal(212)
WATER_BOILS_C = Decimal(100)
F_DEGREE = Decimal("1.8")

UNCOOKED = re.compile(r"uncooked|no cook|not cooked|freezer|without cooking")
SHORT_BOIL = re.compile(r"rolling boil|\bminutes?\b|\bmin\b|\btime\b")
SOLIDS_WORDS = re.compile(r"(\d+(?:\.\d+)?) *(?:%|percent|brix|degrees brix|° ?brix)")
ABOVE_WORDS = re.compile(
    r"(\d+(?:\.\d+)?)(?: (?:or|to) (\d+(?:\.\d+)?))? *(?:degrees? )?(?:° ?)?(?P<scale>[fc])\b"
    r"[a-z ]* above"
)
POINT_WORDS = re.compile(
    r"\b(\d{3}(?:\.\d+)?) *(?:degrees? )?(?:° ?)?(?P<scale>[fc])\b"
)


def finish_above(above_c: Decimal, *, strict: bool = True) -> Finish:
    """A finish some degrees above boiling water, with the thermometer's doubt."""
    likely = solids_fraction(above_c)
    doubt = THERMOMETER_DOUBT.value
    return Finish(
        kind=FinishKind.ABOVE_BOILING,
        solids=Span(low=likely - doubt, likely=likely, high=likely + doubt),
        strict=strict,
    )


def finish_at_solids(solids: Decimal) -> Finish:
    """A finish by refractometer at a share of soluble solids of the maker's own."""
    low = max(solids - REFRACTOMETER_DOUBT, Decimal("0.001"))
    high = max(solids, min(solids + REFRACTOMETER_DOUBT, Decimal(1)))
    return Finish(
        kind=FinishKind.SOLIDS, solids=Span(low=low, likely=solids, high=high)
    )


def usual_finish(kind: ProductKind, *, pectin_added: bool) -> Finish:
    """The finish of the trade for a kind, where the recipe names none.

    Args:
        kind: the kind of product.
        pectin_added: commercial pectin is in the pot, so no temperature test
            applies and a one-minute boil ends the cooking.
    """
    by_solids = {
        ProductKind.BUTTER: BUTTER_SOLIDS,
        ProductKind.CHUTNEY: CHUTNEY_SOLIDS,
        ProductKind.FRUIT_IN_SYRUP: SYRUP_SOLIDS,
    }
    if kind in by_solids and not pectin_added:
        return Finish(kind=FinishKind.SOLIDS, solids=by_solids[kind], strict=False)
    if kind is ProductKind.INTERMEDIATE:
        return Finish(kind=FinishKind.NONE, strict=False)
    if pectin_added:
        return Finish(kind=FinishKind.TIME, strict=False)
    return finish_above(rule_for(kind).value, strict=False)


def read_finish(text: str, kind: ProductKind, *, pectin_added: bool) -> Finish:
    """The finish a recipe's own words name, or the usual one.

    Args:
        text: "8 F above the boiling point of water", "full rolling boil, 1 minute",
            "65 % soluble solids", "gel point", "mounds on a spoon".
        kind: the kind of product.
        pectin_added: commercial pectin is in the pot.

    Returns:
        The finish.

    Raises:
        ScienceError: the words name an impossible finish.
    """
    plain = words(text)
    if solids := SOLIDS_WORDS.search(plain):
        return finish_at_solids(Decimal(solids[1]) / 100)
    if above := ABOVE_WORDS.search(plain):
        ends = [Decimal(end) for end in above.groups()[:2] if end]
        return finish_above(_in_c(sum(ends, Decimal(0)) / len(ends), above["scale"]))
    if UNCOOKED.search(plain):
        return Finish(kind=FinishKind.NONE)
    if not pectin_added and (above_c := _read_point(plain)):
        return finish_above(above_c)
    if pectin_added and SHORT_BOIL.search(plain):
        boil_off = SIMMERED_OFF if "simmer" in plain else DEFAULT_BOIL_OFF
        return Finish(kind=FinishKind.TIME, boil_off=boil_off)
    return usual_finish(kind, pectin_added=pectin_added)


def _in_c(degrees: Decimal, scale: str) -> Decimal:
    return degrees / F_DEGREE if scale == "f" else degrees


def _read_point(plain: str) -> Decimal | None:
    """Degrees C above boiling from a printed sea-level temperature, if it is one."""
    found = POINT_WORDS.search(plain)
    if not found:
        return None
    at_sea_level = WATER_BOILS_F if found["scale"] == "f" else WATER_BOILS_C
    above_c = _in_c(Decimal(found[1]) - at_sea_level, found["scale"])
    return above_c if Decimal(1) <= above_c <= Decimal(12) else None
