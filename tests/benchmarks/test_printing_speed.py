"""Three thousand labels: how long the sheets take beside the bare PDF writer.

Run with ``make benchmarks``.
"""

from io import BytesIO
from time import perf_counter

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from labels.drawing.layout import lay_out
from labels.drawing.pdf import FORM, PrintJob, define_form, sheets_pdf
from tests.labels.drawing.test_labels_read_back import make_request
from tests.labels.drawing.test_pdf import SHEET

COUNT = 3000
ROUNDS = 7
ALLOWED = 1.5


def bare_sheets(drawing):
    """Place the same prepared form as often as the PDF writer itself can."""
    into = BytesIO()
    canvas = Canvas(into, pagesize=(612, 792), pageCompression=1, invariant=1)
    define_form(canvas, drawing, has_outline=False)
    for index in range(COUNT):
        if index and index % SHEET.places == 0:
            canvas.showPage()
        canvas.saveState()
        canvas.translate(4 * mm + index % 2 * 106 * mm, 10 * mm + index % 5 * 51 * mm)
        canvas.doForm(FORM)
        canvas.restoreState()
    canvas.showPage()
    canvas.save()
    return into.getvalue()


def seconds(work):
    start = perf_counter()
    work()
    return perf_counter() - start


def test_three_thousand_labels_take_little_more_than_placing_the_form(benchmark):
    drawing = lay_out(make_request())
    job = PrintJob(drawing=drawing, sheet=SHEET, count=COUNT)
    data = benchmark.pedantic(sheets_pdf, args=[job], rounds=ROUNDS, warmup_rounds=1)
    assert len(data) < 1_000_000
    bare = min(seconds(lambda: bare_sheets(drawing)) for _ in range(ROUNDS))
    ours = min(seconds(lambda: sheets_pdf(job)) for _ in range(ROUNDS))
    benchmark.extra_info["times_the_bare_form"] = round(ours / bare, 2)
    assert ours / bare <= ALLOWED


def test_a_label_is_laid_out_in_well_under_a_second(benchmark):
    benchmark.pedantic(lay_out, args=[make_request()], rounds=3, warmup_rounds=1)
    assert min(seconds(lambda: lay_out(make_request())) for _ in range(3)) < 0.5
