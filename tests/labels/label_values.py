"""Plain values of labels for tests: one jam, one kitchen, changed by keyword."""

import datetime
import json
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

from labels.rules.check import check_label
from labels.rules.rule import LabelToCheck
from labels.statements.build import build_label
from labels.statements.ingredient_list import RecipeAsUsed
from labels.statements.ingredients import Ingredient, Nature, Substance
from labels.statements.label_input import Jurisdiction, LabelInput, Producer
from labels.statements.net_quantity import DeclaredQuantity, QuantityUnit
from labels.statements.place_reading import read_place

TODAY = datetime.date(2026, 12, 1)
PROFILES = Path(__file__).parents[2] / "fixtures" / "place_profiles.json"

KITCHEN = Producer(
    name="Test Kitchen",
    street="1 Example Lane",
    city="Testville",
    region="FL",
    postal_code="00000",
    country="US",
    phone="555 0100",
    email="jam@example.org",
    registration_number="R-77",
    county_of_issue="Example County",
)


def use(name, grams, nature=Nature.OTHER, **more):
    return Ingredient(
        substance=Substance(name=name, nature=nature, **more), mass_g=Decimal(grams)
    )


def recipe(*lines, finished=1500, **more):
    lines = lines or (
        use("strawberries", 1000, Nature.FRUIT),
        use("sugar", 900, Nature.SUGAR),
    )
    return RecipeAsUsed(
        ingredients=tuple(lines), finished_mass_g=Decimal(finished), **more
    )


def label_input(**changes):
    values = {
        "identity": "Strawberry Jam",
        "recipe": recipe(),
        "quantity": DeclaredQuantity(amount=Decimal(283), unit=QuantityUnit.GRAM),
        "producer": KITCHEN,
        "batch_code": "26153A",
        "made_on": datetime.date(2026, 6, 2),
        "best_before_on": datetime.date(2027, 6, 2),
        "storage": "Refrigerate after opening.",
    }
    return LabelInput(**{**values, **changes})


def places():
    rows = json.loads(PROFILES.read_text("utf-8"))
    fields = [row["fields"] for row in rows]
    return {row["code"]: read_place({**row, **row["body"]}) for row in fields}


def place(code, **changes):
    return replace(places()[code], **changes)


def built(place=None, jurisdiction=Jurisdiction.US, **changes):
    return build_label(label_input(**changes), jurisdiction, place)


def with_element(label, role, text=None, **changes):
    """The label with the words of one element changed, or the element gone."""
    from labels.statements.label_text import plain

    elements = []
    for element in label.text.elements:
        if element.role is role and text is None and not changes:
            continue
        if element.role is role:
            runs = plain(text) if text is not None else element.runs
            element = replace(element, runs=runs, **changes)  # noqa: PLW2901
        elements.append(element)
    return replace(label, text=replace(label.text, elements=tuple(elements)))


def report(label, *, on=TODAY, **known):
    return check_label(LabelToCheck(built=label, on=on, **known))


def outcome(label, code, **known):
    outcomes = report(label, **known).outcomes
    return next(found for found in outcomes if found.rule.code == code)


def state(label, code, **known):
    return outcome(label, code, **known).state.value
