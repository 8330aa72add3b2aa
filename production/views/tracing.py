"""Finding a batch, its trace, and the trace as a paper, a picture or data."""

import json
from collections import Counter

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone

from inventory.models import Business, Lot
from inventory.pictures import as_svg
from inventory.words import say
from production.forms.complaints import DaysForm, FindForm
from production.models import Batch
from production.papers.trace_papers import trace_record
from production.scans import code_in_scan
from production.selectors import trace_records, tracing
from production.selectors.batch_finder import Finding, Match, Purchased, find
from production.trace_answer import TraceAnswer
from production.trace_document import records_document
from production.trace_graph import NodeKind
from production.trace_picture import draw_graph
from production.trace_records import TraceRecords
from production.trace_workbook import records_workbook, trace_workbook

FOLDABLE = (NodeKind.SUPPLIER, NodeKind.PURCHASE, NodeKind.PLACE)
MOST_IN_TABLE = 200
NO_SITE = "https://book.invalid"
WORKBOOK = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def trace(request: HttpRequest) -> HttpResponse:
    form = FindForm(request.GET or None)
    finding = None
    if request.GET and form.is_valid():
        data = form.cleaned_data
        bought = Purchased(
            product=data["product"],
            outlet=data["outlet"],
            first=data["first"],
            last=data["last"],
        )
        finding = find(code_in_scan(data["code"]), bought=bought)
        address = _address(finding)
        if address:
            return redirect(address)
    context = {"form": form, "finding": finding, "days_form": DaysForm()}
    return render(request, "production/trace_find.html", context)


def trace_days(request: HttpRequest) -> HttpResponse:
    form = DaysForm(request.GET or None)
    if not form.is_valid():
        context = {"form": FindForm(), "finding": None, "days_form": form}
        return render(request, "production/trace_find.html", context)
    first, last = form.cleaned_data["first"], form.cleaned_data["last"]
    records = trace_records.records_of_days(first, last)
    if form.cleaned_data["kind"] == "epcis":
        return _events(records, f"records-{first}-{last}.jsonld")
    name = f"records-{first}-{last}.xlsx"
    return _file(records_workbook(records), WORKBOOK, name)


def trace_batch(request: HttpRequest, code: str) -> HttpResponse:
    batch = get_object_or_404(
        Batch.objects.select_related("product__jar_size", "version__recipe"), code=code
    )
    return _answer(request, tracing.trace_batch(batch), {"batch": batch})


def trace_lot(request: HttpRequest, code: str) -> HttpResponse:
    lot = get_object_or_404(
        Lot.objects.select_related("product__jar_size", "material"), code=code
    )
    return _answer(request, tracing.trace_lot(lot), {"lot": lot})


def _answer(
    request: HttpRequest, answer: TraceAnswer, about: dict[str, object]
) -> HttpResponse:
    wanted = request.GET.get("as", "")
    if wanted in AS:
        return AS[wanted](answer)
    folded = [kind for kind in FOLDABLE if kind in request.GET.getlist("fold")]
    context = {
        **about,
        "answer": answer,
        "total": answer.affected_balance,
        "most": MOST_IN_TABLE,
        "folds": [(kind, kind in folded) for kind in FOLDABLE],
        "picture": _picture(answer, folded),
    }
    return render(request, "production/trace_answer.html", context)


def _address(finding: Finding) -> str:
    if finding.match is Match.BATCH and finding.batch is not None:
        return reverse("production:trace-batch", args=[finding.batch.code])
    if finding.match is Match.LOT and finding.lot is not None:
        return reverse("production:trace-lot", args=[finding.lot.code])
    return ""


def _picture(answer: TraceAnswer, folded: list[NodeKind]) -> str:
    graph = answer.graph.folded(folded)
    counts = Counter(node.kind for node in graph.nodes)
    told = ", ".join(f"{counts[kind]} {kind}" for kind in NodeKind if counts[kind])
    return as_svg(
        draw_graph(graph),
        title=say("Trace of {subject}", subject=answer.subject.code),
        description=say(
            "From left to right: {told}. The tables say the same in words.", told=told
        ),
        name="trace",
    )


def _as_paper(answer: TraceAnswer) -> HttpResponse:
    paper = trace_record(
        answer,
        maker=Business.current().trade_name,
        at=timezone.localtime(timezone.now()),
    )
    return _file(paper, "application/pdf", f"trace-{answer.subject.code}.pdf")


def _as_workbook(answer: TraceAnswer) -> HttpResponse:
    body = trace_workbook(answer, trace_records.records_of_answer(answer))
    return _file(body, WORKBOOK, f"trace-{answer.subject.code}.xlsx")


def _as_data(answer: TraceAnswer) -> HttpResponse:
    return JsonResponse(answer.as_data(), json_dumps_params={"indent": 1})


def _as_events(answer: TraceAnswer) -> HttpResponse:
    records = trace_records.records_of_answer(answer)
    return _events(records, f"trace-{answer.subject.code}.jsonld")


def _events(records: TraceRecords, name: str) -> HttpResponse:
    document = records_document(
        records,
        created_at=timezone.localtime(timezone.now()),
        stem=Business.current().website or NO_SITE,
    )
    body = json.dumps(document, indent=1).encode()
    return _file(body, "application/ld+json", name)


AS = {
    "pdf": _as_paper,
    "xlsx": _as_workbook,
    "json": _as_data,
    "epcis": _as_events,
}


def _file(body: bytes, kind: str, name: str) -> HttpResponse:
    response = HttpResponse(body, content_type=kind)
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response
