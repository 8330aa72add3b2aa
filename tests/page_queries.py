"""How many queries every page of an app asks, told of the demonstration's book.

The pages are taken from the app's own addresses, so a new page is counted too; a page
with a number or a code in its address needs to be told of which rows (``samples``).
"""

import json
from dataclasses import dataclass

from django.db import connection
from django.test.utils import CaptureQueriesContext

MOST = 12
"""Queries of one page, its session and its reader included."""
NO_QUESTIONS = ("SAVEPOINT", "RELEASE", "ROLLBACK")

# Runs in the book's own process; what it writes (a session) is taken back.
PROGRAM = """
import json, re
from collections import Counter
from importlib import import_module
from django.contrib.auth.models import User
from django.db import connection, transaction
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

APP, SAMPLES = {app!r}, {samples!r}
SAVEPOINT = re.compile("^(SAVEPOINT|RELEASE|ROLLBACK)")

def few(rows):
    if isinstance(rows, tuple):
        return rows
    rows = list(rows)
    return [rows[0], rows[len(rows) // 2], rows[-1]] if len(rows) > 3 else rows

def addresses(pattern):
    if not pattern.pattern.converters:
        return [reverse(f"{{APP}}:{{pattern.name}}")]
    rows = eval(SAMPLES[pattern.name], names)
    return [reached(pattern, row) for row in few(rows)]

def reached(pattern, row):
    args = list(row) if isinstance(row, tuple) else [row]
    asked = args.pop() if str(args[-1]).startswith("?") else ""
    return reverse(f"{{APP}}:{{pattern.name}}", args=args) + asked

names = {{"few": few}}
answers, untold = [], []
with transaction.atomic():
    exec({imports!r}, names)
    client = Client(headers={{"host": "localhost"}})
    client.force_login(User.objects.get(username="owner"))
    for pattern in import_module(f"{{APP}}.urls").urlpatterns:
        if pattern.pattern.converters and pattern.name not in SAMPLES:
            untold.append(pattern.name)
            continue
        for address in dict.fromkeys(addresses(pattern)):
            with CaptureQueriesContext(connection) as asked:
                answer = client.get(address)
                b"".join(answer) if answer.streaming else answer.content
            sqls = [q["sql"] for q in asked if not SAVEPOINT.match(q["sql"])]
            shapes = Counter(re.sub("'[^']*'|[0-9]+", "?", sql)[:300] for sql in sqls)
            answers.append({{
                "page": pattern.name,
                "address": address,
                "status": answer.status_code,
                "count": len(sqls),
                "repeats": [
                    f"{{times}} x {{shape}}"
                    for shape, times in shapes.most_common(6) if times > 1
                ],
            }})
    transaction.set_rollback(True)
print("\\n" + json.dumps([answers, untold]))
"""


@dataclass(frozen=True)
class Counted:
    """One address and what it asked of the book."""

    page: str
    address: str
    status: int
    count: int
    repeats: list[str]

    def __str__(self):
        repeated = "".join(f"\n    {line}" for line in self.repeats)
        return f"{self.count} queries at {self.address} ({self.status}){repeated}"


def count_pages(book, app, *, samples, imports):
    """What every page of an app asks, and the pages nobody told rows for.

    Args:
        book: a told book (``tests.books.Book``); nothing stays written in it.
        app: name of the app whose addresses are walked.
        samples: name of an address to a Python expression of its rows' arguments;
            of a query or a list three are shown, of a tuple all. The last argument
            may be the rest of the address, from its question mark on.
        imports: the statements those expressions need; rows they write are taken back.
    """
    program = PROGRAM.format(app=app, samples=samples, imports=imports)
    told = book.run("shell", "--verbosity", "0", "-c", program).stdout
    answers, untold = json.loads(told.strip().splitlines()[-1])
    return [Counted(**answer) for answer in answers], untold


def too_many(counted):
    """The pages that ask too much, the worst first, with what they repeat."""
    worst = sorted(counted, key=lambda each: -each.count)
    return [str(each) for each in worst if each.count > MOST]


def grows(client, address, make_one, *, few=3, more=9):
    """How many queries more a page asks when its list has more rows; 0 is right.

    Args:
        client: somebody signed in.
        address: the page of the list.
        make_one: makes one more row, given its number.
        few: rows at first.
        more: rows added, fewer than a page holds, so that all are shown.
    """
    counts = []
    made = 0
    for rows in (few, more):
        for _ in range(rows):
            made += 1
            make_one(made)
        with CaptureQueriesContext(connection) as asked:
            assert client.get(address).status_code == 200
        sqls = [query["sql"] for query in asked]
        counts.append(len([sql for sql in sqls if not sql.startswith(NO_QUESTIONS)]))
    assert counts[1] <= MOST, sqls
    return counts[1] - counts[0]
