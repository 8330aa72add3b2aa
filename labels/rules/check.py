"""Checking a label by every rule that looks at it."""

from collections import Counter
from dataclasses import dataclass

from inventory.words import say
from labels.rules import (
    abroad,
    general,
    place_particulars,
    place_selling,
    place_statement,
    standard_names,
    united_states,
    usual_allergens,
)
from labels.rules.rule import LabelToCheck, Outcome, Rule, Severity, State, registered

__all__ = ["CONTENT", "Report", "check_label", "content_faults", "rules"]

ROOMS = (
    general,
    usual_allergens,
    standard_names,
    united_states,
    abroad,
    place_statement,
    place_particulars,
    place_selling,
)
"""Modules whose rules are registered by being imported here."""


CONTENT = frozenset(
    {
        "NAME",
        "QUANTITY",
        "INGREDIENTS",
        "ORDER",
        "NAMES-ALL",
        "ALLERGENS",
        "PRODUCER",
        "DATES",
        "US-NET",
        "US-ADDRESS",
        "PLACE-STATEMENT",
        "PLACE-PARTICULARS",
        "PLACE-CONTACT",
        "PLACE-UNITS",
    }
)
"""Rules about the words themselves: a fault among them allows only a draft."""


def rules() -> tuple[Rule, ...]:
    """Return every rule there is."""
    return registered()


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """What came of every rule, passed ones too.

    Attributes:
        label: what was checked.
        outcomes: in the order of the rules.
    """

    label: LabelToCheck
    outcomes: tuple[Outcome, ...]

    def of(self, state: State) -> tuple[Outcome, ...]:
        """Return the outcomes in one state."""
        return tuple(outcome for outcome in self.outcomes if outcome.state is state)

    @property
    def counts(self) -> dict[str, int]:
        """How many rules passed, found something, or ask."""
        counted = Counter(outcome.state.value for outcome in self.outcomes)
        return {state.value: counted[state.value] for state in State}

    @property
    def stops_printing(self) -> bool:
        """Whether something the law wants is missing."""
        return any(
            outcome.state is State.FOUND and outcome.rule.severity is Severity.MUST
            for outcome in self.outcomes
        )

    @property
    def summary(self) -> str:
        """The result in one sentence, never more than was looked at."""
        found, asked = len(self.of(State.FOUND)), len(self.of(State.ASK))
        if found:
            things = (
                say("one thing") if found == 1 else say("{found} things", found=found)
            )
            return say("{things} to mend before this label is printed", things=things)
        chosen = self.label.built.place
        profile = (
            say("the profile of {place}", place=chosen.place)
            if chosen
            else say("package law as read")
        )
        if asked:
            points = (
                say("one question")
                if asked == 1
                else say("{asked} questions", asked=asked)
            )
            return say(
                "nothing missing that {profile} asks for; {points} left open",
                profile=profile,
                points=points,
            )
        return say("nothing missing that {profile} asks for", profile=profile)


def check_label(label: LabelToCheck) -> Report:
    """Check a label by every rule of its jurisdiction.

    Args:
        label: the built text with what is known around it.

    Returns:
        An outcome for each rule, passed ones included. Without a place the
        rules of a place are left out: nothing was looked at.
    """
    jurisdiction = label.built.jurisdiction
    outcomes = tuple(
        rule.outcome(label)
        for rule in registered()
        if jurisdiction in rule.jurisdictions
        and not (rule.needs_place and label.built.place is None)
    )
    return Report(label=label, outcomes=outcomes)


def content_faults(report: Report) -> tuple[str, ...]:
    """Return what is wrong with the words, for the reasons of a draft."""
    return tuple(
        finding.what
        for outcome in report.of(State.FOUND)
        if outcome.rule.code in CONTENT
        for finding in outcome.findings
        if not finding.asks
    )
