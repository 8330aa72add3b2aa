"""The seller's own facts, the page of components and the glossary."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from inventory.forms.setup import BusinessForm
from inventory.models import Business
from inventory.roles import owner_required


@owner_required
def business_edit(request: HttpRequest) -> HttpResponse:
    form = BusinessForm(request.POST or None, instance=Business.current())
    if request.method == "POST" and form.is_valid():
        business = form.save()
        messages.success(request, f"{business.trade_name} is saved.")
        return redirect("inventory:business-edit")
    return render(request, "inventory/business_form.html", {"form": form})


@owner_required
def style(request: HttpRequest) -> HttpResponse:
    return render(request, "inventory/style.html")


def glossary(request: HttpRequest) -> HttpResponse:
    return render(request, "inventory/glossary.html")
