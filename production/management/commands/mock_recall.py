"""``manage.py mock_recall``: drill the book on a batch drawn by chance."""

import json
import random
from argparse import ArgumentParser
from collections.abc import Iterator
from typing import Any

from django.core.management.base import CommandError
from django.utils import timezone

from inventory.management.sellers import SellersCommand
from production import recalls
from production.models import MockRecall
from production.recalls import DrillError


class Command(SellersCommand):
    help = "Draw a released batch by chance and account for every jar of it."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--format", choices=["table", "json"], default="table")
        parser.add_argument(
            "--seed", type=int, default=None, help="draw the same batch again"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        seed = options["seed"]
        chance = None if seed is None else random.Random(seed)  # noqa: S311 - a drill
        started_at = timezone.now()
        try:
            batch = recalls.draw_batch(chance=chance)
        except DrillError as error:
            raise CommandError(str(error), returncode=2) from error
        drill = recalls.run_by_book(batch=batch, started_at=started_at, person=None)
        if options["format"] == "json":
            self.stdout.write(json.dumps(as_data(drill), indent=2))
            return
        for line in _table(drill):
            self.stdout.write(line)


def as_data(drill: MockRecall) -> dict[str, Any]:
    """A drill with stable keys."""
    return {
        "batch": drill.batch.code,
        "product": str(drill.batch.product or drill.batch.version.recipe),
        "started_at": drill.started_at.isoformat(),
        "seconds": drill.result["seconds"],
        "made": drill.made,
        "found": drill.found,
        "unaccounted": drill.unaccounted,
        "accounted_percent": f"{100 * drill.accounted_fraction:.2f}",
        "lots": drill.result["lots"],
        "sisters": drill.result["sisters"],
        "balance": drill.result["balance"],
        "not_accounted": drill.result["not_accounted"],
    }


def _table(drill: MockRecall) -> Iterator[str]:
    data = as_data(drill)
    yield f"Mock recall of {data['batch']}, {data['product']}"
    yield (
        f"  {data['found']} of {data['made']} jars found, "
        f"{data['accounted_percent']} % accounted for, {data['seconds']} s"
    )
    for name, jars in data["balance"].items():
        if jars != "0" and name not in {"made", "accounted_percent"}:
            yield f"  {name.replace('_', ' '):<22} {jars:>6}"
    yield f"  {data['lots']} lots went in, {data['sisters']} sisters share one"
    for gap in data["not_accounted"]:
        yield f"  not accounted for: {gap}"
    if not data["unaccounted"]:
        yield "  Every jar is accounted for."
