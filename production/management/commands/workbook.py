import json
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from django.core.management.base import CommandError, CommandParser
from django.utils import timezone

from inventory.management.sellers import SellersCommand
from inventory.models import Business
from inventory.workbook.findings import WorkbookError


class Command(SellersCommand):
    help = "Write an empty workbook, load a filled one, or save the whole book as one."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("verb", choices=["template", "load", "save"])
        parser.add_argument("file", type=Path)
        parser.add_argument(
            "--check-only", action="store_true", help="say what load would do"
        )
        parser.add_argument("--format", choices=["table", "json"], default="table")

    def handle(self, *_args: Any, **options: Any) -> None:
        with timezone.override(ZoneInfo(Business.current().time_zone)):
            {"template": self._template, "load": self._load, "save": self._save}[
                options["verb"]
            ](options)

    def _template(self, options: dict[str, Any]) -> None:
        from production.workbook import paper  # noqa: PLC0415  loads openpyxl

        paper.write_template(options["file"])
        self.stdout.write(f"{options['file']} is ready to be filled in.")

    def _save(self, options: dict[str, Any]) -> None:
        from production.workbook import paper  # noqa: PLC0415  loads openpyxl
        from production.workbook.layout import sheets  # noqa: PLC0415  as above
        from production.workbook.saving import rows_of  # noqa: PLC0415  as above

        rows = paper.write_book(
            options["file"], ((sheet, rows_of(sheet)) for sheet in sheets())
        )
        self.stdout.write(f"{options['file']} holds the book in {rows} rows.")

    def _load(self, options: dict[str, Any]) -> None:
        from production.workbook import loading, reading  # noqa: PLC0415  as above

        file, is_json = options["file"], options["format"] == "json"
        tell = None if is_json else self._say
        try:
            read = reading.read_workbook(file, name=file.name, tell=tell)
        except (WorkbookError, OSError) as error:
            raise CommandError(str(error), returncode=2) from error
        loaded = loading.load(
            read=read, at=timezone.now(), check_only=options["check_only"], tell=tell
        )
        if is_json:
            self.stdout.write(json.dumps(loaded.as_dict(), indent=1, default=str))
        else:
            self._report(loaded)
        if loaded.errors:
            raise CommandError(
                f"{len(loaded.errors)} mistakes, nothing was loaded", returncode=2
            )

    def _say(self, title: str, rows: int) -> None:
        self.stderr.write(f"  {title}: {rows} rows", ending="\n")

    def _report(self, loaded: Any) -> None:
        for finding in loaded.findings:
            self.stdout.write(f"{finding.level}: {finding}")
        for key, tally in loaded.tallies.items():
            self.stdout.write(
                f"{key.replace('_', ' '):18} {tally.created:6} new"
                f" {tally.changed:6} changed {tally.same:6} the same"
            )
        if loaded.is_kept:
            self.stdout.write("Loaded.")
