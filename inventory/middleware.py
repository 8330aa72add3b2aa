"""Dates belong to the seller's time zone."""

from collections.abc import Callable
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from inventory.models import Business


class SellerTimeZoneMiddleware:
    """Put the business on the request and activate its time zone."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer one request in the seller's time zone."""
        if request.path.startswith("/static/"):
            return self.get_response(request)
        business = Business.current()
        request.business = business  # type: ignore[attr-defined]
        with timezone.override(ZoneInfo(business.time_zone)):
            return self.get_response(request)
