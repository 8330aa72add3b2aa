"""Shops: visits, deliveries and their statements."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.decorators import method_decorator
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST
from django_filters.views import FilterView

from inventory import consignment, selectors
from inventory.filters import VisitFilter
from inventory.forms.stall import DeliveryForm, ShopForm
from inventory.models import ConsignmentVisit, Outlet, OutletKind
from inventory.roles import owner_required
from inventory.tables.paging import PagedTableMixin
from inventory.tables.stall import VisitTable
from inventory.views.entry import attempt, stamp


@method_decorator(owner_required, name="dispatch")
class VisitList(PagedTableMixin, FilterView):
    queryset = ConsignmentVisit.objects.select_related("outlet").prefetch_related(
        "lines"
    )
    table_class = VisitTable
    filterset_class = VisitFilter
    template_name = "inventory/visit_list.html"


@owner_required
def visit_add(request: HttpRequest, outlet: int) -> HttpResponse:
    shop = get_object_or_404(Outlet, pk=outlet, kind=OutletKind.CONSIGNMENT)
    today = timezone.localdate()
    form = ShopForm(
        request.POST or None,
        initial={"on": today, "commission": shop.commission},
        outlet=shop,
        subjects=selectors.lots_for_shop(shop, on=today),
        prices=selectors.prices_on(kind=shop.kind, on=today),
    )
    if request.method == "POST" and form.is_valid():
        when = stamp(request, on=form.cleaned_data["on"])
        visit = attempt(
            form,
            lambda: consignment.visit(
                shop=form.visit(), figures=form.figures(), stamp=when
            ),
        )
        if visit is not None:
            messages.success(request, _("The visit to %s is entered.") % visit)
            return redirect(visit)
    context = {"form": form, "outlet": shop, "rows": form.rows()}
    return render(request, "inventory/visit_form.html", context)


@owner_required
def delivery_add(request: HttpRequest, outlet: int) -> HttpResponse:
    shop = get_object_or_404(Outlet, pk=outlet, kind=OutletKind.WHOLESALE)
    today = timezone.localdate()
    form = DeliveryForm(
        request.POST or None,
        initial={"on": today},
        subjects=selectors.lots_for_shop(shop, on=today),
    )
    if request.method == "POST" and form.is_valid():
        on = form.cleaned_data["on"]
        delivery = ConsignmentVisit(outlet=shop, on=on, commission=0)
        when = stamp(request, on=on)
        visit = attempt(
            form,
            lambda: consignment.deliver(shop=delivery, jars=form.jars(), stamp=when),
        )
        if visit is not None:
            messages.success(request, _("The delivery to %s is entered.") % visit)
            return redirect(visit)
    context = {"form": form, "outlet": shop, "rows": form.rows()}
    return render(request, "inventory/delivery_form.html", context)


@owner_required
def visit_detail(request: HttpRequest, pk: int) -> HttpResponse:
    statement = selectors.statement(_visit(pk))
    return render(request, "inventory/visit_detail.html", {"statement": statement})


@owner_required
def visit_print(request: HttpRequest, pk: int) -> HttpResponse:
    statement = selectors.statement(_visit(pk))
    return render(request, "inventory/visit_print.html", {"statement": statement})


@owner_required
@require_POST
def visit_paid(request: HttpRequest, pk: int) -> HttpResponse:
    visit = _visit(pk)
    paid_on = None if visit.paid_on else timezone.localdate()
    consignment.pay(shop=visit, on=paid_on)
    word = _("%s is marked as paid.") if paid_on else _("%s is marked as not paid.")
    messages.success(request, word % visit)
    return redirect(visit)


def _visit(pk: int) -> ConsignmentVisit:
    return get_object_or_404(ConsignmentVisit.objects.select_related("outlet"), pk=pk)
