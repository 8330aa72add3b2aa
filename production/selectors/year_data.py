"""A year of the book as plain data with stable keys."""

from decimal import Decimal
from typing import Any

from production.selectors.year_books import YearBooks

__all__ = ["as_data"]


def as_data(books: YearBooks) -> dict[str, Any]:
    """The year as data: money as text, dates as ISO 8601.

    Args:
        books: the year as the page shows it.
    """
    return {
        "year": books.year,
        "as_of": books.as_of.isoformat(),
        "currency": books.business.currency,
        "method": books.method.value,
        "lines": [
            {
                "line": line.number,
                "text": line.text,
                "amount": None if line.amount is None else str(line.amount),
                "answer": line.answer,
            }
            for line in books.goods.lines()
        ],
        "gross_sales": _money(books.gross_sales),
        "sales_tax": _money(books.sales_tax),
        "gross_profit": _money(books.gross_profit),
        "left_the_stock": {k: str(v) for k, v in books.check.left.items()},
        "months": [
            {
                "month": f"{month.month:%Y-%m}",
                "jars_sold": f"{month.jars_sold:.0f}",
                "sales": _money(month.sales),
                "sales_tax": _money(month.sales_tax),
                "purchases": _money(month.purchases),
                "supplies": _money(month.supplies),
                "expenses": _money(month.expenses),
                "written_off": _money(month.written_off),
            }
            for month in books.months
        ],
        "stock": [
            {
                "kind": line.kind,
                "item": line.name,
                "quantity": f"{line.quantity:.3f}",
                "unit": line.unit,
                "cost": str(line.cost),
            }
            for line in books.stock
        ],
        "outlets": [
            {
                "outlet": record.name,
                "days": record.days,
                "takings": _money(record.takings),
                "contribution": _money(record.contribution),
                "hours": f"{record.hours:.1f}",
            }
            for record in books.outlets
        ],
        "cap": _cap_data(books),
        "distance_km": f"{books.distance_km:.1f}",
        "market_days": books.market_days,
        "visits": books.visits,
    }


def _cap_data(books: YearBooks) -> dict[str, Any] | None:
    if books.cap is None:
        return None
    projection = books.projection
    reached = projection.reached_on
    return {
        "place": books.cap.place,
        "amount": str(books.cap.amount),
        "citation": books.cap.citation,
        "read_on": books.cap.read_on.isoformat(),
        "sold": _money(projection.sold),
        "fraction": f"{projection.fraction:.4f}",
        "year_end_estimate": _money(projection.year_end_estimate),
        "reached_on": reached.isoformat() if reached else None,
    }


def _money(amount: Decimal) -> str:
    return f"{amount:.2f}"
