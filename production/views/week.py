"""The week page: today first, then the plan, why it is so, and the seller's wishes."""

import datetime
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from django.contrib import messages
from django.contrib.auth.models import User
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from inventory.markets import MarketError
from inventory.models import Outlet, Product
from inventory.roles import is_owner, owner_required
from inventory.words import say
from production import plans
from production.batches import BatchError
from production.forms.week import DemandForm, HoursForm, WishForm
from production.models import Plan
from production.planning.kitchen import KitchenDay as DayHours
from production.selectors.kitchen import NoVersionError
from production.selectors.week_demand import (
    forecast_book,
    outlet_days,
    own_figures,
)
from production.selectors.week_inputs import free_hours
from production.selectors.week_notices import read_notices
from production.selectors.week_page import (
    batch_rows,
    calendar_of,
    day_pages,
    demand_rows,
    readable,
    shopping_by_supplier,
)
from production.selectors.week_today import (
    current_plan,
    errands,
    read_today,
    wishes_of,
)

DAYS = 7


def week(request: HttpRequest) -> HttpResponse:
    today = timezone.localdate()
    plan = current_plan(on=today)
    first = plan.starts_on if plan else today
    return render(
        request,
        "production/week.html",
        {
            "today": today,
            "waits": read_today(on=today),
            "notices": read_notices(on=today, has_money=is_owner(request.user)),
            "wishes": wishes_of(first=first),
            "wish_form": WishForm(first=first, days=plan.days if plan else DAYS),
            **_shown(plan),
        },
    )


def _shown(plan: Plan | None) -> dict[str, Any]:
    if plan is None:
        return {"plan": None, "is_new": not Product.objects.exists()}
    answer = readable(plan.answer)
    return {
        "plan": plan,
        "answer": answer,
        "errands": errands(answer["purchases"]),
        "batches": batch_rows(plan.answer),
        "days": day_pages(plan.answer),
        "shopping": shopping_by_supplier(plan.answer),
    }


@require_POST
@owner_required
def week_plan(request: HttpRequest) -> HttpResponse:
    _make(request, timezone.localdate())
    return redirect("production:week")


def _make(request: HttpRequest, first: datetime.date) -> Plan | None:
    person = request.user if isinstance(request.user, User) else None
    try:
        plan = plans.make_week(first=first, at=timezone.now(), person=person)
    except ValueError as error:
        messages.error(request, f"{error}.")
        return None
    for said in plan.answer["relaxed"]:
        messages.warning(request, f"{said}.")
    messages.success(request, _("The week is planned."))
    return plan


@require_POST
@owner_required
def week_wish(request: HttpRequest) -> HttpResponse:
    """Note a wish and plan again: the answer shows what it changed."""
    today = timezone.localdate()
    before = current_plan(on=today)
    form = WishForm(request.POST, first=today, days=DAYS)
    if not form.is_valid():
        for field, errors in form.errors.items():
            label = form.fields[field].label if field in form.fields else ""
            messages.error(request, f"{label}: {errors[0]}")
        return redirect("production:week")
    data, product = form.cleaned_data, form.cleaned_data["product"]
    if data["wish"] == WishForm.PIN:
        plans.pin(
            first=today,
            product=product,
            batches_wanted=data["batches"] or 1,
            on=data["on"],
        )
    elif data["wish"] == WishForm.FORBID:
        plans.forbid(first=today, product=product)
    else:
        plans.let_be(first=today, product=product)
    was = before.objective if before else None
    after = _make(request, today)
    if after is not None and was is not None:
        messages.info(request, _wish_told(product, after.objective - was))
    return redirect("production:week")


def _wish_told(product: Product, change: Decimal) -> str:
    facts = {"product": product, "money": f"{abs(change):.2f}"}
    if change < 0:
        return _("%(product)s: this wish costs the week %(money)s.") % facts
    if change > 0:
        return _("%(product)s: with this wish the week brings %(money)s more.") % facts
    return _("%(product)s: this wish costs nothing.") % facts


@require_POST
@owner_required
def week_accept(request: HttpRequest, pk: int) -> HttpResponse:
    plan = get_object_or_404(Plan, pk=pk)
    try:
        done = plans.accept(plan=plan, at=timezone.now())
    except (plans.PlanError, BatchError, NoVersionError) as error:
        messages.error(request, f"{error}.")
        return redirect("production:week")
    text = _("%(count)s batches are planned in the kitchen.")
    messages.success(request, text % {"count": len(done.planned)})
    if done.dropped:
        text = _("%(count)s batches of an earlier plan are dropped.")
        messages.info(request, text % {"count": done.dropped})
    return redirect("production:week")


