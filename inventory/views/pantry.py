"""The pantry: what is there, what to use first, and what is done with a lot."""

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.html import escape
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST
from django_filters.views import FilterView
from django_tables2 import RequestConfig

from inventory import ledger, selectors
from inventory.filters import LotFilter, MovementFilter
from inventory.forms.checking import checked
from inventory.forms.choosing import material_field
from inventory.forms.fields import said, weighed_text
from inventory.forms.lots import (
    CorrectForm,
    CountForm,
    FreezeForm,
    LotFactsForm,
    LotForm,
    ReturnForm,
    WriteOffForm,
)
from inventory.models import Business, Lot, Material, Movement
from inventory.quantities import QuantityError
from inventory.roles import is_owner, owner_required
from inventory.tables.paging import PagedTableMixin, paged
from inventory.tables.pantry import FreezerTable, LedgerTable, LotTable, MovementTable
from inventory.views.entry import REFUSALS, attempt, stamp
from inventory.workings import KeptUntil, kept_until

USE_FIRST = 8
UNDOABLE = {str(reason) for reason in ledger.UNDOABLE}


def without_cost(request: HttpRequest) -> tuple[str, ...]:
    """Columns a helper does not see."""
    return () if is_owner(request.user) else ("cost",)


def home(request: HttpRequest) -> HttpResponse:
    today = timezone.localdate()
    use_first = LotTable(
        selectors.use_first()[:USE_FIRST],
        exclude=without_cost(request),
        orderable=False,
    )
    RequestConfig(request, paginate=False).configure(use_first)
    context = {
        "use_first": use_first,
        "freezer": selectors.freezer_use(Business.current()),
        "in_season": Material.objects.in_season(on=today),
        "expired": selectors.expired(on=today).count(),
    }
    return render(request, "inventory/pantry.html", context)


class LotList(PagedTableMixin, FilterView):
    queryset = Lot.objects.with_home_balance().select_related(
        "material", "product__jar_size"
    )
    table_class = LotTable
    filterset_class = LotFilter
    template_name = "inventory/lot_list.html"

    def get_table_kwargs(self) -> dict[str, Any]:
        return {"exclude": without_cost(self.request)}


class Ledger(PagedTableMixin, FilterView):
    queryset = Movement.objects.select_related(
        "lot__material", "lot__product__jar_size", "place", "person", "corrects"
    ).order_by("-pk")
    table_class = LedgerTable
    filterset_class = MovementFilter
    template_name = "inventory/ledger.html"


def freezer(request: HttpRequest) -> HttpResponse:
    use = selectors.freezer_use(Business.current())
    table = FreezerTable(use.lots)
    RequestConfig(request, paginate=False).configure(table)
    return render(request, "inventory/freezer.html", {"use": use, "table": table})


def lot_detail(request: HttpRequest, code: str) -> HttpResponse:
    lot = _lot(code)
    rows = lot.movements.select_related(
        "lot__material", "place", "person", "corrects"
    ).order_by("-pk")
    table = paged(request, MovementTable(rows))
    context = {
        "lot": lot,
        "movements": table,
        "elsewhere": selectors.places_of(lot),
        "sum": selectors.home_sum(lot),
        "keeping": _keeping(lot),
        "splits": lot.splits.all(),
        "last": _last_touch(lot),
        "can_freeze": bool(
            lot.material and lot.material.freezable and not lot.is_frozen
        ),
    }
    return render(request, "inventory/lot_detail.html", context)


def _keeping(lot: Lot) -> KeptUntil | None:
    if lot.best_by is None:
        return None
    material, product = lot.material, lot.product
    days = months = None
    if material is not None:
        days = material.frozen_days if lot.is_frozen else material.fresh_days
    if product is not None:
        months = product.best_by_months or Business.current().best_by_months
    return kept_until(
        best_by=lot.best_by, begins_on=lot.received_on, days=days, months=months
    )


@owner_required
def lot_edit(request: HttpRequest, code: str) -> HttpResponse:
    lot = get_object_or_404(Lot, code=code, material__isnull=False, split_from=None)
    form = LotFactsForm(request.POST or None, instance=lot)
    if request.method == "POST" and form.is_valid():
        lot = form.save()
        messages.success(request, _("%s is saved.") % lot)
        return redirect(lot)
    context = {"form": form, "title": str(lot), "back": lot.get_absolute_url()}
    return render(request, "inventory/pantry_form.html", context)


def lot_freeze(request: HttpRequest, code: str) -> HttpResponse:
    def freeze(form: LotForm, lot: Lot) -> Lot:
        return ledger.freeze(
            lot=lot,
            quantity=form.cleaned_data["quantity"],
            stamp=stamp(request),
            best_by=form.cleaned_data["best_by"],
        )

    return _with_lot(request, code, FreezeForm, freeze, _("Freeze a part of %s"))


