"""Which keyboard a phone brings up for a field, and what it must not change.

One place for every form: what a field did not say itself follows from its name and
kind. Autocomplete is off except where the reader's own facts are asked for.
"""

from typing import Any

from django import template
from django.utils.html import format_html_join
from django.utils.safestring import SafeString

register = template.Library()

PLAIN_TYPES = {"text", "email", "tel", "url", "search"}
CODES = {
    "accent", "citation", "code", "country", "currency", "find", "gtin", "locale",
    "number", "reference", "region", "supplier_mark", "username",
}  # fmt: skip
DIGITS = {"gtin": "numeric", "phone": "tel"}
BELOW_ZERO = {"offset_x_mm", "offset_y_mm", "altitude", "altitude_ft", "reading"}
"""Numbers that may be below zero: a phone's digits have no minus sign."""
SEARCHES = {"code", "find"}
ROW_PARTS = {"form", "line", "lines", "steps"}


def name_of(name: str) -> str:
    """A field's own name: "cost" of "line-0-cost", "back" of "back-17"."""
    parts = [part for part in name.split("-") if not part.isdecimal()]
    own = [part for part in parts if part not in ROW_PARTS]
    return own[0] if own else name


@register.simple_tag
def right_keys(widget: dict[str, Any]) -> SafeString:
    """The attributes a field lacks for a phone to help rather than to hinder."""
    name, given = name_of(widget["name"]), widget["attrs"]
    if widget.get("type") == "number":
        wanted = name in BELOW_ZERO or "inputmode" in given
        return SafeString("" if wanted else f' inputmode="{_digits(given)}"')
    if widget.get("type") not in PLAIN_TYPES:
        return SafeString("")
    found = {"enterkeyhint": "search" if name in SEARCHES else "done"}
    if name in DIGITS:
        found["inputmode"] = DIGITS[name]
    if name in CODES:
        found |= {"autocapitalize": "none", "spellcheck": "false"}
    found["autocomplete"] = "off"
    lacking = ((key, value) for key, value in found.items() if key not in given)
    return format_html_join("", ' {}="{}"', lacking)


def _digits(given: dict[str, Any]) -> str:
    """Whole numbers need no decimal sign."""
    return "numeric" if str(given.get("step", "1")) == "1" else "decimal"
