"""One touch each: steps begun, done and undone, readings, the finish, the seals."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from inventory.forms.checking import checked
from inventory.ledger import LedgerError
from inventory.models import Business
from inventory.words import say
from production import batches
from production.forms.kitchen import (
    AddForm,
    FinishForm,
    SealForm,
)
from production.forms.reading import OtherReadingForm, ReadingForm, WeighForm
from production.models import (
    Batch,
    BatchInput,
    BatchOutput,
    Reading,
    RecipeStep,
    SealCheck,
)
from production.readings import ReadingError, ReadingKind
from production.selectors import cook_page, net_check
from production.selectors.batch_day import outputs_of
from production.views import batch_page


def _back(batch: Batch, anchor: str) -> HttpResponse:
    return redirect(f"{batch.get_absolute_url()}#{anchor}")


@require_POST
def step_touch(
    request: HttpRequest, pk: int, position: int, touch: str
) -> HttpResponse:
    batch = batch_page.fetch(pk)
    step = get_object_or_404(RecipeStep, version=batch.version, position=position)
    at = timezone.now()
    try:
        if touch == "begin":
            batches.begin_step(
                batch=batch, step=step, at=at, person=batch_page.cook_of(request)
            )
        elif touch == "end":
            batches.end_step(
                batch=batch, step=step, at=at, person=batch_page.cook_of(request)
            )
        else:
            batches.undo_step(batch=batch, step=step)
    except batches.BatchError as error:
        messages.error(request, f"{error}.")
    return _back(batch, f"step-{position}")


@require_POST
def reading_record(request: HttpRequest, pk: int) -> HttpResponse:
    batch = batch_page.fetch(pk)
    kind = str(request.POST.get("kind", ""))
    is_metric = Business.current().units == Business.Units.METRIC
    kinds = {each.kind.value for each in cook_page.readings_of(batch)}
    form_class = ReadingForm if kind in kinds else OtherReadingForm
    auto_id = f"id_{kind if kind in kinds else 'other'}_%s"
    form = form_class(request.POST, is_metric=is_metric, auto_id=auto_id, batch=batch)
    if part := checked(request, form):
        return part
    if form.is_valid():
        data = form.cleaned_data
        try:
            reading = batches.record_reading(
                batch=batch,
                kind=data["kind"],
                value=data["number"],
                at=data["earlier"] or timezone.now(),
                person=batch_page.cook_of(request),
                is_confirmed=data["is_confirmed"],
            )
        except batches.AskAgainError as question:
            form = form_class(
                {**request.POST.dict(), "confirmed": data["value"]},
                is_metric=is_metric,
                auto_id=auto_id,
            )
            form.question = str(question)  # type: ignore[attr-defined] # for the template
        except (batches.BatchError, ReadingError) as error:
            form.add_error("value", str(error))
        else:
            messages.success(
                request,
                say("Written down: {kind}.", kind=ReadingKind(reading.kind).label),
            )
            return _back(batch, f"reading-{reading.kind}")
    return batch_page.show(request, batch, reading_form=form)


@require_POST
def reading_undo(request: HttpRequest, pk: int, reading_pk: int) -> HttpResponse:
    batch = batch_page.fetch(pk)
    reading = get_object_or_404(Reading, pk=reading_pk, batch=batch)
    try:
        batches.undo_reading(reading=reading)
    except batches.BatchError as error:
        messages.error(request, f"{error}.")
    else:
        messages.success(request, say("The reading is taken back."))
    return _back(batch, f"reading-{reading.kind}")


@require_POST
def batch_add(request: HttpRequest, pk: int) -> HttpResponse:
    batch = batch_page.fetch(pk)
    at = timezone.now()
    form = AddForm(request.POST, batch=batch, on=timezone.localdate(at))
    if form.is_valid():
        try:
            drawn = batches.add(
                batch=batch,
                lot=form.cleaned_data["lot"],
                quantity=form.cleaned_data["quantity"],
                token=form.cleaned_data["token"],
                at=at,
                person=batch_page.cook_of(request),
            )
        except (batches.BatchError, LedgerError) as error:
            form.add_error("amount", str(error))
        else:
            messages.success(
                request, say("Put in: {lot}.", lot=drawn.movement.lot.name)
            )
            return redirect(batch)
    return batch_page.show(request, batch, add_form=form)


@require_POST
def batch_take_out(request: HttpRequest, pk: int, input_pk: int) -> HttpResponse:
    batch = batch_page.fetch(pk)
    drawn = get_object_or_404(BatchInput, pk=input_pk, batch=batch)
    try:
        lot = batches.take_out(
            drawn=drawn, at=timezone.now(), person=batch_page.cook_of(request)
        )
    except (batches.BatchError, LedgerError) as error:
        messages.error(request, f"{error}.")
    else:
        messages.success(request, say("{lot} has it again.", lot=lot))
    return redirect(batch)


@require_POST
def batch_unfinish(request: HttpRequest, pk: int) -> HttpResponse:
    batch = batch_page.fetch(pk)
    try:
        batches.undo_finish(
            batch=batch, at=timezone.now(), person=batch_page.cook_of(request)
        )
    except (batches.BatchError, LedgerError) as error:
        messages.error(request, f"{error}.")
    else:
        messages.success(
            request, say("The finish is taken back; {batch} cooks.", batch=batch.code)
        )
    return redirect(batch)


@require_POST
def batch_unstart(request: HttpRequest, pk: int) -> HttpResponse:
    batch = batch_page.fetch(pk)
    try:
        batches.undo_start(
            batch=batch, at=timezone.now(), person=batch_page.cook_of(request)
        )
    except (batches.BatchError, LedgerError) as error:
        messages.error(request, f"{error}.")
    else:
        messages.success(
            request, say("The start is taken back; its lots have everything again.")
        )
    return redirect(batch)


@require_POST
def batch_finish(request: HttpRequest, pk: int) -> HttpResponse:
    batch = batch_page.fetch(pk)
    form = FinishForm(request.POST, batch=batch)
    if form.is_valid():
        try:
            batches.finish(
                batch=batch,
                at=timezone.now(),
                person=batch_page.cook_of(request),
                filled=form.filled,
                made_g=form.cleaned_data.get("made_g"),
                hands_on_min=form.cleaned_data["hands_on_min"],
            )
        except (batches.BatchError, LedgerError) as error:
            form.add_error(None, str(error))
        else:
            messages.success(
                request, say("Batch {batch} is finished and held.", batch=batch.code)
            )
            return redirect(batch)
    return batch_page.show(request, batch, finish_form=form)


@require_POST
def seal_check(request: HttpRequest, pk: int, output_pk: int) -> HttpResponse:
    batch = batch_page.fetch(pk)
    output = get_object_or_404(BatchOutput, pk=output_pk, batch=batch)
    form = SealForm(request.POST)
    question = None
    if form.is_valid():
        data = form.cleaned_data
        try:
            batches.record_seals(
                output=output,
                sealed=data["sealed"],
                failed=data["failed"],
                fate=data["fate"],
                at=data["earlier"] or timezone.now(),
                person=batch_page.cook_of(request),
                is_confirmed=data["confirmed"] == "yes",
            )
        except batches.AskAgainError as asked:
            question = str(asked)
        except (batches.BatchError, LedgerError) as error:
            form.add_error(None, str(error))
        else:
            messages.success(
                request, say("The seals of {lot} are checked.", lot=output.lot.code)
            )
            return redirect(batch)
    return batch_page.show(request, batch, seal_form=form, seal_question=question)


@require_POST
def seal_undo(request: HttpRequest, pk: int, output_pk: int) -> HttpResponse:
    batch = batch_page.fetch(pk)
    check = get_object_or_404(SealCheck, output=output_pk, output__batch=batch)
    try:
        batches.undo_seals(
            check=check, at=timezone.now(), person=batch_page.cook_of(request)
        )
    except batches.BatchError as error:
        messages.error(request, f"{error}.")
    else:
        messages.success(request, say("The seal check is taken back."))
    return redirect(batch)


def weights(request: HttpRequest, pk: int, output_pk: int) -> HttpResponse:
    batch = batch_page.fetch(pk)
    output = next((each for each in outputs_of(batch) if each.pk == output_pk), None)
    if output is None or output.jar_size is None:
        raise Http404(say("this batch made no such jars"))
    form = WeighForm(request.POST or None, request.FILES or None)
    if part := checked(request, form):
        return part
    if request.method == "POST" and form.is_valid():
        try:
            rows = batches.weigh(
                output=output,
                weights=form.cleaned_data["weights"],
                at=timezone.now(),
            )
        except batches.BatchError as error:
            form.add_error("jars", str(error))
        else:
            messages.success(request, say("{rows} jars are weighed.", rows=len(rows)))
            return redirect(request.path)
    context = {
        "batch": batch,
        "output": output,
        "form": form,
        "check": net_check.net_check(output),
    }
    return render(request, "production/kitchen_weights.html", context)
