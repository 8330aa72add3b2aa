"""The stall: outlets, the days there, the packing list, the cash box."""

from typing import Any

from django.contrib import messages
from django.db.models import Prefetch, prefetch_related_objects
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST
from django_filters.views import FilterView
from django_tables2 import RequestConfig

from inventory import markets, selectors
from inventory.crates import CrateRow, fill_crates
from inventory.filters import DayFilter, OutletFilter
from inventory.forms.confirming import ask_first
from inventory.forms.fields import said
from inventory.forms.stall import (
    CashForm,
    DayFactsForm,
    DayForm,
    OutletForm,
    PackingForm,
)
from inventory.models import MarketDay, MarketLine, Outlet, OutletKind, Paper
from inventory.roles import is_owner, owner_required
from inventory.selectors.consequences import packed_text
from inventory.tables.paging import PagedTableMixin, paged
from inventory.tables.stall import DayTable, LineTable, OutletTable
from inventory.views.entry import attempt

DAYS_AHEAD = 5


def home(request: HttpRequest) -> HttpResponse:
    today = timezone.localdate()
    open_days = selectors.open_days(on=today)
    context = {
        "next_days": selectors.next_days(on=today)[:DAYS_AHEAD],
        "open_days": open_days,
        "shops": Outlet.objects.filter(
            kind__in=[OutletKind.CONSIGNMENT, OutletKind.WHOLESALE], closed_on=None
        ),
    }
    return render(request, "inventory/stall.html", context)


class OutletList(PagedTableMixin, FilterView):
    queryset = Outlet.objects.all()
    table_class = OutletTable
    filterset_class = OutletFilter
    template_name = "inventory/outlet_list.html"

    def get_table_kwargs(self) -> dict[str, Any]:
        return {"exclude": () if is_owner(self.request.user) else ("day_fee",)}


def outlet_detail(request: HttpRequest, pk: int) -> HttpResponse:
    outlet = get_object_or_404(Outlet, pk=pk)
    days = DayTable(
        outlet.days.with_sums().select_related("outlet"), exclude=("outlet",)
    )
    paged(request, days, per_page=15)
    context = {
        "outlet": outlet,
        "days": days,
        "jars": selectors.jars_at(outlet),
        "is_shop": outlet.kind in {OutletKind.CONSIGNMENT, OutletKind.WHOLESALE},
    }
    return render(request, "inventory/outlet_detail.html", context)


