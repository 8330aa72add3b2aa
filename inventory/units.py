"""Names, kinds and exact factors of the units a cook writes.

Pint keeps the names and the factors, from the small file ``kitchen_units.txt``
beside this module; everything is exact because pint is told to count in fractions.
Text as typed never reaches pint: ``inventory.quantities`` takes it apart first.
"""

import unicodedata
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from inventory.sourced import Kind, Sourced

__all__ = [
    "GRAMS_PER_OUNCE",
    "GRAMS_PER_POUND",
    "ML_PER_US_CUP",
    "ML_PER_US_FLUID_OUNCE",
    "Dimension",
    "canonical_unit",
    "dimension",
    "factor",
    "known_units",
]

NIST_811 = "NIST Special Publication 811"

GRAMS_PER_POUND = Sourced(
    value=Decimal("453.59237"),
    unit="g",
    kind=Kind.DEFINED,
    source=NIST_811,
    section="appendix B.8, pound (avoirdupois)",
    edition="2008",
)
GRAMS_PER_OUNCE = Sourced(
    value=GRAMS_PER_POUND.value / 16,
    unit="g",
    kind=Kind.DEFINED,
    source=NIST_811,
    section="appendix B.8, ounce (avoirdupois)",
    edition="2008",
)
ML_PER_US_GALLON = Sourced(
    value=231 * Decimal("2.54") ** 3,
    unit="ml",
    kind=Kind.DEFINED,
    source="21 CFR 101.7(b)",
    section="gallon of 231 cubic inches; inch of 2.54 cm",
    edition="2024",
)
ML_PER_US_CUP = Sourced(
    value=ML_PER_US_GALLON.value / 16,
    unit="ml",
    kind=Kind.DEFINED,
    source=NIST_811,
    section="appendix B.8, cup (U.S.)",
    edition="2008",
)
ML_PER_US_FLUID_OUNCE = Sourced(
    value=ML_PER_US_GALLON.value / 128,
    unit="ml",
    kind=Kind.DEFINED,
    source=NIST_811,
    section="appendix B.8, fluid ounce (U.S.)",
    edition="2008",
)

_DEFINITIONS = Path(__file__).with_name("kitchen_units.txt")
_PLURALS = {"dozens": "dozen", "dashes": "dash", "pinches": "pinch"}


class Dimension(StrEnum):
    """What a unit measures."""

    MASS = "mass"
    VOLUME = "volume"
    COUNT = "count"


_BASES = {
    Dimension.MASS: "gram",
    Dimension.VOLUME: "milliliter",
    Dimension.COUNT: "piece",
}


@cache
def _registry() -> Any:
    import pint  # slow to load, so only where a unit is read

    registry: Any = pint.UnitRegistry(None, non_int_type=Fraction, cache_folder=None)
    registry.load_definitions(_DEFINITIONS.read_text(encoding="utf-8").splitlines())
    return registry


@cache
def known_units() -> tuple[str, ...]:
    """Canonical names of all units, in the order of the definition file."""
    lines = _DEFINITIONS.read_text(encoding="utf-8").splitlines()
    return tuple(
        line.split("=")[0].strip()
        for line in lines
        if "=" in line and not line.startswith("#")
    )


@lru_cache(maxsize=1024)
def canonical_unit(word: str) -> str | None:
    """The one name of a unit, or None when no unit is called that.

    Args:
        word: one lower-case word or abbreviation, singular or plural.

    Returns:
        ``"cup"`` for c, cup, cups; ``"fluid_ounce"`` for floz; None otherwise.
    """
    import pint

    plain = unicodedata.normalize("NFKC", word)
    try:
        return str(_registry().get_name(_PLURALS.get(plain, plain)))
    except pint.UndefinedUnitError:
        return None


@cache
def dimension(unit: str) -> Dimension:
    """Whether a canonical unit is a mass, a volume or a count."""
    measured = str(next(iter(_registry().get_dimensionality(unit))))
    return Dimension(measured.strip("[]"))


@cache
def factor(unit: str) -> Fraction:
    """Exact grams, millilitres or pieces in one of a canonical unit."""
    base = _BASES[dimension(unit)]
    return Fraction(_registry().Quantity(Fraction(1), unit).to(base).magnitude)
