"""Stop-sales: setting one, what comes off which table, lifting it."""

from collections.abc import Sequence
from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from inventory.forms.confirming import ask_first
from inventory.models import Lot
from inventory.roles import is_owner
from inventory.selectors.consequences import reach_of
from inventory.tables.paging import paged
from inventory.words import say, to_say
from production import stop_sale as stop_sales
from production.forms.choosing import StopForm
from production.forms.complaints import WordsForm
from production.models import Batch, Complaint, StopSale
from production.selectors import asking
from production.selectors.lineage import id_rows, lots_downstream
from production.stop_sale import StopSaleError
from production.tables.complaints import StopSaleTable

WHY = to_say("Why the sale is stopped")
FOUND = to_say("What was found that lets the jars be sold again")


def stopsale_list(request: HttpRequest) -> HttpResponse:
    table = StopSaleTable(StopSale.objects.with_lot_count())
    paged(request, table)
    return render(request, "production/stopsale_list.html", {"table": table})


def stopsale_create(request: HttpRequest) -> HttpResponse:
    wanted = request.POST or request.GET
    find = StopForm(request.GET if "find" in request.GET else None)
    if find.is_bound and find.is_valid():
        return redirect(_address_of(find.cleaned_data))
    batches = list(Batch.objects.filter(code__in=wanted.getlist("batch")))
    lot = Lot.objects.filter(code=wanted.get("lot", "")).first()
    complaint = _complaint(wanted.get("complaint", ""))
    form = WordsForm(
        request.POST or None,
        label=say(WHY),
        initial={"words": wanted.get("reason", "")},
    )
    if request.method == "POST" and form.is_valid():
        told = {
            "reason": form.cleaned_data["words"],
            "at": timezone.now(),
            "person": request.user,
            "complaint": complaint,
        }
        try:
            stopped = _stop(batches, lot, **told)
        except StopSaleError as error:
            form.add_error("words", str(error))
        else:
            messages.warning(request, say("The sale is stopped. Now clear the tables."))
            return redirect(stopped)
    reached = _reached(batches, lot)
    context = {
        "form": form,
        "find_form": find,
        "batches": batches,
        "lot": lot,
        "complaint": complaint,
        "reached": reached,
        "facts": (
            reach_of(reached).sentences(with_cost=is_owner(request.user))
            if reached
            else []
        ),
    }
    return render(request, "production/stopsale_form.html", context)


def _address_of(found: dict[str, Any]) -> str:
    """The same page about the batch or the lot that was chosen."""
    batch, lot = found["batch"], found["lot"]
    about = {"batch": batch.code} if batch else {"lot": lot.code} if lot else {}
    return f"{reverse('production:stopsale-create')}?{urlencode(about)}"


def stopsale_detail(request: HttpRequest, pk: int) -> HttpResponse:
    stopped = get_object_or_404(StopSale.objects.select_related("set_by"), pk=pk)
    context = {
        "stop_sale": stopped,
        "rows": stop_sales.off_the_table(stopped),
        "lots": stop_sales.lots_of(stopped),
        "recall": stopped.recalls.first(),
        "lift_form": WordsForm(label=say(FOUND)),
    }
    return render(request, "production/stopsale_detail.html", context)


@require_POST
def stopsale_lift(request: HttpRequest, pk: int) -> HttpResponse:
    stopped = get_object_or_404(StopSale, pk=pk)
    form = WordsForm(request.POST, label=say(FOUND))
    words = form.cleaned_data["words"] if form.is_valid() else ""
    if words and is_owner(request.user):
        page = ask_first(
            request,
            question=say("Let these jars be sold again?"),
            facts=asking.lifting(stopped),
            submit=say("Lift it"),
            back=stopped.get_absolute_url(),
        )
        if page:
            return page
    try:
        stop_sales.lift(
            stop_sale=stopped,
            reason=words,
            at=timezone.now(),
            person=request.user,  # type: ignore[arg-type] # signed in
        )
    except StopSaleError as error:
        messages.error(request, f"{error}.")
    else:
        messages.success(request, say("The stop-sale is lifted; the jars may be sold."))
    return redirect(stopped)


def _stop(batches: Sequence[Batch], lot: Lot | None, **told: Any) -> StopSale:
    if batches:
        return stop_sales.stop_batches(batches=batches, **told)
    if lot is not None:
        return stop_sales.stop_everything_with(lot=lot, **told)
    raise StopSaleError(say("find the batch or the lot first; then stop its sale"))


def _complaint(number: str) -> Complaint | None:
    if not number.isdecimal():
        return None
    return Complaint.objects.filter(pk=int(number)).first()


def _reached(batches: Sequence[Batch], lot: Lot | None) -> list[Lot]:
    """What a stop would reach, shown before it is set."""
    made = Lot.objects.filter(batch_output__batch__in=batches)
    starts = set(made.values_list("pk", flat=True))
    if lot is not None and not batches:
        starts = {lot.pk}
    reached = starts | lots_downstream(starts)
    found = Lot.objects.filter(pk__in=id_rows(reached))
    return list(found.select_related("material", "product__jar_size").order_by("code"))
