"""A consistent copy of the book while it is in use, and putting one in its place."""

import contextlib
import os
import shutil
import sqlite3
from collections.abc import Iterator
from datetime import datetime
from itertools import chain
from pathlib import Path
from typing import Any

from django.apps import apps
from django.core import serializers
from django.core.management import call_command
from django.db import connection, models, transaction
from django.db.migrations.loader import MigrationLoader

from inventory.backup.archive import BackupError
from inventory.words import say

__all__ = [
    "book_path",
    "check_sqlite",
    "known_migrations",
    "load_rows",
    "newest_migrations",
    "replace_book",
    "save_rows",
    "save_sqlite",
]

# Nobody's records: they are made again, or belong to one session on one machine.
LEFT_OUT = {
    "contenttypes.contenttype",
    "auth.permission",
    "sessions.session",
    "admin.logentry",
    "axes.accessattempt",
    "axes.accesslog",
    "axes.accessfailurelog",
    "axes.accessattemptexpiration",
}


def book_path() -> Path:
    """The file of an embedded book."""
    return Path(str(connection.settings_dict["NAME"]))


def newest_migrations() -> tuple[str, ...]:
    """Newest migration of each app of this code, as "app.name"."""
    loader = MigrationLoader(None)
    return tuple(sorted(f"{app}.{name}" for app, name in loader.graph.leaf_nodes()))


def known_migrations() -> set[str]:
    """Every migration this code has."""
    loader = MigrationLoader(None)
    return {f"{app}.{name}" for app, name in loader.disk_migrations}


def save_sqlite(target: Path) -> None:
    """Copy the embedded book as it stands at one moment, while others write.

    Raises:
        BackupError: the copy does not pass SQLite's own check.
    """
    with contextlib.closing(sqlite3.connect(target)) as copy:
        connection.ensure_connection()
        connection.connection.backup(copy)
        copy.execute("PRAGMA journal_mode=DELETE")
    check_sqlite(target)


def check_sqlite(path: Path) -> None:
    """Have SQLite check a file.

    Raises:
        BackupError: it found a fault.
    """
    try:
        with contextlib.closing(sqlite3.connect(path)) as copy:
            (answer,) = copy.execute("PRAGMA integrity_check").fetchone()
    except sqlite3.DatabaseError as error:
        raise BackupError(
            say("{path} cannot be read as a book: {error}", path=path.name, error=error)
        ) from error
    if answer != "ok":
        raise BackupError(
            say("the book does not pass its own check: {answer}", answer=answer)
        )


def replace_book(new: Path, *, at: datetime) -> Path:
    """Put a checked book in the place of the present one, which is kept aside.

    The present book gets a second name first, then the new one takes its name in
    one step: whenever the power fails, a whole book stands under that name.

    Args:
        new: in the same folder as the book.
        at: the moment, for the name of the book kept aside.

    Returns:
        Where the present book is kept.
    """
    book = book_path()
    aside = book.with_name(f"{book.stem}-before-{at:%Y%m%d-%H%M%S}{book.suffix}")
    connection.close()
    if not book.exists():
        new.replace(book)
        return aside
    with contextlib.closing(sqlite3.connect(book, timeout=20)) as held:
        held.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        held.execute("PRAGMA journal_mode=DELETE")
        held.isolation_level = None
        held.execute("BEGIN EXCLUSIVE")
        _second_name(book, aside)
        new.replace(book)
        held.execute("ROLLBACK")
    return aside


def _second_name(book: Path, aside: Path) -> None:
    try:
        os.link(book, aside)
    except OSError:
        shutil.copy2(book, aside)


def _models() -> list[type[models.Model]]:
    ordered = serializers.sort_dependencies(
        [(app, list(app.get_models())) for app in apps.get_app_configs()]
    )
    return [model for model in ordered if model._meta.label_lower not in LEFT_OUT]


@transaction.atomic
def save_rows(target: Path) -> None:
    """Write every row of a book on a server as JSON, as of one moment."""
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ")
    rows: Iterator[Any] = chain.from_iterable(
        model._base_manager.order_by("pk").iterator() for model in _models()
    )
    with target.open("w", encoding="utf-8") as file:
        serializers.serialize("json", rows, stream=file, use_natural_foreign_keys=True)


def load_rows(source: Path) -> None:
    """Empty a book on a server and fill it from JSON: all or nothing."""
    with transaction.atomic():
        call_command("flush", interactive=False, verbosity=0)
        call_command("loaddata", str(source), verbosity=0)
