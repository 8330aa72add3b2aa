"""Rules of a place's home-kitchen law, read from its profile."""

import re
from collections.abc import Callable, Iterator
from decimal import Decimal

from labels.rules.rule import (
    PLACE_CITATION,
    Finding,
    LabelToCheck,
    Severity,
    rule,
)
from labels.statements.label_text import MeasuredOn, Panel, Placement, Role
from labels.statements.place_questions import CHANNEL_WORDS, questions
from labels.statements.places import (
    Answer,
    Cap,
    Completeness,
    ParticularCode,
    Place,
    StatementBasis,
)
from labels.statements.type_sizes import in_points

__all__ = ["cap_findings", "same_words", "statement_problem"]

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
            return f'the prescribed sentence is missing: "{place.statement}"'
        if not same_words(place.statement, printed, all_caps=place.type.all_caps):
            return f'the words differ from the prescribed ones: "{place.statement}"'
    if place.basis is StatementBasis.CONTENT and not printed:
        content = "; ".join(variant.text for variant in place.variants)
        return f"the label must say, in words of your own: {content}"
    return ""


def _place(label: LabelToCheck) -> Place | None:
    return label.built.place


@rule(
    "PLACE-STATEMENT",
    "The statement the place prescribes is on the label",
    citation=PLACE_CITATION,
)
def statement(label: LabelToCheck) -> Iterator[Finding]:
    """Fixed words letter by letter; content in words of one's own."""
    place = _place(label)
    if place is None:
        return
    if place.basis is StatementBasis.UNKNOWN:
        yield Finding(
            what=f"the wording {place.place} prescribes was not read",
            where="place statement",
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
            where="place statement",
            mend="print the sentence exactly, or write it on the place's page",
        )


@rule(
    "PLACE-TYPE",
    "The place's statement has its size, place and weight",
    citation=PLACE_CITATION,
)
def statement_type(label: LabelToCheck) -> Iterator[Finding]:
    """The size asked of the drawing; the drawn glyphs are measured when printed."""
    place = _place(label)
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
            what=f"the statement is to be at least {points:f} point",
            where="place statement",
            mend="print it larger",
        )
    if place.type.on_principal_panel and element.panel is not Panel.PRINCIPAL_DISPLAY:
        yield Finding(
            what="the statement belongs on the principal display panel",
            where="place statement",
            mend="put it on the front",
        )
    if place.type.bold and Placement.BOLD not in element.placement:
        yield Finding(
            what="the statement is to be bold and conspicuous",
            where="place statement",
            mend="print it in bold",
        )


def _has(role: Role) -> Callable[[LabelToCheck], bool]:
    return lambda label: label.built.text.first(role) is not None


def _net_given(label: LabelToCheck) -> bool:
    element = label.built.text.first(Role.NET_QUANTITY)
    return element is not None and bool(re.search(r"\d", element.text))


def _printed(label: LabelToCheck, words: str) -> bool:
    return bool(words) and words in label.built.text.text


