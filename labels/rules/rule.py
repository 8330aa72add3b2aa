"""A rule of label law as one small function, and the registry of them all.

A rule looks at one thing and yields what is wrong with it. It is listed as
passed where it yields nothing, so that the maker can show what was looked at.
The word "compliant" has no place here: the most a report says is that nothing
is missing that the profile asks for.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from inventory.words import say, to_say
from labels.statements.build import BuiltLabel
from labels.statements.label_input import Jurisdiction
from labels.statements.nutrition_us import YearOfSales
from production.science.identity import NameAnswer

__all__ = [
    "EVERYWHERE",
    "PLACE_CITATION",
    "Finding",
    "LabelToCheck",
    "Outcome",
    "Rule",
    "Severity",
    "State",
    "registered",
    "rule",
]

EVERYWHERE = frozenset(Jurisdiction)


class Severity(StrEnum):
    """How much a finding weighs."""

    MUST = to_say("must")
    SHOULD = to_say("should")
    NOTE = to_say("note")


class State(StrEnum):
    """What came of a rule."""

    PASSED = "passed"
    FOUND = "found"
    ASK = "ask"


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelToCheck:
    """A label with what is known around it.

    Attributes:
        built: the text and what it was made from.
        on: the day of the check.
        sales_this_year: money taken this calendar year, seller's currency.
        year_of_sales: figures the US nutrition exemption is read from.
        names: what the kitchen's science says of the names it may carry.
    """

    built: BuiltLabel
    on: date
    sales_this_year: Decimal | None = None
    year_of_sales: YearOfSales | None = None
    names: tuple[NameAnswer, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """What is wrong, where, and how to mend it.

    Attributes:
        what: what is wrong, or the question, one sentence without full stop.
        where: part of the label or page it is about.
        mend: what to do.
        asks: the program lacks a fact; nothing is decided.
    """

    what: str
    where: str
    mend: str
    asks: bool = False


Citation = str | Mapping[Jurisdiction, str]
PLACE_READ = "PLACE-READ"
PLACE_CITATION = to_say("the citation of the place profile")
Check = Callable[[LabelToCheck], Iterable[Finding]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One rule.

    Attributes:
        code: stable id ("US-NET-WEIGHT").
        title: what it checks, as a statement that holds when it passes.
        citation: where it is written, by jurisdiction where that differs.
        severity: how much a finding weighs.
        jurisdictions: whose labels it looks at.
        check: the function.
    """

    code: str
    title: str
    citation: Citation
    severity: Severity
    jurisdictions: frozenset[Jurisdiction]
    check: Check

    @property
    def needs_place(self) -> bool:
        """Whether it reads a place's profile, so that without one it says nothing."""
        return self.citation == PLACE_CITATION and self.code != PLACE_READ

    def citation_for(self, label: LabelToCheck) -> str:
        """Return where the rule is written for a label's jurisdiction and place."""
        if isinstance(self.citation, Mapping):
            return self.citation.get(label.built.jurisdiction, say("common practice"))
        place = label.built.place
        if self.citation == PLACE_CITATION:
            return place.citation if place else say("no place profile chosen")
        return self.citation

    def outcome(self, label: LabelToCheck) -> "Outcome":
        """Return what comes of the rule for a label."""
        findings = tuple(self.check(label))
        state = State.PASSED
        if findings:
            asks = all(finding.asks for finding in findings)
            state = State.ASK if asks else State.FOUND
        return Outcome(
            rule=self,
            state=state,
            findings=findings,
            citation=self.citation_for(label),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What came of one rule, with where it is written for this label."""

    rule: Rule
    state: State
    findings: tuple[Finding, ...]
    citation: str


_REGISTRY: dict[str, Rule] = {}


def rule(
    code: str,
    title: str,
    *,
    citation: Citation,
    severity: Severity = Severity.MUST,
    where: Iterable[Jurisdiction] = EVERYWHERE,
) -> Callable[[Check], Check]:
    """Register a function as a rule.

    Args:
        code: stable id, unique.
        title: what holds when it passes.
        citation: where it is written.
        severity: how much a finding weighs.
        where: jurisdictions it looks at.
    """

    def register(check: Check) -> Check:
        if code in _REGISTRY:
            raise ValueError(say("two rules are called {code}", code=code))
        _REGISTRY[code] = Rule(
            code=code,
            title=title,
            citation=citation,
            severity=severity,
            jurisdictions=frozenset(where),
            check=check,
        )
        return check

    return register


def registered() -> tuple[Rule, ...]:
    """Return every rule in the order of registration."""
    return tuple(_REGISTRY.values())
