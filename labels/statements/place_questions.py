"""What the maker must ask the authority, because it was not read."""

from collections.abc import Iterator

from labels.statements.places import Answer, Completeness, Place, StatementBasis

__all__ = ["CHANNEL_WORDS", "questions"]

CHANNEL_WORDS = {
    "home": "sold from the home",
    "farmers_market": "sold at a farmers' market",
    "events": "sold at fairs and events",
    "roadside_stand": "sold at a roadside stand",
    "online_order": "ordered online",
    "in_state_shipping": "posted inside the state",
    "stores_wholesale": "sold through shops",
    "restaurants_as_ingredient": "sold to restaurants",
    "interstate": "sold to another state",
}


def questions(place: Place) -> tuple[str, ...]:
    """Return every open question of a profile, a sentence each."""
    who = place.authority or "your authority"
    asked = (
        *_on_statement(place, who),
        *_on_reading(place, who),
        *_on_sales(place, who),
        *_on_channels(place, who),
    )
    return tuple(asked)


def _on_statement(place: Place, who: str) -> Iterator[str]:
    if place.basis is StatementBasis.UNKNOWN:
        yield f"Ask {who} which sentence, if any, the label must carry, word for word."
    if place.basis is StatementBasis.CONTENT and not place.own_statement:
        content = "; ".join(variant.text for variant in place.variants)
        yield f"Write the sentence the label must carry. It has to say: {content}."


def _on_reading(place: Place, who: str) -> Iterator[str]:
    if place.completeness in (Completeness.PARTIAL, Completeness.OUTLINE):
        law = place.citation or "the law"
        yield f"Ask {who} whether {law} has changed since it was read."
    if place.completeness is Completeness.OUTLINE:
        yield f"Ask {who} what else the label must carry, and in what type size."


def _on_sales(place: Place, who: str) -> Iterator[str]:
    if place.caps_kind == "unknown":
        yield f"Ask {who} whether sales in a year are limited, and to how much."
    if any(cap.indexed and cap.applies_to_jam for cap in place.caps):
        yield f"Ask {who} for this year's sales limit: the amount read is raised yearly."
    if place.registration_kind == "unknown":
        yield f"Ask {who} whether to register, and what it costs."
    if place.jams_allowed in (Answer.UNKNOWN, Answer.CONDITIONAL):
        yield f"Ask {who} whether this very product may be sold under the law."


def _on_channels(place: Place, who: str) -> Iterator[str]:
    unknown = [
        CHANNEL_WORDS[name]
        for name, answer in place.channels
        if answer is Answer.UNKNOWN and name in CHANNEL_WORDS
    ]
    if unknown:
        yield f"Ask {who} whether jars may be {', '.join(unknown)}."
