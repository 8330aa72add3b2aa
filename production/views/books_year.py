"""The year: its figures, its choices, the workbook, overheads and expenses."""

import datetime
import io
from decimal import Decimal
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST
from django_tables2 import RequestConfig

from inventory.models import Business, ValuationYear
from inventory.money import format_money
from inventory.roles import owner_required
from inventory.tables.paging import paged
from inventory.valuation import ValuationError
from inventory.words import say
from production.forms.books import (
    DayForm,
    ExpenseForm,
    OverheadForm,
    ValuationYearForm,
)
from production.models import Expense, Overhead
from production.selectors.cost_of_goods import stock_on
from production.selectors.outlet_records import read_records
from production.selectors.stall_money import cash_differences, unpaid_visits
from production.selectors.year_books import YearBooks, year_books
from production.tables.books import ExpenseTable, OverheadTable, WriteOffTable

WORKBOOK = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
FIRST_YEAR = 1990


def _read(year: int) -> YearBooks:
    today = timezone.localdate()
    if not FIRST_YEAR < year <= today.year:
        raise Http404(say("no year of this book"))
    return year_books(year, today=today)


@owner_required
def year_page(request: HttpRequest, year: int | None = None) -> HttpResponse:
    today = timezone.localdate()
    year = year or today.year
    context: dict[str, Any] = {"year": year, "years": _years(today)}
    try:
        books = _read(year)
    except ValuationError as error:
        context["problem"] = str(error)
        return render(request, "production/books_year.html", context)
    table = WriteOffTable(
        sorted(books.write_offs, key=lambda row: row.on, reverse=True),
        business=books.business,
        prefix="w-",
    )
    RequestConfig(request, paginate={"per_page": 15}).configure(table)
    form = ValuationYearForm(
        instance=books.choices.of(year), initial={"method": books.method.value}
    )
    context |= {
        "books": books,
        "totals": _month_totals(books),
        "write_offs": table,
        "form": form,
        "cap_picture": _cap_picture(books),
    }
    return render(request, "production/books_year.html", context)


def _years(today: datetime.date) -> list[int]:
    return list(range(today.year, today.year - 4, -1))


def _month_totals(books: YearBooks) -> dict[str, Decimal]:
    names = (
        "jars_sold",
        "sales",
        "sales_tax",
        "purchases",
        "supplies",
        "expenses",
        "written_off",
    )
    return {
        name: sum((getattr(month, name) for month in books.months), Decimal(0))
        for name in names
    }


def _cap_picture(books: YearBooks) -> str:
    projection = books.projection
    if books.cap is None or projection.fraction is None:
        return ""
    from inventory.pictures import as_svg  # noqa: PLC0415 - drawings only when shown
    from production.books_pictures import draw_cap  # noqa: PLC0415 - as above

    sold = format_money(
        projection.sold, currency=books.business.currency, locale=books.business.locale
    )
    text = say(
        "{sold} sold, {fraction:.0%} of the cap",
        sold=sold,
        fraction=projection.fraction,
    )
    drawing = draw_cap(
        projection.fraction,
        projection.year_end_estimate / books.cap.amount,
        text=text,
    )
    return as_svg(
        drawing,
        title=say("Sales of the year against the cap"),
        description=say(
            "{text}; the broken line is the estimate for 31 December.", text=text
        ),
        name="cap",
    )


@owner_required
@require_POST
def year_choose(request: HttpRequest, year: int) -> HttpResponse:
    chosen = ValuationYear.objects.filter(year=year).first() or ValuationYear(year=year)
    form = ValuationYearForm(request.POST, instance=chosen)
    if form.is_valid():
        form.save()
        messages.success(request, say("The choices for {year} are kept.", year=year))
        return redirect("production:books-year", year=year)
    context = {"year": year, "years": _years(timezone.localdate()), "form": form}
    return render(request, "production/books_year.html", context, status=422)


@owner_required
def year_workbook_download(request: HttpRequest, year: int) -> HttpResponse:
    from production.year_workbook import save_year  # noqa: PLC0415 - openpyxl late

    try:
        books = _read(year)
    except ValuationError as error:
        messages.error(request, f"{error}.")
        return redirect("production:books-year", year=year)
    stream = io.BytesIO()
    save_year(books, stream)
    response = HttpResponse(stream.getvalue(), content_type=WORKBOOK)
    response["Content-Disposition"] = f'attachment; filename="books-{year}.xlsx"'
    return response


@owner_required
def stock_on_day(request: HttpRequest) -> HttpResponse:
    today = timezone.localdate()
    form = DayForm(request.GET if "on" in request.GET else {"on": today})
    context: dict[str, Any] = {"form": form}
    if form.is_valid():
        on = min(form.cleaned_data["on"], today)
        try:
            context["stock"] = stock_on(on)
        except ValuationError as error:
            context["problem"] = str(error)
    return render(request, "production/books_stock.html", context)


@owner_required
def outlets(request: HttpRequest) -> HttpResponse:
    today = timezone.localdate()
    days = request.GET.get("days", "365")
    number = int(days) if days in {"30", "90", "365"} else 365
    first = today - datetime.timedelta(days=number - 1)
    records = read_records(first=first, last=today, business=Business.current())
    ranked = sorted(
        records,
        key=lambda r: (
            r.contribution_per_hour is not None,
            r.contribution_per_hour or r.contribution,
        ),
        reverse=True,
    )
    context = {
        "records": ranked,
        "days": number,
        "first": first,
        "last": today,
        "cash": cash_differences(first=first, last=today),
        "unpaid": unpaid_visits(on=today),
    }
    return render(request, "production/books_outlets.html", context)


@owner_required
def overheads(request: HttpRequest) -> HttpResponse:
    return _listed(
        request,
        OverheadForm,
        OverheadTable(Overhead.objects.all(), business=Business.current()),
        "production/books_overheads.html",
    )


@owner_required
def overhead_edit(request: HttpRequest, pk: int) -> HttpResponse:
    overhead = get_object_or_404(Overhead, pk=pk)
    form = OverheadForm(request.POST or None, instance=overhead)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, say("{overhead} is changed.", overhead=overhead))
        return redirect("production:overhead-list")
    context = {"form": form, "overhead": overhead}
    return render(request, "production/books_overhead_form.html", context)


@owner_required
def expenses(request: HttpRequest) -> HttpResponse:
    return _listed(
        request,
        ExpenseForm,
        ExpenseTable(Expense.objects.all(), business=Business.current()),
        "production/books_expenses.html",
    )


def _listed(
    request: HttpRequest,
    form_class: type[OverheadForm | ExpenseForm],
    table: OverheadTable | ExpenseTable,
    template: str,
) -> HttpResponse:
    """A list with a form to add one more under it."""
    day = {"on": timezone.localdate(), "starts_on": timezone.localdate()}
    form = form_class(request.POST or None, initial=day)
    if request.method == "POST" and form.is_valid():
        kept = form.save()
        messages.success(request, say("{kept} is entered.", kept=kept))
        return redirect(request.path)
    paged(request, table)
    return render(request, template, {"form": form, "table": table})
