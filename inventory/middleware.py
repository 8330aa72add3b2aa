"""Dates belong to the seller's time zone."""

from collections.abc import Callable
from zoneinfo import ZoneInfo

from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import resolve_url
from django.utils import timezone

from inventory.models import Business

FIRST_PAGES = {"/", "/week/"}


class SellerTimeZoneMiddleware:
    """Put the business on the request and activate its time zone.

    The first pages of an empty book lead to its five questions.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer one request in the seller's time zone."""
        if request.path.startswith("/static/"):
            return self.get_response(request)
        with Business.read_once() as business:
            request.business = business  # type: ignore[attr-defined]
            if not business.is_set_up and request.path in FIRST_PAGES:
                return HttpResponseRedirect(resolve_url(settings.BEGIN_URL))
            with timezone.override(ZoneInfo(business.time_zone)):
                return self.get_response(request)
