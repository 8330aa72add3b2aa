"""Whole books of their own, beside the one the suite runs on: made, told, compared."""

import contextlib
import fcntl
import json
import os
import secrets
import subprocess
import sys
from pathlib import Path

from django.db import connection

ROOT = Path(__file__).resolve().parent.parent

FINGERPRINT = """
import json
from decimal import Decimal
from django.db.models import Sum
from inventory.models import Lot, Movement
from production.models import Batch, BatchInput, BatchOutput
from labels.models import LabelSheet

def text(value):
    return str(Decimal(value).quantize(Decimal("0.0001")))

balances = sorted(
    (row["lot__code"], row["place__name"] or "", text(row["total"]))
    for row in Movement.objects.values("lot__code", "place__name").annotate(
        total=Sum("quantity")
    )
)
costs = sorted((lot.code, text(lot.cost)) for lot in Lot.objects.all())
drawn = sorted(
    (each.batch.code, each.movement.lot.code, text(each.movement.quantity),
     each.line.position if each.line else 0)
    for each in BatchInput.objects.select_related("batch", "movement__lot", "line")
)
made = sorted(
    (each.batch.code, each.lot.code, text(each.filled),
     bool(each.lot.released_at))
    for each in BatchOutput.objects.select_related("batch", "lot")
)
sold = sorted(
    (row["on"].isoformat(), row["reason"], text(row["total"]))
    for row in Movement.objects.values("on", "reason").annotate(total=Sum("quantity"))
)
status = sorted((b.code, b.status) for b in Batch.objects.exclude(code=None))
print(json.dumps([balances, costs, drawn, made, sold, status]))
"""


class Book:
    """One book of its own on the engine the suite runs on."""

    def __init__(self, folder, url=""):
        self.folder = Path(folder)
        self.url = url

    def run(self, *words, check=True):
        """Run one of our commands on this book."""
        answer = subprocess.run(  # noqa: S603  our own command
            [sys.executable, "-W", "error", str(ROOT / "manage.py"), *map(str, words)],
            capture_output=True,
            text=True,
            env=environment_of(self),
            check=False,
        )
        if check and answer.returncode:
            raise AssertionError(answer.stdout[:3000] + answer.stderr[-2000:])
        return answer

    def fingerprint(self):
        """Balances, costs, traces and statuses, by codes and names."""
        answer = self.run("shell", "--verbosity", "0", "-c", FINGERPRINT)
        return json.loads(answer.stdout)


def environment_of(book):
    """The environment in which our commands open a book."""
    return {
        **os.environ,
        "DATA_DIR": str(book.folder),
        "DATABASE_URL": book.url,
        "BOOK": "",
        "DJANGO_SETTINGS_MODULE": "config.settings",
    }


def new_book(folder):
    """An empty book, its tables made."""
    book = Book(folder, _new_database())
    book.run("migrate", "--verbosity", "0")
    return book


def _new_database():
    if connection.vendor == "sqlite":
        return ""
    import psycopg
    from psycopg import sql

    settings = connection.settings_dict
    name = f"book_{secrets.token_hex(6)}"
    where = {
        "host": settings["HOST"],
        "port": settings["PORT"],
        "user": settings["USER"],
        "password": settings["PASSWORD"],
    }
    with psycopg.connect(dbname="postgres", autocommit=True, **where) as server:
        server.execute(sql.SQL("CREATE DATABASE {}").format(sql.Identifier(name)))
    user = (
        f"{where['user']}:{where['password']}" if where["password"] else where["user"]
    )
    return f"postgres://{user}@{where['host']}:{where['port']}/{name}"


def told_book(factory):
    """The demonstration, told once and shared by all workers; do not write to it."""
    shared = factory.getbasetemp()
    if os.environ.get("PYTEST_XDIST_WORKER"):
        shared = shared.parent
    folder = shared / "demonstration"
    with _locked(shared / "demonstration.lock"):
        kept = folder / "address"
        if kept.exists():
            return Book(folder, kept.read_text(encoding="ascii"))
        folder.mkdir(exist_ok=True)
        book = Book(folder, _new_database())
        book.run("demo", "--no-serve")
        kept.write_text(book.url, encoding="ascii")
        return book


@contextlib.contextmanager
def _locked(path):
    with path.open("w") as file:
        fcntl.flock(file, fcntl.LOCK_EX)
        yield
