"""The label texts of Australia and New Zealand, and of the Codex standards.

Sources: Food Standards Code, Standards 1.2.1-1.2.10, Schedules 9, 10 (mostly
second-hand); CXS 1-1985 and CXS 296-2009 (mostly from memory).
"""

from collections.abc import Callable

from labels.statements import elements
from labels.statements.allergens import AllergenRegime, contains_words, declared_in
from labels.statements.dates import KeepingTime, best_before_anz, best_before_eu
from labels.statements.elements import Slot
from labels.statements.fruit_content import fruit_content, fruit_line, quantified
from labels.statements.ingredient_laws import (
    ANZ_LAW,
    ANZ_WORDS,
    CODEX_LAW,
    CODEX_WORDS,
)
from labels.statements.ingredient_list import IngredientList
from labels.statements.label_input import LabelInput
from labels.statements.label_text import LabelElement, Panel, Placement, Role, Run
from labels.statements.net_quantity import metric
from labels.statements.places import Place

__all__ = ["build_anz", "build_codex"]

FRONT = Slot(panel=Panel.PRINCIPAL_DISPLAY, citation="Food Standards Code 1.2.1")
CODE = Slot(panel=Panel.INFORMATION, citation="Food Standards Code 1.2.1")
LIST = Slot(panel=Panel.INFORMATION, citation="Food Standards Code 1.2.3, 1.2.4")
SHARE = Slot(panel=Panel.INFORMATION, citation="Food Standards Code 1.2.10")
CODEX_FRONT = Slot(panel=Panel.PRINCIPAL_DISPLAY, citation="CXS 1-1985 section 4")
CODEX = Slot(panel=Panel.INFORMATION, citation="CXS 1-1985 section 4")
CODEX_FRUIT = Slot(panel=Panel.PRINCIPAL_DISPLAY, citation="CXS 296-2009 8.3")
GLUTEN = frozenset({"wheat", "rye", "barley", "oats"})

Built = tuple[tuple[LabelElement, ...], IngredientList, tuple[str, ...]]


def build_anz(given: LabelInput, place: Place | None) -> Built:
    """Return the elements of an Australian or New Zealand label."""
    stated, entries = elements.ingredients(given, ANZ_LAW, ANZ_WORDS, LIST)
    found = [
        elements.text(Role.IDENTITY, given.identity, FRONT),
        elements.text(Role.NET_QUANTITY, metric(given.quantity), FRONT),
        stated,
        *_summary(entries),
        *elements.optional(Role.CROSS_CONTACT, given.cross_contact_note, None),
        *_characterising(given),
        *_date(given, best_before_anz, CODE),
        *elements.optional(Role.STORAGE, given.storage, None),
        elements.producer(given, place, CODE),
        *elements.place_elements(given, place, None),
        *_lot(given, CODE),
        *_own(given),
    ]
    return tuple(found), entries, ()


def _summary(entries: IngredientList) -> list[LabelElement]:
    """Return the bold summary, gluten named beside its cereals (1.2.3-6, -7)."""
    words = set(contains_words(entries.marks, AllergenRegime.ANZ))
    if not words:
        return []
    declared = declared_in(entries.marks, AllergenRegime.ANZ)
    if any(mark.code in GLUTEN for mark in declared):
        words.add("gluten")
    text = f"Contains {', '.join(sorted(words, key=str.casefold))}"
    return [
        LabelElement(
            role=Role.ALLERGENS,
            runs=(Run(text=text, emphasis=True),),
            panel=Panel.INFORMATION,
            citation="Food Standards Code 1.2.3-6, -7",
            placement=frozenset({Placement.NEXT_TO_INGREDIENTS}),
        )
    ]


def _characterising(given: LabelInput) -> list[LabelElement]:
    """Return the percentage of the fruit that names the food (1.2.10)."""
    content = fruit_content(given.recipe.ingredients, given.recipe.finished_mass_g)
    names = [name for name, _ in content.terms] if given.is_jam else []
    names += [name for name in given.named_ingredients if name not in names]
    if not names:
        return []
    recipe = given.recipe
    shares = quantified(names, recipe.ingredients, recipe.finished_mass_g)
    words = ", ".join(shares.text(name) for name in names)
    return [elements.text(Role.FRUIT_CONTENT, f"Contains {words}", SHARE)]


def build_codex(given: LabelInput, place: Place | None) -> Built:
    """Return the elements a Codex label has."""
    stated, entries = elements.ingredients(given, CODEX_LAW, CODEX_WORDS, CODEX)
    content = fruit_content(given.recipe.ingredients, given.recipe.finished_mass_g)
    found = [
        elements.text(Role.IDENTITY, given.identity, CODEX_FRONT),
        elements.text(Role.NET_QUANTITY, metric(given.quantity), CODEX_FRONT),
        stated,
        *elements.optional(Role.CROSS_CONTACT, given.cross_contact_note, None),
        *_date(given, best_before_eu, CODEX),
        *elements.optional(Role.STORAGE, given.storage, None),
        elements.producer(given, place, CODEX),
        *elements.place_elements(given, place, None),
        *_lot(given, CODEX),
        *_own(given),
    ]
    if given.is_jam and content.fruit_g:
        words = fruit_line(content)
        found.insert(2, elements.text(Role.FRUIT_CONTENT, words, CODEX_FRUIT))
    return tuple(found), entries, ()


def _date(
    given: LabelInput, form: Callable[[KeepingTime], str], slot: Slot
) -> list[LabelElement]:
    if not (given.made_on and given.best_before_on):
        return []
    keeping = KeepingTime(made_on=given.made_on, best_before_on=given.best_before_on)
    return [elements.text(Role.BEST_BY, form(keeping), slot)]


def _lot(given: LabelInput, slot: Slot) -> list[LabelElement]:
    if not given.batch_code:
        return []
    return [elements.text(Role.BATCH_CODE, f"Lot {given.batch_code}", slot)]


def _own(given: LabelInput) -> list[LabelElement]:
    slot = Slot(panel=Panel.INFORMATION, mandatory=False)
    return [
        *(elements.text(Role.CLAIM, claim, slot) for claim in given.claims),
        *elements.optional(Role.MAKER_NOTE, given.maker_note, None),
    ]
