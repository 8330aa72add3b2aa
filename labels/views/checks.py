"""Label checks: is this label right, rule by rule."""

from typing import Any

from django.db.models import OuterRef, Subquery
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe
from django_tables2 import RequestConfig

from inventory.models import Product
from inventory.tables.paging import Pages
from inventory.words import say
from labels.models import PlaceProfile
from labels.rules.check import Report
from labels.rules.report_data import as_data
from labels.rules.rule import State
from labels.selectors import (
    LabelBook,
    LabelSelectionError,
    Sales,
    Subject,
    find_subject,
    label_of,
    report_of,
    with_readings,
    with_ways,
)
from labels.statements.workings import label_workings
from labels.tables.places import CheckTable
from production.models import Batch

PAGE = 12
"""Labels on one page of the list: each is written and checked to be shown."""

NEWEST = Subquery(
    Batch.objects.filter(product=OuterRef("pk"), code__isnull=False)
    .exclude(status__in=[Batch.Status.REJECTED, Batch.Status.RECALLED])
    .order_by("-made_on", "-pk")
    .values("pk")[:1]
)
"""The batch a product's label is judged on."""


@require_safe
def check_list(request: HttpRequest) -> HttpResponse:
    today = timezone.localdate()
    products = with_ways(Product.objects.offered(on=today)).select_related(
        "jar_size", "label__sheet", "filling__recipe"
    )
    page = Pages(products.annotate(newest=NEWEST), PAGE).get_page(
        request.GET.get("page")
    )
    shown: list[Any] = list(page.object_list)
    newest = with_readings(Batch.objects.filter(pk__in=[p.newest for p in shown]))
    batches = {batch.product_id: batch for batch in newest}
    book = LabelBook(batches=batches.values(), products=shown)
    sales = Sales(today)
    rows = [_row(each, batches.get(each.pk), sales, book) for each in shown]
    table = CheckTable(rows, orderable=False)
    RequestConfig(request, paginate=False).configure(table)
    return render(request, "labels/check_list.html", {"table": table, "page": page})


def _row(
    product: Product, batch: Batch | None, sales: Sales, book: LabelBook
) -> dict[str, Any]:
    """Return the state of a product's label on its newest batch."""
    subject = Subject(product=product, batch=batch)
    name = (batch.code if batch else "") or product.code
    row = {"subject": subject.name, "address": reverse("labels:check", args=[name])}
    try:
        report = report_of(
            look=label_of(product), batch=batch, on=sales.on, sales=sales, book=book
        )
    except LabelSelectionError as error:
        return {
            **row,
            "tone": "bad",
            "state": say("cannot be written"),
            "summary": error,
        }
    found = len(report.of(State.FOUND))
    tone = "bad" if report.stops_printing else "warn" if found else "good"
    state = say("{found} to mend", found=found) if found else say("nothing to mend")
    return {**row, "tone": tone, "state": state, "summary": report.summary}


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
        "places": PlaceProfile.objects.order_by("place").only("code", "place"),
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
        "workings": label_workings(built.given),
        "groups": [
            (say("To mend"), "bad", report.of(State.FOUND)),
            (say("To ask, or to keep in mind"), "warn", report.of(State.ASK)),
            (say("Looked at, nothing found"), "good", report.of(State.PASSED)),
        ],
    }
