"""Materials, the suppliers they come from, and what those offer."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.decorators import method_decorator
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST
from django.views.generic import DetailView, ListView
from django_filters.views import FilterView
from django_tables2 import RequestConfig

from inventory import selectors
from inventory.filters import MaterialFilter
from inventory.forms.checking import checked
from inventory.forms.confirming import ask_first
from inventory.forms.pantry import (
    MaterialForm,
    PackForm,
    SeasonForm,
    SupplierForm,
    WeighingForm,
)
from inventory.models import (
    Lot,
    Material,
    Pack,
    SeasonWindow,
    Supplier,
    TrimWeighing,
)
from inventory.roles import is_owner, owner_required
from inventory.tables.paging import PagedTableMixin, paged
from inventory.tables.pantry import (
    LotTable,
    MaterialTable,
    PackTable,
    PurchaseTable,
    SupplierTable,
)
from inventory.words import say_count
from inventory.workings import conversions


class MaterialList(PagedTableMixin, FilterView):
    queryset = Material.objects.with_home_balance()
    table_class = MaterialTable
    filterset_class = MaterialFilter
    template_name = "inventory/material_list.html"


def material_detail(request: HttpRequest, pk: int) -> HttpResponse:
    material = get_object_or_404(Material.objects.with_home_balance(), pk=pk)
    lots = Lot.objects.filter(material=material).select_related("material")
    lot_table = LotTable(
        lots.on_hand(), exclude=() if is_owner(request.user) else ("cost",)
    )
    pack_table = PackTable(selectors.last_pack_prices(material))
    paged(request, lot_table)
    RequestConfig(request, paginate=False).configure(pack_table)
    context = {
        "material": material,
        "lots": lot_table,
        "packs": pack_table,
        "offers": list(pack_table.data.data),
        "conversions": conversions(material.as_measures()),
        "seasons": material.seasons.all(),
        "in_season": any(
            window.is_open(timezone.localdate()) for window in material.seasons.all()
        ),
        "weighings": material.trim_weighings.all()[:5],
    }
    return render(request, "inventory/material_detail.html", context)


@owner_required
def material_edit(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    material = get_object_or_404(Material, pk=pk) if pk else Material()
    form = MaterialForm(request.POST or None, instance=material)
    if part := checked(request, form):
        return part
    if request.method == "POST" and form.is_valid():
        material = form.save()
        messages.success(request, _("%s is saved.") % material)
        return redirect(material)
    return render(request, "inventory/material_form.html", {"form": form})


@owner_required
def pack_edit(
    request: HttpRequest, material: int | None = None, pk: int | None = None
) -> HttpResponse:
    pack = get_object_or_404(Pack, pk=pk) if pk else Pack()
    if material:
        pack.material = get_object_or_404(Material, pk=material)
    form = PackForm(request.POST or None, instance=pack)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, _("The offer of %s is saved.") % pack.supplier)
        return redirect(pack.material)
    return _part_form(request, pack.material, form, _("Offer of %s") % pack.material)


@owner_required
def season_edit(
    request: HttpRequest, material: int | None = None, pk: int | None = None
) -> HttpResponse:
    window = get_object_or_404(SeasonWindow, pk=pk) if pk else SeasonWindow()
    if material:
        window.material = get_object_or_404(Material, pk=material)
    form = SeasonForm(request.POST or None, instance=window)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, _("The season of %s is saved.") % window.material)
        return redirect(window.material)
    title = _("Season of %s") % window.material
    return _part_form(request, window.material, form, title)


@owner_required
@require_POST
def season_delete(request: HttpRequest, pk: int) -> HttpResponse:
    window = get_object_or_404(SeasonWindow, pk=pk)
    others = window.material.seasons.exclude(pk=pk).count()
    page = ask_first(
        request,
        question=_("Take the season %s out?") % window,
        facts=[
            say_count(
                "{count} other season of {material} is left; plans count on no more.",
                "{count} other seasons of {material} are left; plans count on no more.",
                others,
                material=window.material,
            )
        ],
        submit=_("Take it out"),
        back=window.material.get_absolute_url(),
    )
    if page:
        return page
    window.delete()
    messages.success(request, _("The season %s is taken out.") % window)
    return redirect(window.material)


def weighing_add(request: HttpRequest, material: int) -> HttpResponse:
    weighing = TrimWeighing(material=get_object_or_404(Material, pk=material))
    form = WeighingForm(request.POST or None, instance=weighing)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, _("The weighing of %s is kept.") % weighing.material)
        return redirect(weighing.material)
    title = _("Weigh %s before and after trimming") % weighing.material
    return _part_form(request, weighing.material, form, title)


def _part_form(
    request: HttpRequest, material: Material, form: Any, title: str
) -> HttpResponse:
    context = {"form": form, "title": title, "back": material.get_absolute_url()}
    return render(request, "inventory/pantry_form.html", context)


@method_decorator(owner_required, name="dispatch")
class SupplierList(PagedTableMixin, ListView):
    queryset = selectors.suppliers()
    table_class = SupplierTable
    template_name = "inventory/supplier_list.html"


@method_decorator(owner_required, name="dispatch")
class SupplierDetail(DetailView):
    model = Supplier
    template_name = "inventory/supplier_detail.html"

    def get_context_data(self, **kwargs: Any) -> dict[str, Any]:
        bought = PurchaseTable(selectors.purchases_of(self.object))
        purchases = paged(self.request, bought)
        return super().get_context_data(purchases=purchases, **kwargs)


@owner_required
def supplier_edit(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    supplier = get_object_or_404(Supplier, pk=pk) if pk else Supplier()
    form = SupplierForm(request.POST or None, instance=supplier)
    if request.method == "POST" and form.is_valid():
        supplier = form.save()
        messages.success(request, _("%s is saved.") % supplier)
        return redirect(supplier)
    return render(request, "inventory/supplier_form.html", {"form": form})
