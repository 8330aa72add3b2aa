"""The kitchen's list, planning a batch, starting it, deciding about it."""

from collections.abc import Callable

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from inventory.forms.confirming import ask_first
from inventory.ledger import LedgerError
from inventory.roles import is_owner, owner_required
from inventory.tables.paging import paged
from inventory.words import say
from production import batches
from production.filters import BatchFilter
from production.forms.kitchen import (
    DrawsForm,
    PlanForm,
    ReasonForm,
    RecookForm,
    ReleaseForm,
)
from production.gate import GateError
from production.models import Batch
from production.scaling import WholeOnlyError
from production.selectors import asking
from production.selectors import kitchen as selectors
from production.tables.kitchen import BatchTable
from production.views import batch_page

OPEN = (Batch.Status.PLANNED, Batch.Status.COOKING, Batch.Status.HELD)


def kitchen(request: HttpRequest) -> HttpResponse:
    found = Batch.objects.select_related("version__recipe", "product__jar_size")
    chosen = BatchFilter(request.GET, queryset=found)
    table = BatchTable(chosen.qs)
    paged(request, table)
    context = {
        "table": table,
        "filter": chosen,
        "open": found.filter(status__in=OPEN).order_by("planned_on", "pk")[:12],
    }
    return render(request, "production/kitchen_list.html", context)


def batch_plan(request: HttpRequest) -> HttpResponse:
    on = timezone.localdate()
    form = PlanForm(request.POST or None, on=on, initial=request.GET.dict())
    if request.method == "POST" and form.is_valid():
        data = form.cleaned_data
        try:
            batch = batches.plan(
                version=selectors.current_version(
                    data["product"].filling.recipe, on=max(on, data["planned_on"])
                ),
                product=data["product"],
                planned_on=data["planned_on"],
                factor=data["share"],
                note=data["note"],
            )
        except selectors.NoVersionError as error:
            form.add_error("product", str(error))
        except WholeOnlyError as error:
            form.add_error("share", str(error))
        else:
            messages.success(
                request,
                say(
                    "{batch} is planned for {planned_on}.",
                    batch=batch,
                    planned_on=batch.planned_on,
                ),
            )
            return redirect(batch)
    return render(request, "production/kitchen_plan.html", {"form": form})


def batch_detail(request: HttpRequest, pk: int) -> HttpResponse:
    return batch_page.show(request, batch_page.fetch(pk))


@require_POST
def batch_cancel(request: HttpRequest, pk: int) -> HttpResponse:
    batch = batch_page.fetch(pk)
    if batch.status == Batch.Status.PLANNED:
        page = ask_first(
            request,
            question=say("Drop this plan?"),
            facts=asking.dropping(batch),
            submit=say("Drop this plan"),
            back=batch.get_absolute_url(),
        )
        if page:
            return page
    try:
        batches.cancel(batch=batch)
    except batches.BatchError as error:
        messages.error(request, f"{error}.")
        return redirect(batch)
    messages.success(request, say("The planned batch is dropped."))
    return redirect("production:kitchen")


@require_POST
def batch_start(request: HttpRequest, pk: int) -> HttpResponse:
    batch = batch_page.fetch(pk)
    at = timezone.now()
    form = DrawsForm(request.POST, batch=batch, on=timezone.localdate(at))
    if form.is_valid():
        try:
            batch = batches.start(
                batch=batch,
                at=at,
                person=batch_page.cook_of(request),
                draws=form.cleaned_data["draws"],
            )
        except (batches.BatchError, LedgerError) as error:
            form.add_error(None, str(error))
        else:
            messages.success(
                request, say("Batch {batch} is started.", batch=batch.code)
            )
            return redirect(batch)
    return batch_page.show(request, batch, draws_form=form)


@require_POST
def batch_release(request: HttpRequest, pk: int) -> HttpResponse:
    batch = batch_page.fetch(pk)
    findings = selectors.judge_batch(batch).findings
    form = ReleaseForm(request.POST, findings=findings, is_owner=is_owner(request.user))
    if form.is_valid():
        try:
            batches.release(
                batch=batch,
                at=timezone.now(),
                person=batch_page.cook_of(request),
                overrides=form.overrides,
            )
        except (batches.BatchError, GateError) as error:
            form.add_error(None, str(error))
        else:
            messages.success(
                request, say("Batch {batch} is released.", batch=batch.code)
            )
            return redirect(batch)
    return batch_page.show(request, batch, release_form=form)


@owner_required
@require_POST
def batch_hold(request: HttpRequest, pk: int) -> HttpResponse:
    return _decide(request, pk, "hold", batches.hold)


@owner_required
@require_POST
def batch_reject(request: HttpRequest, pk: int) -> HttpResponse:
    batch = batch_page.fetch(pk)
    if ReasonForm(request.POST).is_valid():
        page = ask_first(
            request,
            question=say("Reject batch {batch}?", batch=batch.code),
            facts=asking.rejecting(batch),
            submit=say("Reject it"),
            back=batch.get_absolute_url(),
        )
        if page:
            return page
    return _decide(request, pk, "reject", batches.reject)


@owner_required
@require_POST
def batch_recook(request: HttpRequest, pk: int) -> HttpResponse:
    batch = batch_page.fetch(pk)
    form = RecookForm(request.POST, batch=batch)
    if form.is_valid():
        page = ask_first(
            request,
            question=say("Cook {batch} again as a new batch?", batch=batch.code),
            facts=asking.recooking(batch),
            submit=say("Cook it again"),
            back=batch.get_absolute_url(),
        )
        if page:
            return page
        try:
            child = batches.recook(
                batch=batch,
                at=timezone.now(),
                person=batch_page.cook_of(request),
                reason=form.cleaned_data["reason"],
                version=form.cleaned_data["version"],
            )
        except (batches.BatchError, LedgerError) as error:
            form.add_error("reason", str(error))
        else:
            messages.success(
                request,
                say(
                    "Batch {child} cooks {batch} again.",
                    child=child.code,
                    batch=batch.code,
                ),
            )
            return redirect(child)
    return batch_page.show(request, batch, recook_form=form)


def _decide(
    request: HttpRequest, pk: int, name: str, action: Callable[..., Batch]
) -> HttpResponse:
    batch = batch_page.fetch(pk)
    form = ReasonForm(request.POST)
    if form.is_valid():
        try:
            after = action(
                batch=batch,
                at=timezone.now(),
                person=batch_page.cook_of(request),
                reason=form.cleaned_data["reason"],
            )
        except (batches.BatchError, LedgerError) as error:
            form.add_error("reason", str(error))
        else:
            messages.success(
                request,
                say(
                    "Batch {after} is {status}.",
                    after=after.code,
                    status=after.get_status_display(),
                ),
            )
            return redirect(after)
    return batch_page.show(request, batch, reason_form=form, reason_for=name)
