"""Words that are kept in English and shown in the reader's language."""

from typing import Any

from django import template

from inventory import words

register = template.Library()


@register.filter
def said(text: Any) -> str:
    """A sentence or word kept in English, in the reader's language."""
    return words.say(str(text)) if text else ""
