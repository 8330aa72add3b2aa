"""Elements that every place's label is put together from."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from labels.statements.ingredient_list import IngredientList, ListLaw, compose
from labels.statements.ingredient_text import ListWords, ingredient_runs
from labels.statements.label_input import LabelInput
from labels.statements.label_text import (
    LabelElement,
    MeasuredOn,
    Panel,
    Placement,
    Role,
    TypeSize,
    TypeSizeRule,
    plain,
)
from labels.statements.places import ParticularCode, Place, StatementBasis
from labels.statements.type_sizes import in_points, place_statement

__all__ = [
    "Slot",
    "in_the_places_size",
    "ingredients",
    "optional",
    "place_elements",
    "producer",
    "text",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """Where and how an element of a place's label stands."""

    size: TypeSizeRule | None = None
    panel: Panel = Panel.ANY
    citation: str = ""
    mandatory: bool = True
    placement: frozenset[Placement] = frozenset()


def text(role: Role, words: str, slot: Slot, *, verbatim: bool = False) -> LabelElement:
    """Return an element of plain words in its slot."""
    return LabelElement(
        role=role,
        runs=plain(words),
        size=slot.size,
        panel=slot.panel,
        mandatory=slot.mandatory,
        citation=slot.citation,
        placement=slot.placement,
        verbatim=verbatim,
    )


def ingredients(
    given: LabelInput, law: ListLaw, words: ListWords, slot: Slot
) -> tuple[LabelElement, IngredientList]:
    """Return the ingredient statement and the list behind it."""
    entries = compose(given.recipe, law)
    element = LabelElement(
        role=Role.INGREDIENTS,
        runs=ingredient_runs(entries, words),
        size=slot.size,
        panel=slot.panel,
        mandatory=slot.mandatory,
        citation=slot.citation,
        placement=slot.placement,
    )
    return element, entries


def producer(given: LabelInput, place: Place | None, slot: Slot) -> LabelElement:
    """Return name and place of business, with what the place adds to it."""
    maker = given.producer
    lines = [maker.name, maker.address]
    if place:
        lines += _asked_lines(given, place)
    words = ", ".join(line for line in lines if line)
    return text(Role.PRODUCER, words, slot)


def _asked_lines(given: LabelInput, place: Place) -> list[str]:
    """Telephone, e-mail and postal address where the place asks for them."""
    maker = given.producer
    asked = {item.code for item in place.particulars}
    lines = {
        ParticularCode.MAILING_ADDRESS: maker.mailing_address
        and f"post: {maker.mailing_address}",
        ParticularCode.PHONE: maker.phone,
        ParticularCode.EMAIL: maker.email,
    }
    return [line for code, line in lines.items() if code in asked and line]


def place_elements(
    given: LabelInput, place: Place | None, base: TypeSizeRule | None
) -> list[LabelElement]:
    """Return what a place's home-kitchen law adds to the label.

    Never words from memory: a profile without its words adds none, and the
    label stays a draft.
    """
    if place is None:
        return []
    found = []
    if place.words and place.basis is not StatementBasis.UNKNOWN:
        found.append(_statement(place, base))
    slot = Slot(size=base, panel=Panel.INFORMATION, citation=place.citation)
    number = _registration_words(given, place)
    if number:
        found.append(text(Role.REGISTRATION, number, slot))
    if given.made_on and place.asks_for(ParticularCode.DATE_MADE):
        day = f"{given.made_on:%B} {given.made_on.day}, {given.made_on.year}"
        found.append(text(Role.MADE_ON, f"Made on {day}", slot))
    return found


def _statement(place: Place, base: TypeSizeRule | None) -> LabelElement:
    rules = place.type
    on_front = rules.on_principal_panel
    mandatory = place.basis in (StatementBasis.EXACT, StatementBasis.CONTENT)
    return text(
        Role.PLACE_STATEMENT,
        place.words,
        Slot(
            size=place_statement(
                rules.min_point_size, rules.min_height_mm, place.citation, base
            ),
            panel=Panel.PRINCIPAL_DISPLAY if on_front else Panel.ANY,
            citation=place.citation,
            mandatory=mandatory,
            placement=frozenset({Placement.BOLD} if rules.bold else ()),
        ),
        verbatim=place.basis is StatementBasis.EXACT,
    )


def _registration_words(given: LabelInput, place: Place) -> str:
    """Return the registration number with where it was issued."""
    maker = given.producer
    asked = place.asks_for(
        ParticularCode.REGISTRATION_NUMBER, ParticularCode.COUNTY_OF_ISSUE
    )
    if not maker.registration_number or not (asked or maker.number_replaces_address):
        return ""
    issued = f", {maker.county_of_issue}" if maker.county_of_issue else ""
    return f"Reg. No. {maker.registration_number}{issued}"


def optional(role: Role, words: str, base: TypeSizeRule | None) -> list[LabelElement]:
    """Return an element nobody asks for, or none where there are no words."""
    if not words:
        return []
    slot = Slot(size=base, panel=Panel.INFORMATION, mandatory=False)
    return [text(role, words, slot)]


THE_PLACES_INFORMATION = frozenset(
    {
        Role.IDENTITY,
        Role.NET_QUANTITY,
        Role.INGREDIENTS,
        Role.ALLERGENS,
        Role.PRODUCER,
        Role.REGISTRATION,
        Role.MADE_ON,
        Role.PLACE_STATEMENT,
    }
)
"""What a place means by "all the information" of its label."""


def in_the_places_size(
    found: Iterable[LabelElement], place: Place | None
) -> tuple[LabelElement, ...]:
    """Return the elements, none smaller than a place asks of the whole label."""
    found = tuple(found)
    if place is None or not place.type.all_text or place.type.min_point_size is None:
        return found
    asked = TypeSize(
        minimum_mm=in_points(place.type.min_point_size),
        measured_on=MeasuredOn.POINT,
        citation=place.citation,
    )
    return tuple(
        replace(element, size=_with(element.size, asked))
        if element.role in THE_PLACES_INFORMATION
        else element
        for element in found
    )


def _with(size: TypeSizeRule | None, asked: TypeSize) -> TypeSizeRule:
    return TypeSizeRule.fixed(asked) if size is None else replace(size, also=asked)
