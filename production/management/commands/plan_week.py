"""Answers what to make for the coming market week."""

import datetime
import json
from typing import Any

from django.core.management.base import CommandError, CommandParser
from django.utils import timezone

from inventory.management.sellers import SellersCommand
from production import plans
from production.management.week_text import week_lines
from production.planning.week import Effort


class Command(SellersCommand):
    help = "Plan a market week: what to cook when, what to buy, what to pack, and why."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--from", dest="first", help="first day as YYYY-MM-DD; today when left out"
        )
        parser.add_argument("--days", type=int, default=7)
        parser.add_argument("--seconds", type=float, default=3.0, help="time to search")
        parser.add_argument("--format", choices=["table", "json"], default="table")

    def handle(self, *_args: Any, **options: Any) -> None:
        try:
            first = (
                datetime.date.fromisoformat(options["first"])
                if options["first"]
                else timezone.localdate()
            )
        except ValueError as error:
            raise CommandError(
                f'"{options["first"]}" is not a day; write it as 2026-06-21',
                returncode=2,
            ) from error
        try:
            plan = plans.make_week(
                first=first,
                days=options["days"],
                at=timezone.now(),
                person=None,
                effort=Effort(seconds=options["seconds"]),
            )
        except plans.PlanError as error:
            raise CommandError(str(error), returncode=2) from error
        if options["format"] == "json":
            self.stdout.write(json.dumps(plan.answer, indent=2))
            return
        for line in week_lines(plan.answer):
            self.stdout.write(line)
