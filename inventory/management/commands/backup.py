from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from inventory import backup
from inventory.backup.verbs import backup_name


class Command(BaseCommand):
    help = "Write the whole book, pictures included, into one file, while it is in use."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", nargs="?", type=Path)
        parser.add_argument(
            "--folder",
            type=Path,
            help="a folder to keep 7 daily, 4 weekly and 12 monthly backups in",
        )

    def handle(self, *_args: Any, **options: Any) -> None:
        file, folder = options["file"], options["folder"]
        if (file is None) == (folder is None):
            raise CommandError("name one file, or a folder with --folder", returncode=2)
        now = timezone.now()
        target = file or folder / backup_name(now)
        try:
            manifest = backup.back_up(target=target, at=now)
        except backup.BackupError as error:
            raise CommandError(str(error), returncode=2) from error
        self.stdout.write(f"{target}: {len(manifest.digests)} files, checked.")
        if folder is not None:
            for path in backup.tidy(folder):
                self.stdout.write(f"no longer needed, deleted: {path.name}")
