"""Long lists, a page at a time: the one way every table of the book is paged.

A page is read in two steps, whatever the list: first the keys of the page in the
order of the list, then the whole rows of those keys. The first step needs no join
and no annotation, so it is one walk along an index; the second reads a page of rows.
The first step also counts, but only so far (``COUNTED``): a list that goes on is
told as "more than", until somebody asks for its far end.
"""

from collections.abc import Sequence
from functools import cached_property
from math import ceil
from typing import Any

import django_tables2 as tables
from django.core.paginator import Page, Paginator
from django.db.models import F, QuerySet
from django.db.models.expressions import OrderBy
from django.http import HttpRequest
from django_tables2 import RequestConfig, SingleTableMixin
from django_tables2.rows import BoundRows

__all__ = ["COUNTED", "PagedTableMixin", "Pages", "paged"]

PER_PAGE = 25
MOST_PER_PAGE = 200
COUNTED = 2500
"""Rows counted before a list is told as "more than": a hundred pages, one walk."""
LAST = "last"


class Pages(Paginator):
    """Pages of a query, or of a table of one."""

    def __init__(self, object_list: Any, per_page: int, **kwargs: Any) -> None:
        """Refuse nothing: a page asked too long is cut to what a reader can use."""
        size = max(1, min(int(per_page), MOST_PER_PAGE))
        super().__init__(object_list, size, **kwargs)
        self.queryset = _in_total_order(_query_of(object_list))
        self._exact: int | None = None

    @property
    def is_longer(self) -> bool:
        """Whether the list goes on beyond what was counted."""
        return self._exact is None and len(self._first_keys) > COUNTED

    @property
    def count(self) -> int:
        """Rows, as far as they are counted."""
        return len(self._first_keys) if self._exact is None else self._exact

    @property
    def num_pages(self) -> int:
        """Pages, as far as they are counted; an empty list has one."""
        return max(1, ceil(self.count / self.per_page))

    @property
    def counted_pages(self) -> int:
        """Whole pages counted: the number behind "more than"."""
        return COUNTED // self.per_page

    def validate_number(self, number: Any) -> int:
        """Take a number, or "last"; what lies beyond the counted is counted now."""
        if number == LAST:
            self._count_to_the_end()
            return self.num_pages
        if isinstance(number, int) and number < 1:
            return 1
        if str(number).isdecimal() and int(number) * self.per_page > COUNTED:
            self._count_to_the_end()
        return super().validate_number(number)

    def page(self, number: Any) -> Page:
        """One page, its rows read by their keys."""
        valid = self.validate_number(number)
        bottom = (valid - 1) * self.per_page
        keys = self._keys_between(bottom, min(bottom + self.per_page, self.count))
        found = self.queryset.in_bulk(keys)
        rows: Any = [found[key] for key in keys if key in found]
        if isinstance(self.object_list, BoundRows):
            rows = BoundRows(data=rows, table=self.object_list.table)
        return Page(rows, valid, self)

    def _count_to_the_end(self) -> None:
        if self.is_longer:
            self._exact = self.queryset.order_by().count()

    @cached_property
    def _keys(self) -> "QuerySet[Any, Any]":
        return self.queryset.prefetch_related(None).values_list("pk", flat=True)

    @cached_property
    def _first_keys(self) -> Sequence[Any]:
        return list(self._keys[: COUNTED + 1])

    def _keys_between(self, bottom: int, top: int) -> Sequence[Any]:
        """Keys of a page; the second half of a long list is read from its end."""
        if top <= len(self._first_keys):
            return self._first_keys[bottom:top]
        if bottom < self.count // 2:
            return list(self._keys[bottom:top])
        backwards = self._keys.reverse()[self.count - top : self.count - bottom]
        return list(backwards)[::-1]


class PagedTableMixin(SingleTableMixin):
    """A view of one long table: ``SingleTableMixin`` with our pages."""

    def get_table_pagination(self, table: tables.Table) -> dict[str, Any]:
        """Our pages, with what the view says of their length."""
        per_page = self.get_paginate_by(table.data) or table._meta.per_page
        return _pagination(self.request, table, per_page)


def paged(
    request: HttpRequest, table: tables.Table, *, per_page: int = PER_PAGE
) -> tables.Table:
    """Make a table show the page, and the order, the request asks for.

    Args:
        request: its query carries page and order under the table's own prefix.
        table: of a query, or of a list of rows.
        per_page: rows on a page unless the request says otherwise.
    """
    pagination = _pagination(request, table, per_page)
    RequestConfig(request, paginate=pagination).configure(table)
    return table


def _pagination(
    request: HttpRequest, table: tables.Table, per_page: int
) -> dict[str, Any]:
    if not isinstance(table.data.data, QuerySet):
        return {"per_page": per_page}
    asked = request.GET.get(table.prefixed_page_field)
    last = {"page": LAST} if asked == LAST else {}
    return {"per_page": per_page, "paginator_class": Pages, **last}


def _query_of(rows: Any) -> "QuerySet[Any]":
    query: QuerySet[Any] = rows.data.data if isinstance(rows, BoundRows) else rows
    return query


def _in_total_order(query: "QuerySet[Any]") -> "QuerySet[Any]":
    """The same query, equal rows in the order of their keys.

    Without that a row may stand on two pages and another on none. The key runs the
    way of the last term, so that the index of the order can still be walked.
    """
    terms = list(query.query.order_by)
    if not terms and query.query.default_ordering:
        terms = list(query.model._meta.ordering)
    names = {str(term).lstrip("-") for term in terms}
    if names & {"pk", query.model._meta.pk.name}:
        return query.order_by(*terms)
    descends = bool(terms) and _descends(terms[-1])
    return query.order_by(*terms, F("pk").desc() if descends else F("pk").asc())


def _descends(term: Any) -> bool:
    if isinstance(term, OrderBy):
        return term.descending
    return str(term).startswith("-")
