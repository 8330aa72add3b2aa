"""Trace and traceability records as a workbook that sorts.

Every sheet is a plain table: one heading row, no merged cells, dates as dates,
quantities as numbers with their unit beside them, so that any sheet can be sorted by
any column and each row stays whole.
"""

from collections.abc import Iterable, Sequence
from io import BytesIO
from typing import Any

from production.trace_answer import TraceAnswer
from production.trace_records import Firm, LotAmount, TraceRecords

__all__ = ["records_workbook", "trace_workbook"]

Row = Sequence[Any]
Sheet = tuple[str, Row, Sequence[Row]]
KEY = (
    ("g", "grams"),
    ("pieces", "single things: lemons, jars, lids"),
    ("jars", "filled jars of the product named"),
    ("traceability lot code", "code of this book; batches: YYDDD, letter, check"),
    ("lot code of the source", "the lot mark the supplier gave"),
    ("TLC source", "where the code was given: the kitchen"),
)


def trace_workbook(answer: TraceAnswer, records: TraceRecords) -> bytes:
    """Return a trace and its records as one workbook.

    Args:
        answer: what went in, what is affected, where the jars are.
        records: the events of the same lots.
    """
    return _workbook([*_answer_sheets(answer), *_record_sheets(records)])


def records_workbook(records: TraceRecords) -> bytes:
    """Return traceability records alone, one sheet an event."""
    return _workbook(_record_sheets(records))


def _answer_sheets(answer: TraceAnswer) -> Iterable[Sheet]:
    yield (
        "Balance",
        ("Where", "Jars", "% of made"),
        [
            (name, jars, answer.affected_balance.percent(jars))
            for name, jars in answer.affected_balance.terms
        ],
    )
    yield (
        "Went in",
        ("Lot", "What", "Supplier", "Their mark", "Received", "Used", "Unit"),
        [
            (x.code, x.name, x.supplier, x.supplier_mark, x.received_on, x.used, x.unit)
            for x in answer.sources
        ],
    )
    yield (
        "Affected",
        ("Batch", "Product", "Made", "State", "Stopped", "Jars made", "Still out"),
        [
            (
                x.code,
                x.product,
                x.made_on,
                x.state,
                "yes" if x.is_stopped else "no",
                x.balance.made,
                x.balance.still_out,
            )
            for x in answer.affected
        ],
    )
    yield (
        "Where",
        ("Lot", "Product", "What", "Place", "On", "Jars"),
        [
            (x.code, x.product, x.what, x.place or "home", x.on, x.jars)
            for x in answer.whereabouts
        ],
    )
    yield (
        "Sisters",
        ("Batch", "Product", "Made", "Shared lots"),
        [(x.code, x.product, x.made_on, ", ".join(x.shared)) for x in answer.sisters],
    )


def _record_sheets(records: TraceRecords) -> Iterable[Sheet]:
    yield "Receiving", *_receiving(records)
    yield "Transformation used", *_used(records)
    yield "Transformation made", *_made(records)
    yield "Shipping", *_moved(records, {"shipped"})
    yield "Sold and other ends", *_moved(records, None)
    yield (
        "Firms and places",
        ("Firm id", "Name", "Telephone", "Address"),
        [(firm.key, firm.name, firm.phone, firm.address) for firm in records.firms],
    )
    yield "Key", ("Word", "Means"), list(KEY)


def _receiving(records: TraceRecords) -> tuple[Row, Sequence[Row]]:
    names = (
        *("Record id", "Traceability lot code", "Lot code of the source"),
        *("Commodity and variety", "Quantity", "Unit of measure"),
        *("Previous source (firm id)", "Received at (firm id)", "Date received"),
        *("TLC source (firm id)", "Reference document"),
    )
    rows = [
        (
            *(r.row, r.lot.code, r.lot.mark, r.lot.name, r.lot.quantity, r.lot.unit),
            *(r.firm.key, records.kitchen.key, r.on, _source(r.lot, r.firm, records)),
            r.paper,
        )
        for r in records.received
    ]
    return names, rows


def _source(lot: LotAmount, firm: Firm, records: TraceRecords) -> str:
    return firm.key if lot.mark else records.kitchen.key


def _used(records: TraceRecords) -> tuple[Row, Sequence[Row]]:
    names = (
        *("Record id", "Batch", "Traceability lot code used", "Lot code of the source"),
        *("Commodity or product used", "Quantity", "Unit of measure", "Date completed"),
    )
    rows = [
        (c.row, c.batch, x.code, x.mark, x.name, x.quantity, x.unit, c.on)
        for c in records.cooked
        for x in c.inputs
    ]
    return names, rows


def _made(records: TraceRecords) -> tuple[Row, Sequence[Row]]:
    names = (
        *("Record id", "Batch", "New traceability lot code", "Product description"),
        *("GTIN", "Quantity", "Unit of measure", "Best by", "Date completed"),
        *("Place = TLC source (firm id)", "Reference document", "Heat step record"),
    )
    rows = [
        (
            *(c.row, c.batch, x.code, x.name, x.gtin, x.quantity, x.unit, x.best_by),
            *(c.on, records.kitchen.key, f"batch record {c.batch}", c.heat_record),
        )
        for c in records.cooked
        for x in c.outputs
    ]
    return names, rows


def _moved(records: TraceRecords, only: set[str] | None) -> tuple[Row, Sequence[Row]]:
    names = (
        *("Record id", "What happened", "Traceability lot code", "Product description"),
        *("Quantity", "Unit of measure", "Shipped from (firm id)"),
        *("Next recipient or place (firm id)", "Date", "Reference document"),
    )
    rows = [
        (
            *(m.row, m.what.replace("_", " "), m.lot.code, m.lot.name),
            *(m.lot.quantity, m.lot.unit, records.kitchen.key, m.firm.key, m.on),
            m.paper,
        )
        for m in records.moved
        if (m.what in only if only else m.what != "shipped")
    ]
    return names, rows


def _workbook(sheets: Iterable[Sheet]) -> bytes:
    from openpyxl import Workbook
    from openpyxl.styles import Font

    book = Workbook()
    book.remove(book.worksheets[0])
    for title, names, rows in sheets:
        sheet = book.create_sheet(title)
        sheet.append(list(names))
        for cell in sheet[1]:
            cell.font = Font(bold=True)
        for row in rows:
            sheet.append([_plain(value) for value in row])
        sheet.freeze_panes = "A2"
        sheet.auto_filter.ref = sheet.dimensions
        for number, name in enumerate(names, start=1):
            letter = sheet.cell(row=1, column=number).column_letter
            sheet.column_dimensions[letter].width = max(12, min(len(str(name)) + 2, 32))
    into = BytesIO()
    book.save(into)
    return into.getvalue()


def _plain(value: Any) -> Any:
    """Text that looks like a formula is kept as text."""
    if isinstance(value, str) and value[:1] in {"=", "+", "-", "@"}:
        return f"'{value}"
    return value