@owner_required
def outlet_edit(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    outlet = get_object_or_404(Outlet, pk=pk) if pk else Outlet()
    form = OutletForm(request.POST or None, instance=outlet)
    if request.method == "POST" and form.is_valid():
        outlet = form.save()
        messages.success(request, _("%s is saved.") % outlet)
        return redirect(outlet)
    return render(request, "inventory/outlet_form.html", {"form": form})


class DayList(PagedTableMixin, FilterView):
    queryset = MarketDay.objects.with_sums().select_related("outlet")
    table_class = DayTable
    filterset_class = DayFilter
    template_name = "inventory/marketday_list.html"


def day_add(request: HttpRequest) -> HttpResponse:
    initial = {"outlet": request.GET.get("outlet"), "on": request.GET.get("on")}
    form = DayForm(request.POST or None, initial=initial)
    if request.method == "POST" and form.is_valid():
        values = form.cleaned_data
        day = attempt(
            form, lambda: markets.plan_day(outlet=values["outlet"], on=values["on"])
        )
        if day is not None:
            messages.success(request, _("%s is planned.") % day)
            return redirect(day)
    return render(request, "inventory/marketday_form.html", {"form": form})


def day_detail(request: HttpRequest, pk: int) -> HttpResponse:
    day = _day(pk)
    lines = MarketLine.objects.select_related("lot__product__jar_size").order_by(
        "lot__product__name", "lot"
    )
    prefetch_related_objects([day], Prefetch("lines", queryset=lines))
    table = LineTable(list(day.lines.all()))
    RequestConfig(request, paginate=False).configure(table)
    context = {
        "day": day,
        "lines": table,
        "count": selectors.day_count(day),
        "takings": selectors.day_takings(day),
        "box": selectors.cash_up(day),
        "marks": day.sold_out_marks.select_related("product__jar_size"),
        "papers": Paper.objects.needed_at(day.outlet).to_renew(on=day.on),
    }
    return render(request, "inventory/marketday_detail.html", context)


@owner_required
def day_edit(request: HttpRequest, pk: int) -> HttpResponse:
    day = _day(pk)
    form = DayFactsForm(request.POST or None, instance=day)
    if request.method == "POST" and form.is_valid():
        day = form.save()
        messages.success(request, _("%s is saved.") % day)
        return redirect(day)
    context = {"form": form, "title": str(day), "back": day.get_absolute_url()}
    return render(request, "inventory/pantry_form.html", context)


def day_pack(request: HttpRequest, pk: int) -> HttpResponse:
    day = _day(pk)
    form = PackingForm(request.POST or None, subjects=selectors.packing_rows(day))
    if request.method == "POST" and form.is_valid():
        short = attempt(
            form, lambda: markets.pack_products(day=day, jars=form.wanted())
        )
        if short is not None:
            for product, missing in short.items():
                messages.warning(
                    request,
                    _("%(jars)d jars of %(product)s are short.")
                    % {"jars": missing, "product": product},
                )
            messages.success(request, _("The packing list of %s is written.") % day)
            return redirect(day)
    return render(request, "inventory/marketday_pack.html", {"day": day, "form": form})


def packing_list(request: HttpRequest, pk: int) -> HttpResponse:
    day = _day(pk)
    lines = [
        line
        for line in day.lines.select_related("lot__product__jar_size").order_by(
            "lot__product__name", "lot__best_by", "lot"
        )
        if line.packed or line.taken
    ]
    rows = [
        CrateRow(name=line.lot.name, mark=line.lot.code, jars=line.taken or line.packed)
        for line in lines
    ]
    crates = fill_crates(rows)
    context = {
        "day": day,
        "lines": lines,
        "crates": crates,
        "total": sum(crate.jars for crate in crates),
    }
    return render(request, "inventory/packing_list_print.html", context)


def day_cash(request: HttpRequest, pk: int) -> HttpResponse:
    day = _day(pk)
    initial = {
        "float_in": day.float_in
        if day.float_in is not None
        else selectors.last_float(before=day.on),
        "counted": day.cash_counted,
        "card": day.card_total or 0,
        "paid_out": day.cash_paid_out,
        "float_out": day.float_out,
    }
    form = CashForm(request.POST or None, initial=initial)
    if request.method == "POST" and form.is_valid():
        box = attempt(form, lambda: markets.cash_up(day=day, **form.figures()))
        if box is not None:
            messages.success(request, _("The cash box of %s is counted.") % day)
            return redirect(day)
    takings, tax = selectors.day_takings(day), selectors.day_tax(day)
    context = {
        "day": day,
        "form": form,
        "takings": takings,
        "tax": tax,
        "expected": takings + tax,
    }
    return render(request, "inventory/marketday_cash.html", context)


@require_POST
def day_cancel(request: HttpRequest, pk: int) -> HttpResponse:
    day = _day(pk)
    if not day.lines.filter(taken__gt=0).exists():
        page = ask_first(
            request,
            question=_("Call %s off?") % day,
            facts=packed_text(day),
            submit=_("Call it off"),
            back=day.get_absolute_url(),
        )
        if page:
            return page
    try:
        markets.cancel(day=day)
    except markets.MarketError as error:
        messages.error(request, said(error))
    else:
        messages.success(request, _("%s is called off.") % day)
    return redirect(day)


def _day(pk: int) -> MarketDay:
    return get_object_or_404(MarketDay.objects.select_related("outlet"), pk=pk)
