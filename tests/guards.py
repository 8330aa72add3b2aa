"""Lets the test runner empty tables that the database guards keep from being emptied."""

import pytest
from django.db import connection


def let_flushing_pass(patch: pytest.MonkeyPatch) -> None:
    operations = type(connection.ops)
    flush = operations.sql_flush
    guards = {"sqlite": _sqlite, "postgresql": _postgresql}[connection.vendor]

    def sql_flush(self, *args, **kwargs):
        down, up = guards()
        return [*down, *flush(self, *args, **kwargs), *up]

    patch.setattr(operations, "sql_flush", sql_flush)


def _rows(query):
    with connection.cursor() as cursor:
        cursor.execute(query)
        return cursor.fetchall()


def _sqlite():
    found = _rows("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
    return [f'DROP TRIGGER "{name}"' for name, _ in found], [sql for _, sql in found]


def _postgresql():
    found = _rows(
        "SELECT DISTINCT tgrelid::regclass::text FROM pg_trigger WHERE NOT tgisinternal"
    )
    return (
        [f"ALTER TABLE {table} DISABLE TRIGGER USER" for (table,) in found],
        [f"ALTER TABLE {table} ENABLE TRIGGER USER" for (table,) in found],
    )
