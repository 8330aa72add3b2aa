"""A field that is filled by typing a part of a name and choosing from what answers.

With scripts it is a combobox with a list of at most twenty rows, asked of the book
while one types (`site/choosing.js`); without, a text field with suggestions. Either way
what stands in the field is what is read: the row's own words, or enough of them to mean
one row only. Where several answer, the refusal names them.
"""

import re
from collections.abc import Mapping
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db import models
from django.urls import reverse_lazy
from django.utils.functional import Promise

from inventory.models import Material, Product
from inventory.selectors.choosing import Materials, Products, Shelf
from inventory.words import say

__all__ = [
    "ChosenField",
    "TypedChoice",
    "answer_data",
    "ingredient_field",
    "material_field",
    "packaging_field",
    "product_field",
    "suggesting",
]

NAMED_IN_A_REFUSAL = 5
NUMBER = re.compile(r"-(\d+)-")


class Typed(str):
    """What a person typed, told apart from a key the program put there."""

    __slots__ = ()


class TypedChoice(forms.TextInput):
    """The text field, the address that answers while one types, and suggestions."""

    template_name = "includes/_choose.html"

    def __init__(self, attrs: dict[str, Any] | None = None) -> None:
        usual = {"autocomplete": "off", "autocapitalize": "none", "spellcheck": "false"}
        super().__init__({**usual, **(attrs or {})})
        self.shelf: Shelf[Any] | None = None
        self.address: str | Promise = ""
        self.listed_by = ""

    def get_context(
        self, name: str, value: Any, attrs: dict[str, Any] | None
    ) -> dict[str, Any]:
        context = super().get_context(name, value, attrs)
        context["address"] = self.address
        first = self.listed_by or NUMBER.sub("-0-", name)
        context["list"] = f"list-{first}"
        # Rows of a form set, and lots of one line, share the first field's list.
        if self.shelf and name == first:
            context["choices"] = self.shelf.choices(
                self.shelf.find("", most=self.shelf.listed)
            )
        return context


class ChosenField(forms.Field):
    """One row of a shelf; its value is the row, or None where it may be empty."""

    widget = TypedChoice

    def __init__(
        self, *, shelf: Shelf[Any], address: str | Promise, **kwargs: Any
    ) -> None:
        super().__init__(**kwargs)
        self.shelf = shelf
        self.offer(shelf, address)

    def offer(self, shelf: Shelf[Any], address: str | Promise) -> None:
        """Choose among these rows from now on."""
        self.shelf = shelf
        self.widget.shelf = shelf
        self.widget.address = address

    def bound_data(self, data: Any, initial: Any) -> Any:
        return Typed(data or "")

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, Typed) or value in self.empty_values:
            return value
        if isinstance(value, models.Model):
            return self.shelf.text(value)
        key = str(value)
        row = self.shelf.rows.filter(pk=key).first() if key.isdecimal() else None
        return self.shelf.text(row) if row is not None else key

    def has_changed(self, initial: Any, data: Any) -> bool:
        return str(self.prepare_value(initial) or "") != str(data or "")

    def to_python(self, value: Any) -> Any:
        typed = str(value or "").strip()
        if not typed:
            return None
        found = self.shelf.named(typed)
        if len(found) != 1:
            found = found or self.shelf.find(typed, most=NAMED_IN_A_REFUSAL + 1)
        if len(found) == 1:
            return found[0]
        raise ValidationError(self._refusal(typed, found))

    def _refusal(self, typed: str, found: list[Any]) -> str:
        if not found:
            found = self.shelf.guesses(typed)
        if not found:
            return say(
                "Nothing to choose here is called “{typed}”; take a letter away, "
                "or enter it in the book first.",
                typed=typed,
            )
        names = "; ".join(self.shelf.text(row) for row in found[:NAMED_IN_A_REFUSAL])
        if len(found) == 1:
            return say(
                "“{typed}” is not in the book; {names}?", typed=typed, names=names
            )
        more = "; …" if len(found) > NAMED_IN_A_REFUSAL else ""
        return say(
            "“{typed}” may be one of these; type more of it: {names}{more}",
            typed=typed,
            names=names,
            more=more,
        )


def suggesting(address: str | Promise, **attrs: Any) -> TypedChoice:
    """A widget that suggests rows but leaves the field free text."""
    widget = TypedChoice(attrs)
    widget.address = address
    return widget


def answer_data(shelf: Shelf[Any], asked: Mapping[str, str]) -> dict[str, Any]:
    """What the page shows under the field: choices, and how many there are."""
    answer = shelf.answer(str(asked.get("find", ""))[:80])
    choices = [{"value": each.value, "detail": each.detail} for each in answer.choices]
    return {"choices": choices, "sentence": answer.sentence}


def _address(what: str) -> Promise:
    return reverse_lazy("inventory:choose", args=[what])


def material_field(**kwargs: Any) -> ChosenField:
    """Any material."""
    shelf = Materials(Material.objects.all())
    return ChosenField(shelf=shelf, address=_address("material"), **kwargs)


def ingredient_field(**kwargs: Any) -> ChosenField:
    """A material that is cooked with."""
    rows = Material.objects.exclude(kind=Material.Kind.PACKAGING)
    return ChosenField(shelf=Materials(rows), address=_address("ingredient"), **kwargs)


def packaging_field(**kwargs: Any) -> ChosenField:
    """Jars, lids and other packaging."""
    rows = Material.objects.filter(kind=Material.Kind.PACKAGING)
    return ChosenField(shelf=Materials(rows), address=_address("packaging"), **kwargs)


def product_field(**kwargs: Any) -> ChosenField:
    """Any product, also one no longer offered."""
    shelf = Products(Product.objects.all())
    return ChosenField(shelf=shelf, address=_address("product"), **kwargs)
