"""The season's plan: asked for, searched with its progress told, shown."""

import datetime as dt
import threading
from typing import Any

from django.contrib import messages
from django.contrib.auth.models import User
from django.db import connections
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone, translation
from django.views.decorators.http import require_POST

from inventory.pictures import as_svg
from inventory.roles import owner_required
from inventory.words import say, spoken
from production import season_plans
from production.forms.season import SeasonForm
from production.models import Plan

SECONDS = 60.0


def _newest() -> Plan | None:
    return Plan.objects.filter(kind=Plan.Kind.SEASON).order_by("-made_at").first()


@owner_required
def season(request: HttpRequest) -> HttpResponse:
    return render(request, "production/season.html", _context(_newest()))


@owner_required
def season_progress(request: HttpRequest) -> HttpResponse:
    """The part of the page that changes while a search runs."""
    plan = _newest()
    if plan is not None and plan.answer.get("state") != season_plans.SEARCHING:
        response = HttpResponse()
        response["HX-Refresh"] = "true"
        return response
    return render(request, "production/_season_progress.html", {"plan": plan})


def _context(plan: Plan | None) -> dict[str, Any]:
    initial = {"first": timezone.localdate(), "weeks": 26}
    context: dict[str, Any] = {"form": SeasonForm(initial=initial), "plan": plan}
    if plan is not None and plan.answer.get("state") == "found":
        from production.planning.season_picture import draw_season  # noqa: PLC0415  loads reportlab

        context["answer"] = _readable(plan.answer)
        context["picture"] = as_svg(
            draw_season(plan.answer),
            title=say(
                "The season: fruit as bands, batches as marks, jars in store as an area"
            ),
            description=say(
                "{batches} entries; the tables below say the same.",
                batches=len(plan.answer["batches"]),
            ),
        )
    return context


def _readable(answer: dict[str, Any]) -> dict[str, Any]:
    """The kept answer with its weeks as days, for a page."""
    dated = {
        key: [{**row, "week_of": _day(row["week_of"])} for row in answer[key]]
        for key in ("batches", "purchases", "books", "binding")
    }
    return {**answer, **dated, "bands": _bands(answer)}


def _bands(answer: dict[str, Any]) -> list[dict[str, Any]]:
    """The seasons as weeks with their days, one row a run."""
    starts_on = dt.date.fromisoformat(answer["starts_on"])
    return [
        {
            "material": band["material"],
            "first": starts_on + dt.timedelta(weeks=first),
            "last": starts_on + dt.timedelta(weeks=last),
        }
        for band in answer["seasons"]
        for first, last in band["runs"]
    ]


def _day(text: str) -> dt.date | None:
    return dt.date.fromisoformat(text) if text else None


@owner_required
@require_POST
def season_search(request: HttpRequest) -> HttpResponse:
    form = SeasonForm(request.POST)
    if not form.is_valid():
        context = {**_context(_newest()), "form": form}
        return render(request, "production/season.html", context)
    plan = season_plans.begin(
        first=form.cleaned_data["first"],
        weeks=form.cleaned_data["weeks"],
        cash=form.cleaned_data["cash"],
        at=timezone.now(),
        person=request.user if isinstance(request.user, User) else None,
    )
    threading.Thread(target=_search, args=(plan, spoken()), daemon=True).start()
    return redirect("production:season")


def _search(plan: Plan, language: str) -> None:
    try:
        with translation.override(language):
            season_plans.search(plan, seconds=SECONDS)
    except BaseException:
        Plan.objects.filter(pk=plan.pk).update(answer={"state": "broken"})
        raise
    finally:
        connections.close_all()


@owner_required
@require_POST
def season_stop(request: HttpRequest) -> HttpResponse:
    plan = _newest()
    if plan is not None:
        season_plans.stop(plan=plan)
        messages.success(
            request, say("The search stops at the best plan it has so far.")
        )
    return redirect("production:season")
