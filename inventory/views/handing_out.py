"""One touch at home: jars given, eaten, opened or broken, and sales at the gate."""

from decimal import Decimal
from uuid import uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from inventory import ledger, markets, selectors
from inventory.forms.fields import said
from inventory.forms.stall import TouchForm
from inventory.models import Movement, Outlet, OutletKind
from inventory.views.entry import REFUSALS, stamp

Reason = Movement.Reason
ONE = Decimal(1)
TOUCHES = (Reason.GIVEN, Reason.OWN_USE, Reason.SAMPLED, Reason.BROKEN)


def hand_out(request: HttpRequest) -> HttpResponse:
    today = timezone.localdate()
    gates = Outlet.objects.filter(kind=OutletKind.GATE, closed_on=None)
    context = {
        "lots": selectors.oldest_of_each(on=today),
        "touches": [{"reason": reason, "label": reason.label} for reason in TOUCHES],
        "gates": gates,
        "last": selectors.touches_at_home(on=today, reasons=TOUCHES),
        "token": uuid4(),
    }
    return render(request, "inventory/hand_out.html", context)


@require_POST
def hand_out_touch(request: HttpRequest) -> HttpResponse:
    form = TouchForm(request.POST)
    if not form.is_valid():
        messages.error(request, _("That jar is not in the book; open the page again."))
        return redirect("inventory:hand-out")
    lot, reason = form.cleaned_data["lot"], form.cleaned_data["reason"]
    try:
        if gate := request.POST.get("gate"):
            outlet = get_object_or_404(Outlet, pk=gate, kind=OutletKind.GATE)
            markets.sell_direct(outlet=outlet, lot=lot, jars=1, stamp=stamp(request))
        else:
            ledger.write_off(lot=lot, quantity=ONE, reason=reason, stamp=stamp(request))
    except REFUSALS as error:
        messages.error(request, said(error))
    else:
        messages.success(request, _("One jar of %s is in the book.") % lot)
    return redirect("inventory:hand-out")


@require_POST
def hand_out_undo(request: HttpRequest, pk: int) -> HttpResponse:
    """Take a touch back: its row is corrected to nothing."""
    row = get_object_or_404(Movement, pk=pk, reason__in=TOUCHES, place=None)
    try:
        ledger.correct(movement=row, quantity=Decimal(0), stamp=stamp(request))
    except REFUSALS as error:
        messages.error(request, said(error))
    else:
        messages.success(request, _("One jar of %s is back.") % row.lot)
    return redirect("inventory:hand-out")