CHECKS: dict[ParticularCode, tuple[str, Callable[[LabelToCheck], bool]]] = {
    ParticularCode.PRODUCT_NAME: ("the name of the product", _has(Role.IDENTITY)),
    ParticularCode.INGREDIENTS_DESC_WEIGHT: (
        "the ingredients by weight",
        _has(Role.INGREDIENTS),
    ),
    ParticularCode.INGREDIENTS: ("the ingredients", _has(Role.INGREDIENTS)),
    ParticularCode.NET_QUANTITY: ("the net quantity", _net_given),
    ParticularCode.PRODUCER_NAME: (
        "the producer's name",
        lambda label: _printed(label, label.built.given.producer.name),
    ),
    ParticularCode.PRODUCER_ADDRESS: (
        "the producer's address",
        lambda label: _printed(label, label.built.given.producer.address),
    ),
    ParticularCode.MAILING_ADDRESS: (
        "a mailing address",
        lambda label: (
            _printed(label, label.built.given.producer.mailing_address)
            or _printed(label, label.built.given.producer.address)
        ),
    ),
    ParticularCode.PHONE: (
        "a telephone number",
        lambda label: _printed(label, label.built.given.producer.phone),
    ),
    ParticularCode.EMAIL: (
        "an e-mail address",
        lambda label: _printed(label, label.built.given.producer.email),
    ),
    ParticularCode.REGISTRATION_NUMBER: (
        "the registration or permit number",
        lambda label: _printed(label, label.built.given.producer.registration_number),
    ),
    ParticularCode.COUNTY_OF_ISSUE: (
        "the county that issued the number",
        lambda label: _printed(label, label.built.given.producer.county_of_issue),
    ),
    ParticularCode.UNIT_OF_GOVERNMENT: (
        "the unit of government you are registered with",
        lambda label: _printed(label, label.built.given.producer.county_of_issue),
    ),
    ParticularCode.MUNICIPALITY: (
        "the municipality",
        lambda label: _printed(label, label.built.given.producer.city),
    ),
    ParticularCode.DATE_MADE: ("the date it was made", _has(Role.MADE_ON)),
    ParticularCode.EXPIRATION_DATE: ("an expiration date", _has(Role.BEST_BY)),
    ParticularCode.BATCH_CODE: ("the lot or batch code", _has(Role.BATCH_CODE)),
}
"""What is looked for; allergens, claims and nutrition have rules of their own."""


@rule(
    "PLACE-PARTICULARS",
    "Everything else the place asks for is on the label",
    citation=PLACE_CITATION,
)
def particulars(label: LabelToCheck) -> Iterator[Finding]:
    """Always asked: missing is a finding; conditional: a question."""
    place = _place(label)
    if place is None:
        return
    for item in place.particulars:
        if item.code not in CHECKS or item.required in ("alternative", "recommended"):
            continue
        words, present = CHECKS[item.code]
        if _replaced(label, place, item.code) or present(label):
            continue
        detail = f" ({item.detail})" if item.detail else ""
        yield Finding(
            what=f"{words} is asked for by {place.place}{detail}",
            where="label",
            mend="enter it under the business' facts or on the batch",
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
    "One of the ways to reach the producer that the place accepts is given",
    citation=PLACE_CITATION,
)
def one_of_the_alternatives(label: LabelToCheck) -> Iterator[Finding]:
    """Some places accept an address, a telephone, an e-mail or a number."""
    place = _place(label)
    if place is None:
        return
    choices = [
        item.code for item in place.particulars if item.required == "alternative"
    ]
    known = [CHECKS[code] for code in choices if code in CHECKS]
    if known and not any(present(label) for _, present in known):
        yield Finding(
            what="none of these is given: " + ", ".join(words for words, _ in known),
            where="name and place of business",
            mend="enter one of them under the business' facts",
        )


@rule(
    "PLACE-UNITS",
    "The net quantity is in both systems of units",
    citation=PLACE_CITATION,
)
def both_units(label: LabelToCheck) -> Iterator[Finding]:
    """Where the place's profile says so."""
    place = _place(label)
    element = label.built.text.first(Role.NET_QUANTITY)
    if place is None or element is None:
        return
    asked = place.asks_for(ParticularCode.NET_QUANTITY)
    if not any("both US customary and metric" in item.detail for item in asked):
        return
    text = element.text.casefold()
    if not (re.search(r"\boz\b|\blb\b", text) and re.search(r"\d\s*k?g\b|ml\b", text)):
        yield Finding(
            what=f"{place.place} wants US customary and metric units",
            where="net quantity",
            mend="let the program write both",
        )


