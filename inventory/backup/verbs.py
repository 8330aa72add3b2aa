"""Making a backup, putting one back, and keeping a folder of them tidy."""

import datetime
import re
import shutil
import tempfile
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.db import connection

from inventory.backup import snapshot
from inventory.backup.archive import (
    BOOK_JSON,
    BOOK_SQLITE,
    PICTURES,
    BackupError,
    DamagedBackupError,
    Manifest,
    NewerBackupError,
    extract,
    read_manifest,
    write_archive,
)
from inventory.backup.retention import kept
from inventory.models import Business
from inventory.words import say

__all__ = ["Restored", "back_up", "backup_name", "restore", "tidy"]

NAME = re.compile(r"^setting-point-(\d{8}-\d{6})\.backup$")
MOMENT = "%Y%m%d-%H%M%S"


@dataclass(frozen=True, slots=True, kw_only=True)
class Restored:
    """What a restore did.

    Attributes:
        manifest: of the backup that was put in place.
        aside: the book that stood there before; None on a database server.
    """

    manifest: Manifest
    aside: Path | None


def backup_name(at: datetime.datetime) -> str:
    """Name of a backup made at a moment (in UTC)."""
    return f"setting-point-{at.astimezone(datetime.UTC).strftime(MOMENT)}.backup"


def back_up(*, target: Path, at: datetime.datetime) -> Manifest:
    """Write the whole book into one file, while it is in use.

    Args:
        target: the file; replaced only once the new one is whole.
        at: the moment, for the manifest.

    Returns:
        The manifest.

    Raises:
        BackupError: the book does not pass its own check, or the disk is full.
    """
    is_sqlite = connection.vendor == "sqlite"
    with tempfile.TemporaryDirectory(prefix="setting-point-") as scratch:
        book = Path(scratch) / (BOOK_SQLITE if is_sqlite else BOOK_JSON)
        (snapshot.save_sqlite if is_sqlite else snapshot.save_rows)(book)
        manifest = Manifest(
            made_at=at,
            engine=connection.vendor,
            migrations=snapshot.newest_migrations(),
            business=Business.current().trade_name,
            digests={},
        )
        files = [(book.name, book), *_pictures()]
        try:
            return write_archive(target, manifest=manifest, files=files)
        except OSError as error:
            raise BackupError(
                say(
                    "{target} could not be written ({strerror}); choose another folder "
                    "or make room",
                    target=target,
                    strerror=error.strerror,
                )
            ) from error


def _pictures() -> list[tuple[str, Path]]:
    root = Path(settings.MEDIA_ROOT)
    if not root.exists():
        return []
    return [
        (f"{PICTURES}/{path.relative_to(root).as_posix()}", path)
        for path in sorted(root.rglob("*"))
        if path.is_file()
    ]


def restore(*, source: Path, at: datetime.datetime) -> Restored:
    """Put a backup in the place of the present book, which is kept aside.

    Nothing is changed until the backup is unpacked, checked and brought up to
    this version.

    Args:
        source: a file made by ``back_up``.
        at: the moment, for the name of the book kept aside.

    Raises:
        NotABackupError: another kind of file.
        DamagedBackupError: a checksum is wrong.
        NewerBackupError: made by a later version.
        BackupError: made on another kind of database.
    """
    manifest = read_manifest(source)
    _refuse_newer(source, manifest)
    if manifest.engine != connection.vendor:
        raise BackupError(
            say(
                "{source} holds a book of {engine} and this one is on {vendor}; "
                "set DATABASE_URL to the same kind, or carry the records over with "
                "the workbook",
                source=source.name,
                engine=manifest.engine,
                vendor=connection.vendor,
            )
        )
    if manifest.engine == "sqlite":
        return _restore_file(source, manifest, at)
    with tempfile.TemporaryDirectory(prefix="setting-point-") as scratch:
        folder = Path(scratch)
        extract(source, manifest=manifest, folder=folder)
        _bring_pictures(folder / PICTURES)
        snapshot.load_rows(folder / BOOK_JSON)
    return Restored(manifest=manifest, aside=None)


def _refuse_newer(source: Path, manifest: Manifest) -> None:
    unknown = set(manifest.migrations) - snapshot.known_migrations()
    if unknown:
        raise NewerBackupError(source, ", ".join(sorted(unknown)))


def _restore_file(source: Path, manifest: Manifest, at: datetime.datetime) -> Restored:
    home = snapshot.book_path().parent
    home.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=home, prefix=".restoring-") as scratch:
        folder = Path(scratch)
        extract(source, manifest=manifest, folder=folder)
        new = folder / BOOK_SQLITE
        if not new.exists():
            raise DamagedBackupError(source, say("the book in it"))
        snapshot.check_sqlite(new)
        _bring_pictures(folder / PICTURES)
        aside = snapshot.replace_book(new, at=at)
    call_command("migrate", verbosity=0)
    return Restored(manifest=manifest, aside=aside)


def _bring_pictures(folder: Path) -> None:
    """Copy the backup's pictures home; a different one of the same name is kept."""
    if not folder.exists():
        return
    root = Path(settings.MEDIA_ROOT)
    for path in sorted(each for each in folder.rglob("*") if each.is_file()):
        target = root / path.relative_to(folder)
        target.parent.mkdir(parents=True, exist_ok=True)
        if target.exists() and target.read_bytes() != path.read_bytes():
            target.rename(target.with_name(f"{target.stem}-before{target.suffix}"))
        if not target.exists():
            making = target.with_name(f".{target.name}")
            shutil.copy2(path, making)
            making.replace(target)


def tidy(folder: Path) -> list[Path]:
    """Delete the backups of a folder that no day, week or month needs any more.

    Returns:
        What was deleted. Files of other names are left alone.
    """
    found = {}
    for path in folder.iterdir():
        match = NAME.match(path.name)
        if match:
            moment = datetime.datetime.strptime(f"{match[1]}+0000", f"{MOMENT}%z")
            found[moment] = path
    surplus = [path for at, path in found.items() if at not in kept(found)]
    for path in surplus:
        path.unlink()
    return sorted(surplus)
