"""What a batch will do: of a recipe in the book, or of one still on paper."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone

from inventory.models import Business
from production.forms.prediction import RecipeTextForm, TodayForm
from production.models import RecipeVersion
from production.scaling import ScalingError
from production.science.atmosphere import METRES_PER_FOOT
from production.science.boiling import Kitchen
from production.science.prediction import BatchInput, predict
from production.science.prediction_report import may_be_called
from production.science.processing import Canner
from production.science.recipe_file import read_document
from production.science.working import ScienceError
from production.selectors.prediction import batch_input


def recipe_prediction(request: HttpRequest, slug: str) -> HttpResponse:
    versions = RecipeVersion.objects.current(on=timezone.localdate())
    version = get_object_or_404(versions.select_related("recipe"), recipe__slug=slug)
    business = Business.current()
    form = TodayForm(_typed(request, business), initial=_today(business))
    context: dict[str, Any] = {"form": form, "recipe": version.recipe}
    if not form.is_bound or form.is_valid():
        context |= _answer(form, lambda: batch_input(version, business=business))
    return render(request, "production/prediction.html", context)


def recipe_try(request: HttpRequest) -> HttpResponse:
    business = Business.current()
    form = RecipeTextForm(_typed(request, business), initial=_today(business))
    context: dict[str, Any] = {"form": form}
    if form.is_bound and form.is_valid():
        context |= _answer(form, lambda: _on_paper(form, business))
    return render(request, "production/prediction.html", context)


def _typed(request: HttpRequest, business: Business) -> dict[str, Any] | None:
    """What was typed, on top of this kitchen as it is; None before anything was."""
    return {**_today(business), **request.GET.dict()} if request.GET else None


def _today(business: Business) -> dict[str, Any]:
    return {
        "altitude": business.altitude_m,
        "canner": business.canner,
        "share": 100,
    }


def _on_paper(form: RecipeTextForm, business: Business) -> BatchInput:
    asked = read_document(form.document())
    kitchen = Kitchen(altitude_ft=business.altitude_m / METRES_PER_FOOT.value)
    process = replace(asked.process, canner=Canner(business.canner))
    return replace(asked, kitchen=kitchen, process=process)


def _answer(form: TodayForm, asked: Callable[[], BatchInput]) -> dict[str, Any]:
    """The prediction, or its refusal on the form."""
    try:
        prediction = predict(form.asked(asked()))
    except (ScienceError, ScalingError) as error:
        if form.is_bound:
            form.add_error(None, f"{str(error)[:1].upper()}{str(error)[1:]}.")
            return {}
        return {"refused": str(error)}
    return {"prediction": prediction, "called": may_be_called(prediction)}
