"""What every page knows: the seller's business and who is looking."""

from typing import Any

from django.http import HttpRequest

from inventory import roles
from inventory.models import Business


def business(request: HttpRequest) -> dict[str, Any]:
    """The seller's business and whether the reader is the owner."""
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated:
        return {"is_owner": False}
    return {
        "business": getattr(request, "business", None) or Business.current(),
        "is_owner": roles.is_owner(user),
    }
