"""Shows the program on the invented business: sets it up, answers, serves."""

import datetime
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from inventory.models import Business, MarketDay
from production.models import Batch


class Command(BaseCommand):
    help = "Open the demonstration book, print the four answers and serve the pages."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--port", type=int, default=8000)
        parser.add_argument(
            "--no-serve", action="store_true", help="stop after printing the answers"
        )

    def handle(self, *_args: Any, **options: Any) -> None:
        call_command("migrate", verbosity=0)
        today = timezone.localdate()
        self._open(today)
        self._answer(today)
        if options["no_serve"]:
            return
        self._introduce()
        call_command("serve", port=options["port"], stdout=self.stdout)

    def _open(self, today: datetime.date) -> None:
        if Business.objects.exists():
            self._refuse_own_book()
            if MarketDay.objects.filter(on__gte=today).exists():
                return
            self._start_afresh()
        self.stdout.write("Telling a year of Quillwater Preserves (once) ...")
        # Both only to fill the book.
        from fixtures.demo.labels import tell_labels  # noqa: PLC0415
        from fixtures.demo.year import tell_year  # noqa: PLC0415

        tell_year(today=today, say=self._say)
        call_command("loaddata", "label_sheets", "place_profiles", verbosity=0)
        tell_labels(today=today)

    def _say(self, line: str) -> None:
        self.stdout.write(f"  {line}")
        self.stdout.flush()

    def _refuse_own_book(self) -> None:
        if Business.current().email != "marit@quillwater.invalid":
            raise CommandError(
                "this book holds records of your own and the demonstration never mixes"
                " with them; unset DATABASE_URL and BOOK, then run it again"
            )

    def _start_afresh(self) -> None:
        """The demonstration is a year old: put it aside and tell a new one."""
        from django.db import connection  # noqa: PLC0415  rarely needed

        if connection.vendor != "sqlite":
            raise CommandError(
                "the demonstration in this database has run out of weeks; empty the"
                " database and run it again"
            )
        old = Path(str(settings.DATABASES["default"]["NAME"]))
        connection.close()
        aside = old.with_name(f"{old.stem}-until-{timezone.localdate()}{old.suffix}")
        old.rename(aside)
        self.stdout.write(f"The demonstration told before is kept as {aside.name}.")
        call_command("migrate", verbosity=0)

    def _answer(self, today: datetime.date) -> None:
        self._heading("What do I make for the coming market week?")
        call_command("plan_week", "--from", today.isoformat(), stdout=self.stdout)
        newest = (
            Batch.objects.filter(status=Batch.Status.RELEASED, product__isnull=False)
            .order_by("-made_on", "-pk")
            .select_related("product")
            .first()
        )
        if newest is None or newest.product is None:
            raise CommandError("the demonstration holds no released batch")
        self._heading("What does a jar cost, and what do I keep?")
        call_command("cost_jar", newest.product.code, stdout=self.stdout)
        self._heading("Is this label right, and can I print it?")
        folder = Path(settings.DATA_DIR) / "papers"
        folder.mkdir(parents=True, exist_ok=True)
        paper = folder / f"labels-{newest.code}.pdf"
        call_command(
            "print_labels",
            newest.code,
            "--sheet",
            "102x85mm-2x3-letter",
            "--out",
            str(paper),
            stdout=self.stdout,
        )
        self._heading("Where did this jar come from, and where are its sisters?")
        call_command("trace_batch", newest.code, stdout=self.stdout)

    def _heading(self, text: str) -> None:
        self.stdout.write("")
        self.stdout.write(self.style.MIGRATE_HEADING(text))

    def _introduce(self) -> None:
        from fixtures.demo.book import PASSWORD  # noqa: PLC0415  as above

        self.stdout.write("")
        self.stdout.write(f'Sign in as "owner" or "helper", password "{PASSWORD}".')
