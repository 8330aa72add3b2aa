"""The book as rows of sheets: every sheet's rows in the order of its columns.

Only reads. Moments are written in the seller's time zone without a zone, since a
spreadsheet knows none.
"""

import datetime
import json
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from django.apps import apps
from django.db import models
from django.utils import timezone

from inventory.models import (
    Business,
    ConsignmentVisit,
    MarketDay,
    Movement,
    Product,
)
from production.models import BatchInput, BatchOutput, RecipeVersion
from production.workbook.layout import Column, Kind, Sheet

__all__ = ["identity_of", "rows_of"]

Row = Mapping[str, Any]
CHUNK = 2000


NAMED_BY: dict[type[models.Model], str] = {
    RecipeVersion: "recipe",
    MarketDay: "outlet",
    ConsignmentVisit: "outlet",
}
"""Rows that are named by another row, as `identity_of` does."""


def rows_of(sheet: Sheet) -> Iterator[list[Any]]:
    """Rows of one sheet, values in the order of its columns, ready for a cell."""
    special = SPECIAL.get(sheet.key)
    if special is not None:
        for values in special():
            yield [_cell(column, values.get(column.field)) for column in sheet.columns]
        return
    for row in _queryset(sheet):
        yield [_cell(column, _value(row, column)) for column in sheet.columns]


def _queryset(sheet: Sheet) -> Iterator[models.Model]:
    model = apps.get_model(sheet.model)
    related = {
        _related(model, column)
        for column in sheet.columns
        if column.refers or "." in column.field
    }
    rows = model._base_manager.select_related(*related).order_by("pk")
    yield from rows.iterator(chunk_size=CHUNK)


def _related(model: type[models.Model], column: Column) -> str:
    """The way to the row a column names, and to what that row is named by."""
    names = column.field.split(".")
    path = names if column.refers else names[:-1]
    for name in path:
        model = model._meta.get_field(name).related_model  # type: ignore[assignment]
    named_by = NAMED_BY.get(model) if column.refers else None
    return "__".join([*path, named_by] if named_by else path)


def _value(row: models.Model, column: Column) -> Any:
    found: Any = row
    for name in column.field.split("."):
        found = getattr(found, name)
    if column.refers:
        return identity_of(found)[column.part] if found is not None else None
    return found


def identity_of(row: models.Model) -> tuple[Any, ...]:
    """What names a row in a cell: its code, its name, or its parts."""
    match row:
        case RecipeVersion():
            return (row.recipe.name, row.number)
        case MarketDay() | ConsignmentVisit():
            return (row.outlet.name, row.on)
        case _:
            return (getattr(row, "code", None) or getattr(row, "name", None),)


def _cell(column: Column, value: Any) -> Any:
    if value in {None, ""} if not isinstance(value, list | dict) else not value:
        return None
    match column.kind:
        case Kind.MOMENT:
            return _moment(value)
        case Kind.YESNO:
            return "yes" if value else "no"
        case Kind.LIST:
            return json.dumps(value, ensure_ascii=False)
        case _:
            return value


def _moment(value: datetime.datetime) -> datetime.datetime:
    return timezone.localtime(value).replace(tzinfo=None)


def _business() -> Iterator[Row]:
    business = Business.current()
    if business.is_set_up:
        yield {
            field.name: getattr(business, field.name) for field in Business._meta.fields
        }


def _products() -> Iterator[Row]:
    rows = Product.objects.select_related("jar_size", "filling__recipe", "likeness")
    for product in rows.order_by("pk"):
        filling = getattr(product, "filling", None)
        values = {
            field.name: getattr(product, field.name) for field in Product._meta.fields
        }
        yield values | {
            "jar_size": product.jar_size.name,
            "filling": filling.recipe.name if filling else None,
            "likeness": product.likeness.code if product.likeness else None,
        }


def _market_days() -> Iterator[Row]:
    days = MarketDay.objects.select_related("outlet").prefetch_related(
        "sold_out_marks__product"
    )
    for day in days.order_by("pk").iterator(chunk_size=CHUNK):
        values = {
            field.name: getattr(day, field.name) for field in MarketDay._meta.fields
        }
        marks = sorted(day.sold_out_marks.all(), key=lambda mark: mark.pk)
        yield values | {
            "outlet": day.outlet.name,
            "sold_out": "; ".join(
                f"{mark.product.code}@{mark.at:%H:%M}" if mark.at else mark.product.code
                for mark in marks
            ),
        }


def _first_rows(**of: Any) -> Iterator[Movement]:
    rows = Movement.objects.filter(corrects__isnull=True, **of).select_related(
        "lot__material", "lot__purchase__supplier", "lot__split_from"
    )
    yield from rows.order_by("pk").iterator(chunk_size=CHUNK)


