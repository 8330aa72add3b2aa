"""Writers at the same moment, each with a connection of its own, on either engine."""

import sqlite3
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from threading import Barrier

from django.db import IntegrityError, connection, connections

from inventory import ledger
from inventory.ledger import LedgerError

WRITERS = 6


class Writers:
    """Runs one job in several threads at the same moment, each with a connection."""

    def __init__(self, folder):
        self.wrapper = type(connections["default"])
        self.settings = None
        if connection.vendor == "sqlite":
            # The test database lives in memory; writers in earnest need a file.
            path = str(folder / "book.sqlite3")
            self.settings = dict(connection.settings_dict, NAME=path)

    def at_once(self, job, workers=WRITERS):
        if self.settings:
            with closing(sqlite3.connect(self.settings["NAME"])) as target:
                connection.connection.backup(target)
                # Set once here: many writers changing it at once would lock each other.
                target.execute("PRAGMA journal_mode=WAL")
        start = Barrier(workers)

        def work(number):
            start.wait(timeout=20)
            return self.alone(job, number)

        with ThreadPoolExecutor(workers) as threads:
            return list(threads.map(work, range(workers)))

    def alone(self, job, *args):
        if self.settings:
            connections["default"] = self.wrapper(self.settings, "default")
        try:
            return job(*args)
        except (LedgerError, IntegrityError) as error:
            return error
        finally:
            connections["default"].close()

    def balance(self, lot):
        return self.ask(lambda: ledger.balance(lot))

    def ask(self, question):
        """The answer of a reader that comes after all of them."""
        with ThreadPoolExecutor(1) as thread:
            return thread.submit(self.alone, question).result()
