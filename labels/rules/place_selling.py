"""Rules on selling under a place's law: product, ways, yearly limit, sign."""

from collections.abc import Iterator
from decimal import Decimal

from inventory.words import say, to_say
from labels.rules.rule import (
    PLACE_CITATION,
    Finding,
    LabelToCheck,
    Severity,
    rule,
)
from labels.statements.place_questions import CHANNEL_WORDS
from labels.statements.places import Answer, Cap, Place

__all__ = ["cap_findings"]


@rule(
    "PLACE-JAM",
    to_say("The product may be made under the place's law"),
    citation=PLACE_CITATION,
)
def jam_allowed(label: LabelToCheck) -> Iterator[Finding]:
    """Exclusions that touch jam are asked about, never decided."""
    place = label.built.place
    if place is None or place.jams_allowed is Answer.YES:
        return
    notes = "; ".join(place.jams_notes)
    refused = place.jams_allowed is Answer.NO
    yield Finding(
        what=say(
            "{place} on jams: {notes}",
            place=place.place,
            notes=notes or place.jams_allowed.value,
        ),
        where=say("place profile"),
        mend=say("ask {authority} before you sell it", authority=place.authority),
        asks=not refused,
    )


@rule(
    "PLACE-CHANNELS",
    to_say("It is sold only where the place allows"),
    citation=PLACE_CITATION,
)
def channels(label: LabelToCheck) -> Iterator[Finding]:
    """Refused ways are findings, unread ones questions."""
    place = label.built.place
    if place is None:
        return
    for way in sorted(label.built.given.outlets.ways):
        answer = place.answer(way)
        if answer is not Answer.YES:
            yield _channel_finding(place, say(CHANNEL_WORDS.get(way, way)), answer)


def _channel_finding(place: Place, words: str, answer: Answer) -> Finding:
    note = f" ({place.channels_note})" if place.channels_note else ""
    said = {
        Answer.NO: say(
            "{place} does not let jars be {words}{note}",
            place=place.place,
            words=words,
            note=note,
        ),
        Answer.CONDITIONAL: say(
            "{place} lets jars be {words} only in part{note}",
            place=place.place,
            words=words,
            note=note,
        ),
        Answer.UNKNOWN: say(
            "whether {place} lets jars be {words} was not read",
            place=place.place,
            words=words,
        ),
    }
    refused = answer is Answer.NO
    return Finding(
        what=said[answer],
        where=say("outlets"),
        mend=say("do not sell it that way under this law")
        if refused
        else say("ask {authority}", authority=place.authority),
        asks=not refused,
    )


def cap_findings(place: Place, cap: Cap, sales: Decimal) -> Iterator[Finding]:
    """Yield what a year's sales say of one limit."""
    if not cap.is_exceeded_by(sales):
        return
    yield Finding(
        what=say(
            "sales of {sales:,.2f} {currency} this year pass the limit of "
            "{amount:,.0f} {currency} ({basis}, {scope})",
            sales=sales,
            currency=cap.currency,
            amount=cap.amount,
            basis=cap.basis.replace("_", " "),
            scope=cap.scope,
        ),
        where=say("sales of the year"),
        mend=place.on_exceeding
        or say("ask {authority} what to do", authority=place.authority),
        asks=cap.indexed,
    )


@rule(
    "PLACE-CAP",
    to_say("Sales of the year are within the place's limit"),
    citation=PLACE_CITATION,
)
def sales_cap(label: LabelToCheck) -> Iterator[Finding]:
    """An indexed limit asks for this year's figure instead of deciding."""
    place = label.built.place
    if place is None or label.sales_this_year is None:
        return
    if place.caps_kind == "unknown":
        yield Finding(
            what=say(
                "whether {place} limits the sales of a year was not read",
                place=place.place,
            ),
            where=say("sales of the year"),
            mend=say("ask {authority}", authority=place.authority),
            asks=True,
        )
    if place.caps_kind == "per_product":
        return
    for cap in place.caps:
        if cap.applies_to_jam:
            yield from cap_findings(place, cap, label.sales_this_year)


@rule(
    "PLACE-SIGN",
    to_say("The stall shows the sign the place asks for"),
    citation=PLACE_CITATION,
    severity=Severity.NOTE,
)
def sign(label: LabelToCheck) -> Iterator[Finding]:
    """Reminds of the sign; its words may differ from the label's."""
    place = label.built.place
    if place is None or place.sign is None:
        return
    words = f' "{place.sign.text}"' if place.sign.text else ""
    yield Finding(
        what=f"sign, {place.sign.required}:{words} {place.sign.detail}".strip(),
        where=say("stall"),
        mend=say("take it to the market with the jars"),
        asks=True,
    )
