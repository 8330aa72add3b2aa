"""Label sheets: measuring one, lining the printer up, how a product's label looks."""

from collections.abc import Iterator
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from inventory.models import Product
from inventory.tables.paging import paged
from inventory.words import say
from labels import selectors
from labels.forms.printing import LookForm, OffsetForm, SheetForm
from labels.models import LabelSheet, ProductLabel
from labels.printing import showing
from labels.printing.desk import Desk
from labels.printing.preparing import look_of
from labels.tables.printing import LookTable, SheetTable
from labels.views.printing import pdf_answer
from production.models import Batch


def sheet_list(request: HttpRequest) -> HttpResponse:
    table = paged(request, SheetTable(LabelSheet.objects.all()))
    return render(request, "labels/sheet_list.html", {"table": table})


def sheet_detail(request: HttpRequest, name: str) -> HttpResponse:
    sheet = get_object_or_404(LabelSheet, name=name)
    return _show_sheet(request, sheet, OffsetForm(instance=sheet))


def _show_sheet(
    request: HttpRequest, sheet: LabelSheet, form: OffsetForm
) -> HttpResponse:
    stored = LabelSheet.objects.get(pk=sheet.pk)
    return render(
        request,
        "labels/sheet_detail.html",
        {"sheet": stored, "form": form, "places": showing.places_shown(stored)},
    )


def sheet_create(request: HttpRequest) -> HttpResponse:
    return _edit_sheet(request, None)


def sheet_edit(request: HttpRequest, name: str) -> HttpResponse:
    return _edit_sheet(request, get_object_or_404(LabelSheet, name=name))


def _edit_sheet(request: HttpRequest, sheet: LabelSheet | None) -> HttpResponse:
    form = SheetForm(request.POST or None, instance=sheet)
    if request.method == "POST" and form.is_valid():
        saved = form.save()
        messages.success(
            request,
            say("{saved} is kept; print its calibration page next.", saved=saved.name),
        )
        return redirect(saved)
    return render(request, "labels/sheet_form.html", {"form": form, "sheet": sheet})


@require_POST
def sheet_offset(request: HttpRequest, name: str) -> HttpResponse:
    sheet = get_object_or_404(LabelSheet, name=name)
    form = OffsetForm(request.POST, instance=sheet)
    if form.is_valid():
        form.save()
        messages.success(request, say("The printer's offset is kept for this sheet."))
        return redirect(sheet)
    return _show_sheet(request, sheet, form)


@require_safe
def calibration(request: HttpRequest, name: str) -> HttpResponse:
    sheet = get_object_or_404(LabelSheet, name=name)
    return pdf_answer(showing.calibration_file(sheet), f"calibration-{name}")


def productlabel_edit(request: HttpRequest, code: str) -> HttpResponse:
    product = _product(code)
    desk = _desk(product)
    look = look_of(product)
    form = LookForm(
        request.POST or None, request.FILES or None, instance=look, sheets=desk.sheets
    )
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(
            request, say("The label of {product} looks as you chose.", product=product)
        )
        return redirect("labels:productlabel-edit", code=code)
    return render(
        request,
        "labels/productlabel_form.html",
        {"form": form, "product": product, **_looked_at(desk, look_of(product))},
    )


@require_safe
def productlabel_preview(request: HttpRequest, code: str) -> HttpResponse:
    """Answer the picture for what is chosen but not kept yet."""
    product = _product(code)
    form = LookForm(request.GET, instance=look_of(product))
    form.fields.pop("logo")
    if not form.is_valid():
        refusal = "; ".join(_wrong(form))
        return render(
            request,
            "labels/_preview.html",
            {"preview": showing.Preview(refusal=refusal)},
        )
    shown = _looked_at(_desk(product), form.instance)
    return render(request, "labels/_preview.html", shown)


def _wrong(form: LookForm) -> Iterator[str]:
    """Yield what is wrong with each field, without full stops."""
    for name, errors in form.errors.items():
        said = " ".join(map(str, errors)).rstrip(".")
        label = form.fields[name].label if name in form.fields else ""
        yield f"{label}: {said}" if label else said


def _product(code: str) -> Product:
    products = selectors.with_ways(Product.objects.all())
    return get_object_or_404(
        products.select_related("jar_size", "label__sheet"), code=code
    )


def _desk(product: Product) -> Desk:
    """Return the printing table with the product's latest batch, if it has one."""
    batches = Batch.objects.filter(product=product, code__isnull=False)
    batch = (
        selectors.with_readings(batches)
        .exclude(status__in=[Batch.Status.REJECTED, Batch.Status.RECALLED])
        .order_by("-made_on", "-pk")
        .first()
    )
    if batch is not None:
        batch.product = product
    return Desk(product, batch, on=timezone.localdate())


def _looked_at(desk: Desk, look: ProductLabel) -> dict[str, Any]:
    """Return the preview of a look on the printing table."""
    sheet = look.sheet or desk.usual_sheet(look)
    if sheet is None:
        return {"preview": None}
    preview = showing.preview(desk.wish(sheet, look=look))
    return {"preview": preview, "batch": desk.batch, "sheet": sheet}


def productlabel_list(request: HttpRequest) -> HttpResponse:
    products = Product.objects.filter(withdrawn_on__isnull=True).select_related(
        "jar_size", "label__sheet"
    )
    table = paged(request, LookTable(products))
    return render(request, "labels/productlabel_list.html", {"table": table})
