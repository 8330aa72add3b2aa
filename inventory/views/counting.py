"""At the stall with one thumb: counting out, counting back, samples, sold out."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from inventory import markets
from inventory.forms.counting import CountBackForm, CountOutForm
from inventory.forms.fields import said
from inventory.forms.stall import (
    SoldOutForm,
    TouchForm,
    stepped,
)
from inventory.models import MarketDay, MarketLine
from inventory.views.entry import REFUSALS, attempt, stamp


def count_out(request: HttpRequest, pk: int) -> HttpResponse:
    day = _day(pk)
    lines = _lines(day)
    after_step = stepped(request.POST)
    form = CountOutForm(after_step or request.POST or None, subjects=lines)
    if request.method == "POST" and after_step is None and form.is_valid():
        when = stamp(request, on=day.on)
        done = attempt(
            form,
            lambda: markets.take_out(day=day, taken=form.taken(), stamp=when) or day,
        )
        if done is not None:
            messages.success(request, _("The jars for %s are counted out.") % day)
            return redirect(day)
    return render(request, "inventory/count_out.html", {"day": day, "form": form})


def count_back(request: HttpRequest, pk: int) -> HttpResponse:
    day = _day(pk)
    lines = [line for line in _lines(day) if line.taken]
    after_step = stepped(request.POST)
    form = CountBackForm(after_step or request.POST or None, subjects=lines)
    if request.method == "POST" and after_step is None and form.is_valid():
        when = stamp(request, on=day.on)
        counted = attempt(
            form,
            lambda: markets.count_back(day=day, counts=form.counts(), stamp=when),
        )
        if counted is not None:
            messages.success(request, _("%s is counted back.") % day)
            return redirect(day)
    return render(request, "inventory/count_back.html", {"day": day, "form": form})


def at_the_stall(request: HttpRequest, pk: int) -> HttpResponse:
    day = _day(pk)
    marks = {mark.product_id: mark for mark in day.sold_out_marks.all()}
    context = {
        "day": day,
        "rows": [
            {"line": line, "mark": marks.get(line.lot.product_id or 0)}
            for line in _lines(day)
            if line.taken
        ],
    }
    return render(request, "inventory/at_the_stall.html", context)


@require_POST
def touch(request: HttpRequest, pk: int) -> HttpResponse:
    """A jar sampled, broken or given; ``back`` takes one back."""
    day = _day(pk)
    form = TouchForm(request.POST)
    if form.is_valid():
        values = form.cleaned_data
        try:
            markets.record(
                day=day,
                lot=values["lot"],
                reason=values["reason"],
                jars=-1 if "back" in request.POST else 1,
                stamp=stamp(request, on=day.on),
            )
        except REFUSALS as error:
            messages.error(request, said(error))
    else:
        messages.error(request, _("That jar is not in the book; open the page again."))
    return redirect("inventory:at-the-stall", pk=day.pk)


@require_POST
def sold_out(request: HttpRequest, pk: int) -> HttpResponse:
    """Mark a product sold out now, or at an hour given; ``back`` takes it away."""
    day = _day(pk)
    form = SoldOutForm(request.POST)
    if not form.is_valid():
        messages.error(request, _("Enter the hour like 10:40."))
    elif "back" in request.POST:
        markets.unmark_sold_out(day=day, product=form.cleaned_data["product"])
    else:
        now = timezone.localtime().time().replace(second=0, microsecond=0)
        markets.mark_sold_out(
            day=day,
            product=form.cleaned_data["product"],
            at=form.cleaned_data["at"] or now,
        )
    return redirect("inventory:at-the-stall", pk=day.pk)


def _day(pk: int) -> MarketDay:
    return get_object_or_404(MarketDay.objects.select_related("outlet"), pk=pk)


def _lines(day: MarketDay) -> list[MarketLine]:
    return list(
        day.lines.select_related("day", "lot__product__jar_size").order_by(
            "lot__product__name", "lot__best_by", "lot"
        )
    )
