"""The backup file: a zip with the book, the pictures and a manifest of checksums.

Pure files: no database. A file is written beside its target and renamed at the
end, so a killed backup leaves no half file under the real name.
"""

import datetime
import hashlib
import json
import os
import tempfile
import zipfile
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from inventory.words import say

__all__ = [
    "BOOK_JSON",
    "BOOK_SQLITE",
    "FORMAT",
    "PICTURES",
    "BackupError",
    "DamagedBackupError",
    "Manifest",
    "NewerBackupError",
    "NotABackupError",
    "extract",
    "read_manifest",
    "write_archive",
]

FORMAT = 1
MANIFEST = "manifest.json"
BOOK_SQLITE = "book.sqlite3"
BOOK_JSON = "book.json"
PICTURES = "pictures"
BLOCK = 1024 * 1024
MOST_BYTES = 20 * 1024**3


class BackupError(ValueError):
    """A backup that cannot be made or put back."""


class NotABackupError(BackupError):
    """Some other file."""

    def __init__(self, path: Path) -> None:
        self.path = path
        super().__init__(
            say(
                "{path} is no backup of this program; choose a file it has made",
                path=path.name,
            )
        )


class DamagedBackupError(BackupError):
    """A file whose checksum is wrong or that ends early."""

    def __init__(self, path: Path, part: str) -> None:
        self.path, self.part = path, part
        super().__init__(
            say(
                "{path} is damaged ({part} is not what was saved); nothing was "
                "changed, use an earlier backup",
                path=path.name,
                part=part,
            )
        )


class NewerBackupError(BackupError):
    """A file of a later version of the program."""

    def __init__(self, path: Path, wanted: str) -> None:
        self.path, self.wanted = path, wanted
        super().__init__(
            say(
                "{path} was made by a newer version of this program ({wanted}); "
                "update the program first, nothing was changed",
                path=path.name,
                wanted=wanted,
            )
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Manifest:
    """What a backup says of itself.

    Attributes:
        made_at: the moment, with its zone.
        engine: "sqlite" or "postgresql": which kind of book is inside.
        migrations: newest migration of each app, as "app.0001_initial".
        business: trade name of the seller.
        digests: SHA-256 of each file inside, by its name.
        format: version of this layout.
    """

    made_at: datetime.datetime
    engine: str
    migrations: tuple[str, ...]
    business: str
    digests: Mapping[str, str]
    format: int = FORMAT

    def as_json(self) -> str:
        """The manifest as it stands in the file."""
        return json.dumps(
            {
                "format": self.format,
                "made_at": self.made_at.isoformat(),
                "engine": self.engine,
                "migrations": list(self.migrations),
                "business": self.business,
                "digests": dict(self.digests),
            },
            indent=1,
            sort_keys=True,
        )


def write_archive(
    target: Path,
    *,
    manifest: Manifest,
    files: Iterable[tuple[str, Path]],
) -> Manifest:
    """Write a backup file.

    Args:
        target: where; an existing file is replaced only when all is written.
        manifest: without digests; they are taken while writing.
        files: name inside the file and where it is read from.

    Returns:
        The manifest with its digests.
    """
    target.parent.mkdir(parents=True, exist_ok=True)
    descriptor, name = tempfile.mkstemp(dir=target.parent, prefix=".making-")
    os.close(descriptor)
    making = Path(name)
    try:
        digests = {}
        with zipfile.ZipFile(making, "w", zipfile.ZIP_DEFLATED) as archive:
            for inside, path in files:
                digests[inside] = _add(archive, inside, path)
            whole = Manifest(
                made_at=manifest.made_at,
                engine=manifest.engine,
                migrations=manifest.migrations,
                business=manifest.business,
                digests=digests,
            )
            archive.writestr(MANIFEST, whole.as_json())
        _flush(making)
        making.replace(target)
    finally:
        making.unlink(missing_ok=True)
    return whole


def _add(archive: zipfile.ZipFile, inside: str, path: Path) -> str:
    digest = hashlib.sha256()
    with path.open("rb") as source, archive.open(inside, "w") as sink:
        while block := source.read(BLOCK):
            digest.update(block)
            sink.write(block)
    return digest.hexdigest()


def _flush(path: Path) -> None:
    with path.open("rb") as file:
        os.fsync(file.fileno())


def read_manifest(path: Path) -> Manifest:
    """Read what a backup says of itself.

    Raises:
        NotABackupError: another kind of file.
        NewerBackupError: a later layout.
    """
    try:
        with zipfile.ZipFile(path) as archive:
            found = json.loads(archive.read(MANIFEST))
    except (zipfile.BadZipFile, KeyError, ValueError, EOFError, OSError) as error:
        raise NotABackupError(path) from error
    if not isinstance(found, dict) or not isinstance(found.get("format"), int):
        raise NotABackupError(path)
    if found["format"] > FORMAT:
        raise NewerBackupError(path, say("layout {format}", format=found["format"]))
    try:
        return Manifest(
            made_at=datetime.datetime.fromisoformat(found["made_at"]),
            engine=found["engine"],
            migrations=tuple(found["migrations"]),
            business=found["business"],
            digests=dict(found["digests"]),
        )
    except (KeyError, TypeError, ValueError) as error:
        raise NotABackupError(path) from error


def extract(path: Path, *, manifest: Manifest, folder: Path) -> None:
    """Unpack a backup into an empty folder, checking every file.

    Raises:
        DamagedBackupError: a checksum is wrong, a file is missing, or a name
            points outside the folder.
    """
    try:
        with zipfile.ZipFile(path) as archive:
            size = sum(each.file_size for each in archive.infolist())
            if size > MOST_BYTES:
                raise DamagedBackupError(path, say("its size"))
            for inside, digest in manifest.digests.items():
                if _extract_one(archive, inside, folder) != digest:
                    raise DamagedBackupError(path, inside)
    except (zipfile.BadZipFile, KeyError, EOFError, OSError) as error:
        raise DamagedBackupError(path, say("a part of it")) from error


def _extract_one(archive: zipfile.ZipFile, inside: str, folder: Path) -> str:
    parts = PurePosixPath(inside).parts
    if PurePosixPath(inside).is_absolute() or ".." in parts:
        raise DamagedBackupError(
            Path(archive.filename or "backup"), say("a name in it")
        )
    target = folder.joinpath(*parts)
    target.parent.mkdir(parents=True, exist_ok=True)
    digest = hashlib.sha256()
    with archive.open(inside) as source, target.open("wb") as sink:
        while block := source.read(BLOCK):
            digest.update(block)
            sink.write(block)
        sink.flush()
        os.fsync(sink.fileno())
    return digest.hexdigest()
