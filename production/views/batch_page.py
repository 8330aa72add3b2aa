"""The page of one batch, whatever was just typed into it."""

from typing import Any

from django.contrib.auth.models import User
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from inventory.models import Business
from inventory.roles import is_owner
from inventory.words import say
from production.forms.kitchen import (
    AddForm,
    DrawsForm,
    FinishForm,
    ReasonForm,
    RecookForm,
    ReleaseForm,
    SealForm,
)
from production.forms.reading import OtherReadingForm, ReadingForm
from production.models import Batch
from production.selectors import cook_page, kitchen
from production.selectors.batch_day import find_batch, inputs_of, outputs_of

OPEN = (Batch.Status.COOKING, Batch.Status.HELD)
CLOSED = (Batch.Status.RELEASED, Batch.Status.REJECTED, Batch.Status.RECALLED)


def cook_of(request: HttpRequest) -> User:
    """The person at the tablet; everyone here has signed in."""
    if not isinstance(request.user, User):
        raise PermissionDenied(say("sign in first"))
    return request.user


def fetch(pk: int) -> Batch:
    """The batch with what its page names."""
    batch = find_batch(pk)
    if batch is None:
        raise Http404(say("no such batch"))
    return batch


def show(request: HttpRequest, batch: Batch, **typed: Any) -> HttpResponse:
    """Render the page; `typed` holds the one form that was not accepted."""
    if typed:
        batch = fetch(batch.pk)  # what was refused may have left marks on the row
    context: dict[str, Any] = {
        "batch": batch,
        "today": cook_page.today_of(batch),
        "reason_form": typed.get("reason_form") or ReasonForm(),
        "reason_for": typed.get("reason_for"),
        **_parts(request, batch, typed),
    }
    return render(request, "production/kitchen_batch.html", context)


def _parts(request: HttpRequest, batch: Batch, typed: dict[str, Any]) -> dict[str, Any]:
    parts: dict[str, Any] = {"steps": cook_page.steps_of(batch)}
    if batch.status == Batch.Status.PLANNED:
        today = timezone.localdate()
        parts["draws_form"] = typed.get("draws_form") or DrawsForm(
            batch=batch, on=today
        )
    else:
        parts["inputs"] = inputs_of(batch)
    if batch.status in CLOSED:
        parts["lines"] = cook_page.reading_lines(batch)
    if batch.status in OPEN:
        parts["readings"] = _readings(batch, typed.get("reading_form"))
        parts["other_form"] = _other(typed.get("reading_form"), parts["readings"])
        parts["others"] = cook_page.other_readings(batch)
    if batch.status == Batch.Status.COOKING:
        parts["may_unstart"] = not batch.parent_id and not (
            batch.step_records.all() or batch.readings.all()
        )
        parts["finish_form"] = typed.get("finish_form") or FinishForm(batch=batch)
        parts["add_form"] = typed.get("add_form") or AddForm(
            batch=batch, on=timezone.localdate()
        )
    if batch.status == Batch.Status.HELD:
        parts |= _held(request, batch, typed)
    if batch.status in {Batch.Status.HELD, *CLOSED}:
        parts["outputs"] = outputs_of(batch)
    return parts


def _held(request: HttpRequest, batch: Batch, typed: dict[str, Any]) -> dict[str, Any]:
    result = kitchen.judge_batch(batch)
    unchecked = (
        output
        for output in outputs_of(batch)
        if output.jar_size_id and not output.seal_checks.all()
    )
    return {
        "result": result,
        "unchecked": next(unchecked, None),
        "seal_form": typed.get("seal_form") or SealForm(),
        "seal_question": typed.get("seal_question"),
        "recook_form": typed.get("recook_form") or RecookForm(batch=batch),
        "release_form": typed.get("release_form")
        or ReleaseForm(findings=result.findings, is_owner=is_owner(request.user)),
    }


def _other(typed: ReadingForm | None, asked: list[dict[str, Any]]) -> ReadingForm:
    kinds = {row["wanted"].kind.value for row in asked}
    if typed is not None and typed.data.get("kind") not in kinds:
        return typed
    is_metric = Business.current().units == Business.Units.METRIC
    return OtherReadingForm(auto_id="id_other_%s", is_metric=is_metric)


def _readings(batch: Batch, typed: ReadingForm | None) -> list[dict[str, Any]]:
    is_metric = Business.current().units == Business.Units.METRIC
    rows = []
    for wanted in cook_page.readings_of(batch):
        kind = wanted.kind.value
        is_typed = typed is not None and typed.data.get("kind") == kind
        form = (
            typed
            if is_typed
            else ReadingForm(
                initial={"kind": kind}, auto_id=f"id_{kind}_%s", is_metric=is_metric
            )
        )
        rows.append({"wanted": wanted, "form": form})
    return rows
