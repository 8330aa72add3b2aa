"""Places: the law that was read, one's own profile, and the place chosen."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe
from django_filters.views import FilterView

from inventory.models import Business
from inventory.roles import owner_required
from inventory.tables.paging import PagedTableMixin
from inventory.words import say
from labels.filters import PlaceFilter
from labels.forms.places import OwnPlaceForm, OwnWordsForm
from labels.models import PlaceProfile
from labels.statements.place_questions import CHANNEL_WORDS, questions
from labels.statements.places import Place, StatementBasis
from labels.tables.places import PlaceTable


class PlaceList(PagedTableMixin, FilterView):
    queryset = PlaceProfile.objects.all()
    table_class = PlaceTable
    filterset_class = PlaceFilter
    template_name = "labels/place_list.html"
    paginate_by = 25


def place_detail(request: HttpRequest, code: str) -> HttpResponse:
    profile = get_object_or_404(PlaceProfile, code=code)
    return _show(request, profile, OwnWordsForm(initial=_own_words(profile)))


def _own_words(profile: PlaceProfile) -> dict[str, str]:
    return {"words": profile.body.get("own_statement") or ""}


def _show(
    request: HttpRequest, profile: PlaceProfile, form: OwnWordsForm
) -> HttpResponse:
    place = profile.as_place()
    context = {
        "profile": profile,
        "law": place,
        "questions": questions(place),
        "channels": _channels(place),
        "is_stale": place.is_stale(on=timezone.localdate()),
        "is_chosen": Business.current().place_code == profile.code,
        "takes_own_words": place.basis
        in (StatementBasis.CONTENT, StatementBasis.RECOMMENDED),
        "reported": profile.body.get("statement_unverified"),
        "form": form,
    }
    return render(request, "labels/place_detail.html", context)


def _channels(place: Place) -> list[tuple[str, str]]:
    return [
        (say(CHANNEL_WORDS[name]), answer.value)
        for name, answer in place.channels
        if name in CHANNEL_WORDS
    ]


@require_safe
def place_sign(request: HttpRequest, code: str) -> HttpResponse:
    """The sign for the stall, in the words the law prescribes."""
    law = get_object_or_404(PlaceProfile, code=code).as_place()
    if law.sign is None or not law.sign.text:
        raise Http404(
            say("{place} prescribes no words for a sign at the stall.", place=law.place)
        )
    return render(request, "labels/place_sign_print.html", {"law": law})


@owner_required
@require_POST
def place_words(request: HttpRequest, code: str) -> HttpResponse:
    profile = get_object_or_404(PlaceProfile, code=code)
    form = OwnWordsForm(request.POST)
    if not form.is_valid():
        return _show(request, profile, form)
    form.keep(profile)
    messages.success(
        request, say("Your sentence for {profile} is kept.", profile=profile)
    )
    return redirect(profile)


@owner_required
@require_POST
def place_choose(request: HttpRequest, code: str) -> HttpResponse:
    profile = get_object_or_404(PlaceProfile, code=code)
    business = Business.current()
    if not business.is_set_up:
        messages.error(
            request, say("Enter your business first, then choose its place.")
        )
        return redirect("inventory:business-edit")
    business.place_code = profile.code
    business.save(update_fields=["place_code"])
    messages.success(
        request,
        say("Labels follow the profile of {profile} from now on.", profile=profile),
    )
    return redirect(profile)


@owner_required
def place_create(request: HttpRequest) -> HttpResponse:
    like = None
    if code := request.GET.get("like"):
        like = get_object_or_404(PlaceProfile, code=code)
    return _edit(request, None, like)


@owner_required
def place_edit(request: HttpRequest, code: str) -> HttpResponse:
    profile = get_object_or_404(PlaceProfile, code=code)
    if profile.completeness != PlaceProfile.Completeness.OWN:
        raise Http404(
            say(
                "The profile of {profile} is not your own; make your own from it "
                "instead.",
                profile=profile,
            )
        )
    return _edit(request, profile, None)


def _edit(
    request: HttpRequest, profile: PlaceProfile | None, like: PlaceProfile | None
) -> HttpResponse:
    known: dict[str, Any] = {
        "today": timezone.localdate(),
        "currency": Business.current().currency,
    }
    form = OwnPlaceForm(request.POST or None, instance=profile, like=like, **known)
    if request.method == "POST" and form.is_valid():
        saved = form.save()
        messages.success(request, say("Your profile of {saved} is kept.", saved=saved))
        return redirect(saved)
    return render(
        request,
        "labels/place_form.html",
        {"form": form, "profile": profile, "like": like},
    )
