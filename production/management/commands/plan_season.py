"""Answers which fruit to buy when and which batches to make in which week."""

import datetime
import json
from decimal import Decimal, InvalidOperation
from typing import Any

from django.core.management.base import CommandError, CommandParser
from django.utils import timezone

from inventory.management.sellers import SellersCommand
from production import season_plans
from production.planning.season_problem import SeasonError
from production.selectors.season_answer import answer_season


class Command(SellersCommand):
    help = "Plan a season: what to buy, freeze and cook in which week, and why."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--from", dest="first", help="first day as YYYY-MM-DD")
        parser.add_argument("--weeks", type=int, default=26)
        parser.add_argument("--cash", help="money at hand; left out: spending is free")
        parser.add_argument("--seconds", type=float, default=60.0)
        parser.add_argument("--format", choices=["table", "json"], default="table")

    def handle(self, *_args: Any, **options: Any) -> None:
        is_json = options["format"] == "json"
        try:
            book, plan = season_plans.find(
                first=_day(options["first"]),
                weeks=options["weeks"],
                cash=_money(options["cash"]),
                seconds=options["seconds"],
                tell=None if is_json else self._say,
            )
        except SeasonError as error:
            raise CommandError(str(error), returncode=2) from error
        answer = answer_season(book, plan)
        if is_json:
            self.stdout.write(json.dumps(answer, indent=2))
            return
        for line in _lines(answer):
            self.stdout.write(line)

    def _say(self, seconds: float, best: float, bound: float) -> bool:
        if int(seconds) != getattr(self, "_told", -1):
            self._told = int(seconds)
            known = f"{best:,.2f}" if best > -1e15 else "none yet"
            self.stderr.write(
                f"  {seconds:3.0f} s  best {known}  bound {bound:,.2f}", ending="\r"
            )
        return False


def _day(text: str | None) -> datetime.date:
    if text is None:
        return timezone.localdate()
    try:
        return datetime.date.fromisoformat(text)
    except ValueError as error:
        raise CommandError(
            f'"{text}" is not a day; write it as 2026-06-21', returncode=2
        ) from error


def _money(text: str | None) -> Decimal | None:
    if text is None:
        return None
    try:
        return Decimal(text)
    except InvalidOperation as error:
        raise CommandError(
            f'"{text}" is not an amount; write it as 600 or 600.00', returncode=2
        ) from error


def _lines(answer: dict[str, Any]) -> list[str]:
    summary = (
        f"{answer['weeks']} weeks from {answer['starts_on']}: earns"
        f" {answer['objective']}, no plan earns more than {answer['bound']}"
        f" (gap {float(answer['gap']):.1%}, {answer['seconds']} s)"
    )
    lines = [summary]
    lines += [f"  given up: {rule}" for rule in answer["relaxed"]]
    lines.append("Batches")
    lines += [
        f"  week of {each['week_of']}  {each['batches']} x {each['name']}"
        + (
            f" ({each['makes_kg']} kg)"
            if each["makes_kg"]
            else f" ({each['jars']} jars)"
        )
        for each in answer["batches"]
    ]
    lines.append("Fruit to buy")
    lines += [
        f"  week of {each['week_of']}  {each['kg']:>7} kg {each['material']}"
        + (
            f", {each['to_freeze_kg']} kg of it to freeze"
            if each["to_freeze_kg"] != "0"
            else ""
        )
        for each in answer["purchases"]
    ]
    lines.append("What binds, and what one more would earn")
    lines += [
        f"  {each['what']} {each['week_of']}: {each['worth']} for one more {each['unit']}"
        for each in answer["binding"][:8]
    ]
    lines.append("Left out")
    lines += [f"  {each['name']}: {each['reason']}" for each in answer["left_out"]]
    return lines
