"""Recalls: opening, notices, checks, jars that come back, closing."""

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from inventory.forms.confirming import ask_first
from inventory.ledger import LedgerError, Stamp
from inventory.models import Business, Outlet
from inventory.roles import owner_required
from inventory.words import say, to_say
from production import recalls
from production.forms.complaints import WordsForm
from production.forms.recalls import CheckForm, ClassForm, NoticeForm, TakeInForm
from production.models import EffectivenessCheck, Recall, StopSale
from production.papers import recall_papers
from production.recall_rules import (
    AUTHORITY_CLASSES,
    EFFECTIVENESS_SHARES,
    NoticeWords,
    RecallNotice,
    contacts_needed,
)
from production.recalls import RecallError
from production.selectors import asking, recall_scope

CLOSING = to_say("What became of the jars, and what is changed in the kitchen")


@require_POST
@owner_required
def recall_create(request: HttpRequest, stop_pk: int) -> HttpResponse:
    stopped = get_object_or_404(StopSale, pk=stop_pk)
    page = ask_first(
        request,
        question=say("Open a recall?"),
        facts=asking.recalling(stopped),
        submit=say("Open a recall"),
        back=stopped.get_absolute_url(),
    )
    if page:
        return page
    try:
        recall = recalls.open_recall(
            stop_sale=stopped,
            reason=stopped.reason,
            at=timezone.now(),
            person=request.user,  # type: ignore[arg-type] # signed in
        )
    except RecallError as error:
        messages.error(request, f"{error}.")
        return redirect(stopped)
    messages.warning(request, say("The recall is open. Tell the shops first."))
    return redirect(recall)


def recall_detail(request: HttpRequest, pk: int) -> HttpResponse:
    recall = _get(pk)
    return _show(request, recall)


@require_POST
@owner_required
def recall_notice(request: HttpRequest, pk: int) -> HttpResponse:
    recall = _get(pk)
    form = NoticeForm(request.POST)
    if not form.is_valid():
        return _show(request, recall, notice_form=form)
    return _try(
        request,
        recall,
        say("The words of the notices are kept."),
        lambda: recalls.write_notice(
            recall=recall, words=form.words(), level=form.cleaned_data["level"]
        ),
    )


@require_POST
def recall_check(request: HttpRequest, pk: int, outlet_pk: int) -> HttpResponse:
    recall = _get(pk)
    check = get_object_or_404(EffectivenessCheck, recall=recall, outlet_id=outlet_pk)
    form = CheckForm(request.POST)
    if not form.is_valid():
        messages.error(request, say("Say how the shop was told."))
        return redirect(recall)
    told_at = check.told_at or timezone.now()
    return _try(
        request,
        recall,
        say("{outlet} is noted.", outlet=check.outlet),
        lambda: recalls.record_check(check=check, told_at=told_at, **form.cleaned_data),
    )


@require_POST
def recall_take_in(request: HttpRequest, pk: int) -> HttpResponse:
    recall = _get(pk)
    form = TakeInForm(request.POST, recall=recall)
    if not form.is_valid():
        return _show(request, recall, take_in_form=form)
    at = timezone.now()
    stamp = Stamp(
        on=timezone.localdate(at),
        at=at,
        person=request.user,  # type: ignore[arg-type] # signed in
    )
    return _try(
        request,
        recall,
        say("The jars are counted as recalled."),
        lambda: recalls.take_in(recall=recall, stamp=stamp, **form.cleaned_data),
    )


@require_POST
@owner_required
def recall_authority(request: HttpRequest, pk: int) -> HttpResponse:
    recall = _get(pk)
    if recall.authority_told_at is None:
        return _try(
            request,
            recall,
            say("Noted: the authority was told."),
            lambda: recalls.tell_authority(recall=recall, at=timezone.now()),
        )
    given = request.POST.get("authority_class", "")
    return _try(
        request,
        recall,
        say("The authority's class is noted."),
        lambda: recalls.note_class(recall=recall, authority_class=given),
    )


