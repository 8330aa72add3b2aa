"""Dates belong to the seller's time zone, figures to the seller's country."""

from collections.abc import Callable
from zoneinfo import ZoneInfo

from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import resolve_url
from django.utils import timezone, translation

from inventory import words
from inventory.models import Business

FIRST_PAGES = {"/", "/week/"}


class SellerTimeZoneMiddleware:
    """Put the business on the request, in its time zone and with its figures.

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
            zone = timezone.override(ZoneInfo(business.time_zone))
            with zone, translation.override(_language(business)):
                return self.get_response(request)


def _language(business: Business) -> str:
    """The reader's language, with figures as the seller's country writes them."""
    language = translation.get_language() or settings.LANGUAGE_CODE
    return words.as_written_in(language, business.locale)
