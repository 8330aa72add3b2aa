"""In which units and with which decimal sign the seller reads figures.

Like the language of `inventory.words`, the setting is the reader's and not a
calculation's: whoever answers a request or draws a paper names it once with
`figures_in`, and every formatter below asks `setting`. Outside of that the seller's
own defaults stand: US measures, written as in the United States.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from enum import StrEnum

from inventory.words import local

__all__ = ["MeasureSetting", "MeasureSystem", "figures_in", "setting"]


class MeasureSystem(StrEnum):
    """Which units a person reads."""

    METRIC = "metric"
    US = "us"


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasureSetting:
    """How figures are written for the seller.

    Attributes:
        system: metric or US customary units.
        locale: whose decimal sign and grouping ("en_US", "de_DE").
    """

    system: MeasureSystem = MeasureSystem.US
    locale: str = "en_US"

    @property
    def is_metric(self) -> bool:
        """Whether grams, millilitres and degrees Celsius come first."""
        return self.system is MeasureSystem.METRIC


_asked: ContextVar[MeasureSetting | None] = ContextVar("measure setting", default=None)
_DEFAULT = MeasureSetting()


@contextmanager
def figures_in(
    system: MeasureSystem | str, locale: str = _DEFAULT.locale
) -> Iterator[MeasureSetting]:
    """Write every figure in these units until the block ends."""
    named = MeasureSetting(system=MeasureSystem(system), locale=locale)
    before = _asked.set(named)
    try:
        yield named
    finally:
        _asked.reset(before)


def setting() -> MeasureSetting:
    """The units in force, and the locale as this reader of it writes figures."""
    named = _asked.get() or _DEFAULT
    return MeasureSetting(system=named.system, locale=local(named.locale))
