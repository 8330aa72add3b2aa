"""The place whose law labels follow, said wherever labels are made."""

import datetime
from typing import Any

from django import template
from django.utils import timezone

from inventory.models import Business
from labels.models import PlaceProfile

register = template.Library()


@register.inclusion_tag("labels/_law_note.html")
def law_note() -> dict[str, Any]:
    """Name the place, its citation and reading day, and whether that is old."""
    today: datetime.date = timezone.localdate()
    profile = PlaceProfile.objects.filter(code=Business.current().place_code).first()
    return {
        "profile": profile,
        "is_stale": profile is not None and profile.is_stale(on=today),
    }
