"""Rules on what else a place wants on the label."""

import re
from collections.abc import Callable, Iterator

from inventory.words import say, to_say
from labels.rules.rule import PLACE_CITATION, Finding, LabelToCheck, rule
from labels.statements.label_text import Role
from labels.statements.places import Completeness, ParticularCode, Place


def _has(role: Role) -> Callable[[LabelToCheck], bool]:
    return lambda label: label.built.text.first(role) is not None


def _net_given(label: LabelToCheck) -> bool:
    element = label.built.text.first(Role.NET_QUANTITY)
    return element is not None and bool(re.search(r"\d", element.text))


def _printed(label: LabelToCheck, words: str) -> bool:
    return bool(words) and words in label.built.text.text


CHECKS: dict[ParticularCode, tuple[str, Callable[[LabelToCheck], bool]]] = {
    ParticularCode.PRODUCT_NAME: (
        to_say("the name of the product"),
        _has(Role.IDENTITY),
    ),
    ParticularCode.INGREDIENTS_DESC_WEIGHT: (
        to_say("the ingredients by weight"),
        _has(Role.INGREDIENTS),
    ),
    ParticularCode.INGREDIENTS: (to_say("the ingredients"), _has(Role.INGREDIENTS)),
    ParticularCode.NET_QUANTITY: (to_say("the net quantity"), _net_given),
    ParticularCode.PRODUCER_NAME: (
        to_say("the producer's name"),
        lambda label: _printed(label, label.built.given.producer.name),
    ),
    ParticularCode.PRODUCER_ADDRESS: (
        to_say("the producer's address"),
        lambda label: _printed(label, label.built.given.producer.address),
    ),
    ParticularCode.MAILING_ADDRESS: (
        to_say("a mailing address"),
        lambda label: (
            _printed(label, label.built.given.producer.mailing_address)
            or _printed(label, label.built.given.producer.address)
        ),
    ),
    ParticularCode.PHONE: (
        to_say("a telephone number"),
        lambda label: _printed(label, label.built.given.producer.phone),
    ),
    ParticularCode.EMAIL: (
        to_say("an e-mail address"),
        lambda label: _printed(label, label.built.given.producer.email),
    ),
    ParticularCode.REGISTRATION_NUMBER: (
        to_say("the registration or permit number"),
        lambda label: _printed(label, label.built.given.producer.registration_number),
    ),
    ParticularCode.COUNTY_OF_ISSUE: (
        to_say("the county that issued the number"),
        lambda label: _printed(label, label.built.given.producer.county_of_issue),
    ),
    ParticularCode.UNIT_OF_GOVERNMENT: (
        to_say("the unit of government you are registered with"),
        lambda label: _printed(label, label.built.given.producer.county_of_issue),
    ),
    ParticularCode.MUNICIPALITY: (
        to_say("the municipality"),
        lambda label: _printed(label, label.built.given.producer.city),
    ),
    ParticularCode.DATE_MADE: (to_say("the date it was made"), _has(Role.MADE_ON)),
    ParticularCode.EXPIRATION_DATE: (to_say("an expiration date"), _has(Role.BEST_BY)),
    ParticularCode.BATCH_CODE: (to_say("the lot or batch code"), _has(Role.BATCH_CODE)),
}
"""What is looked for; allergens, claims and nutrition have rules of their own."""


@rule(
    "PLACE-PARTICULARS",
    to_say("Everything else the place asks for is on the label"),
    citation=PLACE_CITATION,
)
def particulars(label: LabelToCheck) -> Iterator[Finding]:
    """Always asked: missing is a finding; conditional: a question."""
    place = label.built.place
    if place is None:
        return
    if place.completeness is Completeness.OUTLINE:
        yield Finding(
            what=say(
                "what else {place} wants on the label was not read", place=place.place
            ),
            where=say("place profile"),
            mend=say("ask {authority} for the whole list", authority=place.authority),
            asks=True,
        )
    for item in place.particulars:
        if item.code not in CHECKS or item.required in ("alternative", "recommended"):
            continue
        words, present = CHECKS[item.code]
        if _replaced(label, place, item.code) or present(label):
            continue
        detail = f" ({item.detail})" if item.detail else ""
        yield Finding(
            what=say(
                "{words} is asked for by {place}{detail}",
                words=say(words),
                place=place.place,
                detail=detail,
            ),
            where=say("label"),
            mend=say("enter it under the business' facts or on the batch"),
            asks=item.required == "conditional",
        )


def _replaced(label: LabelToCheck, place: Place, code: ParticularCode) -> bool:
    """Whether a number stands for the address, as the place allows."""
    if code is not ParticularCode.PRODUCER_ADDRESS or not place.address_alternative:
        return False
    maker = label.built.given.producer
    return maker.number_replaces_address and bool(maker.registration_number)


@rule(
    "PLACE-CONTACT",
    to_say("One of the ways to reach the producer that the place accepts is given"),
    citation=PLACE_CITATION,
)
def one_of_the_alternatives(label: LabelToCheck) -> Iterator[Finding]:
    """Some places accept an address, a telephone, an e-mail or a number."""
    place = label.built.place
    if place is None:
        return
    choices = [
        item.code for item in place.particulars if item.required == "alternative"
    ]
    known = [CHECKS[code] for code in choices if code in CHECKS]
    if known and not any(present(label) for _, present in known):
        yield Finding(
            what=say(
                "none of these is given: {listed}",
                listed=", ".join(say(words) for words, _ in known),
            ),
            where=say("name and place of business"),
            mend=say("enter one of them under the business' facts"),
        )


@rule(
    "PLACE-UNITS",
    to_say("The net quantity is in both systems of units"),
    citation=PLACE_CITATION,
)
def both_units(label: LabelToCheck) -> Iterator[Finding]:
    """Where the place's profile says so."""
    place = label.built.place
    element = label.built.text.first(Role.NET_QUANTITY)
    if place is None or element is None:
        return
    asked = place.asks_for(ParticularCode.NET_QUANTITY)
    if not any("both US customary and metric" in item.detail for item in asked):
        return
    text = element.text.casefold()
    if not (re.search(r"\boz\b|\blb\b", text) and re.search(r"\d\s*k?g\b|ml\b", text)):
        yield Finding(
            what=say("{place} wants US customary and metric units", place=place.place),
            where=say("net quantity"),
            mend=say("let the program write both"),
        )
