"""Labels: what waits for labels, printing them, and what became of them."""

from typing import Any

from django.contrib import messages
from django.core.exceptions import BadRequest
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from inventory.tables.paging import paged
from inventory.words import say, say_count
from labels import printing
from labels.forms.printing import PrintForm, TallyForm
from labels.models import LabelSheet, PrintRun
from labels.printing import PrintingError, Wish, showing
from labels.printing.counting import account_of, next_free_place, waiting
from labels.printing.desk import Desk
from labels.printing.preparing import look_of
from labels.tables.printing import PrintRunTable
from production.forms.choosing import BatchForm
from production.models import Batch


def home(request: HttpRequest) -> HttpResponse:
    form = BatchForm(request.GET if "batch" in request.GET else None)
    if form.is_bound and form.is_valid():
        return redirect("labels:print", form.cleaned_data["batch"].code)
    runs = PrintRun.objects.with_tallies().select_related("batch__product__jar_size")[
        :8
    ]
    return render(
        request,
        "labels/home.html",
        {
            "form": form,
            "waiting": waiting(),
            "table": PrintRunTable(list(runs), orderable=False),
        },
    )


def print_form(request: HttpRequest, code: str) -> HttpResponse:
    batch, desk = fetch_desk(code)
    first = _first_choice(desk)
    form = PrintForm(request.POST or None, initial=first, sheets=desk.sheets)
    if request.method == "POST" and form.is_valid():
        answer = _print(request, batch, form)
        if answer is not None:
            return answer
    return render(
        request,
        "labels/print_form.html",
        {
            "batch": batch,
            "form": form,
            "account": desk.accounts.of(),
            "sheets": desk.sheets,
            "report": desk.report,
            **_shown(desk, first, form),
        },
    )


def _first_choice(desk: Desk) -> dict[str, Any]:
    arrangement = look_of(desk.product).arrangement
    return {
        "sheet": desk.usual_sheet(),
        "arrangement": arrangement,
        "count": desk.accounts.wanted(arrangement),
        "start_at": 1,
    }


def _print(request: HttpRequest, batch: Batch, form: PrintForm) -> HttpResponse | None:
    chosen = form.cleaned_data
    try:
        printed = printing.print_labels(
            wish=_wish(batch, chosen),
            count=chosen["count"],
            start_at=chosen["start_at"],
            at=timezone.now(),
            by=request.user,  # type: ignore[arg-type] # signed in
            reason=chosen["reason"],
            has_outlines=chosen["has_outlines"],
        )
    except PrintingError as error:
        form.add_error(None, f"{error}.")
        return None
    run = printed.run
    sheets = say_count("{count} sheet", "{count} sheets", printed.sheets)
    messages.success(
        request,
        say(
            "{count} draft labels for batch {batch} on {sheets}: open the file and "
            "print it."
            if run.is_draft
            else "{count} labels for batch {batch} on {sheets}: open the file and "
            "print it.",
            count=run.count,
            batch=batch.code,
            sheets=sheets,
        ),
    )
    return redirect(run)


def _wish(batch: Batch, chosen: dict[str, Any]) -> Wish:
    return Wish(
        batch=batch,
        sheet=chosen["sheet"],
        arrangement=chosen["arrangement"],
        on=timezone.localdate(),
    )


@require_safe
def print_preview(request: HttpRequest, code: str) -> HttpResponse:
    """Answer the part of the page beside the form."""
    _, desk = fetch_desk(code)
    form = PrintForm(request.GET)
    form.is_valid()
    shown = _shown(desk, _first_choice(desk), form)
    return render(request, "labels/_preview.html", shown)


def _shown(desk: Desk, first: dict[str, Any], form: PrintForm) -> dict[str, Any]:
    """Return preview and sheet picture for what is chosen so far."""
    chosen = {**first, **getattr(form, "cleaned_data", {})}
    sheet = chosen["sheet"]
    if sheet is None:
        return {"preview": None}
    wish = desk.wish(sheet, arrangement=chosen["arrangement"])
    return {
        "preview": showing.preview(wish),
        "sheet": sheet,
        "next_free": next_free_place(desk.known(sheet)),
        "places": showing.places_shown(
            sheet, count=chosen["count"] or 0, start_at=chosen["start_at"] or 1
        ),
    }


@require_safe
def proof(request: HttpRequest, code: str) -> HttpResponse:
    batch = fetch_batch(code)
    sheet = get_object_or_404(LabelSheet, name=request.GET.get("sheet", ""))
    try:
        prepared = printing.prepare(
            Wish(batch=batch, sheet=sheet, on=timezone.localdate())
        )
    except PrintingError as error:
        raise BadRequest(str(error)) from error
    return pdf_answer(showing.proof_file(prepared), f"proof-{code}")


def printrun_list(request: HttpRequest) -> HttpResponse:
    runs = PrintRun.objects.with_tallies().select_related("batch__product__jar_size")
    table = paged(request, PrintRunTable(runs))
    return render(request, "labels/printrun_list.html", {"table": table})


def printrun_detail(request: HttpRequest, pk: int) -> HttpResponse:
    return _show_run(request, pk, TallyForm())


def _show_run(request: HttpRequest, pk: int, form: TallyForm) -> HttpResponse:
    runs = PrintRun.objects.select_related(
        "batch__product", "sheet", "printed_by", "reprint_of"
    )
    run = get_object_or_404(runs, pk=pk)
    return render(
        request,
        "labels/printrun_detail.html",
        {
            "run": run,
            "form": form,
            "account": account_of(run),
            "tallies": run.tallies.select_related("by"),
        },
    )


@require_safe
def printrun_file(request: HttpRequest, pk: int) -> HttpResponse:
    runs = PrintRun.objects.select_related(
        "batch__product__jar_size", "batch__product__label__sheet", "sheet"
    )
    run = get_object_or_404(runs, pk=pk)
    try:
        data = printing.pdf_of(run=run, on=timezone.localdate())
    except PrintingError as error:
        raise BadRequest(str(error)) from error
    return pdf_answer(data, f"labels-{run.batch.code}-{run.pk}")


@require_POST
def printrun_tally(request: HttpRequest, pk: int) -> HttpResponse:
    run = get_object_or_404(PrintRun, pk=pk)
    form = TallyForm(request.POST)
    if form.is_valid():
        try:
            printing.tally(
                run=run,
                at=timezone.now(),
                by=request.user,  # type: ignore[arg-type] # signed in
                **form.cleaned_data,
            )
        except PrintingError as error:
            form.add_error(None, f"{error}.")
        else:
            messages.success(request, say("The labels are accounted for as you said."))
            return redirect(run)
    return _show_run(request, pk, form)


def fetch_batch(code: str) -> Batch:
    """Return the batch of an address, or 404 with a sentence."""
    try:
        return printing.find_batch(code)
    except PrintingError as error:
        raise Http404(str(error)) from error


def fetch_desk(code: str) -> tuple[Batch, Desk]:
    """Return the batch of an address on the printing table, or 404 with a sentence."""
    batch = fetch_batch(code)
    if batch.product is None:
        raise Http404(say("batch {code} fills no jars, so it has no label", code=code))
    return batch, Desk(batch.product, batch, on=timezone.localdate())


def pdf_answer(data: bytes, name: str) -> HttpResponse:
    """Return a PDF that opens in the browser."""
    return HttpResponse(
        data,
        content_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{name}.pdf"'},
    )
