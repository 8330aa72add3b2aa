"""Receipts, and the stock that was there before the book."""

from dataclasses import replace
from decimal import Decimal

from django.contrib import messages
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.decorators import method_decorator
from django.utils.translation import gettext as _
from django_filters.views import FilterView
from django_tables2 import RequestConfig

from inventory import purchasing, selectors
from inventory.filters import PurchaseFilter
from inventory.forms.checking import checked
from inventory.forms.pantry import (
    BaseLineFormSet,
    LineFormSet,
    OpeningForm,
    PurchaseForm,
)
from inventory.models import Business
from inventory.roles import owner_required
from inventory.tables.paging import PagedTableMixin
from inventory.tables.pantry import LotTable, PurchaseTable
from inventory.views.entry import attempt, stamp


@method_decorator(owner_required, name="dispatch")
class PurchaseList(PagedTableMixin, FilterView):
    queryset = selectors.purchases()
    table_class = PurchaseTable
    filterset_class = PurchaseFilter
    template_name = "inventory/purchase_list.html"


@owner_required
def purchase_detail(request: HttpRequest, pk: int) -> HttpResponse:
    purchase = get_object_or_404(selectors.purchases(), pk=pk)
    lots = purchase.lots.with_home_balance().select_related("material")
    table = LotTable(lots.order_by("pk"))
    RequestConfig(request, paginate=False).configure(table)
    context = {"purchase": purchase, "lots": table}
    return render(request, "inventory/purchase_detail.html", context)


@owner_required
def purchase_receipt(request: HttpRequest, pk: int) -> FileResponse:
    purchase = get_object_or_404(selectors.purchases(), pk=pk)
    if not purchase.receipt:
        raise Http404(_("This purchase has no picture of its receipt."))
    return FileResponse(purchase.receipt.open("rb"), as_attachment=True)


@owner_required
def purchase_add(request: HttpRequest) -> HttpResponse:
    data, files = request.POST or None, request.FILES or None
    form = PurchaseForm(data, files)
    lines: BaseLineFormSet = LineFormSet(data, prefix="line")  # type: ignore[assignment]  # made by a factory
    if part := checked(request, form, lines):
        return part
    if request.method == "POST" and form.is_valid() and lines.is_valid():
        values = form.cleaned_data
        purchase = attempt(
            form,
            lambda: purchasing.buy(
                purchase=form.instance,
                lines=lines.lines(),
                stamp=stamp(request, on=values["bought_on"]),
                freight=values["freight"] or Decimal(0),
                currency=Business.current().currency,
            ),
        )
        if purchase is not None:
            messages.success(request, _("The purchase from %s is entered.") % purchase)
            return redirect(purchase)
    context = {"form": form, "lines": lines}
    return render(request, "inventory/purchase_form.html", context)


@owner_required
def opening_add(request: HttpRequest) -> HttpResponse:
    form = OpeningForm(request.POST or None)
    if part := checked(request, form):
        return part
    if request.method == "POST" and form.is_valid():
        when = replace(stamp(request), on=form.cleaned_data["on"])
        lot = attempt(
            form,
            lambda: purchasing.enter_opening_stock(line=form.line(), stamp=when),
        )
        if lot is not None:
            messages.success(request, _("%s is in the pantry.") % lot)
            return redirect(lot)
    return render(request, "inventory/opening_form.html", {"form": form})
