"""What answers while somebody types a lot, a batch, a recipe or a product."""

from collections.abc import Callable
from typing import Any

from django.http import Http404, HttpRequest, JsonResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from inventory.forms.choosing import answer_data
from inventory.selectors.choosing import Shelf
from inventory.words import say
from production.forms import choosing


def _lots(request: HttpRequest) -> Shelf[Any]:
    return choosing.asked_lots(request.GET, timezone.localdate())


def _offered(_request: HttpRequest) -> Shelf[Any]:
    return choosing.offered_products(timezone.localdate())


def _batches(_request: HttpRequest) -> Shelf[Any]:
    return choosing.batch_field().shelf


def _recipes(_request: HttpRequest) -> Shelf[Any]:
    return choosing.recipe_field().shelf


SHELVES: dict[str, Callable[[HttpRequest], Shelf[Any]]] = {
    "lot": _lots,
    "offered": _offered,
    "batch": _batches,
    "recipe": _recipes,
}


@require_safe
def choose(request: HttpRequest, what: str) -> JsonResponse:
    if what not in SHELVES:
        raise Http404(say("there is nothing called {what} to choose", what=what))
    return JsonResponse(answer_data(SHELVES[what](request), request.GET))
