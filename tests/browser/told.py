"""The demonstration in a real browser: a copy of its book, served, signed in once.

Tests that write take a copy of their own; all copies come from the one told book.
"""

import contextlib
import shutil
import socket
import sqlite3
import subprocess
import sys
import time
import urllib.error
import urllib.request
from dataclasses import dataclass
from pathlib import Path

from tests.books import ROOT, Book, environment_of

PASSWORD = "quince-and-pip"  # the demonstration's own


@dataclass(frozen=True)
class Served:
    """A book and the address its pages are served at."""

    book: Book
    address: str


def copy_book(told, folder):
    """A book of one's own, as the told one stands.

    Copied by the database itself: another worker may be reading, and a page shown
    writes its session.
    """
    if told.url:
        raise RuntimeError("the browser is driven on SQLite; a server needs no copy")
    folder.mkdir()
    for kept in told.folder.iterdir():
        if kept.is_dir():
            shutil.copytree(kept, folder / kept.name)
        elif "sqlite3" not in kept.name:
            shutil.copy2(kept, folder / kept.name)
    with (
        contextlib.closing(sqlite3.connect(told.folder / "book.sqlite3")) as source,
        contextlib.closing(sqlite3.connect(folder / "book.sqlite3")) as target,
    ):
        source.backup(target)
    return Book(folder)


@contextlib.contextmanager
def served(book):
    """Serve a book on a free port for as long as it is needed."""
    port = free_port()
    # What a page that failed had to say stands beside the book.
    log = (book.folder / "served.log").open("w")
    server = subprocess.Popen(  # noqa: S603  our own command
        [sys.executable, str(ROOT / "manage.py"), "serve", "--port", str(port)],
        env=environment_of(book),
        stdout=log,
        stderr=log,
    )
    try:
        address = f"http://localhost:{port}"
        wait_for(address)
        yield Served(book, address)
    finally:
        server.terminate()
        server.wait(timeout=20)
        log.close()


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def wait_for(address):
    for _ in range(200):
        try:
            urllib.request.urlopen(f"{address}/sign-in/", timeout=5)  # noqa: S310  ours
        except (urllib.error.URLError, OSError):
            time.sleep(0.2)
        else:
            return
    raise RuntimeError("the book was not served within 40 seconds")


def sign_in_state(browser, address, *, name="owner"):
    """What a browser keeps after signing in, to begin other pages with."""
    context = browser.new_context(base_url=address)
    page = context.new_page()
    page.goto("/sign-in/")
    page.get_by_label("Username").fill(name)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Open the book").click()
    page.wait_for_url(f"{address}/")
    state = context.storage_state()
    context.close()
    return state


def artefacts():
    """Where pictures of the pages are kept, or None when nobody asked for them."""
    import os

    folder = os.environ.get("ARTEFACTS", "")
    return Path(folder).resolve() if folder else None
