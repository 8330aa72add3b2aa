"""Label checks: is this label right, rule by rule."""

from collections.abc import Iterable
from typing import Any

from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe
from django_tables2 import RequestConfig

from inventory.models import Product
from labels.models import PlaceProfile
from labels.rules.check import Report
from labels.rules.report_data import as_data
from labels.rules.rule import State
from labels.selectors import (
    LabelSelectionError,
    Sales,
    Subject,
    find_subject,
    label_of,
    report_of,
)
from labels.tables.places import CheckTable
from production.models import Batch

PAGE = 12
"""Labels on one page of the list: each is written and checked to be shown."""


@require_safe
def check_list(request: HttpRequest) -> HttpResponse:
    today = timezone.localdate()
    products = Product.objects.offered(on=today).select_related("jar_size", "label")
    page = Paginator(products, PAGE).get_page(request.GET.get("page"))
    sales = Sales(today)
    newest = _newest_batches(page.object_list)
    rows = [_row(product, newest.get(product.pk), sales) for product in page]
    table = CheckTable(rows, orderable=False)
    RequestConfig(request, paginate=False).configure(table)
    return render(request, "labels/check_list.html", {"table": table, "page": page})


def _row(product: Product, batch: Batch | None, sales: Sales) -> dict[str, Any]:
    """Return the state of a product's label on its newest batch."""
    subject = Subject(product=product, batch=batch)
    name = (batch.code if batch else "") or product.code
    row = {"subject": subject.name, "address": reverse("labels:check", args=[name])}
    try:
        report = report_of(
            look=label_of(product), batch=batch, on=sales.on, sales=sales
        )
    except LabelSelectionError as error:
        return {**row, "tone": "bad", "state": "cannot be written", "summary": error}
    found = len(report.of(State.FOUND))
    tone = "bad" if report.stops_printing else "warn" if found else "good"
    state = f"{found} to mend" if found else "nothing to mend"
    return {**row, "tone": tone, "state": state, "summary": report.summary}


def _newest_batches(products: Iterable[Product]) -> dict[int, Batch]:
    batches = (
        Batch.objects.filter(product__in=products, code__isnull=False)
        .exclude(status__in=[Batch.Status.REJECTED, Batch.Status.RECALLED])
        .select_related("version__recipe", "product__jar_size")
        .order_by("made_on", "pk")
    )
    return {batch.product_id or 0: batch for batch in batches}


@require_safe
def check(request: HttpRequest, subject: str) -> HttpResponse:
    try:
        found = find_subject(subject)
    except LabelSelectionError as error:
        raise Http404(str(error)) from error
    chosen = request.GET.get("place", "")
    context: dict[str, Any] = {
        "subject": found,
        "address": subject,
        "chosen": chosen,
        "places": PlaceProfile.objects.order_by("place"),
    }
    try:
        report = report_of(
            look=label_of(found.product),
            batch=found.batch,
            on=timezone.localdate(),
            place_code=chosen or None,
        )
    except LabelSelectionError as error:
        return render(request, "labels/check_detail.html", {**context, "error": error})
    if request.GET.get("format") == "json":
        return JsonResponse(as_data(report, subject=found.name))
    return render(request, "labels/check_detail.html", {**context, **_shown(report)})


def _shown(report: Report) -> dict[str, Any]:
    built = report.label.built
    return {
        "report": report,
        "text": built.text,
        "law": built.place,
        "is_stale": built.place and built.place.is_stale(on=report.label.on),
        "entries": built.ingredient_list,
        "recipe": built.given.recipe,
        "groups": [
            ("To mend", "bad", report.of(State.FOUND)),
            ("To ask, or to keep in mind", "warn", report.of(State.ASK)),
            ("Looked at, nothing found", "good", report.of(State.PASSED)),
        ],
    }