def _purchases() -> Iterator[Row]:
    bought = [Movement.Reason.RECEIVED, Movement.Reason.OPENING]
    for row in _first_rows(lot__material__isnull=False, reason__in=bought):
        lot = row.lot
        assert lot.material is not None  # noqa: S101  as filtered
        purchase = lot.purchase
        yield {
            "code": lot.code,
            "supplier": purchase.supplier.name if purchase else None,
            "received_on": lot.received_on,
            "reference": purchase.reference if purchase else None,
            "material": lot.material.name,
            "as_typed": lot.as_typed or f"{row.quantity.normalize():f} {lot.unit}",
            "quantity": row.quantity,
            "cost": lot.cost,
            "best_by": lot.best_by,
            "supplier_mark": lot.supplier_mark,
            "origin": lot.origin,
            "reason": row.reason,
            "at": row.at,
            "number": row.pk,
            "stopped_at": lot.stopped_at,
            "note": lot.note,
        }


def _parts() -> Iterator[Row]:
    for row in _first_rows(reason=Movement.Reason.SPLIT, quantity__gt=0):
        lot = row.lot
        yield {
            "code": lot.code,
            "split_from": lot.split_from.code if lot.split_from else None,
            "received_on": lot.received_on,
            "quantity": row.quantity,
            "cost": lot.cost,
            "best_by": lot.best_by,
            "is_frozen": lot.is_frozen,
            "at": row.at,
            "number": row.pk,
            "stopped_at": lot.stopped_at,
            "note": lot.note,
        }


def _batch_lots() -> Iterator[Row]:
    drawn = BatchInput.objects.select_related("batch", "movement__lot", "line")
    for each in drawn.order_by("movement_id").iterator(chunk_size=CHUNK):
        yield {
            "batch": each.batch.code,
            "direction": "in",
            "lot": each.movement.lot.code,
            "quantity": -each.movement.quantity,
            "line": each.line.position if each.line else None,
            "on": each.movement.on,
            "at": each.movement.at,
            "number": each.movement_id,
        }
    yield from _made()


def _made() -> Iterator[Row]:
    outputs = BatchOutput.objects.select_related(
        "batch", "lot__product", "lot__material"
    ).prefetch_related("seal_checks")
    made = {row.lot_id: row for row in _first_rows(reason=Movement.Reason.MADE)}
    for each in outputs.order_by("pk").iterator(chunk_size=CHUNK):
        lot, row = each.lot, made[each.lot_id]
        check = max(each.seal_checks.all(), key=lambda one: one.pk, default=None)
        yield {
            "batch": each.batch.code,
            "direction": "out",
            "lot": lot.code,
            "quantity": each.filled,
            "product": lot.product.code if lot.product else None,
            "material": lot.material.name if lot.material else None,
            "on": lot.received_on,
            "cost": lot.cost,
            "best_by": lot.best_by,
            "is_frozen": lot.is_frozen,
            "is_tax_exempt": lot.is_tax_exempt,
            "released_at": lot.released_at,
            "stopped_at": lot.stopped_at,
            "sealed": check.sealed if check else None,
            "failed": check.failed if check else None,
            "fate": check.fate if check else None,
            "checked_at": check.checked_at if check else None,
            "at": row.at,
            "number": row.pk,
        }


def _movements(*, of_jars: bool) -> Iterator[Row]:
    firsts = [*Movement.INCOMING, Movement.Reason.DRAWN]
    told = models.Q(corrects__isnull=True, reason__in=firsts) & ~models.Q(
        reason=Movement.Reason.SPLIT, quantity__lt=0
    )
    by_batch = models.Q(batch_input__isnull=False)
    rows = (
        Movement.objects.filter(lot__product__isnull=not of_jars)
        .exclude(told & ~models.Q(reason=Movement.Reason.DRAWN))
        .exclude(by_batch)
        .select_related("lot", "place", "market_day__outlet", "visit__outlet")
    )
    for row in rows.order_by("pk").iterator(chunk_size=CHUNK):
        occasion = row.market_day or row.visit
        yield {
            "lot": row.lot.code,
            "quantity": row.quantity,
            "reason": row.reason,
            "on": row.on,
            "place": row.place.name if row.place else None,
            "market_day": row.market_day.on if row.market_day else None,
            "visit": row.visit.on if row.visit else None,
            "of_outlet": occasion.outlet.name if occasion else None,
            "unit_price": row.unit_price,
            "sales_tax": row.sales_tax or None,
            "cause": row.cause,
            "note": row.note,
            "at": row.at,
            "number": row.pk,
            "corrects": row.corrects_id,
        }


def _jar_movements() -> Iterator[Row]:
    return _movements(of_jars=True)


def _pantry_movements() -> Iterator[Row]:
    return _movements(of_jars=False)


SPECIAL: Mapping[str, Callable[[], Iterator[Row]]] = {
    "business": _business,
    "products": _products,
    "market_days": _market_days,
    "purchases": _purchases,
    "parts": _parts,
    "batch_lots": _batch_lots,
    "jar_movements": _jar_movements,
    "pantry_movements": _pantry_movements,
}
