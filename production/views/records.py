"""Records in and out: the workbook, separated values, pasted counts, the backup."""

import csv
import io
import queue
import secrets
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.db import connections
from django.http import (
    FileResponse,
    Http404,
    HttpRequest,
    HttpResponse,
    HttpResponseBase,
    StreamingHttpResponse,
)
from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone, translation
from django.views.decorators.http import require_POST

from inventory import backup, markets
from inventory import calendar_feed as calendar_feed_actions
from inventory.backup.verbs import backup_name
from inventory.forms.confirming import ask_first
from inventory.measure_setting import figures_in, setting
from inventory.models import Business
from inventory.roles import owner_required
from inventory.views.entry import stamp
from inventory.words import say, spoken
from inventory.workbook.cells import FORMULA_STARTS
from inventory.workbook.findings import WorkbookError
from production.almanac import write_almanac
from production.counts import CountError
from production.forms.records import CountsForm, SeparatedForm, WorkbookForm
from production.selectors.almanac import almanac_entries
from production.selectors.counts import counts_from_text
from production.workbook import incoming
from production.workbook.layout import sheet as sheet_of
from production.workbook.layout import sheets

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


@owner_required
def records(request: HttpRequest) -> HttpResponse:
    return render(
        request,
        "production/records.html",
        {
            "sheets": sheets(),
            "workbook_form": WorkbookForm(),
            "feed": _feed_address(request),
        },
    )


def _feed_address(request: HttpRequest) -> str:
    token = Business.current().calendar_token
    if not token:
        return ""
    return request.build_absolute_uri(reverse("production:calendar-feed", args=[token]))


@owner_required
def template(request: HttpRequest) -> HttpResponse:
    from production.workbook import paper  # noqa: PLC0415  loads openpyxl

    file = io.BytesIO()
    paper.write_template(file)
    return _download(file, "book-to-fill-in.xlsx")


@owner_required
def save(request: HttpRequest) -> HttpResponse:
    from production.workbook import paper  # noqa: PLC0415  loads openpyxl
    from production.workbook.saving import rows_of  # noqa: PLC0415  as above

    file = io.BytesIO()
    paper.write_book(file, ((each, rows_of(each)) for each in sheets()))
    return _download(file, f"book-{timezone.localdate()}.xlsx")


def _download(file: io.BytesIO, name: str) -> HttpResponse:
    response = HttpResponse(file.getvalue(), content_type=XLSX)
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response


@owner_required
def workbook_load(request: HttpRequest) -> HttpResponse:
    """Check an uploaded workbook and show what loading it would do."""
    form = WorkbookForm(request.POST or None, request.FILES or None)
    context: dict[str, Any] = {
        "workbook_form": form,
        "sheets": sheets(),
        "feed": _feed_address(request),
    }
    if request.method == "POST" and form.is_valid():
        file = form.cleaned_data["file"]
        token = incoming.keep(file.chunks(), at=timezone.now())
        try:
            loaded = _load(incoming.kept_file(token), file.name, check_only=True)
        except WorkbookError as error:
            form.add_error("file", f"{error}.")
        else:
            context |= {"loaded": loaded, "token": token, "name": file.name}
    return render(request, "production/records.html", context)


@owner_required
@require_POST
def workbook_confirm(request: HttpRequest, token: str) -> HttpResponseBase:
    """Load a workbook that was checked, telling its progress as it goes."""
    path = incoming.kept_file(token)
    if path is None:
        messages.error(request, say("The file is no longer here; choose it once more."))
        return redirect("production:workbook-load")
    name = request.POST.get("name", "workbook.xlsx")

    def work(tell: Callable[[str, int], None]) -> Any:
        loaded = _load(path, name, check_only=False, tell=tell)
        if loaded.is_kept:
            path.unlink(missing_ok=True)
        return loaded

    return StreamingHttpResponse(_told(request, work))


def _load(
    path: Path | None,
    name: str,
    *,
    check_only: bool,
    tell: Callable[[str, int], None] | None = None,
) -> Any:
    from production.workbook import loading, reading  # noqa: PLC0415  loads openpyxl

    if path is None:
        raise WorkbookError(say("the file is no longer here; choose it once more"))
    read = reading.read_workbook(path, name=name, tell=tell)
    return loading.load(read=read, at=timezone.now(), check_only=check_only, tell=tell)