@require_POST
def week_pack(request: HttpRequest, pk: int, number: int) -> HttpResponse:
    plan = get_object_or_404(Plan, pk=pk)
    try:
        packing = plan.answer["packing"][number]
    except (IndexError, KeyError) as error:
        raise Http404(say("this plan packs no such market")) from error
    foul = request.POST.get("weather") == "bad"
    try:
        day, short = plans.pack_market(packing=packing, bad_weather=foul)
    except MarketError as error:
        messages.error(request, f"{error}.")
        return redirect("production:week")
    messages.success(
        request, _("The packing list of %(day)s is written.") % {"day": day}
    )
    for product, jars in short.items():
        text = _("%(product)s: %(jars)s jars are not on the shelf yet.")
        messages.warning(request, text % {"product": product, "jars": jars})
    return redirect(day)


def week_calendar(request: HttpRequest, pk: int) -> HttpResponse:
    plan = get_object_or_404(Plan, pk=pk, kind=Plan.Kind.WEEK)
    zone = ZoneInfo(timezone.get_current_timezone_name())
    content = calendar_of(plan.answer, zone=zone, made_at=plan.made_at)
    response = HttpResponse(content, content_type="text/calendar; charset=utf-8")
    name = f"week-{plan.starts_on}.ics"
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response


def week_paper(request: HttpRequest, pk: int) -> HttpResponse:
    plan = get_object_or_404(Plan, pk=pk, kind=Plan.Kind.WEEK)
    return render(request, "production/week_paper.html", _shown(plan))


@owner_required
def week_demand(request: HttpRequest) -> HttpResponse:
    """Every product's demand at the week's outlets, with its past days."""
    today = timezone.localdate()
    if request.method == "POST":
        return _set_demand(request)
    last = today + datetime.timedelta(days=DAYS - 1)
    days = outlet_days(first=today, last=last)
    own = own_figures()
    rows = demand_rows(forecast_book(on=today, own=own), days, on=today, own=own)
    return render(request, "production/week_demand.html", {"rows": rows, "days": days})


def _set_demand(request: HttpRequest) -> HttpResponse:
    form = DemandForm(request.POST)
    if not form.is_valid():
        messages.error(
            request, _("Enter jars from 0 to 2000, or leave the field empty.")
        )
        return redirect("production:week-demand")
    data = form.cleaned_data
    outlet = get_object_or_404(Outlet, name=data["outlet"])
    plans.set_demand(
        outlet=outlet, product=data["product"], on=data["on"], mean=data["mean"]
    )
    text = _("%(product)s at %(outlet)s is noted; plan the week again to use it.")
    messages.success(request, text % {"product": data["product"], "outlet": outlet})
    return redirect("production:week-demand")


@owner_required
def week_hours(request: HttpRequest) -> HttpResponse:
    """When the kitchen is free in the coming days."""
    first = timezone.localdate()
    bound = HoursForm(request.POST) if request.method == "POST" else None
    if bound is not None and bound.is_valid():
        try:
            plans.set_hours(**bound.cleaned_data)
        except plans.PlanError as error:
            bound.add_error("minutes", str(error))
        else:
            messages.success(request, _("Noted; plan the week again to use it."))
            return redirect("production:week-hours")
    typed = bound["on"].value() if bound is not None else ""
    forms = [
        (day, bound if bound and typed == day.on.isoformat() else _hours_form(day))
        for day in free_hours(first=first, days=DAYS)
    ]
    return render(request, "production/week_hours.html", {"forms": forms})


def _hours_form(day: DayHours) -> HoursForm:
    first: dict[str, object] = {"minutes": day.minutes}
    if day.away:
        again = day.closes_min - day.away[1]
        first = {
            "minutes": day.minutes - again,
            "again_at": _clock(day.away[1]),
            "again_minutes": again,
        }
    initial = {"on": day.on, "starts_at": _clock(day.opens_min), **first}
    return HoursForm(auto_id=f"{day.on:%d}-%s", initial=initial)


def _clock(minute: int) -> datetime.time:
    return datetime.time(minute // 60, minute % 60)
