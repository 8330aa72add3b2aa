"""The instruments page: what there is, when each was checked, and a new check."""

from typing import Any

from django import forms
from django.contrib import messages
from django.db.models import OuterRef, Prefetch, Subquery
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from inventory.models import Business
from inventory.words import say
from production import instrument_checks
from production.forms.instruments import (
    InstrumentForm,
    KnownValueForm,
    PhMeterForm,
    ThermometerForm,
)
from production.instruments import InstrumentError
from production.models import Instrument, InstrumentCheck
from production.selectors import kitchen


def instruments(request: HttpRequest) -> HttpResponse:
    in_use = Instrument.objects.filter(retired_on=None)
    newest = InstrumentCheck.objects.filter(instrument=OuterRef("instrument"))
    last = newest.order_by("-checked_at", "-pk").values("pk")[:1]
    found = in_use.prefetch_related(
        Prefetch("checks", InstrumentCheck.objects.filter(pk=Subquery(last)))
    )
    return render(
        request,
        "production/kitchen_instruments.html",
        {"instruments": found, "form": InstrumentForm()},
    )


def add(request: HttpRequest) -> HttpResponse:
    form = InstrumentForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        instrument = instrument_checks.add(**form.cleaned_data)
        messages.success(
            request,
            say(
                "{instrument} is added; check it before you cook.",
                instrument=instrument,
            ),
        )
        return redirect("production:instrument-check", instrument.pk)
    return render(request, "production/kitchen_instrument_form.html", {"form": form})


def check(request: HttpRequest, pk: int) -> HttpResponse:
    instrument = get_object_or_404(Instrument, pk=pk)
    form = _form(request, instrument)
    if request.method == "POST" and form.is_valid():
        try:
            said = _record(request, instrument, form.cleaned_data)
        except InstrumentError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, f"{instrument}: {said}.")
            return redirect("production:instrument-list")
    context = {
        "instrument": instrument,
        "form": form,
        "boiling": kitchen.boiling_here(),
        "checks": instrument.checks.select_related("person")[:20],
    }
    return render(request, "production/kitchen_instrument_check.html", context)


def _form(request: HttpRequest, instrument: Instrument) -> forms.Form:
    typed = request.POST or None
    if instrument.kind == Instrument.Kind.THERMOMETER:
        is_metric = Business.current().units == Business.Units.METRIC
        return ThermometerForm(typed, is_metric=is_metric)
    if instrument.kind == Instrument.Kind.PH_METER:
        return PhMeterForm(typed)
    return KnownValueForm(typed)


def _record(request: HttpRequest, instrument: Instrument, data: dict[str, Any]) -> str:
    stamp: dict[str, Any] = {
        "instrument": instrument,
        "at": timezone.now(),
        "person": request.user,
    }
    if instrument.kind == Instrument.Kind.THERMOMETER:
        row = instrument_checks.check_thermometer(
            read_c=data["read_c"], expected_c=kitchen.boiling_here().true_c, **stamp
        )
        return row.note
    if instrument.kind == Instrument.Kind.PH_METER:
        return instrument_checks.calibrate_ph(
            low_read=data["low_read"], high_read=data["high_read"], **stamp
        ).verdict
    row = instrument_checks.check(
        reference=data["reference"],
        true_value=data["true_value"],
        reading=data["reading"],
        **stamp,
    )
    return row.note or say("reads true")
