"""What the maker must ask the authority, because it was not read."""

from collections.abc import Iterator

from inventory.words import say, to_say
from labels.statements.places import Answer, Completeness, Place, StatementBasis

__all__ = ["CHANNEL_WORDS", "questions"]

CHANNEL_WORDS = {
    "home": to_say("sold from the home"),
    "farmers_market": to_say("sold at a farmers' market"),
    "events": to_say("sold at fairs and events"),
    "roadside_stand": to_say("sold at a roadside stand"),
    "online_order": to_say("ordered online"),
    "in_state_shipping": to_say("posted inside the state"),
    "stores_wholesale": to_say("sold through shops"),
    "restaurants_as_ingredient": to_say("sold to restaurants"),
    "interstate": to_say("sold to another state"),
}


def questions(place: Place) -> tuple[str, ...]:
    """Return every open question of a profile, a sentence each."""
    who = place.authority or say("your authority")
    asked = (
        *_on_statement(place, who),
        *_on_reading(place, who),
        *_on_sales(place, who),
        *_on_channels(place, who),
    )
    return tuple(asked)


def _on_statement(place: Place, who: str) -> Iterator[str]:
    if place.basis is StatementBasis.UNKNOWN:
        yield say(
            "Ask {who} which sentence, if any, the label must carry, word for word.",
            who=who,
        )
    if place.basis is StatementBasis.CONTENT and not place.own_statement:
        content = "; ".join(variant.text for variant in place.variants)
        yield say(
            "Write the sentence the label must carry. It has to say: {content}.",
            content=content,
        )


def _on_reading(place: Place, who: str) -> Iterator[str]:
    if place.completeness in (Completeness.PARTIAL, Completeness.OUTLINE):
        law = place.citation or say("the law")
        yield say(
            "Ask {who} whether {law} has changed since it was read.", who=who, law=law
        )
    if place.completeness is Completeness.OUTLINE:
        yield say(
            "Ask {who} what else the label must carry, and in what type size.", who=who
        )


def _on_sales(place: Place, who: str) -> Iterator[str]:
    if place.caps_kind == "unknown":
        yield say(
            "Ask {who} whether sales in a year are limited, and to how much.", who=who
        )
    if any(cap.indexed and cap.applies_to_jam for cap in place.caps):
        yield say(
            "Ask {who} for this year's sales limit: the amount read is raised yearly.",
            who=who,
        )
    if place.registration_kind == "unknown":
        yield say("Ask {who} whether to register, and what it costs.", who=who)
    if place.jams_allowed in (Answer.UNKNOWN, Answer.CONDITIONAL):
        yield say(
            "Ask {who} whether this very product may be sold under the law.", who=who
        )


def _on_channels(place: Place, who: str) -> Iterator[str]:
    unknown = [
        say(CHANNEL_WORDS[name])
        for name, answer in place.channels
        if answer is Answer.UNKNOWN and name in CHANNEL_WORDS
    ]
    if unknown:
        yield say(
            "Ask {who} whether jars may be {unknown}.",
            who=who,
            unknown=", ".join(unknown),
        )
