"""Facts with their source: the one class every constant of the trade goes through."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

__all__ = ["FactError", "Kind", "Sourced", "Status"]


class Kind(StrEnum):
    """What sort of fact a value is."""

    DEFINED = "defined"
    MEASURED = "measured"
    LEGAL = "legal"
    CONVENTION = "convention"


class Status(StrEnum):
    """How the value was come by.

    ``verified``: read in the source named; ``secondary``: read in a text that
    quotes it; ``memory``: general knowledge, not found in a source.
    """

    VERIFIED = "verified"
    SECONDARY = "secondary"
    MEMORY = "memory"


class FactError(ValueError):
    """A fact was written down without what makes it one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sourced:
    """One number of the trade with its unit and where it was read.

    Attributes:
        value: the number, in ``unit``.
        unit: unit as printed ("g", "degC", "min", "1" for a ratio).
        kind: defined, measured, legal or convention.
        source: title of what was read; "common practice" for a fact of the
            trade without a published source. Never empty.
        section: where in the source ("Table 2-5", "101.9(c)(1)").
        edition: edition or date of the text read.
        status: verified, secondary or memory.

    Raises:
        FactError: the unit or the source is empty.
    """

    value: Decimal
    unit: str
    kind: Kind
    source: str
    section: str = ""
    edition: str = ""
    status: Status = Status.VERIFIED

    def __post_init__(self) -> None:
        if not self.source.strip():
            raise FactError(f"the fact {self.value} {self.unit} names no source")
        if not self.unit.strip():
            raise FactError(f'the fact {self.value} from "{self.source}" has no unit')

    @property
    def citation(self) -> str:
        """Source, section and edition as one line."""
        return ", ".join(
            part for part in (self.source, self.section, self.edition) if part
        )
