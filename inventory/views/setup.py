"""The seller's own facts, the page of components and the glossary."""

from copy import copy

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from inventory.accents import ACCENTS
from inventory.forms.setup import BusinessForm, SampleForm
from inventory.models import Business
from inventory.roles import owner_required
from inventory.words import say

COLOURS = (
    *("paper", "paper-raised", "paper-sunk", "ink", "ink-soft", "rule", "accent"),
    *("good", "warn", "bad", "good-wash", "warn-wash", "bad-wash"),
)


@owner_required
def business_edit(request: HttpRequest) -> HttpResponse:
    # A copy: what is typed is on the page only once it is saved.
    form = BusinessForm(request.POST or None, instance=copy(Business.current()))
    if request.method == "POST" and form.is_valid():
        business = form.save()
        messages.success(
            request, say("{trade_name} is saved.", trade_name=business.trade_name)
        )
        return redirect("inventory:business-edit")
    return render(request, "inventory/business_form.html", {"form": form})


@owner_required
def style(request: HttpRequest) -> HttpResponse:
    """Every component in every state, for whoever draws a new page."""
    from inventory.pictures import as_svg  # noqa: PLC0415 - drawings only when shown
    from inventory.sample_picture import SAMPLE, draw_sample  # noqa: PLC0415 - as above

    return render(
        request,
        "inventory/style.html",
        {
            "sample": SampleForm({"fruit": "Plums", "jars": "-1", "kept": "on"}),
            "tokens": COLOURS,
            "fruits": ACCENTS.items(),
            "bar": SAMPLE,
            "picture": as_svg(
                draw_sample(),
                title=say("A picture as pages have it"),
                description=say("One bar a pattern; the table below says the same."),
                name="sample",
            ),
            "marks": [
                ("good", _("released")),
                ("warn", _("held")),
                ("bad", _("rejected")),
            ],
        },
    )


@login_not_required
def worker(request: HttpRequest) -> HttpResponse:
    """The script that keeps the stall's pages; its address decides what it may reach."""
    response = render(
        request, "inventory/worker.js", content_type="text/javascript; charset=utf-8"
    )
    response["Cache-Control"] = "no-cache"
    return response


def glossary(request: HttpRequest) -> HttpResponse:
    return render(request, "inventory/glossary.html")
