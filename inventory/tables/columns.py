"""Columns that recur: quantities with their unit, money, days."""

from decimal import Decimal
from typing import Any

import django_tables2 as tables
from django.utils.formats import date_format

from inventory.models import Business
from inventory.money import format_money
from inventory.quantities import format_amount

__all__ = [
    "CODE_CELL",
    "DAY_CELL",
    "NAME_CELL",
    "AmountColumn",
    "DayColumn",
    "MoneyColumn",
    "NumberColumn",
    "business_of",
    "fruit_cell",
]

RIGHT = {
    "th": {"class": "number"},
    "td": {"class": "number"},
    "tf": {"class": "number"},
}

NAME_CELL = {"td": {"class": "name"}}
CODE_CELL = {"td": {"class": "code"}}


def fruit_cell(*path: str, css_class: str = "name") -> dict[str, Any]:
    """Cells edged in the fruit colour of a row's product.

    Args:
        path: attributes from the row to its product; none when the row is one.
        css_class: what the cell is besides.
    """

    def classes(record: Any) -> str:
        for step in path:
            record = getattr(record, step, None)
        accent = getattr(record, "accent", "")
        return f"{css_class} edged fruit-{accent}" if accent else css_class

    return {"td": {"class": classes}}


DAY_CELL = {"td": {"class": "day"}}


def business_of(table: tables.Table) -> Business:
    """The seller on the request; the defaults when a table stands alone."""
    request = getattr(table, "request", None)
    return getattr(request, "business", None) or Business()


class NumberColumn(tables.Column):
    """Figures, right-aligned."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(attrs=kwargs.pop("attrs", RIGHT), **kwargs)


class AmountColumn(NumberColumn):
    """A quantity in the unit of its row (``record.unit``, or its lot's)."""

    def render(self, value: Decimal, record: Any) -> str:
        unit = record.unit if hasattr(record, "unit") else record.lot.unit
        return format_amount(Decimal(value), unit)


class MoneyColumn(NumberColumn):
    """Money in the seller's currency."""

    def render(self, value: Decimal, table: tables.Table) -> str:
        business = business_of(table)
        return format_money(value, business.currency, business.locale)


class DayColumn(tables.Column):
    """A date as the seller writes it, never broken over lines."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(attrs=kwargs.pop("attrs", DAY_CELL), **kwargs)

    def render(self, value: Any) -> str:
        return date_format(value, "SHORT_DATE_FORMAT")
