"""The whole label text of a jar, for a jurisdiction and a place."""

from dataclasses import dataclass

from labels.statements.anz_codex import build_anz, build_codex
from labels.statements.canada import build_ca
from labels.statements.elements import in_the_places_size
from labels.statements.eu import build_eu
from labels.statements.ingredient_list import IngredientList
from labels.statements.label_input import Jurisdiction, LabelInput
from labels.statements.label_text import LabelElement, LabelText
from labels.statements.place_questions import questions
from labels.statements.places import Place, StatementBasis
from labels.statements.us import build_us

__all__ = ["BuiltLabel", "build_label"]

LANGUAGES = {
    Jurisdiction.US: "en-US",
    Jurisdiction.EU: "en",
    Jurisdiction.UK: "en-GB",
    Jurisdiction.CA: "en-CA",
    Jurisdiction.AU: "en-AU",
    Jurisdiction.NZ: "en-NZ",
    Jurisdiction.CODEX: "en",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class BuiltLabel:
    """A label text with the list behind its ingredient statement.

    Attributes:
        text: what is printed.
        ingredient_list: order, what was left off and why, sulphites.
        given: what it was made from.
        place: the place profile it follows, if any.
        jurisdiction: whose package law it follows.
    """

    text: LabelText
    ingredient_list: IngredientList
    given: LabelInput
    place: Place | None
    jurisdiction: Jurisdiction


def build_label(
    given: LabelInput, jurisdiction: Jurisdiction, place: Place | None = None
) -> BuiltLabel:
    """Write the whole label text.

    Args:
        given: recipe as used, batch, producer and the maker's own words.
        jurisdiction: whose package law to follow.
        place: the place's home-kitchen law, or ``None``.

    Returns:
        The text in reading order. Its ``draft_reasons`` are empty only where
        it may be printed.
    """
    found, entries, reasons = _elements(given, jurisdiction, place)
    text = LabelText(
        jurisdiction=jurisdiction.value,
        language=LANGUAGES[jurisdiction],
        elements=in_the_places_size(found, place),
        place_code=place.code if place else "",
        draft_reasons=(*reasons, *_place_reasons(place)),
    )
    return BuiltLabel(
        text=text,
        ingredient_list=entries,
        given=given,
        place=place,
        jurisdiction=jurisdiction,
    )


def _elements(
    given: LabelInput, jurisdiction: Jurisdiction, place: Place | None
) -> tuple[tuple[LabelElement, ...], IngredientList, tuple[str, ...]]:
    if jurisdiction is Jurisdiction.US:
        return build_us(given, place)
    if jurisdiction in (Jurisdiction.EU, Jurisdiction.UK):
        return build_eu(given, place, jurisdiction)
    if jurisdiction is Jurisdiction.CA:
        return build_ca(given, place)
    if jurisdiction is Jurisdiction.CODEX:
        return build_codex(given, place)
    return build_anz(given, place)


def _place_reasons(place: Place | None) -> tuple[str, ...]:
    """Why a place's profile allows no more than a draft."""
    if place is None:
        return ()
    if place.may_be_printed_from:
        open_content = place.basis is StatementBasis.CONTENT and not place.words
        return questions(place)[:1] if open_content else ()
    first = (
        f"the profile of {place.place} is {place.completeness}: "
        "labels stay drafts until its questions are answered"
    )
    return (first, *questions(place))
