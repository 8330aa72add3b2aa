"""What the stall's pages need beside figures: touches and their marks."""

from uuid import uuid4

from django import template
from django.utils.translation import gettext as _

from inventory.models import MarketLine

register = template.Library()


@register.simple_tag
def new_token() -> str:
    """A mark for one touch, so that sending it twice counts once."""
    return str(uuid4())


@register.filter
def touched(line: MarketLine) -> list[tuple[str, str, int]]:
    """What one touch can record of a line: reason, word, jars so far."""
    return [
        ("sampled", _("Sampled"), line.sampled),
        ("broken", _("Broken"), line.broken),
        ("given", _("Given"), line.given),
    ]
