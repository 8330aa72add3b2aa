"""The drill: a batch drawn by chance, found against the clock."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from inventory.models import Business
from inventory.tables.paging import paged
from production import recalls
from production.forms.recalls import DrillForm
from production.models import MockRecall
from production.papers.trace_papers import DrillRecord, drill_record
from production.recalls import DrillError
from production.tables.complaints import DrillTable


def drill_list(request: HttpRequest) -> HttpResponse:
    drills = MockRecall.objects.select_related("batch")
    table = DrillTable(drills.filter(finished_at__isnull=False))
    paged(request, table)
    context = {"table": table, "running": drills.filter(finished_at=None).first()}
    return render(request, "production/drill_list.html", context)


@require_POST
def drill_start(request: HttpRequest) -> HttpResponse:
    try:
        drill = recalls.start_drill(
            batch=recalls.draw_batch(),
            at=timezone.now(),
            person=request.user,  # type: ignore[arg-type] # signed in
        )
    except DrillError as error:
        messages.error(request, f"{error}.")
        return redirect("production:drill-list")
    return redirect(drill)


def drill_detail(request: HttpRequest, pk: int) -> HttpResponse:
    drill = get_object_or_404(
        MockRecall.objects.select_related(
            "batch__product__jar_size", "batch__version__recipe"
        ),
        pk=pk,
    )
    form = DrillForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            recalls.finish_drill(drill=drill, figures=form.figures(), at=timezone.now())
        except DrillError as error:
            messages.error(request, f"{error}.")
        return redirect(drill)
    context = {"drill": drill, "form": form, "minutes": _minutes(drill)}
    return render(request, "production/drill_detail.html", context)


def drill_paper(request: HttpRequest, pk: int) -> HttpResponse:
    drill = get_object_or_404(MockRecall, pk=pk, finished_at__isnull=False)
    batch = drill.batch
    body = drill_record(
        DrillRecord(
            code=batch.code or "",
            product=str(batch.product or batch.version.recipe),
            started_at=timezone.localtime(drill.started_at),
            minutes=_minutes(drill),
            person=str(drill.person or "the book"),
            made=drill.made,
            found=drill.found,
            percent=f"{100 * drill.accounted_fraction:.2f}",
            result=drill.result,
        ),
        maker=Business.current().trade_name,
    )
    response = HttpResponse(body, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="drill-{drill.pk}.pdf"'
    return response


def _minutes(drill: MockRecall) -> str:
    seconds = drill.result.get("seconds", 0)
    return f"{int(seconds) // 60} min {round(seconds % 60)} s"
