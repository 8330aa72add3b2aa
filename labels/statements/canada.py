"""The label text of Canada, in English and French.

Sources: Food and Drug Regulations, C.R.C. c. 870 (current to 14 June 2026);
Safe Food for Canadians Regulations, SOR/2018-108.
"""

from inventory.words import say
from labels.statements import elements
from labels.statements.allergens import AllergenRegime, contains_words, species_missing
from labels.statements.dates import KeepingTime, best_before_ca, date_needed_ca, lot_ca
from labels.statements.elements import Slot
from labels.statements.ingredient_laws import CA_FR_WORDS, CA_LAW, CA_WORDS
from labels.statements.ingredient_list import IngredientList
from labels.statements.ingredient_text import ingredient_runs
from labels.statements.label_input import LabelInput
from labels.statements.label_text import (
    LabelElement,
    Panel,
    Placement,
    Role,
    Run,
)
from labels.statements.net_quantity import canadian
from labels.statements.places import Place
from labels.statements.type_sizes import CA_INGREDIENTS, CA_NET_QUANTITY, CA_OTHER

__all__ = ["build_ca"]

FDR = "Food and Drug Regulations"
SFCR = "Safe Food for Canadians Regulations"
IDENTITY = Slot(
    size=CA_OTHER,
    panel=Panel.PRINCIPAL_DISPLAY,
    citation=f"{FDR} B.01.006; {SFCR} 218(1)(a)",
)
NET_QUANTITY = Slot(
    size=CA_NET_QUANTITY,
    panel=Panel.PRINCIPAL_DISPLAY,
    citation=f"{SFCR} 221, 229-235",
    placement=frozenset({Placement.BOLD}),
)
INGREDIENTS = Slot(
    size=CA_INGREDIENTS, panel=Panel.INFORMATION, citation=f"{FDR} B.01.008.2"
)
ALLERGENS = Slot(
    size=CA_INGREDIENTS,
    panel=Panel.INFORMATION,
    citation=f"{FDR} B.01.010.3",
    placement=frozenset({Placement.NEXT_TO_INGREDIENTS}),
)
PRODUCER = Slot(size=CA_OTHER, panel=Panel.INFORMATION, citation=f"{SFCR} 218(1)(b)")
LOT = Slot(size=CA_OTHER, panel=Panel.INFORMATION, citation=f"{SFCR} 92")
OWN = Slot(size=CA_OTHER, panel=Panel.INFORMATION, mandatory=False)
SUCRES = {"Sugars": "Sucres"}
"""Words of groups in French (B.01.008.3)."""


def build_ca(
    given: LabelInput, place: Place | None
) -> tuple[tuple[LabelElement, ...], IngredientList, tuple[str, ...]]:
    """Return the elements, the list behind them and reasons for a draft."""
    stated, entries = elements.ingredients(given, CA_LAW, CA_WORDS, INGREDIENTS)
    names = [given.identity, given.identity_in("fr") or ""]
    identity = " / ".join(name for name in names if name)
    found = [
        elements.text(Role.IDENTITY, identity, IDENTITY),
        elements.text(Role.NET_QUANTITY, canadian(given.quantity), NET_QUANTITY),
        stated,
        *_contains(entries, AllergenRegime.CA),
        _french_list(entries),
        *_contains(entries, AllergenRegime.CA_FR),
        *elements.optional(Role.CROSS_CONTACT, given.cross_contact_note, CA_OTHER),
        elements.producer(given, place, PRODUCER),
        *elements.place_elements(given, place, CA_OTHER),
        *_dates_and_lot(given),
        *elements.optional(Role.STORAGE, given.storage, CA_OTHER),
        *(elements.text(Role.CLAIM, claim, OWN) for claim in given.claims),
        *elements.optional(Role.MAKER_NOTE, given.maker_note, CA_OTHER),
    ]
    return tuple(found), entries, _draft_reasons(given, entries)


def _french_list(entries: IngredientList) -> LabelElement:
    runs = ingredient_runs(entries, CA_FR_WORDS)
    for english, french in SUCRES.items():
        runs = tuple(
            Run(
                text=run.text.replace(f"{english} (", f"{french} ("),
                emphasis=run.emphasis,
            )
            for run in runs
        )
    return LabelElement(
        role=Role.INGREDIENTS,
        runs=runs,
        size=INGREDIENTS.size,
        panel=INGREDIENTS.panel,
        citation=f"{FDR} B.01.012(2)",
    )


def _contains(entries: IngredientList, regime: AllergenRegime) -> list[LabelElement]:
    words = contains_words(entries.marks, regime)
    if not words:
        return []
    french = regime is AllergenRegime.CA_FR
    title, colon = ("Contient", " : ") if french else ("Contains", ": ")
    return [
        LabelElement(
            role=Role.ALLERGENS,
            runs=(
                Run(text=title, emphasis=True),
                Run(text=f"{colon}{', '.join(words)}"),
            ),
            size=ALLERGENS.size,
            panel=ALLERGENS.panel,
            citation=ALLERGENS.citation,
            placement=ALLERGENS.placement,
        )
    ]


def _dates_and_lot(given: LabelInput) -> list[LabelElement]:
    found = []
    if given.made_on and given.best_before_on:
        keeping = KeepingTime(
            made_on=given.made_on, best_before_on=given.best_before_on
        )
        slot = Slot(
            size=CA_OTHER,
            panel=Panel.INFORMATION,
            citation=f"{FDR} B.01.007(1.1)(b), (4)-(6)",
            mandatory=date_needed_ca(keeping),
        )
        found.append(elements.text(Role.BEST_BY, best_before_ca(keeping), slot))
    if given.batch_code:
        found.append(elements.text(Role.BATCH_CODE, lot_ca(given.batch_code), LOT))
    return found


def _draft_reasons(given: LabelInput, entries: IngredientList) -> tuple[str, ...]:
    reasons = []
    if not given.identity_in("fr"):
        reasons.append(say("the name of the food in French is missing"))
    without = sorted(
        {
            substance.name
            for entry in entries.everything
            if not entry.group_name
            for substance in entry.substance.walk()
            if not substance.name_in("fr")
        }
        | {
            part.substance.name
            for entry in entries.everything
            for part in entry.parts
            if not part.substance.name_in("fr")
        }
    )
    if without:
        reasons.append(
            say("French names are missing for: {without}", without=", ".join(without))
        )
    reasons += [
        f'the species of "{mark.code}" is not entered; the label must name it'
        for mark in species_missing(entries.marks, AllergenRegime.CA)
    ]
    return tuple(reasons)