def _told(
    request: HttpRequest, work: Callable[[Callable[[str, int], None]], Any]
) -> Iterator[str]:
    """A page that grows while work goes on, then ends with its answer."""
    told: queue.Queue[tuple[str, Any]] = queue.Queue()
    zone, language, figures = timezone.get_current_timezone(), spoken(), setting()

    def run() -> None:
        try:
            with (
                timezone.override(zone),
                translation.override(language),
                figures_in(figures.system, figures.locale),
            ):
                answer = work(lambda title, rows: told.put(("step", (title, rows))))
            told.put(("answer", answer))
        except WorkbookError as error:
            told.put(("refused", str(error)))
        except BaseException:
            told.put(
                (
                    "refused",
                    say("the loading broke off and nothing was loaded; try again"),
                )
            )
            raise
        finally:
            connections.close_all()

    yield render_to_string("production/records_progress_top.html", request=request)
    threading.Thread(target=run, daemon=True).start()
    while True:
        kind, value = told.get()
        if kind == "step":
            title, rows = value
            yield f"<li>{say('{title}: {rows} rows', title=title, rows=rows)}</li>\n"
            continue
        context = {"loaded": value} if kind == "answer" else {"refused": value}
        yield render_to_string("production/records_progress_end.html", context, request)
        return


@owner_required
def separated_load(request: HttpRequest) -> HttpResponse:
    form = SeparatedForm(request.POST or None, request.FILES or None)
    context: dict[str, Any] = {"form": form}
    if request.method == "POST" and form.is_valid():
        from production.workbook import loading, reading  # noqa: PLC0415  as above

        read = reading.read_separated(
            form.cleaned_data["text"], sheet=sheet_of(form.cleaned_data["sheet"])
        )
        context["loaded"] = loading.load(
            read=read, at=timezone.now(), check_only="load" not in request.POST
        )
        if context["loaded"].is_kept:
            messages.success(request, say("The rows are in the book."))
    return render(request, "production/records_separated.html", context)


@owner_required
def separated_save(request: HttpRequest, key: str) -> HttpResponse:
    from production.workbook.saving import rows_of  # noqa: PLC0415  as above

    known = {each.key: each for each in sheets()}
    if key not in known:
        raise Http404(say("there is no sheet called {key}", key=key))
    response = HttpResponse(content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="{key}.csv"'
    response.write("\ufeff")
    writer = csv.writer(response)
    writer.writerow([column.title for column in known[key].columns])
    for row in rows_of(known[key]):
        writer.writerow([_harmless(value) for value in row])
    return response


def _harmless(value: Any) -> Any:
    """Text a spreadsheet would run as a formula gets a mark before it."""
    if isinstance(value, str) and value.startswith(FORMULA_STARTS):
        return f"'{value}"
    return value


def counts_paste(request: HttpRequest) -> HttpResponse:
    """Jars brought back from a market, pasted from a note; the rest were sold."""
    form = CountsForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        day = form.cleaned_data["day"]
        try:
            counts = counts_from_text(day, form.cleaned_data["text"])
            markets.count_back(day=day, counts=counts, stamp=stamp(request))
        except (CountError, markets.MarketError, ValueError) as error:
            form.add_error("text", f"{error}.")
        else:
            messages.success(request, say("{day} is counted back.", day=day))
            return redirect(day)
    return render(request, "production/records_counts.html", {"form": form})


@owner_required
def calendar_save(request: HttpRequest) -> HttpResponse:
    """The almanac as a file."""
    return _calendar()


@owner_required
@require_POST
def calendar_address(request: HttpRequest) -> HttpResponse:
    """Give the calendar a new secret address, or take it away."""
    if Business.current().calendar_token:
        page = ask_first(
            request,
            question=say("Take the calendar's address away?"),
            facts=[
                say(
                    "Every calendar that fetches it stops at once; none can be told "
                    "again except by hand."
                )
            ],
            submit=say("Take it away"),
            back=reverse("production:records"),
        )
        if page:
            return page
    if "close" in request.POST:
        calendar_feed_actions.close_feed()
        messages.success(request, say("The calendar's address no longer answers."))
    else:
        calendar_feed_actions.open_feed()
        messages.success(
            request, say("The calendar has a new address; keep it to yourself.")
        )
    return redirect("production:records")


@login_not_required
def calendar_feed(request: HttpRequest, token: str) -> HttpResponse:
    """The almanac at its secret address, for a calendar that fetches it."""
    kept = Business.current().calendar_token
    if not kept or not secrets.compare_digest(kept.encode(), token.encode()):
        raise Http404(say("there is no calendar at this address"))
    return _calendar()


def _calendar() -> HttpResponse:
    name = Business.current().trade_name or say("Setting Point")
    entries = almanac_entries(on=timezone.localdate())
    file = write_almanac(entries, name=name, made_at=timezone.now())
    response = HttpResponse(file, content_type="text/calendar; charset=utf-8")
    response["Content-Disposition"] = 'attachment; filename="almanac.ics"'
    return response


@owner_required
@require_POST
def backup_save(request: HttpRequest) -> HttpResponseBase:
    """Make a backup and hand it over."""
    now = timezone.now()
    path = incoming.place(backup_name(now))
    try:
        backup.back_up(target=path, at=now)
    except backup.BackupError as error:
        messages.error(request, f"{error}.")
        return redirect("production:records")
    file = path.open("rb")
    path.unlink()
    return FileResponse(file, as_attachment=True, filename=backup_name(now))