@rule(
    "PLACE-JAM",
    "The product may be made under the place's law",
    citation=PLACE_CITATION,
)
def jam_allowed(label: LabelToCheck) -> Iterator[Finding]:
    """Exclusions that touch jam are asked about, never decided."""
    place = _place(label)
    if place is None or place.jams_allowed is Answer.YES:
        return
    notes = "; ".join(place.jams_notes)
    refused = place.jams_allowed is Answer.NO
    yield Finding(
        what=f"{place.place} on jams: {notes or place.jams_allowed.value}",
        where="place profile",
        mend=f"ask {place.authority} before you sell it",
        asks=not refused,
    )


@rule(
    "PLACE-CHANNELS", "It is sold only where the place allows", citation=PLACE_CITATION
)
def channels(label: LabelToCheck) -> Iterator[Finding]:
    """Refused ways are findings, unread ones questions."""
    place = _place(label)
    if place is None:
        return
    note = f" ({place.channels_note})" if place.channels_note else ""
    for way in sorted(label.built.given.outlets.ways):
        answer = place.answer(way)
        if answer is Answer.YES:
            continue
        words = CHANNEL_WORDS.get(way, way)
        yield Finding(
            what=f"{place.place}: {words}: {answer.value}{note}",
            where="outlets",
            mend=f"ask {place.authority}"
            if answer is not Answer.NO
            else "do not sell it that way under this law",
            asks=answer is not Answer.NO,
        )


def cap_findings(place: Place, cap: Cap, sales: Decimal) -> Iterator[Finding]:
    """Yield what a year's sales say of one limit."""
    if not cap.is_exceeded_by(sales):
        return
    yield Finding(
        what=f"sales of {sales:,.2f} {cap.currency} this year pass the limit of "
        f"{cap.amount:,.0f} {cap.currency} ({cap.basis.replace('_', ' ')}, {cap.scope})",
        where="sales of the year",
        mend=place.on_exceeding or f"ask {place.authority} what to do",
        asks=cap.indexed,
    )


@rule(
    "PLACE-CAP",
    "Sales of the year are within the place's limit",
    citation=PLACE_CITATION,
)
def sales_cap(label: LabelToCheck) -> Iterator[Finding]:
    """An indexed limit asks for this year's figure instead of deciding."""
    place = _place(label)
    if place is None or label.sales_this_year is None:
        return
    if place.caps_kind == "per_product":
        return
    for cap in place.caps:
        if cap.applies_to_jam:
            yield from cap_findings(place, cap, label.sales_this_year)


@rule(
    "PLACE-SIGN",
    "The stall shows the sign the place asks for",
    citation=PLACE_CITATION,
    severity=Severity.NOTE,
)
def sign(label: LabelToCheck) -> Iterator[Finding]:
    """Reminds of the sign; its words may differ from the label's."""
    place = _place(label)
    if place is None or place.sign is None:
        return
    words = f' "{place.sign.text}"' if place.sign.text else ""
    yield Finding(
        what=f"sign, {place.sign.required}:{words} {place.sign.detail}".strip(),
        where="stall",
        mend="take it to the market with the jars",
        asks=True,
    )


@rule(
    "PLACE-READ",
    "The profile was read whole, and within a year",
    citation=PLACE_CITATION,
    severity=Severity.SHOULD,
)
def reading(label: LabelToCheck) -> Iterator[Finding]:
    """An unfinished or old profile allows no conclusion."""
    place = _place(label)
    if place is None:
        yield Finding(
            what="no place is chosen, so no home-kitchen law was looked at",
            where="place profile",
            mend="choose your place under the business' facts",
            asks=True,
        )
        return
    if place.is_stale(on=label.on):
        yield Finding(
            what=f"the profile of {place.place} was read on {place.read_on}, "
            "more than a year ago",
            where="place profile",
            mend=f"ask {place.authority} what has changed",
            asks=True,
        )
    if place.completeness in (Completeness.PARTIAL, Completeness.OUTLINE):
        for question in questions(place):
            yield Finding(
                what=f"the profile of {place.place} is {place.completeness.value}",
                where="place profile",
                mend=question,
                asks=True,
            )
