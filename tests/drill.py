"""Kills the program at random moments and looks whether the book is whole.

Run as a process of its own (it forks): ``python tests/drill.py FOLDER TIMES SEED``.
Prints one line of JSON: how often each action was killed before, within and after.
"""

import datetime
import json
import os
import random
import shutil
import signal
import sqlite3
import sys
import time
from collections import Counter
from contextlib import closing
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))
FOLDER = Path(sys.argv[1])
os.environ["DATA_DIR"] = str(FOLDER)
os.environ["DATABASE_URL"] = ""
os.environ["BOOK"] = ""
os.environ["DJANGO_SETTINGS_MODULE"] = "config.settings"

import django  # noqa: E402

django.setup()

from django.core.management import call_command  # noqa: E402
from django.db import connection, connections  # noqa: E402
from django.utils import timezone  # noqa: E402

from inventory import backup  # noqa: E402
from inventory.models import Business  # noqa: E402
from production import batches  # noqa: E402
from production.models import Batch  # noqa: E402
from production.workbook import loading, paper, reading  # noqa: E402
from production.workbook.layout import sheet  # noqa: E402
from tests import factories  # noqa: E402

BOOK = FOLDER / "book.sqlite3"
KEPT = FOLDER / "template.sqlite3"
SAVED = FOLDER / "saved.backup"
FILE = FOLDER / "rows.xlsx"
ROWS = 400


def prepare():
    call_command("migrate", verbosity=0)
    factories.make_business(trade_name="Before")
    make_held_batch()
    backup.back_up(target=SAVED, at=timezone.now())
    Business.objects.update(trade_name="After")
    rows = ([f"Supplier {n}", *[None] * 5] for n in range(ROWS))
    paper.write_book(FILE, [(sheet("suppliers"), rows)])
    connections.close_all()
    with closing(sqlite3.connect(BOOK)) as book:
        book.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    shutil.copy2(BOOK, KEPT)


def make_held_batch():
    owner = factories.make_owner()
    version = factories.make_version(finish="none", finish_solids=None)
    sugar = factories.make_material(name="Sugar")
    factories.make_line(version, material=sugar)
    lot = factories.make_lot(material=sugar, quantity=5000)
    juice = factories.make_material(name="Juice")
    version.recipe.makes_material = juice
    version.recipe.save()
    made = timezone.make_aware(datetime.datetime(2026, 6, 10, 12))  # noqa: DTZ001
    planned = batches.plan(version=version, planned_on=lot.received_on)
    batch = batches.start(batch=planned, at=made, person=owner)
    batches.finish(batch=batch, at=made, person=owner, made_g=900)


def act_backup():
    backup.back_up(target=FOLDER / "target.backup", at=timezone.now())


def act_restore():
    backup.restore(source=SAVED, at=timezone.now())


def act_load():
    read = reading.read_workbook(FILE, name=FILE.name)
    loading.load(read=read, at=timezone.now())


def act_release():
    batch = Batch.objects.get()
    batches.release(batch=batch, at=timezone.now(), person=batch.cook)


def look(action):
    """Whether the action is wholly undone or wholly done; anything else raises."""
    with closing(sqlite3.connect(BOOK)) as book:
        answer = book.execute("PRAGMA integrity_check").fetchone()[0]
        assert answer == "ok", answer
        name = one(book, "SELECT trade_name FROM inventory_business")
        suppliers = one(book, "SELECT count(*) FROM inventory_supplier")
        status = one(book, "SELECT status FROM production_batch")
        released = one(
            book,
            "SELECT count(*) FROM inventory_lot"
            " WHERE released_at IS NOT NULL AND code NOT LIKE 'T%'",
        )
    assert suppliers in {0, ROWS}, suppliers
    assert (status == "released") == (released == 1), (status, released)
    assert name in {"Before", "After"}, name
    if action == "backup":
        return whole_backup()
    return {
        "restore": name == "Before",
        "load": suppliers == ROWS,
        "release": released == 1,
    }[action]


def whole_backup():
    target = FOLDER / "target.backup"
    if not target.exists():
        return False
    manifest = backup.read_manifest(target)
    out = FOLDER / "out"
    shutil.rmtree(out, ignore_errors=True)
    from inventory.backup.archive import extract

    extract(target, manifest=manifest, folder=out)
    return True


def one(book, question):
    return book.execute(question).fetchone()[0]


def set_back():
    for path in FOLDER.glob("book*.sqlite3*"):
        path.unlink()
    (FOLDER / "target.backup").unlink(missing_ok=True)
    shutil.copy2(KEPT, BOOK)


def run(action, seconds):
    """Fork, act, kill after so long; seconds below 0 lets it finish."""
    began = time.monotonic()
    pid = os.fork()
    if pid == 0:
        try:
            ACTIONS[action]()
            connection.close()
        except BaseException as error:  # noqa: BLE001 - told to the parent
            sys.stderr.write(f"{action}: {error!r}\n")
            os._exit(1)
        os._exit(0)
    if seconds >= 0:
        time.sleep(seconds)
        os.kill(pid, signal.SIGKILL)
    _, status = os.waitpid(pid, 0)
    assert os.WIFSIGNALED(status) or os.WEXITSTATUS(status) == 0, action
    return time.monotonic() - began


ACTIONS = {
    "backup": act_backup,
    "restore": act_restore,
    "load": act_load,
    "release": act_release,
}


def main():
    times, chance = int(sys.argv[2]), random.Random(int(sys.argv[3]))
    prepare()
    lasts = {}
    for action in ACTIONS:
        set_back()
        lasts[action] = run(action, -1)
        assert look(action), f"{action} does not work at all"
    counted = Counter()
    for number in range(times):
        action = list(ACTIONS)[number % len(ACTIONS)]
        set_back()
        run(action, chance.uniform(0, lasts[action] * 1.05))
        counted[f"{action} {'done' if look(action) else 'undone'}"] += 1
    sys.stdout.write(json.dumps(counted) + "\n")


if __name__ == "__main__":
    main()
