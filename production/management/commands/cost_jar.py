"""``manage.py cost_jar``: what a jar costs, and what is kept of it."""

import datetime
import json
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import CommandError
from django.utils import timezone

from inventory.management.sellers import SellersCommand
from inventory.money import format_money
from production.costing.breakdown import CostingError
from production.pricing import PricingError
from production.selectors.jar_answer import (
    JarAnswer,
    OutletAnswer,
    answer_jar,
    as_data,
    find_product,
)


class Command(SellersCommand):
    help = "Show what a jar costs, line by line, and what each outlet leaves of it."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("product", help="code or name of the product")
        parser.add_argument("--outlet", default="", help="only this outlet")
        parser.add_argument(
            "--on",
            type=datetime.date.fromisoformat,
            default=None,
            help="the day whose prices hold (YYYY-MM-DD); today if left out",
        )
        parser.add_argument("--format", choices=["table", "json"], default="table")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            answer = answer_jar(
                find_product(options["product"]),
                on=options["on"] or timezone.localdate(),
                outlet_name=options["outlet"],
            )
        except (CostingError, PricingError) as error:
            raise CommandError(str(error), returncode=2) from error
        if options["format"] == "json":
            self.stdout.write(json.dumps(as_data(answer), indent=2))
            return
        for line in _table(answer):
            self.stdout.write(line)


def _table(answer: JarAnswer) -> list[str]:
    business = answer.book.business

    def money(amount: Any) -> str:
        return format_money(amount, currency=business.currency, locale=business.locale)

    cost = answer.cost
    rows = [
        f"{answer.product}: a jar costs {money(cost.total_cost)}",
        f"  {cost.jars:.1f} jars a batch, prices of {answer.book.on:%d %b %Y}",
        "",
    ]
    rows += [
        f"  {shown.line.part.value:<12} {shown.line.name:<32.32} "
        f"{money(shown.shown_cost):>9}"
        for shown in cost.shown_lines(currency=business.currency)
    ]
    rows += [
        f"  {'with my time':<45} {money(cost.total_cost):>9}",
        f"  {'without my time':<45} {money(cost.cost_without_my_time):>9}",
        f"  {'for the books':<45} {money(cost.cost_for_the_books):>9}",
        "",
    ]
    rows += [_outlet_row(row, money) for row in answer.outlets]
    rows += [
        f"  batch {row.batch.code}: {money(row.comparison.actual_cost)} a jar, "
        + ", ".join(
            f"{reason} {amount:+}"
            for reason, amount in row.comparison.shown_by_reason(
                currency=business.currency
            ).items()
        )
        for row in answer.batches
    ]
    return rows


def _outlet_row(row: OutletAnswer, money: Any) -> str:
    kept = row.kept
    jars = kept.break_even_jars
    day = ""
    if kept.day_terms:
        day = f", {jars} jars pay for a day" if jars is not None else ", never pays"
    warning = "  LOSES MONEY" if kept.loses_money else ""
    return (
        f"  {row.outlet.name:<32.32} price {money(kept.given.price):>8}   "
        f"kept {money(kept.kept):>8}{day}{warning}"
    )
