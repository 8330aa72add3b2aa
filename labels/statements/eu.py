"""The label text of the European Union and of the United Kingdom.

Sources: Regulation (EU) No 1169/2011; Directive 2001/113/EC, as amended from
14 June 2026 by Directive (EU) 2024/1438; SI 2003/3120 and its sisters.
"""

from datetime import date

from labels.statements import elements
from labels.statements.dates import (
    KeepingTime,
    best_before_eu,
    lot_eu,
    lot_needed_eu,
)
from labels.statements.elements import Slot
from labels.statements.fruit_content import (
    fruit_content,
    fruit_line,
    quantified,
    sugar_line,
)
from labels.statements.ingredient_laws import EU_LAW, EU_WORDS
from labels.statements.ingredient_list import IngredientList
from labels.statements.label_input import Jurisdiction, LabelInput
from labels.statements.label_text import (
    LabelElement,
    Panel,
    Placement,
    Role,
    plain,
)
from labels.statements.net_quantity import metric, metric_figure, uk_weight
from labels.statements.nutrition_eu import available_carbohydrate, declaration
from labels.statements.places import Place
from labels.statements.type_sizes import EU_TEXT, eu_net_quantity

__all__ = ["NO_SUGAR_LINE_FROM", "build_eu"]

NO_SUGAR_LINE_FROM = date(2026, 6, 14)
"""EU jam made from this day needs no sugar line (Directive (EU) 2024/1438)."""

ONE_VIEW = frozenset({Placement.ONE_FIELD_OF_VISION})
FIC = "Regulation (EU) No 1169/2011"
IDENTITY = Slot(
    size=EU_TEXT,
    panel=Panel.PRINCIPAL_DISPLAY,
    citation=f"{FIC} Arts. 9(1)(a), 13(5), 17",
    placement=ONE_VIEW,
)
JAM_LINE = Slot(
    size=EU_TEXT,
    panel=Panel.PRINCIPAL_DISPLAY,
    citation="Directive 2001/113/EC Art. 2(3)-(5)",
    placement=ONE_VIEW,
)
INGREDIENTS = Slot(
    size=EU_TEXT, panel=Panel.INFORMATION, citation=f"{FIC} Arts. 18, 21"
)
PRODUCER = Slot(size=EU_TEXT, panel=Panel.INFORMATION, citation=f"{FIC} Art. 9(1)(h)")
DATE = Slot(size=EU_TEXT, panel=Panel.INFORMATION, citation=f"{FIC} Annex X.1")
LOT = Slot(
    size=EU_TEXT, panel=Panel.INFORMATION, citation="Directive 2011/91/EU Arts. 3, 5"
)
STORAGE = Slot(size=EU_TEXT, panel=Panel.INFORMATION, citation=f"{FIC} Art. 25")
QUID = Slot(
    size=EU_TEXT, panel=Panel.INFORMATION, citation=f"{FIC} Art. 22, Annex VIII"
)
OWN = Slot(size=EU_TEXT, panel=Panel.INFORMATION, mandatory=False)


def build_eu(
    given: LabelInput, place: Place | None, jurisdiction: Jurisdiction
) -> tuple[tuple[LabelElement, ...], IngredientList, tuple[str, ...]]:
    """Return the elements, the list behind them and reasons for a draft."""
    stated, entries = elements.ingredients(given, EU_LAW, EU_WORDS, INGREDIENTS)
    found = [
        elements.text(Role.IDENTITY, given.identity, IDENTITY),
        _net_quantity(given, jurisdiction),
        *_jam_lines(given, jurisdiction),
        stated,
        *_quid(given),
        *elements.optional(Role.CROSS_CONTACT, given.cross_contact_note, EU_TEXT),
        *_dates_and_lot(given),
        *(
            [elements.text(Role.STORAGE, given.storage, STORAGE)]
            if given.storage
            else []
        ),
        elements.producer(given, place, PRODUCER),
        *elements.place_elements(given, place, EU_TEXT),
        *_nutrition(given),
        *(elements.text(Role.CLAIM, claim, OWN) for claim in given.claims),
        *elements.optional(Role.MAKER_NOTE, given.maker_note, EU_TEXT),
    ]
    return tuple(found), entries, ()


def _net_quantity(given: LabelInput, jurisdiction: Jurisdiction) -> LabelElement:
    words = metric(given.quantity)
    if jurisdiction is Jurisdiction.UK and given.shows_ounces:
        words = uk_weight(given.quantity, with_ounces=True)
    slot = Slot(
        size=eu_net_quantity(metric_figure(given.quantity)),
        panel=Panel.PRINCIPAL_DISPLAY,
        citation=f"{FIC} Arts. 9(1)(e), 13(5), 23",
        placement=ONE_VIEW,
    )
    return elements.text(Role.NET_QUANTITY, words, slot)


def sugar_line_due(given: LabelInput, jurisdiction: Jurisdiction) -> bool:
    """Say whether the line of total sugar is due.

    Not beside a nutrition table that shows sugars, and in the EU not on jam
    made from 14 June 2026.
    """
    if not given.is_jam or given.nutrition is not None:
        return False
    if jurisdiction is Jurisdiction.UK:
        return True
    return given.made_on is not None and given.made_on < NO_SUGAR_LINE_FROM


def _jam_lines(given: LabelInput, jurisdiction: Jurisdiction) -> list[LabelElement]:
    if not given.is_jam:
        return []
    content = fruit_content(given.recipe.ingredients, given.recipe.finished_mass_g)
    found = []
    if content.fruit_g:
        words = fruit_line(content)
        found.append(elements.text(Role.FRUIT_CONTENT, words, JAM_LINE, verbatim=True))
    measured = given.soluble_solids_percent
    if measured is not None and sugar_line_due(given, jurisdiction):
        words = sugar_line(measured)
        found.append(elements.text(Role.SUGAR_CONTENT, words, JAM_LINE, verbatim=True))
    return found


def _quid(given: LabelInput) -> list[LabelElement]:
    if not given.named_ingredients:
        return []
    shares = quantified(
        given.named_ingredients,
        given.recipe.ingredients,
        given.recipe.finished_mass_g,
    )
    words = ", ".join(shares.text(name) for name in given.named_ingredients)
    return [elements.text(Role.FRUIT_CONTENT, f"Contains {words}", QUID)]


def _dates_and_lot(given: LabelInput) -> list[LabelElement]:
    found = []
    best_before = ""
    if given.made_on and given.best_before_on:
        keeping = KeepingTime(
            made_on=given.made_on, best_before_on=given.best_before_on
        )
        best_before = best_before_eu(keeping, whole_day=given.shows_whole_date)
        found.append(elements.text(Role.BEST_BY, best_before, DATE))
    if given.batch_code:
        needed = not best_before or lot_needed_eu(best_before)
        slot = Slot(
            size=LOT.size, panel=LOT.panel, citation=LOT.citation, mandatory=needed
        )
        found.append(elements.text(Role.BATCH_CODE, lot_eu(given.batch_code), slot))
    return found


def _nutrition(given: LabelInput) -> list[LabelElement]:
    if given.nutrition is None:
        return []
    panel = declaration(available_carbohydrate(given.nutrition))
    return [
        LabelElement(
            role=Role.NUTRITION,
            runs=plain(panel.linear),
            size=EU_TEXT,
            panel=Panel.INFORMATION,
            citation=f"{FIC} Arts. 30, 32, 34, Annex XV",
            nutrition=panel,
        )
    ]
