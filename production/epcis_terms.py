"""The terms and fields of EPCIS 2.0, read once from their table."""

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

__all__ = ["Happening", "Terms", "find_happening", "terms"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Happening:
    """How one thing that happens is told: event type, action, step, disposition."""

    event: str
    step: str
    disposition: str
    action: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """Every closed list of the standard that our documents touch."""

    context: str
    actions: frozenset[str]
    steps: frozenset[str]
    dispositions: frozenset[str]
    document_types: frozenset[str]
    party_types: frozenset[str]
    error_reasons: frozenset[str]
    fields: dict[str, frozenset[str]]
    happenings: dict[str, Happening]


@cache
def terms() -> Terms:
    """Return the table of terms."""
    path = Path(__file__).with_name("epcis_terms.toml")
    table = tomllib.loads(path.read_text(encoding="utf-8"))
    return Terms(
        context=table["context"],
        actions=frozenset(table["actions"]),
        steps=frozenset(table["steps"]),
        dispositions=frozenset(table["dispositions"]),
        document_types=frozenset(table["document_types"]),
        party_types=frozenset(table["party_types"]),
        error_reasons=frozenset(table["error_reasons"]),
        fields={name: frozenset(names) for name, names in table["fields"].items()},
        happenings={n: Happening(**row) for n, row in table["happenings"].items()},
    )


def find_happening(name: str) -> Happening:
    """Return how a happening ("received", "cooked", "sold" …) is told."""
    return terms().happenings[name]
