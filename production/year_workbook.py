"""The year as a workbook: real numbers, formulas where a reader expects them.

Totals are formulas over the rows above them, so that a preparer can follow and
change them; text that a spreadsheet would run as a formula is kept as text.
"""

from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO, cast

from openpyxl import Workbook  # noqa: TID253 - imported with this module only
from openpyxl.cell import Cell  # noqa: TID253 - as above
from openpyxl.styles import Alignment, Font  # noqa: TID253 - as above
from openpyxl.utils import get_column_letter  # noqa: TID253 - as above
from openpyxl.worksheet.properties import (  # noqa: TID253 - as above
    PageSetupProperties,
)
from openpyxl.worksheet.worksheet import Worksheet  # noqa: TID253 - as above

from inventory.money import smallest_coin

if TYPE_CHECKING:
    from production.selectors.year_books import YearBooks

__all__ = ["CAUTION", "save_year", "year_workbook"]

CAUTION = (
    "Figures of the book with the form's line numbers beside them. Not tax advice: "
    "see a preparer before you file."
)
BOLD = Font(name="Calibri", size=11, bold=True)
QUANTITY_FORMAT = "#,##0.###"
Value = str | Decimal | int | None


class _Sheet:
    """One sheet being filled row by row."""

    def __init__(self, sheet: Worksheet, *, money_format: str) -> None:
        self.sheet = sheet
        self.money_format = money_format
        self.row = 0

    def write(
        self, values: Sequence[Value], *, money: Sequence[int] = (), bold: bool = False
    ) -> int:
        """Add a row; columns in ``money`` (from 1) are amounts. Returns its number."""
        self.row += 1
        for column, value in enumerate(values, start=1):
            cell = cast("Cell", self.sheet.cell(row=self.row, column=column))
            _fill(cell, value)
            if isinstance(value, Decimal):
                cell.number_format = QUANTITY_FORMAT
            if column in money:
                cell.number_format = self.money_format
            if bold:
                cell.font = BOLD
        return self.row

    def formula(self, column: int, formula: str, *, is_money: bool = True) -> None:
        """Put a formula of our own into the row written last."""
        cell = self.sheet.cell(row=self.row, column=column, value=formula)
        cell.font = BOLD
        cell.number_format = self.money_format if is_money else QUANTITY_FORMAT

    def total(self, label: str, columns: Sequence[int], *, first: int) -> int:
        """Add a row of sums over the rows from ``first`` to the one written last."""
        last = self.row
        number = self.write([label], bold=True)
        for column in columns:
            letter = get_column_letter(column)
            span = f"=SUM({letter}{first}:{letter}{last})" if last >= first else "=0"
            self.formula(column, span)
        return number

    def finish(self, widths: Sequence[int], *, header_row: int = 1) -> None:
        """Set widths, freeze the headings and set up the printed page."""
        for column, width in enumerate(widths, start=1):
            self.sheet.column_dimensions[get_column_letter(column)].width = width
        self.sheet.freeze_panes = f"A{header_row + 1}"
        self.sheet.print_title_rows = f"{header_row}:{header_row}"
        self.sheet.page_setup.orientation = "landscape"
        self.sheet.page_setup.fitToWidth = 1
        self.sheet.page_setup.fitToHeight = 0
        self.sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
        footer = self.sheet.oddFooter
        if footer is not None:
            footer.center.text = "&A, page &P of &N"


def _fill(cell: Cell, value: Value) -> None:
    cell.value = value
    if isinstance(value, str):
        cell.data_type = "s"
        cell.alignment = Alignment(wrap_text=True, vertical="top")
        if value[:1] in {"=", "+", "-", "@", "\t", "\r"}:
            cell.quotePrefix = True


def year_workbook(books: "YearBooks") -> Workbook:
    """Build the workbook of a year.

    Args:
        books: the year as the page shows it.

    Returns:
        A workbook whose totals, once worked out, equal the page's.
    """
    workbook = Workbook()
    currency = books.business.currency
    digits = -int(smallest_coin(currency).as_tuple().exponent)
    money_format = "#,##0" + ("." + "0" * digits if digits else "")

    def sheet(title: str) -> _Sheet:
        return _Sheet(workbook.create_sheet(title), money_format=money_format)

    first = workbook.active
    if first is not None:
        workbook.remove(first)
    _goods(sheet("Cost of goods"), books)
    _left(sheet("Left the stock"), books)
    _months(sheet("Months"), books)
    _stock(sheet("Stock"), books)
    _outlets(sheet("Outlets"), books)
    _write_offs(sheet("Write-offs"), books)
    _expenses(sheet("Expenses"), books)
    workbook.properties.title = f"{books.business.trade_name}, {books.year}"
    workbook.properties.creator = books.business.trade_name
    return workbook


def save_year(books: "YearBooks", target: Path | BinaryIO) -> None:
    """Write the workbook of a year to a file or a stream."""
    year_workbook(books).save(target)


