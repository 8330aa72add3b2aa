"""Recipes: the list, one version, writing a new one."""

from decimal import Decimal
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from inventory.forms.checking import checked
from inventory.quantities import QuantityError
from inventory.roles import owner_required
from inventory.tables.paging import paged
from inventory.words import say
from production import recipes as actions
from production.forms.recipes import (
    LineFormSet,
    RecipeForm,
    ShareForm,
    StepFormSet,
    VersionForm,
    drafts,
)
from production.models import Recipe, RecipeVersion
from production.scaling import ScalingError, check_factor
from production.selectors import recipe_page
from production.tables.kitchen import RecipeTable


def recipe_list(request: HttpRequest) -> HttpResponse:
    table = RecipeTable(recipe_page.recipe_list())
    paged(request, table)
    return render(request, "production/recipe_list.html", {"table": table})


def recipe_detail(request: HttpRequest, slug: str) -> HttpResponse:
    recipe = get_object_or_404(Recipe, slug=slug)
    versions = list(recipe.versions.order_by("-number"))
    return _show(request, recipe, versions, next(iter(versions), None))


def recipeversion_detail(request: HttpRequest, slug: str, number: int) -> HttpResponse:
    recipe = get_object_or_404(Recipe, slug=slug)
    versions = list(recipe.versions.order_by("-number"))
    version = next((each for each in versions if each.number == number), None)
    if version is None:
        raise Http404(say("{recipe} has no such version", recipe=recipe))
    return _show(request, recipe, versions, version)


def _show(
    request: HttpRequest,
    recipe: Recipe,
    versions: list[RecipeVersion],
    version: RecipeVersion | None,
) -> HttpResponse:
    form = ShareForm(request.GET if "share" in request.GET else None)
    factor = Decimal(1)
    if form.is_bound and form.is_valid():
        try:
            factor = check_factor(form.cleaned_data["share"] / 100)
        except ScalingError as error:
            form.add_error("share", str(error))
    context: dict[str, Any] = {
        "recipe": recipe,
        "version": version,
        "versions": versions,
        "form": form,
        "factor": factor,
        "yields": recipe_page.yields_of(recipe),
        "products": [
            each.product for each in recipe.fillings.select_related("product__jar_size")
        ],
    }
    if version is not None:
        context["lines"] = recipe_page.scaled_lines(version, factor)
        context["steps"] = version.steps.order_by("position")
        context["trims"] = recipe_page.trims_of(version)
    return render(request, "production/recipe_detail.html", context)


@owner_required
def recipe_create(request: HttpRequest) -> HttpResponse:
    form = RecipeForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        recipe = actions.write_recipe(**form.cleaned_data)
        messages.success(
            request, say("{recipe} is in the book; now write it.", recipe=recipe)
        )
        return redirect("production:recipeversion-create", recipe.slug)
    return render(request, "production/recipe_form.html", {"form": form})


@owner_required
def recipeversion_create(request: HttpRequest, slug: str) -> HttpResponse:
    recipe = get_object_or_404(Recipe, slug=slug)
    latest = recipe.versions.order_by("-number").first()
    forms = _forms(request, latest)
    if part := checked(request, *forms.values()):
        return part
    if request.method == "POST" and all(form.is_valid() for form in forms.values()):
        try:
            version = actions.write_version(
                recipe=recipe,
                on=timezone.localdate(),
                fields=forms["form"].cleaned_data,
                lines=drafts(forms["lines"]),
                steps=drafts(forms["steps"]),
            )
        except (actions.RecipeError, QuantityError) as error:
            forms["form"].add_error(None, str(error))
        else:
            messages.success(request, say("{version} is written.", version=version))
            return redirect(version)
    return render(
        request,
        "production/recipe_version_form.html",
        {"recipe": recipe, "latest": latest, **forms},
    )


def _forms(request: HttpRequest, latest: RecipeVersion | None) -> dict[str, Any]:
    typed = request.POST or None
    lines: list[dict[str, Any]] = []
    steps: list[dict[str, Any]] = []
    if latest is not None:
        lines = [
            {
                "material": line.material,
                "as_typed": line.as_typed,
                "form": line.form,
                "step": line.step_position,
                "removed_after": line.removed_after,
            }
            for line in latest.lines.select_related("material").order_by("position")
        ]
        steps = [
            {
                "text": step.text,
                "kind": step.kind,
                "caution": step.caution,
                "day": step.day_offset,
                "hands_on_min": step.hands_on_min,
                "unattended_min": step.unattended_min,
                "stand_min_hours": step.stand_min_hours,
                "stand_max_hours": step.stand_max_hours,
                "needs": step.needs,
            }
            for step in latest.steps.order_by("position")
        ]
    start = None if latest is None else VersionForm(instance=latest).initial
    return {
        "form": VersionForm(typed, initial=start),
        "lines": LineFormSet(typed, prefix="lines", initial=lines),
        "steps": StepFormSet(typed, prefix="steps", initial=steps),
    }


@owner_required
@require_POST
def recipe_retire(request: HttpRequest, slug: str) -> HttpResponse:
    recipe = get_object_or_404(Recipe, slug=slug)
    on = None if recipe.retired_on else timezone.localdate()
    actions.retire(recipe=recipe, on=on)
    said = say("is retired") if on else say("is cooked again")
    messages.success(request, f"{recipe} {said}.")
    return redirect(recipe)
