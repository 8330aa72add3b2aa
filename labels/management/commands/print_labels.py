"""``manage.py print_labels``: sheets of labels for one batch."""

import json
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import CommandError
from django.utils import timezone

from inventory.management.sellers import SellersCommand
from labels import printing
from labels.models import ProductLabel
from labels.printing import Printed, PrintingError, Wish


class Command(SellersCommand):
    help = "Write the label sheets of a batch into a PDF file and record the print run."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("batch", help="batch code, as on the lid")
        parser.add_argument("--sheet", required=True, help="name of the label sheet")
        parser.add_argument("--out", required=True, type=Path, help="the file to write")
        parser.add_argument(
            "--count", type=int, default=None, help="labels; one a jar if left out"
        )
        parser.add_argument(
            "--start-at", type=int, default=1, help="first free place of the sheet"
        )
        parser.add_argument(
            "--outlines", action="store_true", help="draw the edges of the labels"
        )
        parser.add_argument(
            "--label",
            choices=ProductLabel.Arrangement.values,
            default="",
            help="which of the jar's labels; the product's usual one if left out",
        )
        parser.add_argument("--reason", default="", help="why labels are printed again")
        parser.add_argument("--format", choices=["table", "json"], default="table")

    def handle(self, *_args: Any, **options: Any) -> None:
        out: Path = options["out"]
        try:
            printed = self._print(options)
        except PrintingError as error:
            raise CommandError(f"{error}", returncode=2) from error
        if options["format"] == "json":
            self.stdout.write(json.dumps(_as_data(printed, out), indent=2))
            return
        for line in _table(printed, out):
            self.stdout.write(line)

    def _print(self, options: dict[str, Any]) -> Printed:
        """Print into the file; without the file there is no run on record."""
        batch = printing.find_batch(options["batch"])
        count, label = options["count"], options["label"]
        return printing.print_to_file(
            wish=Wish(
                batch=batch,
                sheet=printing.find_sheet(options["sheet"]),
                arrangement=label,
                on=timezone.localdate(),
            ),
            count=printing.labels_wanted(batch, label or "wrap")
            if count is None
            else count,
            start_at=options["start_at"],
            at=timezone.now(),
            reason=options["reason"],
            has_outlines=options["outlines"],
            out=options["out"],
        )


def _table(printed: Printed, out: Path) -> list[str]:
    run = printed.run
    kind = "draft labels" if run.is_draft else "labels"
    again = " (printed again)" if run.is_reprint else ""
    pages = f"{printed.sheets} {'page' if printed.sheets == 1 else 'pages'}"
    lines = [
        f"{run.count} {kind} for {run.batch.product}, batch {run.batch.code}{again}",
        f"  sheet   {run.sheet.name}, from place {run.start_at}, {pages}",
        f"  file    {out}",
    ]
    lines += [f"  draft   {reason}" for reason in printed.draft_reasons]
    return lines


def _as_data(printed: Printed, out: Path) -> dict[str, Any]:
    run = printed.run
    return {
        "batch": run.batch.code,
        "product": run.batch.product.code if run.batch.product else "",
        "label": run.arrangement,
        "sheet": run.sheet.name,
        "count": run.count,
        "start_at": run.start_at,
        "pages": printed.sheets,
        "draft": run.is_draft,
        "draft_reasons": list(printed.draft_reasons),
        "reprint": run.is_reprint,
        "place": run.place_code,
        "design": run.design,
        "printed_at": run.printed_at.isoformat(),
        "run": run.pk,
        "file": str(out),
        "text": run.text,
    }
