"""What answers while somebody types: a few rows, as data for `site/choosing.js`."""

from django.http import Http404, HttpRequest, JsonResponse
from django.views.decorators.http import require_safe

from inventory.forms import choosing
from inventory.words import say

FIELDS = {
    "material": choosing.material_field,
    "ingredient": choosing.ingredient_field,
    "packaging": choosing.packaging_field,
    "product": choosing.product_field,
}


@require_safe
def choose(request: HttpRequest, what: str) -> JsonResponse:
    if what not in FIELDS:
        raise Http404(say("there is nothing called {what} to choose", what=what))
    shelf = FIELDS[what]().shelf
    return JsonResponse(choosing.answer_data(shelf, request.GET))
