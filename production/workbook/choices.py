"""The words a column accepts: those of its model's closed list."""

from django.apps import apps
from django.core.exceptions import FieldDoesNotExist
from django.db import models

from production.workbook.layout import Column, Kind, Sheet

__all__ = ["choices_of", "field_of"]


def field_of(sheet: Sheet, column: Column) -> models.Field | None:  # type: ignore[type-arg]
    """The model field a column fills, through a relation if need be; None if none."""
    model = apps.get_model(sheet.model)
    *path, last = column.field.split(".")
    try:
        for name in path:
            model = model._meta.get_field(name).related_model
        field = model._meta.get_field(last)
    except FieldDoesNotExist:
        return None
    return field if isinstance(field, models.Field) else None


def choices_of(sheet: Sheet, column: Column) -> tuple[str, ...]:
    """Words the column accepts; empty when it is not a closed list."""
    if column.choices or column.kind is not Kind.CHOICE:
        return column.choices
    field = field_of(sheet, column)
    if field is None or not field.choices:
        return ()
    return tuple(str(value) for value, _ in field.choices if value)
