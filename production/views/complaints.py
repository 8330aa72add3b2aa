"""Complaints: the list, writing one down, what to do about it, closing it."""

from django.contrib import messages
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from inventory.tables.paging import paged
from inventory.words import say, to_say
from production import complaints
from production.complaints import ComplaintError
from production.forms.complaints import ComplaintForm, FindForm, WordsForm
from production.models import Batch, Complaint, Recall, StopSale
from production.scans import code_in_scan
from production.selectors.batch_finder import Finding, Purchased, find
from production.symptoms import Severity, find_symptom
from production.tables.complaints import ComplaintTable

MOST = 20
"""Of what stands open the newest are named above the list."""

OUTCOME = to_say("What was found, and what the buyer was told")


def complaint_list(request: HttpRequest) -> HttpResponse:
    forgotten = complaints.erase_persons(on=timezone.localdate())
    if forgotten:
        messages.info(
            request,
            say(
                "{forgotten} persons were erased; their time is over.",
                forgotten=forgotten,
            ),
        )
    found = Complaint.objects.select_related("batch", "product__jar_size")
    table = ComplaintTable(found)
    paged(request, table)
    open_ones = found.filter(closed_at=None, batch__isnull=False)
    context = {
        "table": table,
        "form": FindForm(),
        "standing": StopSale.objects.filter(lifted_at=None).order_by("-set_at")[:MOST],
        "recalls": Recall.objects.filter(closed_at=None)[:MOST],
        "several": len(open_ones.order_by().values("batch").distinct()[:2]) > 1,
    }
    return render(request, "production/complaint_list.html", context)


def complaint_create(request: HttpRequest) -> HttpResponse:
    form = ComplaintForm(
        request.POST or None,
        request.FILES or None,
        initial={"code_as_told": request.GET.get("code", ""), "illness": "unknown"},
    )
    if request.method == "POST" and form.is_valid():
        complaint = form.save(commit=False)
        complaint.received_at = timezone.now()
        complaint.received_by = request.user
        found = _look_for(complaint)
        if found.batch is not None:
            complaint.batch = found.batch
            complaint.product = complaint.product or found.batch.product
        complaint = complaints.record(complaint=complaint)
        messages.success(request, say("The complaint is written down."))
        return redirect(complaint)
    return render(request, "production/complaint_form.html", {"form": form})


def complaint_detail(request: HttpRequest, pk: int) -> HttpResponse:
    complaint = _get(pk)
    symptom = find_symptom(complaint.symptom)
    finding = None if complaint.batch else _look_for(complaint)
    severity = Severity(complaint.severity)
    context = {
        "complaint": complaint,
        "symptom": symptom,
        "severity": severity,
        "must_stop": severity is Severity.STOP,
        "finding": finding,
        "stops": complaint.stop_sales.all(),
        "is_stopped": _is_stopped(complaint.batch),
        "close_form": WordsForm(label=say(OUTCOME)),
    }
    return render(request, "production/complaint_detail.html", context)


@require_POST
def complaint_point(request: HttpRequest, pk: int) -> HttpResponse:
    complaint = _get(pk)
    batch = get_object_or_404(Batch, code=request.POST.get("batch", ""))
    complaints.point_at(complaint=complaint, batch=batch)
    messages.success(request, say("The complaint is about {batch}.", batch=batch))
    return redirect(complaint)


@require_POST
def complaint_close(request: HttpRequest, pk: int) -> HttpResponse:
    complaint = _get(pk)
    form = WordsForm(request.POST, label=say(OUTCOME))
    words = form.cleaned_data["words"] if form.is_valid() else ""
    try:
        complaints.close(complaint=complaint, outcome=words, at=timezone.now())
    except ComplaintError as error:
        messages.error(request, f"{error}.")
    else:
        messages.success(request, say("The complaint is closed."))
    return redirect(complaint)


def complaint_photo(request: HttpRequest, pk: int) -> FileResponse:
    complaint = _get(pk)
    if not complaint.photo:
        raise Http404(say("this complaint has no photo"))
    return FileResponse(complaint.photo.open("rb"))


def complaint_suspects(request: HttpRequest) -> HttpResponse:
    open_ones = list(
        Complaint.objects.filter(closed_at=None, batch__isnull=False).select_related(
            "batch", "product__jar_size"
        )
    )
    suspects = complaints.common_suspects(open_ones)
    context = {
        "complaints": open_ones,
        "rows": complaints.with_lots(suspects[:20]),
    }
    return render(request, "production/complaint_suspects.html", context)


def _get(pk: int) -> Complaint:
    found = Complaint.objects.select_related(
        "batch__product__jar_size", "batch__version__recipe", "product", "outlet"
    )
    return get_object_or_404(found, pk=pk)


def _look_for(complaint: Complaint) -> Finding:
    bought = Purchased(
        product=complaint.product,
        outlet=complaint.outlet,
        first=complaint.bought_on,
        last=complaint.bought_on,
    )
    return find(code_in_scan(complaint.code_as_told), bought=bought)


def _is_stopped(batch: Batch | None) -> bool:
    return (
        batch is not None
        and batch.outputs.filter(lot__stopped_at__isnull=False).exists()
    )