@require_POST
@owner_required
def recall_close(request: HttpRequest, pk: int) -> HttpResponse:
    recall = _get(pk)
    form = WordsForm(request.POST, label=say(CLOSING))
    words = form.cleaned_data["words"] if form.is_valid() else ""
    if words:
        page = ask_first(
            request,
            question=say("Close the recall?"),
            facts=asking.closing(recall),
            submit=say("Close it"),
            back=recall.get_absolute_url(),
        )
        if page:
            return page
    return _try(
        request,
        recall,
        say("The recall is closed."),
        lambda: recalls.close_recall(
            recall=recall,
            note=words,
            at=timezone.now(),
            person=request.user,  # type: ignore[arg-type] # signed in
        ),
    )


def shop_letter(request: HttpRequest, pk: int, outlet_pk: int) -> HttpResponse:
    recall = _get(pk)
    scope = recall_scope.read(recall.stop_sale)
    shop = next((s for s in scope.shops if s.outlet_id == outlet_pk), None)
    if shop is None:
        outlet = get_object_or_404(Outlet, pk=outlet_pk)
        raise Http404(say("{outlet} got none of these jars", outlet=outlet))
    body = recall_papers.shop_letter(
        _notice(recall, scope),
        shop=shop.name,
        address=shop.contact,
        jars=int(shop.jars),
    )
    return _pdf(body, f"recall-{recall.pk}-{outlet_pk}.pdf")


def notice_paper(request: HttpRequest, pk: int, paper: str) -> HttpResponse:
    recall = _get(pk)
    notice = _notice(recall, recall_scope.read(recall.stop_sale))
    if paper == "text":
        return HttpResponse(notice.as_text(), content_type="text/plain; charset=utf-8")
    papers = {"sign": recall_papers.market_sign, "post": recall_papers.buyer_post}
    if paper not in papers:
        raise Http404(say('there is no paper "{paper}"', paper=paper))
    return _pdf(papers[paper](notice), f"recall-{recall.pk}-{paper}.pdf")


def _get(pk: int) -> Recall:
    return get_object_or_404(Recall.objects.select_related("stop_sale"), pk=pk)


def _show(request: HttpRequest, recall: Recall, **forms: Any) -> HttpResponse:
    scope = recall_scope.read(recall.stop_sale)
    words = NoticeWords(**recall.notice)
    checks = list(recall.checks.select_related("outlet").order_by("outlet__name"))
    business = Business.current()
    contact = words.contact or business.phone
    initial = {**recall.notice, "contact": contact, "level": recall.level}
    context = {
        "recall": recall,
        "scope": scope,
        "checks": checks,
        "told": sum(check.told_at is not None for check in checks),
        "answered": sum(check.answered for check in checks),
        "share": str(EFFECTIVENESS_SHARES.get(recall.level, "")),
        "needed": contacts_needed(recall.level, len(checks)),
        "missing": words.missing,
        "class_words": say(AUTHORITY_CLASSES.get(recall.authority_class, "")),
        "notice_form": NoticeForm(initial=initial),
        "check_form": CheckForm(),
        "take_in_form": TakeInForm(recall=recall),
        "class_form": ClassForm(),
        "close_form": WordsForm(label=say(CLOSING)),
        **forms,
    }
    return render(request, "production/recall_detail.html", context)


def _notice(recall: Recall, scope: recall_scope.RecallScope) -> RecallNotice:
    business = Business.current()
    return RecallNotice(
        maker=business.trade_name,
        address=tuple(business.address_lines),
        phone=business.phone,
        on=timezone.localdate(recall.opened_at),
        products=tuple(scope.products),
        words=NoticeWords(**recall.notice),
        sold_where=scope.sold_where,
        authority_class=recall.authority_class,
    )


def _try(
    request: HttpRequest, recall: Recall, done: str, verb: Callable[[], object]
) -> HttpResponse:
    try:
        verb()
    except (RecallError, LedgerError) as error:
        messages.error(request, f"{error}.")
    else:
        messages.success(request, done)
    return redirect(recall)


def _pdf(body: bytes, name: str) -> HttpResponse:
    response = HttpResponse(body, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{name}"'
    return response
