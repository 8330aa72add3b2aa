"""Rules on the statement a place prescribes, and on how its law was read."""

import re
from collections.abc import Iterator

from inventory.words import say, to_say
from labels.rules.rule import (
    PLACE_CITATION,
    Finding,
    LabelToCheck,
    Severity,
    rule,
)
from labels.statements.label_text import MeasuredOn, Panel, Placement, Role
from labels.statements.place_questions import questions
from labels.statements.places import Completeness, Place, StatementBasis
from labels.statements.type_sizes import in_points

__all__ = ["same_words", "statement_problem"]

DASHES = re.compile(r"\s*(?:\u2014|\u2013|\s-\s)\s*")


def folded(text: str) -> str:
    """Return words for comparison: straight quotes, single spaces, no full stop."""
    plain = text.replace("\u2019", "'").replace("\u2018", "'")
    plain = plain.replace("\u201c", '"').replace("\u201d", '"')
    plain = DASHES.sub(" \u2014 ", plain)
    return " ".join(plain.split()).removesuffix(".")


def same_words(prescribed: str, printed: str, *, all_caps: str = "") -> bool:
    """Say whether printed words are the prescribed ones.

    Case counts only where capitals are part of the rule.
    """
    first, second = folded(prescribed), folded(printed)
    if all_caps == "required":
        return first == second
    return first.casefold() == second.casefold()


def statement_problem(place: Place, printed: str) -> str:
    """Return what is wrong with the statement on a label, or ""."""
    if place.basis is StatementBasis.EXACT:
        if not printed:
            return say(
                'the prescribed sentence is missing: "{statement}"',
                statement=place.statement,
            )
        if not same_words(place.statement, printed, all_caps=place.type.all_caps):
            return say(
                'the words differ from the prescribed ones: "{statement}"',
                statement=place.statement,
            )
    if place.basis is StatementBasis.CONTENT and not printed:
        content = "; ".join(variant.text for variant in place.variants)
        return say(
            "the label must say, in words of your own: {content}", content=content
        )
    return ""


@rule(
    "PLACE-STATEMENT",
    to_say("The statement the place prescribes is on the label"),
    citation=PLACE_CITATION,
)
def statement(label: LabelToCheck) -> Iterator[Finding]:
    """Fixed words letter by letter; content in words of one's own."""
    place = label.built.place
    if place is None:
        return
    if place.basis is StatementBasis.UNKNOWN:
        yield Finding(
            what=say("the wording {place} prescribes was not read", place=place.place),
            where=say("place statement"),
            mend=questions(place)[0],
            asks=True,
        )
        return
    if place.sign and place.sign.required == "alternative":
        return
    element = label.built.text.first(Role.PLACE_STATEMENT)
    problem = statement_problem(place, element.text if element else "")
    if problem:
        yield Finding(
            what=f"{problem} ({place.citation})",
            where=say("place statement"),
            mend=say("print the sentence exactly, or write it on the place's page"),
        )


@rule(
    "PLACE-TYPE",
    to_say("The place's statement has its size, place and weight"),
    citation=PLACE_CITATION,
)
def statement_type(label: LabelToCheck) -> Iterator[Finding]:
    """The size asked of the drawing; the drawn glyphs are measured when printed."""
    place = label.built.place
    element = label.built.text.first(Role.PLACE_STATEMENT)
    if place is None or element is None or element.size is None:
        return
    asked = element.size.at()
    points = place.type.min_point_size
    if points and (
        asked.measured_on is not MeasuredOn.POINT
        or asked.minimum_mm < in_points(points)
    ):
        yield Finding(
            what=say("the statement is to be at least {points:f} point", points=points),
            where=say("place statement"),
            mend=say("print it larger"),
        )
    if place.type.on_principal_panel and element.panel is not Panel.PRINCIPAL_DISPLAY:
        yield Finding(
            what=say("the statement belongs on the principal display panel"),
            where=say("place statement"),
            mend=say("put it on the front"),
        )
    if place.type.bold and Placement.BOLD not in element.placement:
        yield Finding(
            what=say("the statement is to be bold and conspicuous"),
            where=say("place statement"),
            mend=say("print it in bold"),
        )


@rule(
    "PLACE-READ",
    to_say("The profile was read whole, and within a year"),
    citation=PLACE_CITATION,
    severity=Severity.SHOULD,
)
def reading(label: LabelToCheck) -> Iterator[Finding]:
    """An unfinished or old profile allows no conclusion."""
    place = label.built.place
    if place is None:
        yield Finding(
            what=say("no place is chosen, so no home-kitchen law was looked at"),
            where=say("place profile"),
            mend=say("choose your place under the business' facts"),
            asks=True,
        )
        return
    if place.is_stale(on=label.on):
        yield Finding(
            what=say(
                "the profile of {place} was read on {read_on}, more than a year ago",
                place=place.place,
                read_on=place.read_on,
            ),
            where=say("place profile"),
            mend=say("ask {authority} what has changed", authority=place.authority),
            asks=True,
        )
    if place.completeness in (Completeness.PARTIAL, Completeness.OUTLINE):
        yield Finding(
            what=say(
                "the profile of {place} is {completeness}: some of its law was not "
                "read, or only second-hand",
                place=place.place,
                completeness=place.completeness.value,
            ),
            where=say("place profile"),
            mend=" ".join(questions(place)),
            asks=True,
        )
