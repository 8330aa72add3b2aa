"""Columns that recur: quantities with their unit, money, days."""

from decimal import Decimal
from typing import Any

import django_tables2 as tables
from django.utils.formats import date_format

from inventory.models import Business
from inventory.money import format_money
from inventory.quantities import MeasureSystem, format_amount

__all__ = [
    "CODE_CELL",
    "NAME_CELL",
    "AmountColumn",
    "DayColumn",
    "MoneyColumn",
    "NumberColumn",
    "business_of",
]

RIGHT = {
    "th": {"class": "number"},
    "td": {"class": "number"},
    "tf": {"class": "number"},
}

NAME_CELL = {"td": {"class": "name"}}
CODE_CELL = {"td": {"class": "code"}}


def business_of(table: tables.Table) -> Business:
    """The seller on the request; the defaults when a table stands alone."""
    request = getattr(table, "request", None)
    return getattr(request, "business", None) or Business()


def amount_text(quantity: Decimal, unit: str, business: Business) -> str:
    """A quantity in the seller's units and locale."""
    return format_amount(
        Decimal(quantity),
        unit,
        system=MeasureSystem(business.units),
        locale=business.locale,
    )


class NumberColumn(tables.Column):
    """Figures, right-aligned."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(attrs=kwargs.pop("attrs", RIGHT), **kwargs)


class AmountColumn(NumberColumn):
    """A quantity in the unit of its row (``record.unit``, or its lot's)."""

    def render(self, value: Decimal, record: Any, table: tables.Table) -> str:
        unit = record.unit if hasattr(record, "unit") else record.lot.unit
        return amount_text(value, unit, business_of(table))


class MoneyColumn(NumberColumn):
    """Money in the seller's currency."""

    def render(self, value: Decimal, table: tables.Table) -> str:
        business = business_of(table)
        return format_money(value, business.currency, business.locale)


class DayColumn(tables.Column):
    """A date as the seller writes it."""

    def render(self, value: Any) -> str:
        return date_format(value, "SHORT_DATE_FORMAT")
