"""Papers that expire, and who changed what."""

from pathlib import Path

from django.apps import apps
from django.contrib import messages
from django.db import models
from django.http import (
    FileResponse,
    Http404,
    HttpRequest,
    HttpResponse,
    HttpResponseBase,
)
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.decorators import method_decorator
from django.views.decorators.http import require_POST
from django.views.generic import ListView

from inventory.forms.confirming import ask_first
from inventory.forms.records import PaperForm
from inventory.models import Paper
from inventory.roles import owner_required
from inventory.tables.paging import PagedTableMixin
from inventory.tables.records import PaperTable
from inventory.words import say, say_count, to_say

KINDS_OF_CHANGE = (to_say("Created"), to_say("Changed"), to_say("Deleted"))


@method_decorator(owner_required, name="dispatch")
class PaperList(PagedTableMixin, ListView):
    queryset = Paper.objects.in_use()
    table_class = PaperTable
    template_name = "inventory/paper_list.html"


@owner_required
def paper_edit(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    paper = get_object_or_404(Paper, pk=pk) if pk else Paper()
    form = PaperForm(request.POST or None, request.FILES or None, instance=paper)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, say("{paper} is saved.", paper=paper))
        return redirect("inventory:paper-list")
    context = {"form": form, "paper": paper, "standing": _standing(paper)}
    return render(request, "inventory/paper_form.html", context)


def _standing(paper: Paper) -> str:
    return paper.standing(on=timezone.localdate()) if paper.pk else ""


@owner_required
def paper_file(request: HttpRequest, pk: int) -> HttpResponseBase:
    paper = get_object_or_404(Paper, pk=pk)
    if not paper.file:
        raise Http404(say("this paper has no file yet; add one on its page"))
    name = Path(paper.file.name or "").name
    return FileResponse(paper.file.open("rb"), as_attachment=True, filename=name)


@owner_required
@require_POST
def paper_delete(request: HttpRequest, pk: int) -> HttpResponse:
    paper = get_object_or_404(Paper, pk=pk)
    page = ask_first(
        request,
        question=say("Delete {paper}?", paper=paper),
        facts=_lost_with(paper),
        submit=say("Delete it"),
        back=reverse("inventory:paper-edit", args=[pk]),
    )
    if page:
        return page
    paper.delete()
    messages.success(
        request, say("{paper} is deleted; its history is kept.", paper=paper)
    )
    return redirect("inventory:paper-list")


def _lost_with(paper: Paper) -> list[str]:
    """What deleting a paper takes away, in numbers."""
    outlets = paper.outlets.count()
    told = [
        say_count(
            "{count} market or shop no longer asks for it.",
            "{count} markets and shops no longer ask for it.",
            outlets,
        )
    ]
    if paper.expires_on:
        told.append(
            say("Nobody is reminded that it runs out on {day}.", day=paper.expires_on)
        )
    if paper.file:
        told.append(say("Its file is no longer shown."))
    return told


@owner_required
def history(request: HttpRequest, label: str, pk: int) -> HttpResponse:
    """Who changed what on one record, newest first."""
    try:
        model = apps.get_model(label)
    except (LookupError, ValueError) as error:
        raise Http404(say("there is no such kind of record")) from error
    if not hasattr(model, "history"):
        raise Http404(say("of this kind of record no history is kept"))
    versions = list(model.history.filter(id=pk).select_related("history_user")[:200])
    if not versions:
        raise Http404(say("this record has no history"))
    context = {
        "changes": _changes(versions),
        "name": str(versions[0].instance),
        "back": _address(versions[0].instance),
    }
    return render(request, "inventory/history.html", context)


def _changes(versions: list[models.Model]) -> list[dict[str, object]]:
    """Each version with what it changed against the one before."""
    rows = []
    for newer, older in zip(versions, [*versions[1:], None], strict=True):
        differences = newer.diff_against(older).changes if older else []  # type: ignore[attr-defined]
        rows.append(
            {
                "at": newer.history_date,  # type: ignore[attr-defined]
                "person": newer.history_user,  # type: ignore[attr-defined]
                "what": say(str(newer.get_history_type_display())),  # type: ignore[attr-defined]
                "differences": differences,
            }
        )
    return rows


def _address(instance: models.Model) -> str:
    address = getattr(instance, "get_absolute_url", None)
    return address() if address else reverse("inventory:pantry")
