"""Backup and restore as a seller runs them, on an embedded book of their own."""

import os
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def book(tmp_path):
    path = tmp_path / "data" / "book.sqlite3"
    run(tmp_path, "migrate", "--verbosity", "0")
    name_business(path, "First Kitchen")
    return path


def run(folder, *words):
    environment = {
        **os.environ,
        "DATA_DIR": str(folder / "data"),
        "DATABASE_URL": "",
        "BOOK": "",
        "DJANGO_SETTINGS_MODULE": "config.settings",
    }
    return subprocess.run(  # noqa: S603  our own command
        [sys.executable, str(ROOT / "manage.py"), *words],
        capture_output=True,
        text=True,
        env=environment,
        check=False,
    )


def name_business(path, name):
    with closing(sqlite3.connect(path)) as rows:
        known = rows.execute("SELECT count(*) FROM inventory_business").fetchone()[0]
        if not known:
            script = (
                "from inventory.models import Business;"
                "Business(pk=1, trade_name='x').save()"
            )
            run(path.parent.parent, "shell", "-v", "0", "-c", script)
        rows.execute("UPDATE inventory_business SET trade_name = ?", [name])
        rows.commit()


def business_name(path):
    with closing(sqlite3.connect(path)) as rows:
        return rows.execute("SELECT trade_name FROM inventory_business").fetchone()[0]


def test_a_book_comes_back_and_the_one_between_is_kept(tmp_path, book):
    pictures = tmp_path / "data" / "pictures"
    pictures.mkdir()
    (pictures / "lid.png").write_bytes(b"picture")
    saved = tmp_path / "saved.backup"
    assert run(tmp_path, "backup", str(saved)).returncode == 0
    name_business(book, "Second Kitchen")
    (pictures / "lid.png").unlink()
    answer = run(tmp_path, "restore", str(saved))
    assert answer.returncode == 0, answer.stderr
    assert business_name(book) == "First Kitchen"
    assert (pictures / "lid.png").read_bytes() == b"picture"
    (aside,) = book.parent.glob("book-before-*.sqlite3")
    assert business_name(aside) == "Second Kitchen"


def test_a_damaged_file_changes_nothing(tmp_path, book):
    saved = tmp_path / "saved.backup"
    run(tmp_path, "backup", str(saved))
    name_business(book, "Second Kitchen")
    saved.write_bytes(saved.read_bytes()[:-200])
    answer = run(tmp_path, "restore", str(saved))
    assert answer.returncode == 2
    assert "no backup" in answer.stderr
    assert business_name(book) == "Second Kitchen"


def test_a_folder_is_kept_tidy_and_other_files_are_left(tmp_path, book):
    folder = tmp_path / "backups"
    folder.mkdir()
    (folder / "notes.txt").write_text("mine")
    old = folder / "setting-point-20200101-120000.backup"
    older = folder / "setting-point-20200101-110000.backup"
    old.write_bytes(b"")
    older.write_bytes(b"")
    answer = run(tmp_path, "backup", "--folder", str(folder))
    assert answer.returncode == 0, answer.stderr
    assert old.exists()
    assert not older.exists()
    assert (folder / "notes.txt").exists()
