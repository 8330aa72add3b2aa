"""Complaint symptoms: likely causes, how severe, what to do, what to be careful of.

The table is in ``symptoms.toml`` with its sources. It grades a complaint; it does
not diagnose, and the local health department's word goes before it.
"""

import tomllib
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from pathlib import Path

from inventory.sourced import Status
from inventory.words import say

__all__ = [
    "Severity",
    "Symptom",
    "SymptomSource",
    "UnknownSymptomError",
    "all_symptoms",
    "find_symptom",
    "grade",
]


class UnknownSymptomError(LookupError):
    """A symptom code that is not in the table."""

    def __init__(self, code: str) -> None:
        self.code = code
        super().__init__(
            say('there is no symptom "{code}"; choose one of the list', code=code)
        )


class Severity(StrEnum):
    """How fast to act."""

    STOP = "stop"
    LOOK = "look"
    QUALITY = "quality"

    @property
    def words(self) -> str:
        """What the grade asks for."""
        return {
            Severity.STOP: say("Stop the sale now"),
            Severity.LOOK: say("Look today"),
            Severity.QUALITY: say("Quality"),
        }[self]


@dataclass(frozen=True, slots=True, kw_only=True)
class SymptomSource:
    """Where the causes and cautions were read."""

    title: str
    status: Status
    edition: str = ""

    @property
    def citation(self) -> str:
        """Title and edition in one line."""
        return ", ".join(part for part in (self.title, self.edition) if part)


@dataclass(frozen=True, slots=True, kw_only=True)
class Symptom:
    """One row of the table.

    Attributes:
        code: short name kept with the complaint.
        name: what the buyer says.
        severity: grade for one jar.
        causes: likely causes, as the source gives them.
        response: what the maker does first.
        caution: what to be careful of; may be empty for a quality fault.
        source: where it was read.
        stop_from: number of jars from which the grade is "stop"; 0 for never.
    """

    code: str
    name: str
    severity: Severity
    causes: str
    response: str
    caution: str
    source: SymptomSource
    stop_from: int = 0


@cache
def all_symptoms() -> tuple[Symptom, ...]:
    """Return the table, the gravest first."""
    path = Path(__file__).with_name("symptoms.toml")
    table = tomllib.loads(path.read_text(encoding="utf-8"))
    sources = {
        name: SymptomSource(**{**row, "status": Status(row["status"])})
        for name, row in table["sources"].items()
    }
    return tuple(
        Symptom(
            **{
                **row,
                "severity": Severity(row["severity"]),
                "source": sources[row["source"]],
            }
        )
        for row in table["symptom"]
    )


def find_symptom(code: str) -> Symptom:
    """Return the symptom of a code.

    Raises:
        UnknownSymptomError: the code is not in the table.
    """
    for symptom in all_symptoms():
        if symptom.code == code:
            return symptom
    raise UnknownSymptomError(code)


def grade(symptom: Symptom, *, someone_is_ill: bool, jars: int = 1) -> Severity:
    """Grade a complaint.

    Args:
        symptom: what was seen.
        someone_is_ill: illness always stops the sale, whatever was seen.
        jars: jars of the same batch with this symptom, this one included.

    Returns:
        How fast to act.
    """
    if someone_is_ill:
        return Severity.STOP
    if symptom.stop_from and jars >= symptom.stop_from:
        return Severity.STOP
    return symptom.severity
