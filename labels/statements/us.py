"""The label text of the United States: federal rules, then the state's.

Sources: 21 CFR part 101; 21 USC 343; 15 USC 1453.
"""

from labels.statements import elements
from labels.statements.allergens import AllergenRegime, contains_words, species_missing
from labels.statements.dates import KeepingTime, best_by_us
from labels.statements.elements import Slot
from labels.statements.ingredient_laws import US_LAW, US_WORDS
from labels.statements.ingredient_list import IngredientList
from labels.statements.label_input import LabelInput
from labels.statements.label_text import (
    LabelElement,
    Panel,
    Placement,
    Role,
    plain,
)
from labels.statements.net_quantity import us_weight
from labels.statements.nutrition_us import Serving, nutrition_facts
from labels.statements.places import Place
from labels.statements.type_sizes import (
    US_ALLERGENS,
    US_IDENTITY,
    US_NET_QUANTITY,
    US_NUTRITION,
    US_TEXT,
)

__all__ = ["build_us"]

IDENTITY = Slot(
    size=US_IDENTITY,
    panel=Panel.PRINCIPAL_DISPLAY,
    citation="21 CFR 101.3",
    placement=frozenset({Placement.BOLD}),
)
NET_QUANTITY = Slot(
    size=US_NET_QUANTITY,
    panel=Panel.PRINCIPAL_DISPLAY,
    citation="21 CFR 101.7; 15 USC 1453(a)(2)",
    placement=frozenset({Placement.BOTTOM_30_PERCENT, Placement.CLEAR_SPACE}),
)
INGREDIENTS = Slot(size=US_TEXT, panel=Panel.INFORMATION, citation="21 CFR 101.4")
ALLERGENS = Slot(
    size=US_ALLERGENS,
    panel=Panel.INFORMATION,
    citation="21 USC 343(w)(1)(A)",
    placement=frozenset({Placement.NEXT_TO_INGREDIENTS}),
)
PRODUCER = Slot(size=US_TEXT, panel=Panel.INFORMATION, citation="21 CFR 101.5")
OWN = Slot(size=US_TEXT, panel=Panel.INFORMATION, mandatory=False)


def build_us(
    given: LabelInput, place: Place | None
) -> tuple[tuple[LabelElement, ...], IngredientList, tuple[str, ...]]:
    """Return the elements, the list behind them and reasons for a draft."""
    stated, entries = elements.ingredients(given, US_LAW, US_WORDS, INGREDIENTS)
    found = [
        elements.text(Role.IDENTITY, given.identity, IDENTITY),
        elements.text(Role.NET_QUANTITY, us_weight(given.quantity), NET_QUANTITY),
        stated,
        *_contains(entries),
        *elements.optional(Role.CROSS_CONTACT, given.cross_contact_note, US_TEXT),
        elements.producer(given, place, PRODUCER),
        *elements.place_elements(given, place, US_TEXT),
        *_dates_and_code(given),
        *elements.optional(Role.STORAGE, given.storage, US_TEXT),
        *_nutrition(given),
        *(elements.text(Role.CLAIM, claim, OWN) for claim in given.claims),
        *elements.optional(Role.MAKER_NOTE, given.maker_note, US_TEXT),
    ]
    return tuple(found), entries, _species_reasons(entries)


def _contains(entries: IngredientList) -> list[LabelElement]:
    words = contains_words(entries.marks, AllergenRegime.US)
    if not words:
        return []
    return [elements.text(Role.ALLERGENS, f"Contains: {', '.join(words)}.", ALLERGENS)]


def _species_reasons(entries: IngredientList) -> tuple[str, ...]:
    return tuple(
        f'the species of "{mark.code}" is not entered; the label must name it'
        for mark in species_missing(entries.marks, AllergenRegime.US)
    )


def _dates_and_code(given: LabelInput) -> list[LabelElement]:
    found = []
    if given.made_on and given.best_before_on:
        keeping = KeepingTime(
            made_on=given.made_on, best_before_on=given.best_before_on
        )
        found.append(elements.text(Role.BEST_BY, best_by_us(keeping), OWN))
    if given.batch_code:
        words = f"Batch {given.batch_code}"
        found.append(elements.text(Role.BATCH_CODE, words, OWN))
    return found


def _nutrition(given: LabelInput) -> list[LabelElement]:
    if given.nutrition is None:
        return []
    serving = Serving(
        measure="1 tbsp",
        mass_g=given.serving_g,
        net_g=given.quantity.exact_metric,
    )
    panel = nutrition_facts(given.nutrition, serving)
    return [
        LabelElement(
            role=Role.NUTRITION,
            runs=plain(panel.linear),
            size=US_NUTRITION,
            panel=Panel.INFORMATION,
            citation="21 CFR 101.9",
            placement=frozenset({Placement.IN_A_BOX}),
            nutrition=panel,
        )
    ]
