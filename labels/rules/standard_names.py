"""Whether the name on the label is one the product has earned.

The standards are worked out by the kitchen's science; here the answer for the
label's own noun is found and turned into a finding.
"""

import re
from collections.abc import Iterator

from inventory.words import say, to_say
from labels.rules.rule import Finding, LabelToCheck, rule
from labels.statements.label_input import Jurisdiction
from production.science.identity import NameAnswer, NameVerdict

__all__ = ["answer_for", "earned_and_reserved"]

PLACES = {
    Jurisdiction.US: "United States",
    Jurisdiction.EU: "European Union",
    Jurisdiction.UK: "United Kingdom",
    Jurisdiction.CA: "Canada",
    Jurisdiction.CODEX: "Codex",
}
NOUNS = ("jam", "jelly", "preserves", "preserve", "marmalade", "butter")
MUST_BE_USED = (Jurisdiction.EU, Jurisdiction.UK)
"""Where a reserved name, once earned, must stand on the label."""


def _noun(name: str) -> str:
    """Return the reserved noun of a name, the last one in it."""
    found = re.findall(rf"\b(?:{'|'.join(NOUNS)})\b", name.casefold())
    return found[-1].removesuffix("s") if found else ""


def _answers(label: LabelToCheck) -> Iterator[NameAnswer]:
    place = PLACES.get(label.built.jurisdiction)
    wants_extra = "extra" in label.built.given.identity.casefold()
    for answer in label.names:
        if answer.place != place or "," in answer.name:
            continue
        if ("extra" in answer.name.casefold()) is wants_extra:
            yield answer


def answer_for(label: LabelToCheck) -> NameAnswer | None:
    """Return the answer about the noun the label uses, if there is one."""
    noun = _noun(label.built.given.identity)
    if not noun:
        return None
    return next((a for a in _answers(label) if _noun(a.name) == noun), None)


def earned_and_reserved(label: LabelToCheck) -> NameAnswer | None:
    """Return a reserved name the product has earned and does not carry."""
    if label.built.jurisdiction not in MUST_BE_USED or not label.built.given.is_jam:
        return None
    own = _noun(label.built.given.identity)
    for answer in _answers(label):
        noun = _noun(answer.name)
        if answer.verdict is NameVerdict.EARNED and noun and noun != own:
            return answer
    return None


@rule(
    "NAME-EARNED",
    to_say("The product has earned the reserved name it carries"),
    citation={
        Jurisdiction.US: "21 CFR 150.110, 150.140, 150.160; 21 USC 343(g)",
        Jurisdiction.EU: "Directive 2001/113/EC, Annex I",
        Jurisdiction.UK: "SI 2003/3120 and its sisters",
        Jurisdiction.CA: "Canadian Food Compositional Standards, Volume 10",
        Jurisdiction.CODEX: "CXS 296-2009 (memory)",
    },
    where=PLACES,
)
def name_is_earned(label: LabelToCheck) -> Iterator[Finding]:
    """Parts of fruit to sweetener, solids and what else the standard allows."""
    answer = answer_for(label)
    if answer is None or answer.verdict is NameVerdict.EARNED:
        return
    missing = "; ".join(answer.missing or answer.reasons)
    name = label.built.given.identity
    refused = answer.verdict is NameVerdict.NOT_EARNED
    said = say("is not earned by this recipe") if refused else answer.verdict.value
    yield Finding(
        what=f'"{name}": {said}: {missing} ({answer.citation})',
        where=say("name of the food"),
        mend=say("change the recipe, or choose a name outside the standard")
        if refused
        else say("record what is asked for with the batch"),
        asks=not refused,
    )


@rule(
    "NAME-RESERVED",
    to_say("A reserved name that is earned stands on the label"),
    citation={
        Jurisdiction.EU: "Directive 2001/113/EC, Art. 2(1)",
        Jurisdiction.UK: "trading-standards guidance on SI 2003/3120 (secondary)",
    },
    where=MUST_BE_USED,
)
def reserved_name_is_used(label: LabelToCheck) -> Iterator[Finding]:
    """The word preserve may stand beside the reserved name, not instead of it."""
    answer = earned_and_reserved(label)
    if answer is not None:
        yield Finding(
            what=say(
                'the recipe meets the standard of "{answer}", which must then be '
                "on the label",
                answer=answer.name,
            ),
            where=say("name of the food"),
            mend=say(
                'name it "{answer}"; other words may stand beside it',
                answer=answer.name,
            ),
        )
