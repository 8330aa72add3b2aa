from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from inventory import backup


class Command(BaseCommand):
    help = "Put a backup in the place of the present book, which is kept aside."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path)

    def handle(self, *_args: Any, **options: Any) -> None:
        try:
            restored = backup.restore(source=options["file"], at=timezone.now())
        except backup.BackupError as error:
            raise CommandError(str(error), returncode=2) from error
        made = restored.manifest.made_at
        self.stdout.write(f"The book of {made:%d %B %Y, %H:%M} is in place.")
        if restored.aside is not None:
            self.stdout.write(f"The book before it is kept as {restored.aside}.")
