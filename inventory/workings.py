"""The sums behind figures of the pantry, with their numbers. Pure.

Source of the US cup: NIST SP 811, appendix B.8 (through ``inventory.units``). Keeping
days and months are the seller's own.
"""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from inventory.measure_setting import setting
from inventory.measures import Measure, figure, format_measure
from inventory.quantities import (
    MaterialMeasures,
    QuantityError,
    read_quantity,
    to_grams,
)
from inventory.quantity_format import format_mass
from inventory.units import factor
from inventory.words import say

__all__ = ["KeptUntil", "conversions", "kept_until"]

KITCHEN = {"cup": "1 cup", "tablespoon": "1 tbsp", "teaspoon": "1 tsp"}


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptUntil:
    """How a best-by date came about.

    Attributes:
        formula: the sum with its dates.
        source: where its length comes from.
    """

    formula: str
    source: str


def kept_until(
    *,
    best_by: datetime.date,
    begins_on: datetime.date,
    days: int | None = None,
    months: int | None = None,
) -> KeptUntil:
    """The sum behind a best-by, or that it was entered.

    Args:
        best_by: the date.
        begins_on: the day it was bought, frozen or filled.
        days: days the material keeps, where it is counted in days.
        months: months the product keeps, where it is counted in months.
    """
    source = say("the keeping time you set")
    if days and begins_on + datetime.timedelta(days=days) == best_by:
        return KeptUntil(
            formula=say(
                "{begins_on:%d %b %Y} + {days} days = {best_by:%d %b %Y}",
                begins_on=begins_on,
                days=days,
                best_by=best_by,
            ),
            source=source,
        )
    apart = (best_by.year - begins_on.year) * 12 + best_by.month - begins_on.month
    if months and apart == months:
        return KeptUntil(
            formula=say(
                "{begins_on:%d %b %Y} + {months} months = {best_by:%d %b %Y}",
                begins_on=begins_on,
                months=months,
                best_by=best_by,
            ),
            source=source,
        )
    return KeptUntil(
        formula=say("{best_by:%d %b %Y}, as it was entered", best_by=best_by),
        source=say("the supplier's mark or your own judgement"),
    )


def conversions(measures: MaterialMeasures) -> Sequence[str]:
    """What a cup, a spoon and a piece weigh, each as one line.

    Args:
        measures: the material's own; measures it does not know are left out.
    """
    found = []
    for unit, text in KITCHEN.items():
        try:
            grams = to_grams(read_quantity(text), measures=measures)
        except QuantityError:
            continue
        density = measures.density_g_per_ml
        if density is not None and "cup" not in measures.named_g:
            weighed = f"{_size(unit)} × {format_measure(density, Measure.DENSITY)}"
            found.append(f"{text} = {weighed} = {format_mass(grams)}")
        else:
            found.append(f"{text} = {format_mass(grams)}")
    found += [f"1 {name} = {format_mass(grams)}" for name, grams in _named(measures)]
    return found


def _size(unit: str) -> str:
    """A kitchen measure as its density wants it: in cups, or in millilitres."""
    if setting().is_metric:
        return f"{figure(factor(unit), 3)} ml"
    return f"{factor(unit) / factor('cup')} cup"


def _named(measures: MaterialMeasures) -> list[tuple[str, Decimal]]:
    return sorted((name, g) for name, g in measures.named_g.items() if name != "cup")
