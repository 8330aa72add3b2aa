"""A field is checked when it is left: what is wrong, or what the book makes of it.

The page sends the form to its own view with the name of the field as `check`
(`site/checking.js` through htmx); the view answers with `checked(request, form)`
before it does anything else. A form that is being checked is never valid, so that
nothing is saved even where a view forgets to answer. Without scripts the same is said
when the form is sent.
"""

from collections.abc import Iterator
from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string

__all__ = ["Checked", "checked"]

CHECK = "check"


class Checked:
    """A form whose fields are checked when they are left."""

    is_checked = True

    def is_valid(self) -> bool:
        """Never while a field is only being checked."""
        is_fine: bool = super().is_valid()  # type: ignore[misc]  # beside a form
        return is_fine and CHECK not in (self.data or {})  # type: ignore[attr-defined]

    def read_back(self, name: str) -> str:
        """What the book makes of a field that is right, such as its grams."""
        return ""


def checked(request: HttpRequest, *bound: Any) -> HttpResponse | None:
    """Answer a check with the parts of the page it is about.

    Args:
        request: with the field's name as `check`.
        bound: forms and form sets of the page, bound to the request.

    Returns:
        The field's part and those of the same form that are filled in, or None where
        the form is sent to be saved.
    """
    name = request.POST.get(CHECK)
    if not name:
        return None
    for form in _forms(bound):
        if name in {field.html_name for field in form}:
            return HttpResponse("".join(_parts(form, name)))
    return HttpResponse("")


def _forms(bound: tuple[Any, ...]) -> Iterator[forms.BaseForm]:
    for each in bound:
        if isinstance(each, forms.BaseFormSet):
            yield from each.forms
        else:
            yield each


def _parts(form: forms.BaseForm, name: str) -> Iterator[str]:
    reader = getattr(form, "read_back", lambda _name: "")
    for field in form.visible_fields():
        if field.html_name != name and field.value() in {None, "", False}:
            continue
        told = "" if field.errors else reader(field.name)
        yield render_to_string("includes/_said.html", {"field": field, "told": told})