def lot_write_off(request: HttpRequest, code: str) -> HttpResponse:
    def write_off(form: LotForm, lot: Lot) -> Lot:
        values = form.cleaned_data
        ledger.write_off(
            lot=lot,
            quantity=values["quantity"],
            reason=values["reason"],
            stamp=stamp(request, note=values["note"]),
        )
        return lot

    return _with_lot(request, code, WriteOffForm, write_off, _("Write off some of %s"))


def lot_return(request: HttpRequest, code: str) -> HttpResponse:
    def take_back(form: LotForm, lot: Lot) -> Lot:
        values = form.cleaned_data
        when = stamp(request, note=values["note"])
        ledger.take_back(
            lot=lot,
            quantity=values["quantity"],
            stamp=when,
            unit_price=values["refund"],
            discard=not values["to_shelf"],
        )
        return lot

    return _with_lot(
        request, code, ReturnForm, take_back, _("A customer brings back %s")
    )


def lot_count(request: HttpRequest, code: str) -> HttpResponse:
    def count(form: LotForm, lot: Lot) -> Lot:
        values = form.cleaned_data
        ledger.count(
            lot=lot,
            counted=values["quantity"],
            stamp=stamp(request, note=values["note"]),
        )
        return lot

    return _with_lot(request, code, CountForm, count, _("Count %s"))


@require_GET
def weigh(request: HttpRequest) -> HttpResponse:
    """What a quantity being typed weighs; a sentence either way, for its help text."""
    typed = {name.rpartition("-")[2]: str(value) for name, value in request.GET.items()}
    text = typed.get("amount", "").strip()
    material = _material_meant(typed.get("material", ""))
    if material is None or not text:
        return HttpResponse(_("Choose the material, then write the quantity."))
    try:
        quantity = material.read_amount(text)
    except QuantityError as error:
        return HttpResponse(escape(said(error)))
    return HttpResponse(escape(weighed_text(quantity, material.unit)))


def _last_touch(lot: Lot) -> Movement | None:
    """The newest row of a lot where it is one that can be taken back by a touch."""
    newest = lot.movements.select_related("lot__material").order_by("-pk").first()
    if newest is None or newest.corrects_id or newest.reason not in UNDOABLE:
        return None
    return newest


@require_POST
def movement_undo(request: HttpRequest, pk: int) -> HttpResponse:
    row = get_object_or_404(
        Movement.objects.select_related("lot__material", "lot__product"), pk=pk
    )
    try:
        ledger.undo(movement=row, stamp=stamp(request, note=_("taken back")))
    except REFUSALS as error:
        messages.error(request, said(error))
    else:
        messages.success(request, _("It is taken back; %s is as before.") % row.lot)
    return redirect(row.lot)


def _material_meant(typed: str) -> Material | None:
    """The material of a key, or of the words typed for it."""
    if typed.isdecimal():
        return Material.objects.filter(pk=typed).first()
    try:
        chosen: Material | None = material_field(required=False).clean(typed)
    except ValidationError:
        return None
    return chosen


def movement_correct(request: HttpRequest, pk: int) -> HttpResponse:
    movement = get_object_or_404(
        Movement.objects.select_related("lot__material", "lot__product"), pk=pk
    )
    form = CorrectForm(request.POST or None, movement=movement)
    if request.method == "POST" and form.is_valid():
        row = attempt(
            form,
            lambda: ledger.correct(
                movement=movement,
                quantity=form.signed,
                stamp=stamp(request, note=form.cleaned_data["note"]),
            ),
        )
        if row is not None:
            messages.success(request, _("The row of %s is put right.") % movement.lot)
            return redirect(movement.lot)
    context = {"form": form, "movement": movement, "lot": movement.lot}
    return render(request, "inventory/movement_form.html", context)


def _with_lot(
    request: HttpRequest,
    code: str,
    form_class: type[LotForm],
    action: Callable[[LotForm, Lot], Lot],
    title: str,
) -> HttpResponse:
    """One form about one lot: fetch, bind, act, say so."""
    lot = _lot(code)
    form = form_class(request.POST or None, lot=lot, shows_worth=is_owner(request.user))
    if part := checked(request, form):
        return part
    if request.method == "POST" and form.is_valid():
        changed = attempt(form, lambda: action(form, lot))
        if changed is not None:
            messages.success(request, _("%s is in the book.") % changed)
            return redirect(changed)
    context = {
        "form": form,
        "lot": lot,
        "title": title % lot,
        "back": lot.get_absolute_url(),
    }
    return render(request, "inventory/lot_form.html", context)


def _lot(code: str) -> Lot:
    lots = Lot.objects.with_home_balance().with_balance()
    return get_object_or_404(
        lots.select_related(
            "material", "product__jar_size", "purchase__supplier", "split_from"
        ),
        code=code,
    )
