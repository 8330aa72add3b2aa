"""The place whose law labels follow, said wherever labels are made."""

import datetime
from typing import Any

from django import template
from django.utils import timezone

from inventory.models import Business
from labels.selectors import own_place

register = template.Library()


@register.inclusion_tag("labels/_law_note.html")
def law_note() -> dict[str, Any]:
    """Name the place, its citation and reading day, and whether that is old."""
    today: datetime.date = timezone.localdate()
    profile = own_place(Business.current())
    return {
        "profile": profile,
        "is_stale": profile is not None and profile.is_stale(on=today),
    }
