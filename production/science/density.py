"""Density of the finished product by soluble solids and temperature.

A jam is taken as a sucrose solution of the same soluble solids; household
weights of marmalade and apple butter agree with that to 2 %. The polynomial
stands from 0 to 85 % solids and from 0 to 100 degC.
"""

from collections.abc import Sequence
from decimal import Decimal

from inventory.words import say
from production.science.working import ScienceError, plain, rounded

__all__ = ["DensityError", "density_g_per_ml"]

ICUMSA = "ICUMSA density of sucrose solutions (Bubnik et al., Sugar Technologists Manual, 1995)"
MOST_SOLIDS = Decimal("0.85")
HOTTEST_C = Decimal(100)
REFERENCE_C = Decimal(20)
SOLIDS_TERMS: tuple[tuple[Decimal, ...], ...] = tuple(
    tuple(Decimal(text) for text in row)
    for row in (
        ("385.1761", "135.3705", "40.9299", "-3.9643", "13.4853", "-17.2890"),
        ("-46.2720", "-7.1720", "1.1597", "5.1126", "17.5254"),
        ("59.7712", "7.2491", "12.3630", "-35.4791"),
        ("-47.2207", "-21.6977", "27.6301"),
        ("18.3184", "12.3081"),
    )
)
"""Rows: power of tau = (t - 20)/100, from 0. Columns: power of the solids, from 1."""
WATER_ABOVE = tuple(
    Decimal(text)
    for text in (
        "999.83952",
        "16.952577",
        "-7.9905127e-3",
        "-46.241757e-6",
        "105.84601e-9",
        "-281.03006e-12",
    )
)
WATER_BELOW = Decimal("16.887236e-3")


class DensityError(ScienceError):
    """Solids or a temperature for which the density is not known."""


def _polynomial(terms: Sequence[Decimal], x: Decimal) -> Decimal:
    """The sum of terms[i] x^i, from the innermost bracket outwards."""
    total = Decimal(0)
    for term in reversed(terms):
        total = total * x + term
    return total


def _water_kg_per_m3(temperature_c: Decimal) -> Decimal:
    return _polynomial(WATER_ABOVE, temperature_c) / (1 + WATER_BELOW * temperature_c)


def density_g_per_ml(solids: Decimal, temperature_c: Decimal) -> Decimal:
    """Density of a product of known soluble solids.

    Args:
        solids: soluble solids as a fraction, 0 to 0.85.
        temperature_c: 0 to 100 degC.

    Returns:
        g per ml, rounded to 0.000001.

    Raises:
        DensityError: either figure is outside the polynomial.

    Source: ICUMSA density of sucrose solutions, in Bubnik, Kadlec, Urban and
    Bruhns, Sugar Technologists Manual, 1995 (two transcriptions agree).
    """
    if not 0 <= solids <= MOST_SOLIDS:
        raise DensityError(
            say(
                "the density of {solids} % soluble solids is not known: 0 to 85 % is",
                solids=plain(solids * 100),
            )
        )
    if not 0 <= temperature_c <= HOTTEST_C:
        raise DensityError(
            say(
                "the density at {temperature_c} °C is not known: 0 to 100 °C is",
                temperature_c=plain(temperature_c),
            )
        )
    tau = (temperature_c - REFERENCE_C) / 100
    by_heat = [solids * _polynomial(row, solids) for row in SOLIDS_TERMS]
    total = _water_kg_per_m3(temperature_c) + _polynomial(by_heat, tau)
    return rounded(total / 1000, "0.000001")
