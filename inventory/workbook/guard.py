"""Looks at a file before it is opened: is it a workbook, and of bearable size.

A workbook is a zip of XML parts. A few kilobytes can unpack to gigabytes, so the
sizes its directory declares are added up, and checked again while unpacking,
before anything parses it.
"""

import zipfile
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import BinaryIO

from inventory.words import say
from inventory.workbook.findings import WorkbookError

__all__ = ["MOST_BYTES", "MOST_PARTS", "MOST_RATIO", "inspect"]

# Our own limits, far above a book of ten years (50,000 purchases unpack to 30 MB).
MOST_BYTES = 300 * 1024 * 1024
MOST_PARTS = 400
MOST_RATIO = 200
SMALL_BYTES = 5 * 1024 * 1024
BLOCK = 1024 * 1024
OLD_FORMAT = bytes.fromhex("d0cf11e0a1b11ae1")


def inspect(source: Path | BinaryIO, *, name: str) -> tuple[str, ...]:
    """Refuse what is no workbook or would not fit; nothing is parsed.

    Args:
        source: the file.
        name: its name, for sentences.

    Returns:
        Remarks on what will be passed over: macros, links to other files.

    Raises:
        WorkbookError: not a workbook, locked by a password, or too large.
    """
    _refuse_other_kinds(source, name)
    try:
        with zipfile.ZipFile(source) as archive:
            parts = archive.infolist()
            _refuse_size(archive, parts, name)
            names = [part.filename for part in parts]
    except zipfile.BadZipFile as error:
        raise WorkbookError(
            say(
                "{name} is cut short or damaged; save it again from your spreadsheet",
                name=name,
            )
        ) from error
    finally:
        if not isinstance(source, Path):
            source.seek(0)
    if "xl/workbook.xml" not in names:
        raise WorkbookError(
            say("{name} is a zip file but no workbook; save it as .xlsx", name=name)
        )
    return tuple(_remarks(names))


def _refuse_other_kinds(source: Path | BinaryIO, name: str) -> None:
    if isinstance(source, Path):
        with source.open("rb") as file:
            start = file.read(8)
    else:
        source.seek(0)
        start = source.read(8)
        source.seek(0)
    if start == OLD_FORMAT:
        raise WorkbookError(
            say(
                "{name} is locked by a password or in the old .xls form; save it "
                "as .xlsx without a password",
                name=name,
            )
        )
    if not start.startswith(b"PK"):
        raise WorkbookError(
            say(
                "{name} is no workbook; save it as .xlsx from your spreadsheet",
                name=name,
            )
        )


def _refuse_size(
    archive: zipfile.ZipFile, parts: list[zipfile.ZipInfo], name: str
) -> None:
    if len(parts) > MOST_PARTS:
        raise WorkbookError(
            say(
                "{name} holds {parts} parts, more than {most_parts}; copy the "
                "sheets you need into a new workbook",
                name=name,
                parts=len(parts),
                most_parts=MOST_PARTS,
            )
        )
    total = 0
    for part in parts:
        total += part.file_size
        packed = max(part.compress_size, 1)
        if part.file_size > SMALL_BYTES and part.file_size / packed > MOST_RATIO:
            raise _too_large(name)
        if total > MOST_BYTES:
            raise _too_large(name)
    _refuse_lies(archive, parts, name)


def _refuse_lies(
    archive: zipfile.ZipFile, parts: Iterable[zipfile.ZipInfo], name: str
) -> None:
    """Unpack without keeping: a directory may declare less than it holds."""
    left = MOST_BYTES
    for part in parts:
        for block in _blocks(archive, part):
            left -= len(block)
            if left < 0:
                raise _too_large(name)


def _blocks(archive: zipfile.ZipFile, part: zipfile.ZipInfo) -> Iterator[bytes]:
    with archive.open(part) as file:
        while block := file.read(BLOCK):
            yield block


def _too_large(name: str) -> WorkbookError:
    return WorkbookError(
        say(
            "{name} unpacks to more than {most_bytes} MB or is packed "
            "suspiciously tight; split it into several workbooks",
            name=name,
            most_bytes=MOST_BYTES // 1024**2,
        )
    )


def _remarks(names: list[str]) -> Iterator[str]:
    if any(name.endswith("vbaProject.bin") for name in names):
        yield say("the macros in the file are passed over")
    if any(name.startswith("xl/externalLinks/") for name in names):
        yield say(
            "links to other files are not followed; the values last saved are read"
        )
