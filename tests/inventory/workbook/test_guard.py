import io
import zipfile

import pytest

from inventory.workbook import guard
from inventory.workbook.findings import WorkbookError


def make_zip(**parts):
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in {"xl/workbook.xml": b"<x/>", **parts}.items():
            archive.writestr(name, content)
    file.seek(0)
    return file


def test_a_workbook_passes_and_is_left_at_its_start():
    file = make_zip()
    assert guard.inspect(file, name="mine.xlsx") == ()
    assert file.tell() == 0


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"name,price\nSugar,3\n", "is no workbook"),
        (bytes.fromhex("d0cf11e0a1b11ae1") + b"0" * 100, "password"),
        (b"PK\x03\x04 cut short", "damaged"),
    ],
)
def test_other_files_are_told_apart(content, said):
    with pytest.raises(WorkbookError, match=said):
        guard.inspect(io.BytesIO(content), name="mine.xlsx")


def test_a_zip_of_something_else_is_no_workbook():
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as archive:
        archive.writestr("photo.jpg", b"x")
    with pytest.raises(WorkbookError, match="no workbook"):
        guard.inspect(file, name="photos.zip")


def test_a_bomb_is_refused_before_it_is_opened():
    with pytest.raises(WorkbookError, match="unpacks to more"):
        guard.inspect(make_zip(bomb=b"0" * 30_000_000), name="bomb.xlsx")


def test_many_parts_are_refused():
    parts = {f"part{number}": b"" for number in range(guard.MOST_PARTS + 1)}
    with pytest.raises(WorkbookError, match="parts"):
        guard.inspect(make_zip(**parts), name="parts.xlsx")


def test_a_lying_directory_is_found_out(monkeypatch):
    monkeypatch.setattr(guard, "MOST_BYTES", 1000)
    file = make_zip(sheet=b"12345678" * 200)
    with pytest.raises(WorkbookError, match="unpacks to more"):
        guard.inspect(file, name="lies.xlsx")


def test_macros_and_links_are_remarked():
    file = make_zip(
        **{"xl/vbaProject.bin": b"", "xl/externalLinks/externalLink1.xml": b""}
    )
    macros, links = guard.inspect(file, name="macros.xlsm")
    assert "macros" in macros
    assert "links" in links
