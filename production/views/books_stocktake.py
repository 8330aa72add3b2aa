"""The stocktake: the sheet to print, and the count that sets the book right."""

from django.contrib import messages
from django.contrib.auth.models import User
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from inventory import stocktake as actions
from inventory.forms.confirming import ask_first
from inventory.ledger import LedgerError, Stamp
from inventory.models import StockCount
from inventory.roles import owner_required
from inventory.words import say
from production.forms.books import StocktakeForm
from production.selectors import asking


@owner_required
def stocktake(request: HttpRequest) -> HttpResponse:
    lines = actions.lines_to_count()
    form = StocktakeForm(request.POST or None, lines=lines)
    if request.method == "POST" and form.is_valid():
        page = ask_first(
            request,
            question=say("Set the book right by this count?"),
            facts=asking.counting(form.counted_lines()),
            submit=say("Set the book right"),
            back=request.path,
        )
        if page:
            return page
        person = request.user if isinstance(request.user, User) else None
        stamp = Stamp(on=timezone.localdate(), at=timezone.now(), person=person)
        try:
            count = actions.record(
                lines=form.counted_lines(),
                stamp=stamp,
                note=form.cleaned_data["note"],
            )
        except LedgerError as error:
            form.add_error(None, f"{error}.")
        else:
            changed = count.movements.count()
            messages.success(
                request,
                say("Counted: {changed} differences are in the book.", changed=changed),
            )
            return redirect("production:books-stocktake")
    counts = StockCount.objects.prefetch_related("movements__lot")[:5]
    context = {"form": form, "counts": counts}
    return render(request, "production/books_stocktake.html", context)


@owner_required
def stocktake_sheet(request: HttpRequest) -> HttpResponse:
    context = {"lines": actions.lines_to_count(), "on": timezone.localdate()}
    return render(request, "production/books_stocktake_sheet.html", context)