def _goods(page: _Sheet, books: "YearBooks") -> None:
    goods = books.goods
    page.write(["Line", "Part III, cost of goods sold", "Amount"], bold=True)
    page.write(["33", "Method used to value closing inventory", goods.method])
    page.write(
        [
            "34",
            "Any change in quantities, costs or valuations since the opening",
            "yes" if goods.method_changed else "no",
        ]
    )
    opening = page.write(
        ["35", "Inventory at the beginning of the year", goods.opening_cost], money=[3]
    )
    bought = page.write(["", "Purchases", goods.purchases_cost], money=[3])
    used = page.write(
        ["", "less items withdrawn for personal use, at cost", goods.own_use_cost],
        money=[3],
    )
    net = page.write(["36", "Purchases less personal use"], bold=True)
    page.formula(3, f"=C{bought}-C{used}")
    page.write(
        ["37", "Cost of labor, without amounts paid to yourself", goods.labour_cost],
        money=[3],
    )
    page.write(["38", "Materials and supplies", goods.supplies_cost], money=[3])
    other = page.write(["39", "Other costs", goods.other_cost], money=[3])
    available = page.write(["40", "Add lines 35 to 39"], bold=True)
    page.formula(3, f"=C{opening}+SUM(C{net}:C{other})")
    closing = page.write(
        ["41", "Inventory at the end of the year", goods.closing_cost], money=[3]
    )
    sold = page.write(["42", "Cost of goods sold (to Part I, line 4)"], bold=True)
    page.formula(3, f"=C{available}-C{closing}")
    page.write([])
    sales = page.write(
        ["", "Gross sales less refunds, without sales tax", books.gross_sales],
        money=[3],
    )
    page.write(["", "Gross profit"], bold=True)
    page.formula(3, f"=C{sales}-C{sold}")
    page.write(["", "Sales tax taken (not income)", books.sales_tax], money=[3])
    page.write(["", "Kilometres driven", books.distance_km])
    page.write(["", "Market days", books.market_days])
    page.write([])
    page.write(["", CAUTION])
    page.finish([8, 62, 22])


def _left(page: _Sheet, books: "YearBooks") -> None:
    page.write(["Why it left the stock", "At cost"], bold=True)
    for reason, amount in books.check.left.items():
        page.write([reason, amount], money=[2])
    page.total("Opening and bought, less closing", [2], first=2)
    page.finish([58, 18])


def _months(page: _Sheet, books: "YearBooks") -> None:
    heads = [
        "Month",
        "Jars sold",
        "Sales",
        "Sales tax",
        "Purchases",
        "Supplies",
        "Expenses",
        "Written off, at cost",
    ]
    page.write(heads, bold=True)
    for month in books.months:
        page.write(
            [
                f"{month.month:%Y-%m}",
                month.jars_sold,
                month.sales,
                month.sales_tax,
                month.purchases,
                month.supplies,
                month.expenses,
                month.written_off,
            ],
            money=range(3, 9),
        )
    page.total("Year", range(2, 9), first=2)
    page.sheet.cell(row=page.row, column=2).number_format = QUANTITY_FORMAT
    page.finish([12, 12, 14, 14, 14, 14, 14, 20])


def _stock(page: _Sheet, books: "YearBooks") -> None:
    page.write(["Kind", "Item", "On hand", "Unit", "At cost"], bold=True)
    for line in books.stock:
        page.write(
            [line.kind, line.name, line.quantity, line.unit, line.cost], money=[5]
        )
    if books.in_pots_cost:
        page.write(
            ["in the pot", "batches not finished", None, "", books.in_pots_cost],
            money=[5],
        )
    page.total(f"Stock on {books.as_of:%d %b %Y}", [5], first=2)
    page.finish([18, 46, 14, 10, 16])


def _outlets(page: _Sheet, books: "YearBooks") -> None:
    heads = [
        "Outlet",
        "Days",
        "Takings",
        "Fees",
        "Driving",
        "Jars, at cost",
        "Contribution",
        "Hours",
        "Contribution an hour",
    ]
    page.write(heads, bold=True)
    for record in books.outlets:
        row = page.write(
            [
                record.name,
                record.days,
                record.takings,
                record.fees,
                record.driving_cost,
                record.product_cost,
                None,
                record.hours,
            ],
            money=range(3, 8),
        )
        page.formula(7, f"=C{row}-SUM(D{row}:F{row})")
        if record.hours:
            page.formula(9, f"=G{row}/H{row}")
    page.total("All outlets", range(3, 8), first=2)
    page.finish([34, 8, 14, 14, 14, 14, 16, 10, 20])


def _write_offs(page: _Sheet, books: "YearBooks") -> None:
    page.write(
        ["Day", "Reason", "Item", "Lot", "Quantity", "Unit", "At cost"], bold=True
    )
    for row in books.write_offs:
        page.write(
            [
                row.on.isoformat(),
                row.reason,
                row.name,
                row.lot,
                row.quantity,
                row.unit,
                row.cost,
            ],
            money=[7],
        )
    page.total("Written off", [7], first=2)
    page.finish([14, 26, 40, 16, 12, 10, 14])


def _expenses(page: _Sheet, books: "YearBooks") -> None:
    page.write(["Day", "Kind", "For what", "Amount"], bold=True)
    for row in books.expenses:
        page.write(
            [row.on.isoformat(), row.get_kind_display(), row.text, row.amount],
            money=[4],
        )
    page.total("Expenses", [4], first=2)
    page.finish([14, 40, 50, 14])
