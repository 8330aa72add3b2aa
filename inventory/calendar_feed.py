"""The secret address of the calendar: made, made anew, taken away."""

import secrets

from django.db import transaction

from inventory.models import Business

__all__ = ["close_feed", "open_feed"]


@transaction.atomic
def open_feed() -> Business:
    """Give the calendar a new secret address; an older one no longer answers."""
    business = Business.current()
    business.calendar_token = secrets.token_urlsafe(32)
    business.full_clean()
    business.save(update_fields=["calendar_token"])
    return business


@transaction.atomic
def close_feed() -> Business:
    """Take the calendar's address away."""
    business = Business.current()
    business.calendar_token = ""
    business.save(update_fields=["calendar_token"])
    return business
