"""The papers of a batch as files."""

from django.http import HttpRequest, HttpResponse

from production.papers import batch_record as records
from production.papers import batch_sheet as sheets
from production.selectors import batch_papers, record_papers
from production.views import batch_page


def batch_sheet(request: HttpRequest, pk: int) -> HttpResponse:
    batch = batch_page.fetch(pk)
    return _file(
        sheets.draw(batch_papers.batch_sheet(batch)), f"sheet-{batch.code or pk}"
    )


def batch_record(request: HttpRequest, pk: int) -> HttpResponse:
    batch = batch_page.fetch(pk)
    return _file(
        records.draw(record_papers.batch_record(batch)), f"record-{batch.code or pk}"
    )


def _file(content: bytes, name: str) -> HttpResponse:
    return HttpResponse(
        content,
        content_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{name}.pdf"'},
    )
